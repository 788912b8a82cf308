package plant

import (
	"errors"
	"fmt"
	"math"

	"rinsewright/hydraulics"
	"rinsewright/internal/num"
	"rinsewright/membrane"
	"rinsewright/quantity"
	"rinsewright/water"
)

// Bounds of the search and how closely the balances are met: a thousand times
// finer than any gauge shows.
const (
	leastFlow     = 1e-9  // m³/s
	mostFlow      = 0.05  // m³/s
	flowTolerance = 2e-11 // m³/s, about a millilitre in a day
	relativeFlow  = 1e-7
	mostPressure  = 1.19e7 // Pa, what the element model accepts
	leastSuction  = -0.9e5 // Pa gauge: about a vacuum
	farOff        = 1e7    // Pa, a residual that only has a sign
	mostTries     = 4_000  // marches of a membrane before giving up
)

// state is what a rig's flows and pressures are at some moment of the search.
// SI throughout.
type state struct {
	feed, permeate, recycled float64 // m³/s
	between                  float64 // Pa, at the second pass's feed end
	product                  float64 // m³/s, of the last pass
}

// solver settles flows and pressures while the waters stay the same.
type solver struct {
	plant  *Plant
	at     Conditions
	fluid  hydraulics.Fluid
	lift   float64 // Pa
	scale  float64 // Pa, the standing pressure
	first  *membrane.Ready
	second *membrane.Ready
	err    error   // first error of a part during a search
	tries  int     // marches of a membrane, so far
	drop   float64 // Pa, of the membrane in the last look of the rough search

	guess float64 // permeate of the last trial by bracket, m³/s: the next one is near
	slope float64 // of what the first pass makes less what was tried, by what was tried
	inner float64 // the same for the second pass's product
}

func (p *Plant) solver(c Conditions) (*solver, error) {
	if p.Supply == nil || p.Restrictor == nil || len(p.Train.Housings) == 0 {
		return nil, fmt.Errorf("%w: wanted a supply, a membrane and a restrictor", ErrIncomplete)
	}
	if p.Second != nil && (p.Second.Restrictor == nil || len(p.Second.Array) == 0) {
		return nil, fmt.Errorf("%w: wanted a membrane and a restrictor in the second pass", ErrIncomplete)
	}
	if p.Recycle != nil && p.Booster == nil {
		return nil, fmt.Errorf("%w; wanted a booster pump ahead of the membrane", ErrRecycle)
	}
	density, err := water.Density(c.Feed.Temperature)
	if err != nil {
		return nil, err
	}
	viscosity, err := water.Viscosity(c.Feed.Temperature)
	if err != nil {
		return nil, err
	}
	s := &solver{plant: p, at: c, fluid: hydraulics.Fluid{Density: density, Viscosity: viscosity}, slope: -1.1, inner: -1.1}
	lift, err := hydraulics.ElevationLoss(p.Lift, s.fluid)
	s.lift = float64(lift)
	return s, err
}

func (s *solver) keep(err error) {
	if s.err == nil && err != nil {
		s.err = err
	}
}

// loss is a resistance's, in Pa; a missing one takes nothing.
func (s *solver) loss(r hydraulics.Resistance, q float64) float64 {
	if r == nil {
		return 0
	}
	loss, err := r.Loss(quantity.Flow(q), s.fluid)
	s.keep(err)
	return float64(loss)
}

func (s *solver) along(parts []Part, q float64) (sum float64) {
	for i := range parts {
		loss, err := parts[i].Resistance.Loss(quantity.Flow(q), s.fluid)
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
	p, err := pump.Pressure(quantity.Flow(q))
	s.keep(err)
	return float64(p)
}

// suction is the pressure behind the feed side's parts while fresh water flows.
func (s *solver) suction(fresh float64) float64 {
	return s.gain(s.plant.Supply, fresh) - s.along(s.plant.FeedSide, fresh)
}

// behind is the pressure on the permeate side of the last pass.
func (s *solver) behind(product float64) float64 {
	return max(float64(s.at.TankPressure)+s.lift+s.along(s.plant.PermeateOut, product), 0)
}

// standing checks that the supply can make any permeate at all.
func (s *solver) standing() error {
	static := s.suction(0) + s.gain(s.plant.Booster, 0)
	back := s.behind(0)
	osmotic := float64(s.first.OsmoticPressure())
	if s.second != nil {
		osmotic += float64(s.second.OsmoticPressure())
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

// made runs a membrane; dry says that it would take all of its feed.
func (s *solver) made(m *membrane.Ready, q, pressure, back float64) (permeate, concentrate float64, dry bool) {
	s.tries += 1 + 2*len(s.plant.Beside) // unlike rows march several times
	if s.tries > mostTries {
		s.keep(fmt.Errorf("%w after %d trials", ErrUnsettled, mostTries))
		return 0, 0, false
	}
	qp, pc, err := m.Flows(quantity.Flow(q), quantity.Pressure(pressure), quantity.Pressure(back))
	if errors.Is(err, membrane.ErrStarved) {
		return q, 0, true
	}
	s.keep(err)
	return float64(qp), float64(pc), false
}

// settle finds the state in which all balances hold: first all at once from a
// guess, or from the state before, and where that leads nowhere by brackets
// within brackets, which any plant with an answer has.
func (s *solver) settle(from state) (state, error) {
	if err := s.standing(); err != nil {
		return state{}, err
	}
	if from.feed == 0 {
		from = s.start()
	}
	if found, ok := s.together(from); ok {
		return found, nil
	}
	if s.err = nil; s.roughly(&from) {
		for _, more := range []float64{1, 1.05, 1.2, 1.5} { // with more feed, or less pressure, a membrane that ran dry does not
			at := from
			at.feed *= more
			at.between /= more
			at.product = min(at.product, at.permeate*(1.95-more)/1.05)
			if s.second == nil {
				at.product = at.permeate
			}
			found, ok := s.together(at)
			if ok {
				return found, nil
			}
			if err := s.plainly(&found); errors.Is(err, membrane.ErrStarved) {
				return state{}, err
			}
			s.err = nil
		}
	}
	if err := s.plainly(&from); err != nil {
		return state{}, err
	}
	s.err = nil
	return s.bracketed()
}

// start guesses a state: the restrictor sees nine tenths of the pressure at
// half of the feed it would pass alone, and half of that becomes permeate.
func (s *solver) start() state {
	standing := quantity.Pressure(0.9 * (s.suction(0) + s.gain(s.plant.Booster, 0)))
	q := 1e-4 // m³/s
	if r, ok := s.plant.Restrictor.(hydraulics.Restrictor); ok {
		if through, err := r.Flow(standing, s.fluid); err == nil && through > 0 {
			q = 1.5 * float64(through)
		}
	}
	at := state{feed: q}
	for range 3 {
		p := max(s.suction(at.feed)+s.gain(s.plant.Booster, at.feed), 0.3*float64(standing))
		permeate, _, dry := s.made(s.first, at.feed, p, s.behind(0))
		if !dry {
			at.permeate = permeate
			break
		}
		at.feed *= 3
	}
	at.permeate = min(max(at.permeate, 1e-3*at.feed), 0.9*at.feed)
	if s.plant.Recycle != nil {
		at.recycled = 0.3 * (at.feed - at.permeate)
	}
	at.product = at.permeate
	if s.second != nil {
		pressure := max(s.suction(at.feed)+s.gain(s.plant.Booster, at.feed), 0.3*float64(standing))
		at.product = 0
		s.roughPermeate(&at, min(pressure, mostPressure))
		at.product = min(max(at.product, 1e-3*at.permeate), 0.9*at.permeate)
	}
	s.err = nil
	return at
}

// together solves all balances at once:
//
//	Q_p = array(Q_f, P_m, P_p)    P_c = restrictor(Q_f − Q_p − Q_r)    P_c − P_s = recycle(Q_r)
//
// and the first two again for the second pass, whose feed is Q_p.
func (s *solver) together(from state) (state, bool) {
	x := vector{from.feed, from.permeate}
	sys := system{n: 2}
	two, back := -1, -1 // where the unknowns of second pass and recycle stand
	if s.second != nil {
		two = sys.n
		x[two], x[two+1] = from.product, from.between
		sys.n += 2
	}
	if s.plant.Recycle != nil && from.recycled > 2*roughShare*from.feed {
		back = sys.n
		x[back] = from.recycled
		sys.n++
	}
	for i := range sys.n {
		sys.scale[i], sys.high[i] = max(math.Abs(x[i]), leastFlow), mostFlow
	}
	if two >= 0 {
		sys.low[two+1], sys.high[two+1] = leastSuction, mostPressure
	}
	unpack := func(x *vector) (at state) {
		at.feed, at.permeate, at.product = x[0], x[1], x[1]
		if two >= 0 {
			at.product, at.between = x[two], x[two+1]
		}
		if back >= 0 {
			at.recycled = x[back]
		}
		return at
	}
	sys.at = func(x *vector) (r vector, ok bool) { return s.residuals(unpack(x), two, back) }
	ok := sys.solve(&x) && s.err == nil
	at := unpack(&x)
	if ok && back < 0 && s.plant.Recycle != nil && !s.shut(at) {
		at.recycled = 0.1 * (at.feed - at.permeate)
		return s.together(at)
	}
	return at, ok
}

// shut tells whether a recycle that was taken for shut has nothing to open it.
func (s *solver) shut(at state) bool {
	suction := s.suction(at.feed)
	behind := s.behind(at.product)
	if s.second != nil {
		behind = at.between - s.gain(s.plant.Second.Pump, at.permeate)
	}
	_, concentrate, _ := s.made(s.first, at.feed, suction+s.gain(s.plant.Booster, at.feed), max(behind, leastSuction))
	return concentrate-suction <= s.loss(s.plant.Recycle, 0) && s.err == nil
}

// residuals are how far the balances are from holding at a state.
func (s *solver) residuals(at state, two, back int) (r vector, ok bool) {
	drain := at.feed - at.permeate - at.recycled
	if !(drain > 0 && at.feed > at.recycled && (two < 0 || at.product < at.permeate)) {
		return r, false
	}
	suction := s.suction(at.feed - at.recycled)
	pressure := suction + s.gain(s.plant.Booster, at.feed)
	behind := s.behind(at.product)
	behindFirst := behind
	if two >= 0 {
		behindFirst = at.between - s.gain(s.plant.Second.Pump, at.permeate)
	}
	short := min(pressure-leastSuction, 0) // below this only the balance is told, not the membrane
	if s.err != nil || !(pressure < mostPressure && behindFirst < mostPressure && behind < mostPressure) {
		return r, false
	}
	permeate, concentrate, dry := s.made(s.first, at.feed, pressure-short, max(behindFirst, leastSuction))
	if dry {
		return r, false
	}
	r[0] = (permeate - at.permeate) / at.feed
	r[1] = (s.loss(s.plant.Restrictor, drain) - concentrate - short) / s.scale
	if two >= 0 {
		product, left, dry := s.made(s.second, at.permeate, at.between, behind)
		if dry {
			return r, false
		}
		r[two] = (product - at.product) / at.permeate
		r[two+1] = (s.loss(s.plant.Second.Restrictor, at.permeate-at.product) - left) / s.scale
	}
	if back >= 0 {
		r[back] = (s.loss(s.plant.Recycle, at.recycled) - (concentrate - suction)) / s.scale
	}
	return r, s.err == nil
}

// bracketed finds the state by roots within roots: the feed at which the
// restrictor takes what the concentrate has; for each feed the recycled flow;
// for each of those the permeate; for each permeate the second pass.
func (s *solver) bracketed() (state, error) {
	high, err := s.runOut()
	if err != nil {
		return state{}, err
	}
	var at state
	off := func(q float64) float64 {
		if s.err != nil {
			return math.NaN()
		}
		var miss float64
		at, miss = s.atFeed(q)
		return miss
	}
	q, err := num.Root(off, leastFlow, high, flowTolerance)
	if s.err != nil {
		return state{}, s.err
	}
	if err != nil { // even all that the supply gives, the membrane would take
		return state{}, s.starved(high)
	}
	miss := off(q)
	if s.err != nil {
		return state{}, s.err
	}
	if !(math.Abs(miss) < 0.01*farOff) { // the root is a jump into dryness
		if miss = off(q * (1 + 1e-6)); s.err != nil || !(math.Abs(miss) < 0.01*farOff) {
			return state{}, s.starved(q)
		}
	}
	return at, nil
}

func (s *solver) starved(q float64) error {
	if s.err != nil {
		return s.err
	}
	return &membrane.StarvedError{Feed: quantity.Flow(q)}
}

// runOut returns a feed flow that uses up all pressure ahead of the membrane.
func (s *solver) runOut() (float64, error) {
	head := func(q float64) float64 {
		fresh := q
		if s.plant.Recycle != nil {
			fresh = 0 // all of it might come back
		}
		return s.suction(fresh) + s.gain(s.plant.Booster, q)
	}
	high := 1e-5
	for high < mostFlow && head(high) > 0 && s.err == nil {
		high *= 2
	}
	if s.err != nil {
		return 0, s.err
	}
	if !(head(high) <= 0) {
		return high, nil // a supply without limit: the restrictor decides below
	}
	root, err := num.Root(head, leastFlow, high, flowTolerance)
	if err != nil {
		return 0, fmt.Errorf("find the flow that the supply runs out at: %w", err)
	}
	return root, s.err
}

// atFeed returns the state at a feed flow and what the restrictor takes there
// less what the concentrate has, in Pa: negative while more feed would come.
func (s *solver) atFeed(q float64) (state, float64) {
	if s.plant.Recycle == nil {
		at, concentrate, _ := s.atRecycle(q, 0)
		return at, s.miss(&at, concentrate)
	}
	var at state
	var concentrate float64
	off := func(r float64) float64 {
		var suction float64
		at, concentrate, suction = s.atRecycle(q, r)
		if at.permeate >= q {
			return -farOff // dry: bring more back
		}
		return s.loss(s.plant.Recycle, r) - (concentrate - suction)
	}
	if off(0) >= 0 || s.err != nil {
		return at, s.miss(&at, concentrate)
	}
	top := q * (1 - 1e-6)
	if off(top) <= 0 {
		return at, s.miss(&at, concentrate)
	}
	if _, err := num.Root(off, 0, top, flowTolerance); err != nil {
		s.keep(err)
	}
	return at, s.miss(&at, concentrate)
}

func (s *solver) miss(at *state, concentrate float64) float64 {
	drain := at.feed - at.permeate - at.recycled
	switch {
	case s.err != nil:
		return math.NaN()
	case at.permeate >= at.feed*(1-1e-9):
		return -farOff // the membrane would take all: more feed comes
	case math.IsInf(concentrate, -1):
		return farOff // the supply cannot give so much
	case drain <= 0:
		return -farOff
	}
	return s.loss(s.plant.Restrictor, drain) - concentrate
}

// atRecycle returns the state at a feed flow of which so much is recycled, with
// the pressures of concentrate and suction. No pressure left ahead of the
// membrane is told as a concentrate of minus infinity.
func (s *solver) atRecycle(q, recycled float64) (at state, concentrate, suction float64) {
	at = state{feed: q, recycled: recycled}
	suction = s.suction(q - recycled)
	pressure := suction + s.gain(s.plant.Booster, q)
	if s.err != nil || !(pressure > 0) {
		return at, math.Inf(-1), suction
	}
	if pressure > mostPressure {
		s.keep(fmt.Errorf("pressure ahead of the membrane %.0f bar: %w", pressure/1e5, membrane.ErrRange))
		return at, 0, suction
	}
	off := func(qp float64) float64 {
		back, product, between := s.backOf(qp)
		made, pc, dry := s.made(s.first, q, pressure, min(max(back, leastSuction), mostPressure))
		if dry {
			return q
		}
		at.product, at.between, concentrate = product, between, pc
		return made - qp
	}
	at.permeate = s.agree(off, q, &s.guess, &s.slope)
	return at, concentrate, suction
}

// backOf returns the back-pressure on the first pass at its permeate flow, with
// the product and the pressure ahead of the second pass where there is one.
func (s *solver) backOf(permeate float64) (back, product, between float64) {
	if s.second == nil {
		return s.behind(permeate), permeate, 0
	}
	if permeate < leastFlow {
		low := s.behind(0)
		return low - s.gain(s.plant.Second.Pump, permeate), permeate, low
	}
	off := func(p float64) float64 {
		last := 0.0
		var left float64
		excess := func(out float64) float64 {
			made, pc, dry := s.made(s.second, permeate, p, min(s.behind(out), mostPressure))
			if dry {
				return permeate
			}
			left = pc
			return made - out
		}
		product = s.agree(excess, permeate, &last, &s.inner)
		if product >= permeate*(1-1e-9) {
			return -farOff
		}
		return s.loss(s.plant.Second.Restrictor, permeate-product) - left
	}
	low, high := 0.0, mostPressure
	if off(low) <= 0 {
		between = low
	} else if off(high) >= 0 {
		between = high
	} else {
		root, err := num.Root(off, low, high, 1)
		s.keep(err)
		between = root
		off(between)
	}
	return between - s.gain(s.plant.Second.Pump, permeate), product, between
}

// agree finds the permeate flow that makes the back-pressure under which a
// membrane makes that flow. Newton's step from the last answer, with a slope
// that the trials improve, almost always does; the bracket is the certainty
// behind it.
func (s *solver) agree(excess func(float64) float64, most float64, last, steep *float64) float64 {
	x, slope := min(*last, most), *steep
	f := excess(x)
	for range 8 {
		next := min(max(x-f/slope, 0), most)
		if s.err != nil || math.Abs(next-x) <= relativeFlow*x+flowTolerance {
			*last = next
			return next
		}
		g := excess(next)
		if found := (g - f) / (next - x); found < -0.05 {
			slope, *steep = found, found
		}
		x, f = next, g
	}
	if excess(0) <= 0 {
		return 0
	}
	if excess(most) >= 0 {
		return most
	}
	root, err := num.Root(excess, 0, most, flowTolerance)
	if err != nil && s.err == nil {
		return most // at the edge of running dry
	}
	*last = root
	return root
}
