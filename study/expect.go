package study

import (
	"fmt"

	"rinsewright/hydraulics"
	"rinsewright/plant"
	"rinsewright/quantity"
	"rinsewright/site"
	"rinsewright/water"
)

// Under is what a prediction of gauges stands under, beyond what the site's
// file says. The zero value is the site as it was surveyed, its parts as new.
type Under struct {
	Temperature quantity.Entry[quantity.Temperature]  // of the feed on that day
	Strength    quantity.Entry[quantity.Conductivity] // of the raw water on that day: the same water, thinner or thicker
	Idle        quantity.Entry[quantity.Time]         // how long it stood before it started; 3 h when nobody counted
	Wear        *plant.Wear                           // what service has done to the plant; nil for none
	CarbonUsed  quantity.Entry[quantity.Ratio]
}

// Expected is what the model says of a site's gauges: the one prediction that
// proving, tracking and fault finding compare readings with.
type Expected struct {
	Assumed []Assumption

	look   *look
	start  *plant.Start // nil without a membrane
	static quantity.Pressure
	from   quantity.Pressure // at the tap, running
	leak   *chlorineLeak
	alone  hydraulics.DeliveryPoint
	all    hydraulics.DeliveryPoint
	bays   int
}

// chlorineLeak is what the carbon lets through.
type chlorineLeak struct{ free, total quantity.MassConc }

// Expect runs the chain of [Check] for one moment. A site that says nothing of
// its demand still has a prediction, without the gauges that need one. The
// error wraps [ErrNoRig] or [ErrNoSample], or is that of the station that cannot
// work.
func Expect(s *site.Site, u Under) (*Expected, error) {
	return expect(s, u, drawn{}, &notes{})
}

func expect(s *site.Site, u Under, d drawn, n *notes) (*Expected, error) {
	if s.Rig.Membrane == nil && len(s.Rig.Resin) == 0 {
		return nil, fmt.Errorf("predict the gauges of %s: %w", s.Name, ErrNoRig)
	}
	e := &Expected{look: &look{}, bays: max(s.Demand.Bays, 1)}
	l := e.look
	for _, step := range []struct {
		name string
		do   func() error
	}{
		{"raw water", func() error { return l.takeWater(s, d, n, change{raw: u.water}) }},
		{"softener", func() error { return l.soften(s, n) }},
		{"demand", func() error { return l.maybeDemand(s, d, n) }},
		{"rig", func() (err error) { l.rig, err = rigOf(s, d, n); return err }},
		{"tank", func() (err error) { l.store, err = storeOf(s, l, n); return err }},
		{"operating point", func() error { return e.settle(u) }},
		{"strengths", func() error { return l.strengths(s) }},
		{"chlorine", func() error { return e.chlorine(s, u, n) }},
		{"delivery", func() error { return e.deliver(s, n) }},
	} {
		if err := step.do(); err != nil {
			return nil, fmt.Errorf("predict the gauges of %s: %s: %w", s.Name, step.name, err)
		}
	}
	e.Assumed = n.assumed
	return e, nil
}

// water is the raw water on the day, as strong and as warm as it was read.
func (u Under) water(w water.Water) (water.Water, error) {
	if u.Temperature.Known {
		w = w.At(u.Temperature.Value)
	}
	if !u.Strength.Known || !(u.Strength.Value > 0) {
		return w, nil
	}
	for range 3 { // conductivity is nearly proportional to strength
		now, err := w.Conductivity25()
		if err != nil || !(now > 0) {
			return w, err
		}
		w = w.Concentrate(float64(u.Strength.Value / now))
	}
	return w, nil
}

func (e *Expected) settle(u Under) (err error) {
	l := e.look
	if u.Wear != nil {
		if l.rig.plant, err = l.rig.plant.Worn(*u.Wear); err != nil {
			return err
		}
	}
	if l.today, err = l.settle(l.feed.Temperature); err != nil {
		return err
	}
	e.static = l.rig.main.Static
	if e.from, err = l.rig.main.Pressure(l.supplied()); err != nil {
		return err
	}
	if len(l.rig.plant.Train.Housings) == 0 {
		return nil
	}
	start, err := l.rig.plant.StartFrom(l.today, plant.Standstill{Idle: u.Idle.Or(usualStandstill)})
	e.start = &start
	return err
}

// supplied is the flow that the tap gives while the rig runs.
func (l *look) supplied() quantity.Flow {
	if l.today.Fresh.Flow > 0 {
		return l.today.Fresh.Flow
	}
	return l.today.Feed.Flow
}

func (e *Expected) chlorine(s *site.Site, u Under, n *notes) error {
	l := e.look
	l.challenge, l.chlorine = challengeOf(s, l.raw, n)
	leak := chlorineLeak{l.challenge.FreeChlorine, l.challenge.FreeChlorine + l.challenge.Chloramine}
	if l.rig.carbon != nil && l.chlorine {
		out, err := l.rig.carbon.Leak(l.challenge, l.supplied(), u.CarbonUsed.Or(l.rig.carbonUsed))
		if err != nil {
			return err
		}
		leak = chlorineLeak{out.FreeChlorine, out.Total()}
	}
	e.leak = &leak
	return nil
}

// deliver finds what one gun gets, and what each gets with every bay's open; a
// supply that does not reach the guns leaves both at zero.
func (e *Expected) deliver(s *site.Site, n *notes) error {
	fluid, err := fluidAt(e.look.raw.Water.Temperature)
	if err != nil {
		return err
	}
	d, _, err := e.look.guns(s, fluid, n)
	if err != nil {
		return nil
	}
	if e.alone, err = d.With(1, fluid); err != nil {
		return nil
	}
	if e.all, err = d.With(e.bays, fluid); err != nil {
		e.all = hydraulics.DeliveryPoint{}
	}
	return nil
}
