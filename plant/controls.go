package plant

import (
	"errors"
	"fmt"

	"rinsewright/hydraulics"
	"rinsewright/membrane"
	"rinsewright/quantity"
)

// Works is how a control is: not there, sound, or stuck one way.
type Works uint8

// The ways. A control that is not there leaves its circuit or its pipe closed:
// what it would stop goes on.
const (
	Absent Works = iota
	Sound
	StuckOn  // closed contact or open valve: what it would stop goes on
	StuckOff // open contact or shut valve: what it would start never does
)

// on says whether a control lets run what it should let run now.
func (w Works) on(wanted bool) bool { return w != StuckOff && (wanted || w != Sound) }

// Controls are what starts and stops a plant.
type Controls struct {
	Float      Works // on the tank: calls for water from its start until its stop
	FloatStops Acts  // what it acts on
	InletValve Works // solenoid on the feed, where the float has one
	ShutOff    Works // auto shut-off valve: shuts the feed when the permeate is held back
	ShutAt     quantity.Ratio

	LowPressure Works // cut-out at the booster's suction
	TripsAt     quantity.Pressure
	ResetsAt    quantity.Pressure

	LowLevel   Works // cut-off of the delivery pump at the tank's foot
	VendTimer  Works // lets the delivery pump or valve run for what was paid
	FlushValve Works // opens at a flush, shut in service
}

// Acts is what a float stops.
type Acts uint8

// The two ways floats are wired.
const (
	OnInletValve Acts = iota
	OnBooster         // its relay; the tap goes on pushing water through unless a valve shuts it
)

// ShutAtUsual is the share of the feed's pressure at which an auto shut-off
// valve shuts when nothing else is known. Common practice, no source.
const ShutAtUsual quantity.Ratio = 2.0 / 3

// Moment is what the controls see.
type Moment struct {
	Level       quantity.Ratio // of the tank, 0 empty, 1 at the overflow
	Start, Stop quantity.Ratio // levels of the float
	LowCut      quantity.Ratio // level of the low-level cut-off
	Calling     bool           // the float called before and has not reached its stop
	Paid        bool           // a vend is running
	Trigger     bool           // a gun is open
	Flushing    bool
	Held        bool // the permeate line is shut: a float valve at its stop, or a pressurised tank that is full
}

// Doing is what a plant does at a moment, and why.
type Doing struct {
	Calls      bool  // the float asks for water
	Runs       bool  // water goes into the membrane
	Boosted    bool  // with the booster on
	Chatters   bool  // the low-pressure cut-out starts and stops it every few seconds
	Point      Point // where it settles; its Membrane is zero when no permeate is made
	Makes      quantity.Flow
	Drains     quantity.Flow
	Overflows  bool // makes water into a full tank
	Delivers   bool // the delivery pump runs
	DryPump    bool // it runs without water
	Unpaid     bool // water runs out of a gun or a valve that nobody paid for
	Because    []string
	NoPermeate error // why none is made although water runs
}

func (d *Doing) say(format string, args ...any) {
	d.Because = append(d.Because, fmt.Sprintf(format, args...))
}

// At returns what the plant does at a moment: every control, there or not,
// sound or stuck, in the order in which they act. A plant that cannot make
// permeate while water runs has that as its answer, with its flow to the drain.
// The error is that of [Plant.Operate] for anything else.
func (p Plant) At(c Conditions, m Moment) (Doing, error) {
	var d Doing
	p.deliver(&d, m)
	d.Calls = p.Controls.Float.on(m.Level < m.Start || m.Calling && m.Level < m.Stop)
	if !d.Calls {
		d.say("the float does not call")
	} else if m.Level >= m.Stop {
		d.say("nothing stops the membrane at a full tank")
	}
	if !p.open(&d, m) {
		return d, nil
	}
	running := p.wired(&d, m)
	point, err := running.Operate(c)
	if err == nil && d.Boosted {
		running, point, err = running.cutOut(c, &d, point)
	}
	if err := running.settle(&d, c, point, err); err != nil {
		return d, fmt.Errorf("what the plant does: %w", err)
	}
	d.Overflows = d.Makes > 0 && m.Level >= 1
	return d, nil
}

// Delivers returns what the tank's other side does at a moment: delivery pump,
// low-level cut-off and vend timer. [Plant.At] tells it too.
func (p Plant) Delivers(m Moment) Doing {
	var d Doing
	p.deliver(&d, m)
	return d
}

// deliver is the tank's other side: pump, cut-off and vend timer.
func (p *Plant) deliver(d *Doing, m Moment) {
	k := p.Controls
	paid := k.VendTimer.on(m.Paid)
	level := k.LowLevel.on(m.Level > m.LowCut)
	d.Delivers = paid && level && (m.Trigger || k.VendTimer == StuckOn)
	d.DryPump = d.Delivers && m.Level <= 0
	d.Unpaid = d.Delivers && !m.Paid
	switch {
	case m.Paid && !paid:
		d.say("the vend timer's relay does not close: paid, and no water")
	case m.Trigger && paid && !level && m.Level > m.LowCut:
		d.say("the low-level cut-off is stuck: water in the tank, and no pump")
	case d.DryPump:
		d.say("nothing stops the pump at an empty tank: it ruins its seal")
	}
}

// open tells whether water gets into the membrane at all.
func (p *Plant) open(d *Doing, m Moment) bool {
	k := p.Controls
	valve := true
	if k.InletValve != Absent {
		wanted := d.Calls || k.FloatStops != OnInletValve
		valve = k.InletValve.on(wanted)
		if !valve && wanted {
			d.say("the inlet valve does not open")
		} else if valve && !wanted {
			d.say("the inlet valve does not shut: water goes on to the drain")
		}
	}
	if k.ShutOff == StuckOff || k.ShutOff == Sound && m.Held {
		valve = false
		d.say("the auto shut-off valve is shut")
	}
	if !d.Calls && k.InletValve == Absent && k.FloatStops == OnInletValve && k.Float == Sound {
		valve = false // a float valve on the feed itself
	}
	d.Runs = valve
	return valve
}

// wired is the plant with booster, flush valve and permeate line as they are
// at the moment.
func (p Plant) wired(d *Doing, m Moment) Plant {
	k := p.Controls
	d.Boosted = p.Booster != nil && k.LowPressure != StuckOff && (d.Calls || k.FloatStops != OnBooster)
	if p.Booster != nil && !d.Boosted {
		d.say("the booster is off; the tap's own pressure pushes water through")
	}
	if !d.Boosted {
		p.Booster, p.Recycle = nil, nil
	}
	if p.Flush != nil && p.Flush.Valve != nil && (k.FlushValve == StuckOn || m.Flushing && k.FlushValve != StuckOff) {
		if m.Flushing {
			d.say("the flush valve is open: the channel is swept")
		} else {
			d.say("the flush valve does not shut: the concentrate runs off almost unheld")
		}
		p.Restrictor = SideBySide{p.Restrictor, p.Flush.Valve}
	}
	if m.Held {
		p.PermeateOut = append(append([]Part{}, p.PermeateOut...), Part{"shut permeate line", shut{}})
	}
	return p
}

// cutOut is the low-pressure cut-out against the pressure that it sees.
func (p Plant) cutOut(c Conditions, d *Doing, point Point) (Plant, Point, error) {
	k := p.Controls
	if point.Suction >= k.TripsAt || k.TripsAt == 0 {
		return p, point, nil
	}
	if k.LowPressure != Sound {
		d.say("the booster's suction is at %.2f bar and nothing stops it", point.Suction.Bar())
		return p, point, nil
	}
	p.Booster, p.Recycle = nil, nil
	d.Boosted = false
	point, err := p.Operate(c)
	if err == nil && point.Suction > k.ResetsAt {
		d.Chatters = true
		d.say("the low-pressure cut-out starts and stops the booster every few seconds")
	} else {
		d.say("the low-pressure cut-out keeps the booster off")
	}
	return p, point, err
}

// settle puts a point, or the reason for none, into what the plant does.
func (p Plant) settle(d *Doing, c Conditions, point Point, err error) error {
	switch {
	case err == nil:
		d.Point, d.Makes, d.Drains = point, point.Product().Flow, point.ToDrain()
		return nil
	case errors.Is(err, membrane.ErrNoFlow), errors.Is(err, ErrSuction), errors.Is(err, membrane.ErrStarved):
		d.NoPermeate = err
		d.say("no permeate")
	default:
		return err
	}
	s, err := p.solver(c)
	if err != nil {
		return err
	}
	through := hydraulics.Series{}
	for _, part := range p.FeedSide {
		through = append(through, part.Resistance)
	}
	var from hydraulics.Supply = p.Supply
	if p.Booster != nil {
		from = hydraulics.Boosted{From: p.Supply, Pump: p.Booster}
	}
	// What runs to the drain when none is made; the channel's own drop is left out.
	d.Drains, err = hydraulics.FlowThrough(from, append(through, p.Restrictor), 0, s.fluid)
	if errors.Is(err, hydraulics.ErrNoFlow) {
		err = nil
	}
	return err
}

// shut is a permeate line that lets nothing through: any flow takes more than
// any rig has.
type shut struct{}

func (shut) Loss(q quantity.Flow, _ hydraulics.Fluid) (quantity.Pressure, error) {
	return quantity.Bar(100) + quantity.Pressure(float64(q)*1e15), nil
}
