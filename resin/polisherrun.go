package resin

import (
	"fmt"
	"math"

	"rinsewright/quantity"
	"rinsewright/water"
)

// cellIons lists the components by sign, in the order the cells keep them.
var (
	cellCations = []water.Component{water.Sodium, water.Potassium, water.Ammonia, water.Magnesium, water.Calcium, water.Iron, water.Manganese, water.Strontium, water.Barium}
	cellAnions  = []water.Component{water.Chloride, water.Nitrate, water.Fluoride, water.Phosphate, water.Sulphate, water.Carbon, water.Silica, water.Boron}
)

// exchanger is one of the two resins: charge and affinity of its ions, and how
// far they get in one shift.
type exchanger struct {
	sites    float64 // eq per litre of pore water
	charge   []float64
	affinity []float64
	// reached is the share of its way to the bead's surface that a component goes
	// through the film in one shift, inside the share of its way into the beads,
	// weight the former over the latter; all 1 at equilibrium.
	reached, weight []float64
	inside          float64
}

// cell is one slice of the bed: what its resin holds of each component and what
// its water does, mol per litre of one shift's water, and where its equilibrium
// was last found.
type cell struct {
	cations, anions           []float64
	waterCations, waterAnions []float64
	logH, logS, logT          float64
}

// PolisherRun is a polisher in service. It is not safe for use by two goroutines.
type PolisherRun struct {
	acid      acidity
	t         quantity.Temperature
	cationBed exchanger
	anionBed  exchanger
	cells     []cell
	ionised   []float64    // share of each anion in the form that exchanges, scratch
	feed      [2][]float64 // scratch: cations and anions of the feed
	shared    [2][]float64 // scratch: what a cell's resin and water share out
	duty      Duty
	step      float64 // bed volumes per shift
	excess    float64 // bed volumes by which the cells hold more water than the bed does
	pores     float64 // pore volumes per shift
	count     int
	done      float64 // bed volumes so far, excess not taken off
	volume    quantity.Volume
	rated     bool // film and beads resist
}

// Start fills the polisher with pure water at temperature t. The error wraps
// [ErrRange] unless t is 0 to 50 °C, there are 1 to 200 cells, the void is 0.05 to
// 0.95, every affinity is 1e-6 to 1e9, and the shares left are 0 to 0.9.
func (p Polisher) Start(t quantity.Temperature) (*PolisherRun, error) {
	const operation = "polisher"
	if err := p.check(operation, t); err != nil {
		return nil, err
	}
	taken := float64(p.Void) * float64(max(1, p.PoreVolumes)) // bed volumes of water in the cells
	pore := taken * 1000                                      // eq/m³ of bed to eq/L of pore water
	r := &PolisherRun{
		acid:      acidityAt(float64(t)),
		t:         t,
		cationBed: newExchanger(float64(p.Bed.CationCapacity)/pore, cellCations, p.Affinities),
		anionBed:  newExchanger(float64(p.Bed.AnionCapacity)/pore, cellAnions, p.Affinities),
		cells:     make([]cell, p.Cells),
		ionised:   make([]float64, len(cellAnions)),
		step:      taken / float64(p.Cells),
		excess:    taken - float64(p.Void),
		volume:    p.Bed.Volume,
		feed:      [2][]float64{make([]float64, len(cellCations)), make([]float64, len(cellAnions))},
		shared:    [2][]float64{make([]float64, len(cellCations)), make([]float64, len(cellAnions))},
		duty:      p.Duty,
	}
	r.pores = float64(max(1, p.PoreVolumes))
	if r.rated = p.Duty != (Duty{}); r.rated {
		r.duty, r.excess = p.Duty.filled(), 0
	}
	neutral := 0.5 * math.Log(r.acid.water)
	for i := range r.cells {
		c := &r.cells[i]
		c.cations, c.waterCations = make([]float64, len(cellCations)), make([]float64, len(cellCations))
		c.anions, c.waterAnions = make([]float64, len(cellAnions)), make([]float64, len(cellAnions))
		c.cations[0] = float64(p.SodiumLeft) * r.cationBed.sites
		c.anions[0] = float64(p.ChlorideLeft) * r.anionBed.sites
		c.logH, c.logS, c.logT = neutral, -neutral, -neutral
		if err := r.stand(c); err != nil {
			return nil, fmt.Errorf("%s: start: %w", operation, err)
		}
	}
	r.setRates(1)
	return r, nil
}

// Shift pushes one cell's pore volume of feed into the bed and returns the water
// that the last cell then holds. The error wraps [ErrRange] for a feed with an
// amount below 0 or past 1 mol/L, [ErrNotConverged] when a cell finds no
// equilibrium.
func (r *PolisherRun) Shift(feed water.Water) (Outlet, error) {
	const operation = "polisher shift"
	for c, amount := range feed.Total {
		if err := within(operation, water.Component(c).String(), float64(amount), 0, mostConcentration, "mol/m³"); err != nil {
			return Outlet{}, err
		}
	}
	fillAmounts(r.feed[0], feed, cellCations)
	fillAmounts(r.feed[1], feed, cellAnions)
	if err := r.pass(1); err != nil {
		return Outlet{}, fmt.Errorf("%s %d: %w", operation, r.count, err)
	}
	r.done += r.step
	r.count++
	return r.leaving(), nil
}

// Step returns the volume of feed that one shift takes.
func (r *PolisherRun) Step() quantity.Volume { return r.volume * quantity.Volume(r.step) }

// leaving is the water of the last cell.
func (r *PolisherRun) leaving() Outlet {
	last := &r.cells[len(r.cells)-1]
	w := water.Water{Temperature: r.t}
	alkalinity := 0.0 // eq/m³
	for i, c := range cellCations {
		w.Total[c] = quantity.MolarConc(last.waterCations[i] * 1000)
		alkalinity += r.cationBed.charge[i] * float64(w.Total[c])
	}
	for i, c := range cellAnions {
		w.Total[c] = quantity.MolarConc(last.waterAnions[i] * 1000)
		if c != water.Carbon && c != water.Silica && c != water.Boron {
			alkalinity -= r.anionBed.charge[i] * float64(w.Total[c])
		}
	}
	w.Alkalinity = quantity.EquivConc(alkalinity)
	done := max(0, r.done-r.excess)
	return Outlet{
		BedVolumes: done,
		Volume:     r.volume * quantity.Volume(done),
		Water:      w,
		PH:         quantity.PH(-r.outletLogH(last) / math.Ln10),
	}
}

// Held returns what the resin holds of a component, per volume of bed.
func (r *PolisherRun) Held(c water.Component) quantity.MolarConc {
	sum := 0.0 // mol per litre of pore water, over cells
	for i := range r.cells {
		for j, has := range cellCations {
			if has == c {
				sum += r.cells[i].cations[j]
			}
		}
		for j, has := range cellAnions {
			if has == c {
				sum += r.cells[i].anions[j]
			}
		}
	}
	return quantity.MolarConc(sum * r.step * 1000)
}

// Dissolved returns what the water in the cells holds of a component, per volume
// of bed; 0 with a [Duty], whose shifts take no account of the water between the
// beads.
func (r *PolisherRun) Dissolved(c water.Component) quantity.MolarConc {
	if r.rated {
		return 0
	}
	sum := 0.0 // mol per litre of pore water, over cells
	for i := range r.cells {
		for j, has := range cellCations {
			if has == c {
				sum += r.cells[i].waterCations[j]
			}
		}
		for j, has := range cellAnions {
			if has == c {
				sum += r.cells[i].waterAnions[j]
			}
		}
	}
	return quantity.MolarConc(sum * r.step * 1000)
}

// fillAmounts sets out to components of w in mol/L.
func fillAmounts(out []float64, w water.Water, which []water.Component) {
	for i, c := range which {
		out[i] = float64(w.Total[c]) / 1000
	}
}

func newExchanger(sites float64, ions []water.Component, k Affinities) exchanger {
	e := exchanger{sites: sites}
	for _, c := range ions {
		z := math.Abs(float64(c.Charge()))
		e.charge = append(e.charge, max(1, z)) // silica and boron exchange as their single charged ions
		e.affinity = append(e.affinity, k[c])
		e.reached, e.weight = append(e.reached, 1), append(e.weight, 1)
	}
	e.inside = 1
	return e
}
