package cli

import (
	"fmt"
	"math"
	"sort"
	"strings"

	"rinsewright/quantity"
	"rinsewright/water"
)

const referenceEquilibrium = "reference"

// feedColumns are the components of a column's feed, by column name.
var feedColumns = []struct {
	name      string
	component water.Component
}{
	{"Ca", water.Calcium},
	{"Mg", water.Magnesium},
	{"Na", water.Sodium},
	{"K", water.Potassium},
	{"Ba", water.Barium},
	{"Sr", water.Strontium},
	{"Fe2", water.Iron},
	{"NH4", water.Ammonia},
	{"Cl", water.Chloride},
	{"SO4", water.Sulphate},
	{"NO3", water.Nitrate},
	{"F", water.Fluoride},
	{"B", water.Boron},
	{"SiO2", water.Silica},
	{"C4", water.Carbon},
}

func columnInputs() []calcColumn {
	columns := []calcColumn{
		needColumn("temp_C", "°C", "temperature", coldest, 50),
		wholeColumn(mayColumn("cells", "", "cells at equilibrium along the bed; more are sharper", 1, 200, "20")),
		mayColumn("bed_void_fraction", "", "share of the bed that is water", 0.05, 0.95, "0.38"),
		needColumn("cation_capacity_eq_per_L_bed", "eq/L", "cation sites", 0.001, 6),
		mayColumn("anion_capacity_eq_per_L_bed", "eq/L", "anion sites in OH form; above 0 makes a mixed bed", 0, 6, "0"),
		textColumn("initial_cation_equiv_fractions", "site shares at the start, as Na=0.6;Ca=0.28;Mg=0.12, or H=1; empty is Na=1"),
		textColumn("initial_pore_water", "NaCl and its mmol/kg, as NaCl 2 mmol/kgw; empty is as strong as the feed; not heeded with H=1, which starts in pure water"),
		mayColumn("bed_depth_m", "m", "depth of the bed, for dispersivity and rate_BV_per_h", 0.01, 10, "0.9"),
		mayColumn("dispersivity_m", "m", "spreading beyond that of the cells; taken as fewer cells", 0, 1, "0"),
		mayColumn("rate_BV_per_h", "1/h", "flow in bed volumes an hour, for film and beads that resist; empty for equilibrium", 0.01, 1000, ""),
		mayColumn("bead_mm", "mm", "mean diameter of the beads, for rate_BV_per_h", 0.05, 3, "0.6"),
		needColumn("bed_volumes_run", "", "bed volumes of feed", 0.1, 20_000),
		wholeColumn(mayColumn("punch_every_n_shifts", "", "a row of answer every so many cell volumes of water", 1, 1e6, "50")),
		needColumn("feed_alk_meqkgw", "meq/kg water", "alkalinity of the feed", -1000, 1000),
	}
	for _, f := range feedColumns {
		columns = append(columns, mayColumn("feed_"+f.name+"_mmolkgw", "mmol/kg water", f.component.String()+" in the feed", 0, 1000, "0"))
	}
	return columns
}

var columnDoor = calcDoor{
	name: "column", about: "what leaves an ion-exchange column along its run: one row of answer per point of the curve",
	notes: "Cells at local equilibrium, Gaines-Thomas convention; with rate_BV_per_h film and beads resist by linear driving force. Sites of one resin, or of a mixed bed in H and OH form. " +
		"`--equilibrium typical` (the default) takes affinities of gel resins; `reference` those of the reference code's tables, which are of soil.",
	flags:  []string{"--equilibrium"},
	keys:   []calcColumn{textColumn("run", "any name; comes back unchanged")},
	inputs: columnInputs(),
	results: []calcColumn{
		resultColumn("step_shifts", "", "cell volumes of water so far"),
		resultColumn("bed_volumes", "", "bed volumes of feed so far"),
		resultColumn("pH", "", "of the effluent, as all that follow"),
		resultColumn("SC_at_T_uScm", "µS/cm", "conductivity at its own temperature"),
		resultColumn("alkalinity_meqkgw", "meq/kg water", "alkalinity"),
		resultColumn("C4_total_mmolkgw", "mmol/kg water", "all inorganic carbon"),
		resultColumn("CO2aq_mmolkgw", "mmol/kg water", "dissolved carbon dioxide"),
		resultColumn("HCO3_mmolkgw", "mmol/kg water", "free bicarbonate"),
		resultColumn("Ca_mmolkgw", "mmol/kg water", "calcium"),
		resultColumn("Mg_mmolkgw", "mmol/kg water", "magnesium"),
		resultColumn("Na_mmolkgw", "mmol/kg water", "sodium"),
		resultColumn("K_mmolkgw", "mmol/kg water", "potassium"),
		resultColumn("Ba_mmolkgw", "mmol/kg water", "barium"),
		resultColumn("Sr_mmolkgw", "mmol/kg water", "strontium"),
		resultColumn("Fe2_mmolkgw", "mmol/kg water", "iron"),
		resultColumn("NH4_mmolkgw", "mmol/kg water", "ammonia"),
		resultColumn("Cl_mmolkgw", "mmol/kg water", "chloride"),
		resultColumn("SO4_mmolkgw", "mmol/kg water", "sulphate"),
		resultColumn("NO3_mmolkgw", "mmol/kg water", "nitrate"),
		resultColumn("F_mmolkgw", "mmol/kg water", "fluoride"),
		resultColumn("B_mmolkgw", "mmol/kg water", "boron"),
		resultColumn("SiO2_mmolkgw", "mmol/kg water", "silica"),
		resultColumn("hardness_mgL_as_CaCO3", "mg/L", "hardness as CaCO3"),
	},
	series: columnSeries,
}

// columnRun is one row's column, told apart from which resin fills it.
type columnRun struct {
	feed       water.Water // per kg of water, held as if a litre were one
	shares     map[string]float64
	cells      int
	void       float64
	bedVolumes float64
	every      float64 // bed volumes from answer to answer
	everyCells int
	reference  bool
	row        calcRow
}

// columnPoint is the effluent at some bed volumes.
type columnPoint struct {
	bedVolumes float64
	water      water.Water
}

func columnSeries(s calcSetting, r calcRow) ([]calcAnswer, error) {
	run, err := columnRunOf(s, r)
	if err != nil {
		return nil, err
	}
	exchange := run.exchanger
	if run.shares["H"] == 1 {
		exchange = run.mixedBed
	}
	points, err := exchange()
	if err != nil {
		return nil, err
	}
	if len(points) == 0 {
		return nil, fmt.Errorf("bed_volumes_run: %s is less than one cell's water, wanted more", formatNumber(run.bedVolumes))
	}
	var answers []calcAnswer
	for i := 1; float64(i)*run.every <= run.bedVolumes*(1+1e-9); i++ {
		a, err := run.answer(i*run.everyCells, pointAt(points, float64(i)*run.every))
		if err != nil {
			return nil, err
		}
		answers = append(answers, a)
	}
	if answers == nil {
		return nil, fmt.Errorf("punch_every_n_shifts: the first answer would come after %s bed volumes, wanted one within bed_volumes_run", formatNumber(run.every))
	}
	return answers, nil
}

func columnRunOf(s calcSetting, r calcRow) (columnRun, error) {
	run := columnRun{
		cells: int(r.number("cells")), void: r.number("bed_void_fraction"), bedVolumes: r.number("bed_volumes_run"),
		everyCells: int(r.number("punch_every_n_shifts")), reference: s.equilibrium == referenceEquilibrium, row: r,
	}
	run.every = float64(run.everyCells) * run.void / float64(run.cells)
	if spread := 2 * r.number("dispersivity_m"); spread > 0 {
		depth := r.number("bed_depth_m")
		run.cells = max(1, int(math.Round(depth/(depth/float64(run.cells)+spread))))
	}
	if shifts := run.bedVolumes * float64(run.cells) / run.void; !(shifts*float64(run.cells) <= mostColumnWork) {
		return run, fmt.Errorf("bed_volumes_run: %s bed volumes through %d cells, wanted less of one or the other", formatNumber(run.bedVolumes), run.cells)
	}
	if answers := run.bedVolumes / run.every; !(answers <= mostColumnAnswers) {
		return run, fmt.Errorf("punch_every_n_shifts: read %d, which gives %.0f rows of answer, wanted more for %d rows at most", run.everyCells, answers, mostColumnAnswers)
	}
	run.feed = water.Water{Temperature: quantity.Celsius(r.number("temp_C")), Alkalinity: quantity.MilliequivalentsPerLitre(r.number("feed_alk_meqkgw"))}
	for _, f := range feedColumns {
		run.feed.Total[f.component] = quantity.MillimolesPerLitre(r.number("feed_" + f.name + "_mmolkgw"))
	}
	var err error
	run.shares, err = siteShares(r.text("initial_cation_equiv_fractions"))
	return run, err
}

// mostColumnWork is how many cells one row may settle, and mostColumnAnswers how
// many points of its curve it may tell: some seconds.
const (
	mostColumnWork    = 5e6
	mostColumnAnswers = 20_000
)

// siteShares reads "Na=0.6;Ca=0.28;Mg=0.12".
func siteShares(text string) (map[string]float64, error) {
	const column = "initial_cation_equiv_fractions"
	if text == "" {
		return map[string]float64{"Na": 1}, nil
	}
	shares, sum := map[string]float64{}, 0.0
	for _, part := range strings.Split(text, ";") {
		name, value, _ := strings.Cut(strings.TrimSpace(part), "=")
		x, err := quantity.ParseNumber(value, quantity.Locale{})
		if err != nil || !(0 <= x && x <= 1) || !isCation(name) {
			return nil, fmt.Errorf("%s: read %q, wanted shares such as Na=0.6;Ca=0.4", column, shortened(part))
		}
		shares[name] += x
		sum += x
	}
	if math.Abs(sum-1) > 1e-6 {
		return nil, fmt.Errorf("%s: read %q, wanted shares that add up to 1", column, shortened(text))
	}
	if h := shares["H"]; h != 0 && h != 1 {
		return nil, fmt.Errorf("%s: read %q, wanted H=1 or no H", column, shortened(text))
	}
	return shares, nil
}

func isCation(name string) bool {
	for _, e := range exchangeConstants {
		if e.name == name && !e.anion {
			return true
		}
	}
	return name == "H"
}

// pointAt returns the effluent at some bed volumes, straight between points.
func pointAt(points []columnPoint, bedVolumes float64) columnPoint {
	i := sort.Search(len(points)-1, func(i int) bool { return points[i].bedVolumes >= bedVolumes*(1-1e-9) })
	after := points[i]
	if i == 0 || after.bedVolumes <= bedVolumes*(1+1e-9) {
		after.bedVolumes = bedVolumes
		return after
	}
	before := points[i-1]
	share := (bedVolumes - before.bedVolumes) / (after.bedVolumes - before.bedVolumes)
	between := columnPoint{bedVolumes, after.water}
	for c := range between.water.Total {
		between.water.Total[c] = before.water.Total[c] + quantity.MolarConc(share)*(after.water.Total[c]-before.water.Total[c])
	}
	between.water.Alkalinity = before.water.Alkalinity + quantity.EquivConc(share)*(after.water.Alkalinity-before.water.Alkalinity)
	return between
}

// answer is what there is to tell of an effluent.
func (run columnRun) answer(shifts int, p columnPoint) (calcAnswer, error) {
	s, err := equilibriumPerKilogram(p.water)
	if err != nil {
		return nil, err
	}
	w := p.water
	a := calcAnswer{
		shifts, p.bedVolumes, s.PH, s.Conductivity().MicrosiemensPerCm(), float64(w.Alkalinity), float64(w.Total[water.Carbon]),
		1000 * s.Molality(s.CO2()), 1000 * s.Molality(s.Bicarbonate()),
	}
	for _, f := range feedColumns[:len(feedColumns)-1] { // carbon is told already
		a = append(a, float64(w.Total[f.component]))
	}
	return append(a, s.Water().Hardness().MilligramsPerLitreCaCO3()), nil
}

// equilibriumPerKilogram is the equilibrium of a water whose amounts are per
// kilogram of water instead of per litre.
func equilibriumPerKilogram(w water.Water) (water.Solution, error) {
	for c := range w.Total {
		w.Total[c] = max(0, w.Total[c])
	}
	s, err := water.Equilibrate(w)
	if err != nil {
		return s, err
	}
	litre := float64(s.WaterContent()) / 1000 // kg of water
	for c := range w.Total {
		w.Total[c] *= quantity.MolarConc(litre)
	}
	w.Alkalinity *= quantity.EquivConc(litre)
	return water.Equilibrate(w)
}
