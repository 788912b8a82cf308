package plant

import (
	"fmt"

	"rinsewright/hydraulics"
	"rinsewright/membrane"
	"rinsewright/quantity"
)

// Wear is what service has done to a plant since it was hung. It is the one set
// of numbers that prediction, tracking and fault finding share: a forecast moves
// them, a tracker estimates them, a cause is a change of some of them. It says
// nothing of what was hung wrong; that is another plant.
type Wear struct {
	Membrane   membrane.Wear  // of every element of the first pass; its scale sits in the last ones alone
	LeaksAt    int            // housing whose seal leaks, from 1 along each row through the stages; 0 is every one
	Filters    quantity.Ratio // loading that every cartridge on the feed side has gained: 1 takes a new one to its change point
	Restrictor float64        // its flow at a pressure over new, a factor: below 1 scaled shut, above 1 eroded
	Booster    quantity.Ratio // its pressure at a flow, share of new
	Second     membrane.Wear  // of every element of a second pass, where there is one
}

// Unworn returns the wear of a plant as it was hung.
func Unworn() Wear {
	return Wear{Membrane: membrane.New(), Restrictor: 1, Booster: 1, Second: membrane.New()}
}

// Worn returns p with so much wear on top of what its parts already have:
// nothing of p changes. Fouling and oxidation are on every element; scale is on
// the last element of the last stage's rows, where the water is strongest; a
// seal leaks where it is said to.
//
// The error wraps [membrane.ErrRange] unless the membrane's wear is in its range,
// filters gain −3 to 3, the restrictor passes 0.001 to 1000 times, the booster
// has 0.01 to 1.5 of its pressure, and the leaking housing is there.
func (p Plant) Worn(w Wear) (Plant, error) {
	if err := w.check(&p); err != nil {
		return Plant{}, fmt.Errorf("worn plant: %w", err)
	}
	p.FeedSide = loaded(p.FeedSide, w.Filters)
	if w.Restrictor != 1 && p.Restrictor != nil {
		p.Restrictor = Opened{p.Restrictor, w.Restrictor}
	}
	if w.Booster != 1 && p.Booster != nil {
		p.Booster = Weakened{p.Booster, w.Booster}
	}
	last := len(p.Tail)
	p.Train, p.Beside = w.train(p.Train, 0, last == 0), w.stage(p.Beside, 0, last == 0)
	before := len(p.Train.Housings)
	tail := make([]membrane.Stage, 0, last)
	for i, stage := range p.Tail {
		tail = append(tail, w.stage(stage, before, i == last-1))
		if len(stage) > 0 {
			before += len(stage[0].Housings)
		}
	}
	p.Tail = tail
	if p.Second != nil && w.Second != membrane.New() {
		second := *p.Second
		second.Array = nil
		all := Wear{Membrane: w.Second}
		for _, stage := range p.Second.Array {
			second.Array = append(second.Array, all.stage(stage, 0, true))
		}
		p.Second = &second
	}
	return p, nil
}

func (w *Wear) check(p *Plant) error {
	housings := len(p.Train.Housings)
	for _, stage := range p.Tail {
		for _, t := range stage[:min(1, len(stage))] {
			housings += len(t.Housings)
		}
	}
	for _, b := range []struct {
		name     string
		x, lo, h float64
	}{
		{"filters' loading", float64(w.Filters), -3, 3},
		{"restrictor's opening", w.Restrictor, 1e-3, 1e3},
		{"booster's share", float64(w.Booster), 0.01, 1.5},
		{"leaking housing", float64(w.LeaksAt), 0, float64(housings)},
	} {
		if !(b.lo <= b.x && b.x <= b.h) {
			return fmt.Errorf("%s %g not within %g to %g: %w", b.name, b.x, b.lo, b.h, membrane.ErrRange)
		}
	}
	return nil
}

// stage wears the rows of a stage whose first housing has so many before it.
func (w *Wear) stage(s membrane.Stage, before int, last bool) membrane.Stage {
	var out membrane.Stage
	for _, t := range s {
		out = append(out, w.train(t, before, last))
	}
	return out
}

func (w *Wear) train(t membrane.Train, before int, last bool) membrane.Train {
	worn := make([]membrane.Housing, len(t.Housings))
	for i, h := range t.Housings {
		more := w.Membrane
		if !last || i < len(worn)-1 {
			more.ScaledTail = 0
		}
		if w.LeaksAt != 0 && w.LeaksAt != before+i+1 {
			more.Bypass = 0
		}
		h.Wear = h.Wear.With(more)
		worn[i] = h
	}
	t.Housings = worn
	return t
}

// loaded are parts whose cartridges have caught more.
func loaded(parts []Part, by quantity.Ratio) []Part {
	if by == 0 {
		return parts
	}
	out := make([]Part, len(parts))
	for i, part := range parts {
		if f, ok := part.Resistance.(hydraulics.Filter); ok {
			f.Loading = min(max(f.Loading+by, 0), 3)
			part.Resistance = f
		}
		out[i] = part
	}
	return out
}

// Opened is a resistance that passes another flow at each pressure than its
// sheet says: scaled shut below 1, eroded above.
type Opened struct {
	Of    hydraulics.Resistance
	Share float64 // factor of flow
}

// Loss returns what the whole part takes at the flow over the share. Errors are
// the part's.
func (o Opened) Loss(q quantity.Flow, fluid hydraulics.Fluid) (quantity.Pressure, error) {
	return o.Of.Loss(q/quantity.Flow(o.Share), fluid)
}

// Flow returns the part's flow at a drop, times the share. The error wraps
// [ErrIncomplete] for a part that cannot tell; else it is the part's.
func (o Opened) Flow(drop quantity.Pressure, fluid hydraulics.Fluid) (quantity.Flow, error) {
	r, ok := o.Of.(hydraulics.Restrictor)
	if !ok {
		return 0, fmt.Errorf("flow at a drop: %w: the part tells only the drop at a flow", ErrIncomplete)
	}
	q, err := r.Flow(drop, fluid)
	return q * quantity.Flow(o.Share), err
}

// Weakened is a pump that gives a share of its new pressure at every flow.
type Weakened struct {
	Pump  hydraulics.Supply
	Share quantity.Ratio
}

// Pressure returns the share of the pump's. Errors are the pump's.
func (w Weakened) Pressure(q quantity.Flow) (quantity.Pressure, error) {
	p, err := w.Pump.Pressure(q)
	return p * quantity.Pressure(w.Share), err
}
