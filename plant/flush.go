package plant

import (
	"fmt"

	"rinsewright/hydraulics"
	"rinsewright/internal/num"
	"rinsewright/quantity"
)

// Flush is a valve beside the restrictor that opens to sweep the channel.
type Flush struct {
	Valve hydraulics.Resistance
	Lasts quantity.Time
}

// SideBySide is two unlike resistances that share a flow so that both take the
// same pressure.
type SideBySide [2]hydraulics.Resistance

// Loss returns the common loss at a flow. Errors are those of the parts.
func (s SideBySide) Loss(q quantity.Flow, fluid hydraulics.Fluid) (quantity.Pressure, error) {
	var failed error
	loss := func(r hydraulics.Resistance, q float64) float64 {
		p, err := r.Loss(quantity.Flow(q), fluid)
		if failed == nil {
			failed = err
		}
		return float64(p)
	}
	off := func(x float64) float64 { return loss(s[0], x) - loss(s[1], float64(q)-x) }
	if !(q > 0) || failed != nil {
		return quantity.Pressure(loss(s[0], 0)), failed
	}
	x, err := num.Root(off, 0, float64(q), 1e-12*float64(q))
	if failed != nil {
		return 0, failed
	}
	if err != nil {
		return 0, fmt.Errorf("side by side: %w", err)
	}
	return quantity.Pressure(loss(s[0], x)), failed
}

// Sweep is what a flush does.
type Sweep struct {
	Flow      quantity.Flow   // through the valve and the restrictor
	Volume    quantity.Volume // of feed water that it takes
	Exchanged quantity.Ratio  // feed side volumes that it pushes through
	Speed     quantity.Ratio  // of concentrate flow over that in service
	Pressure  quantity.Pressure
}

// Sweep returns what one flush does under c. The error wraps [ErrIncomplete]
// without a flush valve; else it is that of [Plant.Operate]: a valve so wide
// that no permeate is made is told by [membrane.ErrNoFlow] there, and here the
// sweep still has its flow.
func (p Plant) Sweep(c Conditions) (Sweep, error) {
	if p.Flush == nil || p.Flush.Valve == nil {
		return Sweep{}, fmt.Errorf("flush: %w: no flush valve", ErrIncomplete)
	}
	service, err := p.Operate(c)
	if err != nil {
		return Sweep{}, fmt.Errorf("flush: %w", err)
	}
	held := p
	held.Controls = Controls{}
	open, err := held.At(c, Moment{Flushing: true, Start: 1, Stop: 1})
	if err != nil {
		return Sweep{}, fmt.Errorf("flush: %w", err)
	}
	hold := 0.0 // m³, of feed channels
	for _, stage := range p.array() {
		for _, t := range stage {
			for i := range t.Housings {
				hold += float64(t.Housings[i].Element.FeedHoldUp()) * float64(max(t.Parallel, 1))
			}
		}
	}
	s := Sweep{Flow: open.Drains, Volume: open.Drains.Over(p.Flush.Lasts), Pressure: open.Point.Feed.Pressure}
	s.Exchanged = quantity.Ratio(float64(s.Volume) / hold)
	s.Speed = quantity.Ratio(float64(open.Drains / service.ToDrain()))
	return s, nil
}
