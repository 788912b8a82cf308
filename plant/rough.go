package plant

import (
	"math"

	"rinsewright/hydraulics"
	"rinsewright/quantity"
)

// How finely the rough search looks: it only has to come near enough for
// Newton's method.
const (
	roughSteps   = 12   // halvings of the feed's logarithm
	roughLooks   = 2    // at everything else, for each feed
	roughBetween = 7    // halvings of the flow between two passes
	roughPass    = 7    // halvings of the pressure ahead of the second
	leastBefore  = 1e4  // Pa, there
	roughShare   = 1e-6 // least share of the feed that any flow is taken for
	nearlyAll    = 0.97 // of its feed that a membrane takes when it is about to run dry
)

// roughly puts a state near the answer by halving the feed's logarithm, with a
// few looks at everything else for each feed. It is for rigs whose first guess
// leads nowhere: a membrane that would take all of its feed, a supply that gives
// out, a second pass or a recycle far from usual.
func (s *solver) roughly(at *state) bool {
	low, high := s.around(at)
	found, nearest := state{}, farOff
	for step := 0; step < roughSteps || found.feed == 0 && step < 3*roughSteps; step++ {
		middle := (low + high) / 2
		off := s.look(math.Exp(middle), at)
		if math.Abs(off) < nearest {
			found, nearest = *at, math.Abs(off)
		}
		if off > 0 {
			high = middle
		} else {
			low = middle
		}
	}
	*at = found
	return s.err == nil && found.feed > 0
}

// around widens a bracket of the feed's logarithm from the guess until the
// balance changes sign.
func (s *solver) around(at *state) (low, high float64) {
	least, most := math.Log(leastFlow), math.Log(mostFlow)
	if q, err := s.runOut(); err == nil {
		most = math.Log(q)
	}
	low = min(math.Log(at.feed), most)
	high = low
	if s.look(math.Exp(low), at) < 0 {
		for step := 0.5; high < most && s.look(math.Exp(high), at) < 0; step *= 2 {
			low, high = high, min(high+step, most)
		}
		return low, high
	}
	for step := 0.5; low > least && s.look(math.Exp(low), at) >= 0; step *= 2 {
		low, high = max(low-step, least), low
	}
	return low, high
}

// look guesses the state at a feed flow and returns by how much the restrictor
// takes more than the concentrate has, in Pa.
func (s *solver) look(q float64, at *state) float64 {
	*at = state{feed: q, permeate: min(at.permeate, q/2), between: at.between}
	pressure := 0.0
	looks := roughLooks
	if s.second != nil {
		looks = 1 // each is a search of its own
	}
	for range looks {
		if s.plant.Recycle != nil {
			back := s.comesBack(s.gain(s.plant.Booster, q) - s.drop)
			at.recycled = min(max(back, roughShare*q), 0.95*(q-at.permeate))
		}
		if pressure = s.suction(q-at.recycled) + s.gain(s.plant.Booster, q); s.err != nil || !(pressure > 0) {
			return farOff
		}
		concentrate, dry := s.roughPermeate(at, min(pressure, mostPressure))
		if dry {
			return -farOff
		}
		s.drop = pressure - concentrate
	}
	if s.second == nil {
		at.product = at.permeate
	}
	at.product = min(at.product, at.permeate)
	drain := q - at.permeate - at.recycled
	if drain <= 0 {
		return -farOff
	}
	return s.loss(s.plant.Restrictor, drain) - (pressure - s.drop)
}

// roughPermeate guesses the first pass's permeate. One pass is moved halfway,
// since more permeate meets more back-pressure; a second pass, whose pump may
// suck, needs a bracket.
func (s *solver) roughPermeate(at *state, pressure float64) (concentrate float64, dry bool) {
	try := func() (made float64) {
		behind := min(max(s.roughlyBehind(at), leastSuction), mostPressure)
		made, concentrate, dry = s.made(s.first, at.feed, pressure, behind)
		return made
	}
	if s.second == nil {
		at.permeate = max((try()+at.permeate)/2, roughShare*at.feed)
		return concentrate, dry
	}
	low, high := 0.0, at.feed
	for range roughBetween {
		at.permeate = (low + high) / 2
		if try() > at.permeate {
			low = at.permeate
		} else {
			high = at.permeate
		}
	}
	return concentrate, dry && low > 0.9*at.feed
}

// comesBack is the flow through the recycle's resistance at a drop.
func (s *solver) comesBack(drop float64) float64 {
	r, ok := s.plant.Recycle.(hydraulics.Restrictor)
	if !ok || !(drop > 0) {
		return 0
	}
	q, err := r.Flow(quantity.Pressure(drop), s.fluid)
	if err != nil {
		return 0
	}
	return float64(q)
}

// roughlyBehind is the back-pressure on the first pass; it sets product and
// pressure of a second one.
func (s *solver) roughlyBehind(at *state) float64 {
	if s.second == nil {
		return s.behind(at.permeate)
	}
	low, high := math.Log(leastBefore), math.Log(mostPressure)
	for range roughPass {
		p := math.Exp((low + high) / 2)
		made, left, dry := s.made(s.second, at.permeate, p, min(s.behind(at.product), mostPressure))
		if dry || s.loss(s.plant.Second.Restrictor, max(at.permeate-made, 0)) < left {
			high = math.Log(p)
		} else {
			low = math.Log(p)
			at.product = max(made, roughShare*at.permeate)
		}
	}
	at.between = math.Exp((low + high) / 2)
	return at.between - s.gain(s.plant.Second.Pump, at.permeate)
}

// plainly says what cannot be where a rough state already shows it.
func (s *solver) plainly(at *state) error {
	s.err = nil
	if at.feed == 0 {
		return nil
	}
	suction := s.suction(at.feed - at.recycled)
	pressure := suction + s.gain(s.plant.Booster, at.feed)
	back := s.behind(at.product)
	if s.second != nil {
		back = at.between - s.gain(s.plant.Second.Pump, at.permeate)
	}
	switch {
	case s.err != nil:
		return s.err
	case s.plant.Booster != nil && suction < 2*leastSuction:
		return &SuctionError{"booster pump", quantity.Pressure(suction), quantity.Flow(at.feed - at.recycled)}
	case s.second != nil && back < 2*leastSuction:
		return &SuctionError{"pump between the passes", quantity.Pressure(back), quantity.Flow(at.permeate)}
	case at.permeate > nearlyAll*at.feed, s.second != nil && at.product > nearlyAll*at.permeate:
		return s.starved(at.feed)
	case at.permeate <= 10*roughShare*at.feed:
		return &NoPermeateError{1, quantity.Flow(at.feed), quantity.Pressure(pressure), quantity.Pressure(back), s.first.OsmoticPressure()}
	case s.second != nil && at.product <= 10*roughShare*at.permeate:
		return &NoPermeateError{2, quantity.Flow(at.permeate), quantity.Pressure(at.between), quantity.Pressure(s.behind(0)), s.second.OsmoticPressure()}
	}
	return nil
}
