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
			t.leadChanged = true
			t.swap()
		}
	case FirstBottle:
		if t.o.Lead != nil {
			t.leadChanged = true
			t.freshLead()
		}
	case LagBottle:
		t.freshLag()
	case AllResin:
		if t.o.Lead != nil {
			t.leadChanged = true
			t.freshLead()
			t.freshLag()
		}
	case CarbonPart:
		if t.o.Carbon != nil {
			t.set(atCarbonTook, -20, 1e-3)
			t.carbonEmpty, t.carbonChanged = true, true
		}
	case Filters:
		t.set(atFilters, 0, 0.1)
		t.filtersChanged = true
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

// newElements replaces a share of the elements by new ones of the same kind:
// what the first ones taught of their kind against its nameplate holds for them,
// and what all of them make and pass is the mean.
func (t *tracker) newElements(share float64) {
	if !(share > 0 && share < 1) {
		share = 1
	}
	months := t.o.Age.Days() / monthDays
	for _, r := range [...]struct {
		at, first int
		aged, sd  float64
	}{{atA, atFirstA, fouling * months, elementFlowSD}, {atB, atFirstB, ageing * months, elementSaltSD}} {
		fresh := t.b.of(r.first)
		fresh.at += math.Log(share) - r.aged
		f := fresh
		if share < 1 {
			left := t.b.of(r.at)
			left.at += math.Log(1 - share)
			f = logSum(fresh, left)
		}
		t.become(r.at, &f, share*share*r.sd*r.sd)
	}
	left := t.b.of(atDrop)
	f := form{}
	f.add(&left, 1-share)
	t.become(atDrop, &f, share*share*dropSD*dropSD/4)
	t.wander(atLeak, leakSD/2, 1)
	t.exposed *= 1 - share
}
