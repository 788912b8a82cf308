package cli

import (
	"fmt"
	"math"
	"strings"

	"rinsewright/quantity"
	"rinsewright/resin"
	"rinsewright/water"
)

// exchangeConstants are log K against sodium (cations) and against hydroxide
// (anions), with the enthalpy in kJ/mol, that the reference code's tables used.
//
// Source: reference code: PHREEQC 3.8.8, phreeqc.dat; enthalpies from memory,
// unverified; anions from memory, silica and sulphate invented. They are of soil
// and test the arithmetic of a column, not a resin.
var exchangeConstants = []struct {
	component      water.Component
	name           string
	logK, enthalpy float64
	anion          bool
}{
	{water.Sodium, "Na", 0, 0, false},
	{water.Calcium, "Ca", 0.8, 7.2, false},
	{water.Magnesium, "Mg", 0.6, 7.4, false},
	{water.Potassium, "K", 0.7, -4.3, false},
	{water.Barium, "Ba", 0.91, 4.5, false},
	{water.Strontium, "Sr", 0.91, 5.5, false},
	{water.Iron, "Fe2", 0.44, 0, false},
	{water.Ammonia, "NH4", 0.6, -2.4, false},
	{water.Chloride, "Cl", 1.34, 0, true},
	{water.Carbon, "C4", 0.78, 0, true},
	{water.Nitrate, "NO3", 1.81, 0, true},
	{water.Fluoride, "F", 0.20, 0, true},
	{water.Silica, "SiO2", 0.30, 0, true},
	{water.Sulphate, "SO4", 2.50, 0, true},
}

// logHydrogen is log K of H+ against sodium in the same tables.
const logHydrogen = -0.19

// logAt is log K of an exchange at the run's temperature.
func (run columnRun) logAt(logK, enthalpy float64) float64 {
	const gas = 8.31446 // J/(mol·K)
	return logK - enthalpy*1000/(math.Ln10*gas)*(1/float64(run.feed.Temperature)-1/298.15)
}

// exchanger runs one resin in a metal form.
func (run columnRun) exchanger() ([]columnPoint, error) {
	if run.row.number("anion_capacity_eq_per_L_bed") > 0 {
		return nil, fmt.Errorf("anion_capacity_eq_per_L_bed: a mixed bed starts in H form, wanted initial_cation_equiv_fractions H=1")
	}
	s, err := water.Equilibrate(run.feed)
	if err != nil {
		return nil, err
	}
	c := resin.Column{
		Capacity: quantity.MilliequivalentsPerLitre(1000 * run.row.number("cation_capacity_eq_per_L_bed")), Void: quantity.Ratio(run.void), Cells: run.cells,
	}
	if c.Duty = run.duty(); c.Duty != (resin.Duty{}) {
		c.Volume, c.Temperature = quantity.Litres(1), run.feed.Temperature
	}
	typical, _ := resin.SoftenerColumn(s, run.cells)
	affinities := map[string]float64{}
	for _, ion := range typical.Ions {
		affinities[ion.Name] = ion.Affinity
	}
	var components []water.Component
	var feed []quantity.MolarConc
	for _, e := range exchangeConstants {
		if e.anion {
			continue
		}
		k := math.Pow(10, run.logAt(e.logK, e.enthalpy))
		if !run.reference {
			k = affinities[e.component.Formula()]
		}
		components = append(components, e.component)
		c.Ions = append(c.Ions, resin.Ion{Name: e.name, Charge: e.component.Charge(), Affinity: k, Free: freeShare(s, e.component)})
		c.Sites = append(c.Sites, quantity.Ratio(run.shares[e.name]))
		c.Pore = append(c.Pore, 0)
		feed = append(feed, run.feed.Total[e.component])
	}
	if c.Pore[0], err = run.poreSodium(); err != nil {
		return nil, err
	}
	effluent, err := c.Run(feed, run.bedVolumes, 1)
	points := make([]columnPoint, len(effluent))
	for i, e := range effluent {
		points[i] = columnPoint{e.BedVolumes, run.feed}
		for j, component := range components {
			points[i].water.Total[component] = e.Out[j]
		}
	}
	return points, err
}

// duty is how water meets a litre of bed, none for equilibrium.
func (run columnRun) duty() resin.Duty {
	if !run.row.has("rate_BV_per_h") {
		return resin.Duty{}
	}
	return resin.Duty{
		Flow:  quantity.Flow(run.row.number("rate_BV_per_h") / 1000 / 3600),
		Depth: quantity.Metres(run.row.number("bed_depth_m")), Bead: quantity.Millimetres(run.row.number("bead_mm")),
	}
}

// freeShare is the share of a component that is a free ion.
func freeShare(s water.Solution, c water.Component) quantity.Ratio {
	total := s.Water().Total[c]
	if !(total > 0) {
		return 1
	}
	return quantity.Ratio(min(1, max(1e-3, float64(s.Free(c))/float64(total))))
}

// poreSodium is the sodium in the water that fills the bed at the start.
func (run columnRun) poreSodium() (quantity.MolarConc, error) {
	text := run.row.text("initial_pore_water")
	if text == "" {
		charge := 0.0 // mol/m³
		for _, e := range exchangeConstants {
			if !e.anion {
				charge += float64(e.component.Charge()) * float64(run.feed.Total[e.component])
			}
		}
		return quantity.MolarConc(max(charge, 1e-3)), nil
	}
	fields := strings.Fields(text)
	if len(fields) >= 2 && fields[0] == "NaCl" {
		if x, err := quantity.ParseNumber(fields[1], quantity.Locale{}); err == nil && 0 < x && x <= 1000 {
			return quantity.MillimolesPerLitre(x), nil
		}
	}
	return 0, fmt.Errorf("initial_pore_water: read %q, wanted such as \"NaCl 2 mmol/kgw\"", shortened(text))
}

// mixedBed runs a bed in H and OH form. One without anion sites is given a
// thousandth of an eq/L, since the engine's mixed bed has both: they disturb the
// anions of the first ten bed volumes or so.
func (run columnRun) mixedBed() ([]columnPoint, error) {
	bed, err := resin.MixedBed(quantity.Litres(1), resin.New)
	if err != nil {
		return nil, err
	}
	bed.CationCapacity = quantity.MilliequivalentsPerLitre(1000 * run.row.number("cation_capacity_eq_per_L_bed"))
	bed.AnionCapacity = quantity.MilliequivalentsPerLitre(max(1, 1000*run.row.number("anion_capacity_eq_per_L_bed")))
	p := resin.NewPolisher(bed)
	p.Cells, p.Void, p.PoreVolumes = run.cells, quantity.Ratio(run.void), 1
	p.Duty = run.duty()
	if run.reference {
		p.Affinities = run.referenceAffinities()
	}
	var points []columnPoint
	_, _, err = p.Until(run.feed, run.bedVolumes, func(out resin.Outlet) bool {
		points = append(points, columnPoint{out.BedVolumes, out.Water})
		return false
	})
	return points, err
}

// referenceAffinities are the reference code's constants for a mixed bed; what
// they leave out passes it.
func (run columnRun) referenceAffinities() (a resin.Affinities) {
	const notHeld = 1e-6
	for c := range a {
		a[c] = notHeld
	}
	for _, e := range exchangeConstants {
		logK := run.logAt(e.logK, e.enthalpy)
		if !e.anion {
			logK -= float64(e.component.Charge()) * logHydrogen
		}
		a[e.component] = math.Pow(10, logK)
	}
	return a
}
