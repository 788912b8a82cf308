package faults

import (
	"fmt"
	"math"

	"rinsewright/carbon"
	"rinsewright/hydraulics"
	"rinsewright/membrane"
	"rinsewright/plant"
	"rinsewright/quantity"
	"rinsewright/resin"
	"rinsewright/water"
)

// nominal is the rig that the nameplates tell, and what it is made of.
type nominal struct {
	facts    *Facts
	element  membrane.Element
	housings int
	flow     float64 // m³/s, permeate as rated, cold feed
	feed     float64 // m³/s
	k        hydraulics.FlowCoefficient
	boost    float64 // Pa at feed flow
	carbon   *carbon.Bed
	bed      *resin.Bed
	capacity float64 // eq of anion sites until the endpoint
	holdUp   float64 // m³
	start    state   // before any reading

	rails   map[railed]*ran
	guns    map[gunKey]gunPoint
	pureAt  float64 // S/m of pure water in the air
	oldTank float64 // S/m, of what the tank took in while the rig was sound; 0 when that is what is asked for
}

// Nominal rig. Source: [TradeFaults]: recovery 25 to 50 %, clean filters take
// a few psi; the rest common practice.
const (
	usualRecovery = 0.40
	coldFlow      = 0.75 // of rated flow, at a feed of 15 °C
	clears        = 80.0 // s of flow that take a start to its third: high for 2 to 6 min

	filterClean  = 1.5  // psi, with carbon 3
	filterChange = 10.0 // psi
)

func nominalOf(f *Facts) (*nominal, error) {
	n := &nominal{facts: f, housings: max(f.Housings, 1), rails: map[railed]*ran{}, guns: map[gunKey]gunPoint{}}
	var err error
	if f.Bare {
		n.housings = 0
	} else if f.Plant != nil && len(f.Plant.Train.Housings) > 0 {
		n.element, n.housings = f.Plant.Train.Housings[0].Element, len(f.Plant.Train.Housings)
	} else if n.element, _, err = membrane.FromSheet(f.Sheet); err != nil {
		return nil, fmt.Errorf("faults: membrane of the nameplate: %w", err)
	}
	for range n.housings { // none without a membrane
		n.holdUp += float64(n.element.HoldUp())
	}
	n.size()
	if f.Carbon != "" && f.CarbonBed > 0 {
		bed, err := carbon.NewBed(f.Carbon, f.CarbonBed)
		if err != nil {
			return nil, fmt.Errorf("faults: %w", err)
		}
		n.carbon = &bed
	}
	if f.Lead > 0 && f.ResinPlace != "" {
		bed, err := resin.MixedBed(f.Lead, resin.Regenerated)
		if err != nil {
			return nil, fmt.Errorf("faults: %w", err)
		}
		n.bed = &bed
		anion, _ := bed.OperatingCapacity()
		n.capacity = float64(anion) * float64(f.Lead)
	}
	if open, _, err := water.OpenToAir(water.Water{Temperature: quantity.Celsius(25)}, water.AirCO2); err == nil {
		if s, err := water.Equilibrate(open); err == nil {
			n.pureAt = float64(s.Conductivity())
		}
	}
	n.start = n.before()
	return n, n.settle()
}

// size guesses flows and the booster from the sheet's test: a booster is chosen
// so that elements see about their test pressure.
func (n *nominal) size() {
	f := n.facts
	if f.Bare {
		n.flow = float64(f.Gun.Or(quantity.Flow(usualGun)))
		n.feed = n.flow
		return
	}
	test := float64(f.Sheet.TestPressure)
	sees := usualStatic
	if f.Booster {
		sees = max(test, usualStatic+float64(quantity.PSI(20)))
		n.boost = sees - usualStatic + float64(quantity.PSI(5))
	}
	driven := max(sees-float64(quantity.PSI(8)), float64(quantity.PSI(10))) / max(test-float64(quantity.PSI(5)), float64(quantity.PSI(10)))
	n.flow = float64(f.Sheet.PermeateFlow) * float64(n.housings) * coldFlow * driven
	recovery := float64(f.Recovery.Or(usualRecovery))
	n.feed = n.flow / recovery
	drain := quantity.Flow(n.feed - n.flow)
	fluid := hydraulics.Fluid{Density: 999, Viscosity: 1.1e-3}
	if k, err := hydraulics.CoefficientOf(drain, quantity.Pressure(sees), fluid); err == nil {
		n.k = k
	}
}

// before is the state before any reading.
func (n *nominal) before() state {
	f := n.facts
	s := state{
		rig: railed{
			Wear: plant.Unworn(), static: usualStatic, running: 1, pump: 1,
			back: float64(quantity.PSI(1.5)), temperature: 288.15, strength: 450 * microsiemens,
			hard: 0.58, alkaline: 0.5, pH: 7.6, silica: 12 * milligram, hardnessLeft: 1,
		},
		tap: tapWater{free: 1 * milligram}, carbonUsed: 0.25, carbonFactor: 1, softLeak: 0.02,
		creep: 0.6, washout: max(n.holdUp+0.5e-3, clears*n.flow), starts: 1, slip: 0.004, firstResin: 1 * microsiemens, used: 0.35, silicaOut: 0.03 * milligram,
		tankAir: 0.8 * n.pureAt, tankNew: 0.75, level: 0.75, crossBay: -1, stale: 0.025, film: 10 * microsiemens,
		aim: 1, pump: 1, line: 1, nozzle: 1, wait: usualWait,
	}
	switch f.Source {
	case Well:
		s.rig.pH, s.rig.strength, s.rig.silica, s.tap.free, s.rig.hard = 7.2, 550*microsiemens, 18*milligram, 0, 0.62
		s.tap.iron = 0.05 * milligram
	case ChlorineCity:
		s.tap.combined = 0.1 * milligram
	case ChloramineCity:
		s.tap.free, s.tap.combined = 0.1*milligram, 1.9*milligram
	}
	if f.Softener {
		s.rig.hardnessLeft = s.softLeak
	}
	s.rig.age(f)
	if f.CarbonAge.Known {
		s.carbonUsed = min(0.85, 0.1+0.5*float64(f.CarbonAge.Value)/yearLong)
	}
	if f.Back > 0 {
		s.rig.back = float64(f.Back)
	}
	if f.Plant != nil {
		if main, ok := f.Plant.Supply.(hydraulics.CityCurve); ok {
			s.rig.static = float64(main.Static)
		}
	}
	tank := float64(f.Tank.Or(quantity.Volume(usualTank)))
	s.gap = float64(f.FloatGap.Or(quantity.Volume(0.12 * tank)))
	s.demand = float64(f.PerDay.Or(quantity.Volume(usualPerBay * float64(max(f.Bays, 1)))))
	return s
}

// What a year does to a sound element, of a logarithm. Source: common practice:
// about half of what designs allow.
const (
	waterLost  = 0.03
	saltGained = 0.06
)

// age is what years do to a sound element: a little less water, a little more
// salt.
func (r *railed) age(f *Facts) {
	years := float64(f.ElementAge.Or(quantity.Time(1.2*yearLong))) / yearLong
	r.Membrane.WaterPermeability *= math.Exp(-waterLost * min(years, 4))
	r.Membrane.SaltPermeability *= math.Exp(saltGained * min(years, 4))
}

// settle corrects the restrictor so that the nominal rig has the recovery that
// it was chosen for.
func (n *nominal) settle() error {
	if n.facts.Bare {
		_, err := n.run(n.start.rig)
		return err
	}
	if n.facts.Plant != nil {
		got, err := n.run(n.start.rig)
		if err != nil {
			return fmt.Errorf("faults: the rig as surveyed: %w", err)
		}
		n.flow, n.feed = got.permeate, got.permeate+got.concentrate
		return nil
	}
	want := float64(n.facts.Recovery.Or(usualRecovery))
	for range 4 {
		clear(n.rails)
		got, err := n.run(n.start.rig)
		if err != nil {
			return fmt.Errorf("faults: nominal rig: %w", err)
		}
		drain := got.permeate * (1 - want) / want
		if !(drain > 0 && got.concentrate > 0) {
			break
		}
		n.k *= hydraulics.FlowCoefficient(math.Pow(drain/got.concentrate, 0.9))
		n.flow, n.feed = got.permeate, got.permeate+got.concentrate
	}
	clear(n.rails)
	return nil
}
