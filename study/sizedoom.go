package study

import (
	"context"
	"math"
	"slices"

	"rinsewright/hydraulics"
	"rinsewright/membrane"
	"rinsewright/quantity"
	"rinsewright/sizing"
)

// Before any path is settled, plain arithmetic shows that some parts cannot do:
// whatever they make, they make too little of it or break a limit of the
// membrane by it. Which of the two is not known, and need not be.

// needed is the flow that makes the busiest day's water in a day.
func (z *sizer) needed() float64 { return float64(z.base.demand.BusyDay) / 86400 } // m³/s

// elements is how many a train has; ok is false where unlike rows or a second pass
// hang beside it, of which plain arithmetic says nothing.
func elements(made *rig) (all float64, ok bool) {
	p := &made.plant
	return float64(len(p.Train.Housings) * max(p.Train.Parallel, 1)), len(p.Beside) == 0 && p.Second == nil
}

// recovers is the most that a train recovers of fresh water while no element
// recovers more than its own sheet says:
//
//	Y ≤ 1 − (1 − y)^n
//
// Where concentrate comes back it is what the shelf found.
func (z *sizer) recovers(chosen []int, made *rig) float64 {
	c := z.at(chosen, trainStage)
	if _, ok := elements(made); !ok || c.recycles {
		return c.recovers
	}
	return 1 - math.Pow(1-float64(made.element.Sheet.Limits.Recovery), float64(len(made.plant.Train.Housings)))
}

// judgeTrain holds the area of the elements to the water that is needed. With Q
// made of a needed Q_n, at a design flux J over an area A, the coldest month is
// used by Q_n/Q and flux by Q/(A J) or more: one of them by the root of their
// product.
func (z *sizer) judgeTrain(_ context.Context, chosen []int) (sizing.Verdict, error) {
	made, err := z.trainFor(z.siteOf(chosen), chosen[trainStage])
	if err != nil {
		return sizing.Verdict{Margins: []sizing.Margin{{Constraint: "parts", Used: impossible, Says: err.Error()}}}, nil
	}
	flux, err := membrane.DesignFlux(z.quality)
	if err != nil {
		return sizing.Verdict{}, err
	}
	all, ok := elements(&made)
	if !ok {
		return sizing.Verdict{}, nil
	}
	by := math.Sqrt(z.needed() / (all * float64(made.element.Sheet.Area) * float64(flux)))
	return sizing.Verdict{Doom: doom(by, "coldest month", string(membrane.LimitFlux))}, nil
}

// doom is one of two limits, broken by at least a share that is above 1.
func doom(by float64, among ...string) (d sizing.Doom) {
	if by > certain {
		d = sizing.Doom{Among: among, By: min(by, impossible)}
	}
	return d
}

// certain leaves room for how closely a path is settled.
const certain = 1.0001

// judgeBooster holds the most that elements could ever make of the pressure
// there is against the busiest day: what is far too small needs no closer look.
//
//	Q < A S (p_tap + p_pump − p_back − π), nothing lost on the way
//
// The tap's pressure is that at the least feed of any system; at that of this
// train one limit is sure to break, if not this one then the elements' recovery.
func (z *sizer) judgeBooster(_ context.Context, chosen []int) (sizing.Verdict, error) {
	outlet := z.at(chosen, outletStage)
	key := enoughKey{outlet.pressurised, outlet.standing, chosen[trainStage], chosen[boosterStage]}
	v := verdict{Verdict: *z.enough.of(key, func() *sizing.Verdict { return z.enoughOf(chosen) }), z: z}
	v.Margins = slices.Clip(v.Margins)
	v.circuit(chosen)
	if v.broken() == 0 && len(v.Doom.Among) == 0 {
		v.sound(chosen)
	}
	return v.Verdict, nil
}

// enoughKey is what decides how much elements could make at most.
type enoughKey struct {
	pressurised, standing bool
	train, booster        int
}

func (z *sizer) enoughOf(chosen []int) *sizing.Verdict {
	v := verdict{z: z}
	need := quantity.Flow(z.needed())
	most, err := z.mostMade(chosen, z.leastFeed())
	switch {
	case err != nil:
		v.add("supply", impossible, "%v", err)
	case most < need:
		v.capacityOf(max(most, need/impossible))
	default:
		made, err := z.trainFor(z.siteOf(chosen), chosen[trainStage])
		if err != nil {
			break
		}
		if most, err = z.mostMade(chosen, need/quantity.Flow(z.recovers(chosen, &made))); err == nil && most < need {
			v.Doom = doom(1.001, "coldest month", string(membrane.LimitRecovery))
			v.Doom.By = 1
		}
	}
	return &v.Verdict
}

// mostMade is the most that the elements could make of the pressure that the
// supply has at a feed flow.
func (z *sizer) mostMade(chosen []int, feed quantity.Flow) (quantity.Flow, error) {
	s := z.siteOf(chosen)
	supply, err := supplyOf(s, drawn{}, &notes{})
	if err != nil {
		return 0, err
	}
	static, err := supply.Pressure(0)
	if err != nil {
		return 0, err
	}
	train, err := z.trainFor(s, chosen[trainStage])
	if err != nil {
		return 0, err
	}
	count, ok := elements(&train)
	if !ok {
		return quantity.Flow(math.Inf(1)), nil
	}
	sheet := train.element.Sheet
	energy := sheet.WaterEnergies.Below
	if z.cold > 298.15 {
		energy = sheet.WaterEnergies.Above
	}
	cold := math.Exp(float64(energy) * (1/298.15 - 1/float64(z.cold)))
	passes := count * float64(train.element.WaterPermeability) * cold * float64(sheet.Area) // m³/(s·Pa)
	back, err := z.backOf(z.at(chosen, outletStage), s)
	if err != nil {
		return 0, err
	}
	at, err := supply.Pressure(feed)
	if err != nil {
		at = static
	}
	return quantity.Flow(passes * max(float64(at-back-z.osmotic), 0)), nil
}

// tooTight says that a restrictor passes so little, even at the most pressure
// there can be, that elements which make enough recover more than they may:
//
//	Q_c(p_static) < Q_n (1/Y − 1)
func (z *sizer) tooTight(chosen []int) sizing.Doom {
	key := tightKey{chosen[trainStage], chosen[boosterStage], chosen[restrictorStage]}
	return *z.tight.of(key, func() *sizing.Doom {
		d := z.tightOf(chosen)
		return &d
	})
}

// tightKey is what decides whether a restrictor passes too little.
type tightKey struct{ train, booster, restrictor int }

func (z *sizer) tightOf(chosen []int) (d sizing.Doom) {
	s := z.siteOf(chosen)
	supply, err := supplyOf(s, drawn{}, &notes{})
	if err != nil {
		return d
	}
	made, err := z.rigFor(s, chosen[trainStage])
	r, ok := made.plant.Restrictor.(hydraulics.Restrictor)
	if err != nil || !ok {
		return d
	}
	static, err := supply.Pressure(0)
	if err != nil {
		return d
	}
	through, err := r.Flow(static, hydraulics.Fluid{Density: 1000, Viscosity: 1e-3})
	if err != nil || !(through > 0) {
		return d
	}
	by := z.needed() * (1/z.recovers(chosen, &made) - 1) / float64(through)
	if d = doom(by/1.01, "coldest month", string(membrane.LimitRecovery)); by > 1 {
		d.By = 1 // shares of a flow and of a recovery are no product
	}
	return d
}
