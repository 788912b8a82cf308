package plant

import (
	"fmt"
	"math"

	"rinsewright/membrane"
	"rinsewright/quantity"
)

// Standstill is how a plant was left before it starts.
type Standstill struct {
	Idle    quantity.Time
	Flushed bool          // the channel was swept at the stop, so that it holds feed instead of concentrate
	Divert  quantity.Time // permeate goes to the drain for so long after the start
}

// Start is what comes out of a plant that stood still.
type Start struct {
	Creep    membrane.Creep
	Flow     quantity.Flow     // of permeate once it runs
	Minutes  []Minute          // one a minute from the start, to steady or to half an hour
	Steady   quantity.Volume   // permeate until its strength is within a tenth of where it ends
	SteadyIn quantity.Time     // how long that takes
	Extra    quantity.Mass     // salt of one start that reaches resin or tank, beyond steady running
	Diverted quantity.Volume   // permeate that a divert sends to the drain
	Worst    quantity.MassConc // that reaches resin or tank
}

// Minute is the permeate's strength so long after the start.
type Minute struct {
	After    quantity.Time
	Strength quantity.MassConc
}

const (
	mostMinutes = 30
	steadyShare = 0.1 // of the steady strength: closer than a pen at low strength
)

// Start returns what the first minutes are like: salt that crept across while
// the plant stood, and how the permeate washes it out,
//
//	c(t) = c_steady + (c_first − c_steady) exp(−Q_p t/V_p)
//
// Source: [membrane.Element.Creep]; the pressure comes up at once. The first
// pass's, when there are two. The error is that of [Plant.Operate] or of the
// creep.
func (p Plant) Start(c Conditions, s Standstill) (Start, error) {
	point, err := p.Operate(c)
	if err != nil {
		return Start{}, err
	}
	return p.StartFrom(point, s)
}

// StartFrom is [Plant.Start] for a plant whose point is known.
func (p Plant) StartFrom(point Point, s Standstill) (Start, error) {
	feed, permeate := point.Feed.Water.DissolvedSolids(), point.Membrane.Permeate.Water.DissolvedSolids()
	stands := (feed + point.Membrane.Concentrate.Water.DissolvedSolids()) / 2
	if s.Flushed {
		stands = feed
	}
	creep, err := p.Train.Creep(s.Idle, stands, min(permeate, stands), point.Feed.Water.Temperature)
	if err != nil {
		return Start{}, fmt.Errorf("start: %w", err)
	}
	out := Start{Creep: creep, Flow: point.Membrane.Permeate.Flow}
	if !(s.Divert >= 0 && s.Divert <= quantity.Hours(24)) {
		return Start{}, fmt.Errorf("start: divert of %g s: %w", float64(s.Divert), membrane.ErrRange)
	}
	out.Diverted = out.Flow.Over(s.Divert)
	left := float64(creep.After(out.Diverted)-creep.Steady) * float64(creep.HoldUp)
	out.Extra, out.Worst = quantity.Mass(left), creep.After(out.Diverted)
	out.Steady = steadyAfter(creep)
	if out.Flow > 0 {
		out.SteadyIn = quantity.Time(float64(out.Steady) / float64(out.Flow))
	}
	for m := 0; m <= mostMinutes; m++ {
		after := quantity.Minutes(float64(m))
		out.Minutes = append(out.Minutes, Minute{after, creep.After(out.Flow.Over(after))})
		if after > out.SteadyIn {
			break
		}
	}
	return out, nil
}

// steadyAfter is the permeate that has to run until the excess is a tenth of
// the steady strength.
func steadyAfter(c membrane.Creep) quantity.Volume {
	excess := float64(c.First-c.Steady) / (steadyShare * float64(c.Steady))
	if !(excess > 1) {
		return 0
	}
	return quantity.Volume(float64(c.HoldUp) * min(math.Log(excess), 50))
}

// PerDay is what the starts of a day bring to the resin, told as the share of
// all the salt that reaches it:
//
//	n m_extra / (n m_extra + Q_day c_steady)
//
// Source: balance. Valid for starts from 0 to 1440 a day and a make of any
// water; nothing made gives 0.
func (s Start) PerDay(starts float64, makes quantity.Volume) quantity.Ratio { // starts is a number
	if !(0 <= starts && starts <= 1440 && makes > 0) {
		return 0
	}
	extra := starts * float64(s.Extra)
	return quantity.Ratio(extra / (extra + float64(makes)*float64(s.Creep.Steady)))
}
