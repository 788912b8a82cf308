package service

import (
	"math"

	"rinsewright/quantity"
)

// Part is what a change was made to.
type Part string

// The parts whose change a tracker heeds.
const (
	LeadResin   Part = "lead resin"  // lag moves to lead where there is one, a fresh bottle behind it
	FirstBottle Part = "lead bottle" // a fresh bottle in the lead, the lag stays
	LagBottle   Part = "lag bottle"  // a fresh bottle in the lag, the lead stays
	AllResin    Part = "all resin"
	CarbonPart  Part = "carbon"
	Filters     Part = "filters"
	Membrane    Part = "membrane"
	Seals       Part = "seals"
	Restrictor  Part = "restrictor"
	Cleaning    Part = "membrane cleaned"
	Float       Part = "float"
	Booster     Part = "booster"
)

// Change is what was changed at the end of a visit.
type Change struct {
	Part  Part
	Share quantity.Ratio // of the elements, for the membrane; 0 means all
}

// change resets what was changed and leaves everything else as it was.
func (t *tracker) change(c Change) {
	switch c.Part {
	case LeadResin:
		if t.o.Lead != nil {
			t.swap()
		}
	case FirstBottle:
		if t.o.Lead != nil {
			t.freshLead()
		}
	case LagBottle:
		t.freshLag()
	case AllResin:
		if t.o.Lead != nil {
			t.freshLead()
			t.freshLag()
		}
	case CarbonPart:
		if t.o.Carbon != nil {
			t.set(atCarbonTook, -20, 1e-3)
			t.carbonEmpty = true
		}
	case Filters:
		t.set(atFilters, 0, 0.1)
	case Membrane:
		t.newElements(float64(c.Share))
	case Seals:
		t.set(atLeak, math.Log(usualLeak), leakSD/2)
	case Restrictor:
		t.set(atRestrictor, 0, restrictorSD)
	case Cleaning:
		for _, at := range []int{atA, atB, atDrop} {
			t.wander(at, cleaningSD, 1)
		}
	case Float:
		t.wander(atCreep, creepSD, 1)
	case Booster:
		t.set(atBooster, 0, boosterSD)
	}
}

const cleaningSD = 0.10 // of ln, what a cleaning may do to A, B and drop

// newElements replaces a share of the elements.
func (t *tracker) newElements(share float64) {
	if !(share > 0 && share < 1) {
		share = 1
	}
	for _, r := range [...]struct {
		at int
		sd float64
	}{{atA, elementFlowSD}, {atB, elementSaltSD}, {atDrop, dropSD / 2}} {
		left := t.b.of(r.at)
		f := form{}
		f.add(&left, 1-share)
		t.become(r.at, &f, share*share*r.sd*r.sd)
	}
	t.wander(atLeak, leakSD/2, 1)
}
