package plant

import (
	"fmt"
	"math"

	"rinsewright/hydraulics"
	"rinsewright/membrane"
	"rinsewright/quantity"
	"rinsewright/water"
)

// Bounds of the search.
const (
	leastFlow    = 1e-9   // m³/s
	mostFlow     = 0.05   // m³/s
	mostPressure = 1.19e7 // Pa, what the element model accepts
	leastSuction = -0.9e5 // Pa gauge: about a vacuum
	plainSuction = -4e5   // Pa: so far below a vacuum that few slices tell
	drainless    = 1e-5   // of the feed that reaches the drain when none does
	nothing      = 1e-5   // of its feed that a membrane makes when it makes nothing
	mostTries    = 20_000 // marches of a membrane before giving up
	startLooks   = 2      // at a plain rig, to begin with
)

// looks are the slices of an element for the first looks.
var looks = [...]int{2, 6}

// state is what a rig's flows and pressures are at some moment of the search.
// SI throughout.
type state struct {
	drain, permeate, recycled float64 // m³/s, of the first pass
	between                   float64 // Pa, at the second pass's feed end
	drain2                    float64 // m³/s, of the second pass
}

func (at *state) feed() float64    { return at.drain + at.permeate + at.recycled }
func (at *state) fresh() float64   { return at.drain + at.permeate }
func (at *state) product() float64 { return at.permeate - at.drain2 }

// pass is one membrane as the search sees it.
type pass struct {
	fine, look *membrane.Ready
	last       membrane.Trial
}

// solver settles flows and pressures while the waters stay the same.
type solver struct {
	plant   *Plant
	at      Conditions
	fluid   hydraulics.Fluid
	lift    float64 // Pa
	scale   float64 // Pa, the standing pressure
	first   pass
	second  pass
	two     bool   // there is a second pass
	looking bool   // with few slices
	err     error  // first error of a part during a search
	tries   int    // marches of a membrane, so far
	system  system // as it was last solved
	slopes  slopes // of the search by nested roots, as they were last
}

func (p *Plant) solver(c Conditions) (*solver, error) {
	if p.Supply == nil || p.Restrictor == nil || len(p.Train.Housings) == 0 {
		return nil, &IncompleteError{Wanted: "a supply, a membrane and a restrictor"}
	}
	if p.Second != nil && (p.Second.Restrictor == nil || len(p.Second.Array) == 0) {
		return nil, &IncompleteError{Wanted: "a membrane and a restrictor in the second pass"}
	}
	if p.Recycle != nil && p.Booster == nil {
		return nil, &RecycleError{}
	}
	density, err := water.Density(c.Feed.Temperature)
	if err != nil {
		return nil, err
	}
	viscosity, err := water.Viscosity(c.Feed.Temperature)
	if err != nil {
		return nil, err
	}
	s := &solver{plant: p, at: c, fluid: hydraulics.Fluid{Density: density, Viscosity: viscosity}, two: p.Second != nil, slopes: usualSlopes}
	lift, err := hydraulics.ElevationLoss(p.Lift, s.fluid)
	s.lift = float64(lift)
	return s, err
}

func (s *solver) keep(err error) {
	if s.err == nil && err != nil {
		s.err = err
	}
}

// loss is a resistance's, in Pa; a missing one takes nothing. On its way a
// search may ask for a flow the other way.
func (s *solver) loss(r hydraulics.Resistance, q float64) float64 {
	if r == nil {
		return 0
	}
	if q < 0 {
		return -s.loss(r, -q)
	}
	loss, err := r.Loss(quantity.Flow(q), s.fluid)
	s.keep(err)
	return float64(loss)
}

func (s *solver) along(parts []Part, q float64) (sum float64) {
	for i := range parts {
		loss, err := parts[i].Resistance.Loss(quantity.Flow(max(q, 0)), s.fluid)
		if err != nil {
			s.keep(fmt.Errorf("%s: %w", parts[i].Name, err))
		}
		sum += float64(loss)
	}
	return sum
}

func (s *solver) gain(pump hydraulics.Supply, q float64) float64 {
	if pump == nil {
		return 0
	}
	p, err := pump.Pressure(quantity.Flow(max(q, 0)))
	s.keep(err)
	return float64(p)
}

// suction is the pressure behind the feed side's parts while fresh water flows.
func (s *solver) suction(fresh float64) float64 {
	return s.gain(s.plant.Supply, fresh) - s.along(s.plant.FeedSide, fresh)
}

// behind is the pressure on the permeate side of the last pass.
func (s *solver) behind(product float64) float64 {
	return max(float64(s.at.TankPressure)+s.lift+s.along(s.plant.PermeateOut, max(product, 0)), 0)
}

// standing checks that the supply can make any permeate at all.
func (s *solver) standing() error {
	static := s.suction(0) + s.gain(s.plant.Booster, 0)
	back := s.behind(0)
	osmotic := float64(s.first.fine.OsmoticPressure())
	if s.two {
		osmotic += float64(s.second.fine.OsmoticPressure())
		static += s.gain(s.plant.Second.Pump, 0)
	}
	s.scale = static
	if s.err != nil {
		return s.err
	}
	if !(static > back+osmotic) {
		return &NoFeedError{quantity.Pressure(static), quantity.Pressure(back), quantity.Pressure(osmotic)}
	}
	return nil
}

// made runs a membrane. Pressures that it does not hold for are told as the
// nearest that it does, and what is missing comes off its concentrate's.
func (s *solver) made(m *pass, q, pressure, back float64) (permeate, concentrate float64) {
	if s.tries++; s.tries > mostTries {
		s.keep(&UnsettledError{After: s.tries})
		return 0, 0
	}
	use := m.fine
	if s.looking {
		use = m.look
	}
	held := within(pressure)
	t, err := use.Try(quantity.Flow(min(max(q, leastFlow), 2*mostFlow)), quantity.Pressure(held), quantity.Pressure(within(back)))
	s.keep(err)
	m.last = t
	permeate = float64(t.Permeate)
	if s.two { // the pass that follows needs a feed
		permeate = max(permeate, 0)
	}
	return permeate, float64(t.Concentrate) + pressure - held
}

func within(pressure float64) float64 { return min(max(pressure, leastSuction), mostPressure) }

// settle finds the state in which all balances hold: with few slices first, all
// balances at once, or by roots within roots where that leads nowhere, which any
// plant with an answer has; then with all slices from there.
func (s *solver) settle(from state) (state, error) {
	if err := s.standing(); err != nil {
		return state{}, err
	}
	if from.drain > 0 && s.together(&from) {
		return from, s.verdict(&from)
	}
	at := state{}
	for i, slices := range looks {
		off := s.look(&at, slices)
		if err := s.plainly(&at, off); i > 0 && err != nil {
			return state{}, err
		}
		for range 2 {
			if s.together(&at) {
				return at, s.verdict(&at)
			}
			s.system.n = 0 // what the look learned leads nowhere
		}
		s.err = nil
	}
	return s.closely(&at)
}

// closely settles with all slices by roots within roots.
func (s *solver) closely(at *state) (state, error) {
	off := 0.0
	for _, n := range []nest{roughNest, fineNest} {
		off = s.nested(at, n)
		if s.err == nil && s.together(at) {
			return *at, s.verdict(at)
		}
		s.system.n = 0
		if err := s.plainly(at, off); err != nil {
			return state{}, err
		}
	}
	if s.err == nil && math.Abs(off) < 1e-4 {
		return *at, s.verdict(at)
	}
	return state{}, &UnsettledError{After: s.tries}
}

// look moves a state, or a first guess where there is none, near the answer with
// few slices, and returns by how much the restrictor then takes too much, over
// the standing pressure; 0 when all balances hold.
func (s *solver) look(at *state, slices int) (off float64) {
	s.cut(slices)
	defer func() { s.looking, s.err = false, nil }()
	if at.drain == 0 {
		*at = s.start()
	}
	s.system.n = 0
	if from := *at; s.together(&from) {
		*at = from
		return 0
	}
	s.err = nil
	off = s.nested(at, roughNest)
	s.err = nil
	s.system.n = 0
	if from := *at; s.together(&from) {
		*at, off = from, 0
	}
	return off
}

// cut makes the looks of a search rough.
func (s *solver) cut(slices int) {
	s.looking = true
	s.first.look = s.first.fine.Coarse(slices)
	if s.two {
		s.second.look = s.second.fine.Coarse(slices)
	}
}

// plainly says what cannot be where a state by few slices already shows it.
func (s *solver) plainly(at *state, off float64) error {
	defer func() { s.err = nil }()
	suction := s.suction(at.fresh())
	switch {
	case s.plant.Booster != nil && suction < plainSuction:
		return &SuctionError{"booster pump", quantity.Pressure(suction), quantity.Flow(at.fresh())}
	case s.two && s.behindFirst(at) < plainSuction:
		return &SuctionError{"pump between the passes", quantity.Pressure(s.behindFirst(at)), quantity.Flow(at.permeate)}
	case off > 1e-3 && at.drain < drainless*at.feed():
		return &NoDrainError{Pressure: quantity.Pressure(-off * s.scale), Recycled: quantity.Flow(at.recycled)}
	}
	return nil
}

// start guesses a state: the feed is half as much again as the restrictor passes
// at nine tenths of the standing pressure, and then what the membrane makes of it
// and the restrictor passes of what is left.
func (s *solver) start() state {
	standing := 0.9 * (s.suction(0) + s.gain(s.plant.Booster, 0))
	q := 1e-4 // m³/s
	if through := s.through(s.plant.Restrictor, standing); through > 0 {
		q = 1.5 * through
	}
	q = min(q, mostFlow)
	at, pressure := state{permeate: q / 2}, 0.0
	for range startLooks {
		pressure = max(s.suction(q)+s.gain(s.plant.Booster, q), 0.3*standing)
		permeate, concentrate := s.made(&s.first, q, pressure, s.behind(at.permeate))
		at.permeate = permeate
		if s.plant.Recycle != nil || s.two {
			break
		}
		if left := permeate + s.through(s.plant.Restrictor, concentrate); left > q/3 && left < 3*q {
			q = left
		}
	}
	at.permeate = min(max(at.permeate, 1e-3*q), 0.9*q)
	at.drain = q - at.permeate
	if s.plant.Recycle != nil {
		at.recycled = 0.3 * at.drain
		at.drain -= at.recycled
	}
	if s.two {
		at.between = max(0.3*pressure+s.gain(s.plant.Second.Pump, at.permeate), 1e5)
		at.drain2 = at.permeate / 2
	}
	s.err = nil
	return at
}

// through is the flow through a resistance at a drop, 0 where it cannot tell.
func (s *solver) through(r hydraulics.Resistance, drop float64) float64 {
	known, ok := r.(hydraulics.Restrictor)
	if !(drop > 0) {
		return 0
	}
	if !ok {
		q, _ := near(func(q float64) float64 { return s.loss(r, q) - drop }, 1e-4, drop/1e-4, span{0, mostFlow, 1e-9})
		return q
	}
	q, err := known.Flow(quantity.Pressure(drop), s.fluid)
	if err != nil {
		return 0
	}
	return min(float64(q), mostFlow)
}

// behindFirst is the back-pressure on the first pass at a state.
func (s *solver) behindFirst(at *state) float64 {
	if !s.two {
		return s.behind(at.product())
	}
	return at.between - s.gain(s.plant.Second.Pump, at.permeate)
}

// verdict says what cannot be at a state in which all balances hold.
func (s *solver) verdict(at *state) error {
	suction := s.suction(at.fresh())
	pressure := suction + s.gain(s.plant.Booster, at.feed())
	back := s.behindFirst(at)
	switch {
	case s.err != nil:
		return s.err
	case !(pressure <= mostPressure && at.between <= mostPressure):
		return &PressureError{Pressure: quantity.Pressure(max(pressure, at.between)), Most: mostPressure}
	case s.plant.Booster != nil && suction < leastSuction:
		return &SuctionError{"booster pump", quantity.Pressure(suction), quantity.Flow(at.fresh())}
	case s.two && back < leastSuction:
		return &SuctionError{"pump between the passes", quantity.Pressure(back), quantity.Flow(at.permeate)}
	case !(at.permeate > nothing*at.feed()):
		return &NoPermeateError{1, quantity.Flow(at.feed()), quantity.Pressure(pressure), quantity.Pressure(back), s.first.fine.OsmoticPressure()}
	case s.first.last.Dry:
		return dry(&s.first)
	case s.two && !(at.product() > nothing*at.permeate):
		return &NoPermeateError{2, quantity.Flow(at.permeate), quantity.Pressure(at.between), quantity.Pressure(s.behind(0)), s.second.fine.OsmoticPressure()}
	case s.two && s.second.last.Dry:
		return dry(&s.second)
	case s.first.last.Uneven || s.two && s.second.last.Uneven:
		return &UnsettledError{After: s.tries, Rows: true}
	}
	return nil
}

func dry(m *pass) error {
	return &membrane.StarvedError{Feed: m.last.DryFeed, Element: m.last.DryElement}
}
