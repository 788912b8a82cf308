package faults

import (
	"math"

	"rinsewright/hydraulics"
	"rinsewright/membrane"
	"rinsewright/plant"
	"rinsewright/quantity"
	"rinsewright/resin"
	"rinsewright/water"
)

// ran is what the plant model says of a rail.
type ran struct {
	permeate, concentrate  float64   // m³/s
	tap, feed, end, behind float64   // Pa
	strong, fresh          float64   // S/m: concentrate, permeate
	housings               []float64 // S/m, permeate of each
	gas                    float64   // S/m that the permeate's carbon dioxide alone would make
	pH                     float64   // of the permeate
	silica                 float64   // kg/m³ in the permeate
	load, airLoad          float64   // eq/m³ on anion resin; the same once the gas has left
	creep                  float64   // share of the feed side's strength in the first permeate
	hardness, atMembrane   float64   // kg/m³ as CaCO3
	alkalinity             float64   // kg/m³ as CaCO3
	failed                 error
}

// run returns what the plant does on a rail; equal rails are run once.
func (n *nominal) run(r railed) (*ran, error) {
	if got, ok := n.rails[r]; ok {
		return got, got.failed
	}
	got, err := n.operate(r)
	if err != nil {
		got = &ran{failed: err}
	}
	n.rails[r] = got
	return got, err
}

func (n *nominal) operate(r railed) (*ran, error) {
	raw, soft, err := watersOf(r)
	if err != nil {
		return nil, err
	}
	if n.facts.Bare {
		return n.through(r, raw, soft)
	}
	p, err := n.hung(r).Worn(r.Wear)
	if err != nil {
		return nil, err
	}
	point, err := p.Operate(plant.Conditions{Feed: soft, TankPressure: quantity.Pressure(r.back)})
	if err != nil {
		return nil, err
	}
	m := &point.Membrane
	got := &ran{
		permeate: float64(m.Permeate.Flow), concentrate: float64(point.Drain.Flow),
		tap: float64(point.Tap), feed: float64(point.Feed.Pressure), end: float64(m.Concentrate.Pressure), behind: r.back,
		hardness: float64(raw.Hardness()), atMembrane: float64(soft.Hardness()), alkalinity: float64(raw.Alkalinity) * caco3PerEquivalent,
	}
	return got, got.tell(m, &p, r)
}

const caco3PerEquivalent = 0.0500435 // kg/eq

// tell fills in strengths, gas and what loads resin.
func (g *ran) tell(m *membrane.Result, p *plant.Plant, r railed) error {
	permeate := m.Permeate.Water
	s, err := at25(permeate)
	if err != nil {
		return err
	}
	g.fresh, g.pH, g.silica = float64(s.Conductivity()), s.PH, float64(water.Silica.Mass(permeate.Total[water.Silica]))
	in := resin.InletOf(permeate, s)
	g.load = float64(in.AnionLoad())
	g.airLoad = float64(in.Degassed(0.015).AnionLoad()) // mol/m³, what open air leaves
	if s, err = at25(water.Water{Total: gasOnly(in.CO2)}); err != nil {
		return err
	}
	g.gas = float64(s.Conductivity())
	if s, err = at25(m.Concentrate.Water); err != nil {
		return err
	}
	g.strong = float64(s.Conductivity())
	g.housings = make([]float64, len(m.Elements))
	for i := range m.Elements {
		if g.housings[i] = g.fresh; len(m.Elements) > 1 {
			if s, err = at25(m.Elements[i].Permeate.Water); err != nil {
				return err
			}
			g.housings[i] = float64(s.Conductivity())
		}
	}
	feed, out := m.Concentrate.Water.DissolvedSolids(), permeate.DissolvedSolids()
	creep, err := p.Train.Creep(usualIdle, feed, min(out, feed), quantity.Temperature(r.temperature))
	if err != nil {
		return err
	}
	g.creep = float64(creep.Share)
	return nil
}

const usualIdle = quantity.Time(12 * 60) // between two starts of a working day

func at25(w water.Water) (water.Solution, error) {
	w.Temperature = quantity.Celsius(25)
	return water.Equilibrate(w)
}

func gasOnly(co2 quantity.MolarConc) (total [water.NComponents]quantity.MolarConc) {
	total[water.Carbon] = co2
	return total
}

// hung is the rig as it was hung: from the facts, or part by part where those
// are known.
func (n *nominal) hung(r railed) plant.Plant {
	if n.facts.Plant != nil {
		return surveyed(*n.facts.Plant, r)
	}
	train := membrane.Train{Housings: make([]membrane.Housing, n.housings)}
	for i := range train.Housings {
		train.Housings[i] = membrane.Housing{Element: n.element, Wear: membrane.New()}
	}
	// A main loses a twelfth of its pressure to a rig of a size that suits it.
	main := hydraulics.CityCurve{Static: quantity.Pressure(r.static), RunningFlow: quantity.Flow(n.feed)}
	main.RunningPressure = quantity.Pressure(r.static * (1 - min(r.running/12, 0.97)))
	clean := filterClean
	if n.facts.Carbon != "" {
		clean *= 2
	}
	p := plant.Plant{
		Supply: main, Train: train, Restrictor: n.k,
		FeedSide: []plant.Part{{Name: "filters", Resistance: hydraulics.Filter{
			CleanDrop: quantity.PSI(clean), RatedFlow: quantity.Flow(n.feed), ChangeDrop: quantity.PSI(filterChange + clean),
		}}},
	}
	if n.boost > 0 {
		duty := hydraulics.PumpPoint{Flow: quantity.Flow(n.feed), Pressure: quantity.Pressure(n.boost * r.pump)}
		if pump, err := hydraulics.DutyPump(1.25*duty.Pressure, duty); err == nil {
			p.Booster = pump
		}
	}
	return p
}

// surveyed is a plant that is known part by part, with the tap's pressure as a
// rail tells it.
func surveyed(p plant.Plant, r railed) plant.Plant {
	if main, ok := p.Supply.(hydraulics.CityCurve); ok {
		drop := main.Static - main.RunningPressure
		if main.Assumed() {
			drop, main.RunningFlow = quantity.PSI(hydraulics.AssumedDropPSI), quantity.GallonsPerMinute(hydraulics.AssumedFlowGPM)
		}
		main.Static = quantity.Pressure(r.static)
		main.RunningPressure = max(main.Static-drop*quantity.Pressure(r.running), main.Static/30)
		p.Supply = main
	}
	if p.Booster != nil && r.pump != 1 {
		p.Booster = plant.Weakened{Pump: p.Booster, Share: quantity.Ratio(r.pump)}
	}
	return p
}

// watersOf makes a natural water of a strength: shares of hardness and
// alkalinity, calcium twice magnesium and chloride twice sulphate by charge,
// and the same behind the softener.
func watersOf(r railed) (raw, soft water.Water, err error) {
	charge := r.strength / microsiemens / 95 // eq/m³, first guess
	for range 2 {
		raw = naturalWater(r, charge)
		var s water.Solution
		if raw, _, err = water.WithPH(raw, r.pH); err != nil {
			return raw, raw, err
		}
		if s, err = at25(raw); err != nil {
			return raw, raw, err
		}
		charge *= r.strength / float64(s.Conductivity())
	}
	raw.Temperature = quantity.Temperature(r.temperature)
	soft = raw
	if r.hardnessLeft < 1 {
		for _, c := range []water.Component{water.Calcium, water.Magnesium} {
			gone := raw.Total[c] * quantity.MolarConc(1-r.hardnessLeft)
			soft.Total[c] -= gone
			soft.Total[water.Sodium] += 2 * gone
		}
	}
	return raw, soft, nil
}

func naturalWater(r railed, charge float64) water.Water {
	w := water.Water{Temperature: quantity.Temperature(r.temperature)}
	set := func(c water.Component, x float64) { w.Total[c] = quantity.MolarConc(x) }
	set(water.Calcium, charge*r.hard/3)
	set(water.Magnesium, charge*r.hard/6)
	set(water.Sodium, charge*(1-r.hard))
	set(water.Chloride, charge*(1-r.alkaline)*2/3)
	set(water.Sulphate, charge*(1-r.alkaline)/6)
	w.Total[water.Silica] = water.Silica.Molar(quantity.MassConc(r.silica))
	w.Alkalinity = water.ElectroneutralAlkalinity(w)
	return w
}

// gunKey is what the delivery model is asked for.
type gunKey struct {
	aim, pump, line, nozzle float64
	guns                    int
}

type gunPoint struct{ flow, pressure float64 }

// deliver is what one of so many open guns gets.
func (n *nominal) deliver(s *state, guns int) gunPoint {
	key := gunKey{s.aim, s.pump, s.line, s.nozzle, guns}
	if got, ok := n.guns[key]; ok {
		return got
	}
	design := float64(n.facts.Gun.Or(quantity.Flow(usualGun))) // m³/s
	sees := usualGunSees * s.aim                               // Pa
	fluid := hydraulics.Fluid{Density: 998, Viscosity: 1e-3}
	bays := float64(max(n.facts.Bays, 1))
	var got gunPoint
	gun, err1 := hydraulics.CoefficientOf(quantity.Flow(design*s.nozzle), quantity.Pressure(sees), fluid)
	// A line of a good size takes a twentieth of the gun's pressure with all open.
	shared, err2 := hydraulics.CoefficientOf(quantity.Flow(design*bays), quantity.Pressure(sees*0.05*s.line), fluid)
	head := sees * 1.05 * s.pump
	curve, err3 := hydraulics.DutyPump(quantity.Pressure(1.3*head), hydraulics.PumpPoint{Flow: quantity.Flow(design * bays * math.Sqrt(s.pump)), Pressure: quantity.Pressure(head)})
	if err1 == nil && err2 == nil && err3 == nil {
		if point, err := (hydraulics.Delivery{From: curve, Shared: shared, Gun: gun}).With(guns, fluid); err == nil {
			got = gunPoint{float64(point.GunFlow), float64(point.GunPressure)}
		}
	}
	n.guns[key] = got
	return got
}
