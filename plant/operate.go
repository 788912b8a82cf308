package plant

import (
	"errors"
	"fmt"
	"math"

	"rinsewright/membrane"
	"rinsewright/quantity"
	"rinsewright/water"
)

// How closely the strengths of recycled water settle, relative, and how often
// they are tried.
const (
	strengthTolerance = 1e-11
	strengthTries     = 120
	nearEnough        = 1e-7 // from here on flows stay and only strengths move
)

// Operate returns where p settles under c: the flows at which every part's
// pressure agrees,
//
//	P_s = P_tap(Q_f − Q_r) − Σ losses(Q_f − Q_r)    P_m = P_s + booster(Q_f)
//	Q_p = array(Q_f, P_m, P_p)                      P_p = P_tank + ρ g z + Σ losses(Q_p)
//	restrictor(Q_f − Q_p − Q_r) = P_c               recycle(Q_r) = P_c − P_s
//
// and, where concentrate comes back or a second pass follows, the strengths
// at which what enters leaves, ion by ion. All balances are solved together;
// where that fails, by bracketing. A plain rig (no recycle, one pass, like rows)
// so has an answer whenever its supply can make permeate; of the others about
// one in a hundred, drawn at random, ends as [ErrUnsettled].
//
// Source: balances of water, salt and pressure over the parts' own models. Water
// and every component close to 1e-9; pressures to 1e-6 of the standing one, 1e-4
// where almost no concentrate or permeate is left. The error wraps
// [ErrIncomplete], [ErrRecycle], [ErrSuction], [ErrUnsettled],
// [membrane.ErrNoFlow] (as [*NoFeedError] or [*NoPermeateError]) or
// [membrane.ErrStarved]; else it is that of a part.
func (p Plant) Operate(c Conditions) (Point, error) {
	s, err := p.solver(c)
	if err != nil {
		return Point{}, fmt.Errorf("operate plant: %w", err)
	}
	point, err := s.operate()
	if err != nil {
		return Point{}, fmt.Errorf("operate plant: %w", err)
	}
	return point, nil
}

// operate alternates between flows and strengths until both stay. Without
// recycle the water at the membrane is known, and once is enough; a second pass
// takes one round more, since its feed is an answer.
func (s *solver) operate() (Point, error) {
	mix := mixing{feed: s.at.Feed, inlet: s.at.Feed, moved: 1, longest: 1}
	var at state
	var between water.Water
	for range strengthTries {
		if err := s.ready(mix.inlet, &between); err != nil {
			return Point{}, err
		}
		found, err := at, error(nil)
		if !(mix.moved < nearEnough) {
			found, err = s.settle(at)
		}
		if errors.Is(err, membrane.ErrNoFlow) && mix.back() {
			s.err = nil
			continue
		}
		if err != nil {
			return Point{}, err
		}
		at = found
		point, err := s.point(&at, mix.inlet)
		if errors.Is(err, membrane.ErrNoFlow) && mix.back() {
			continue
		}
		if err != nil {
			return Point{}, err
		}
		settled := s.plant.Recycle == nil || mix.move(&point)
		if s.second != nil && far(&between, &point.Membrane.Permeate.Water) > 1e-6 {
			between, settled = point.Membrane.Permeate.Water, false
		}
		if settled {
			return point, nil
		}
	}
	return Point{}, fmt.Errorf("strength of the recycled water: %w", ErrUnsettled)
}

// ready makes the membranes ready for their waters. A second pass is first
// guessed to meet a fiftieth of the feed.
func (s *solver) ready(inlet water.Water, between *water.Water) (err error) {
	if s.first, err = s.plant.array().Ready(inlet); err != nil || s.plant.Second == nil {
		return err
	}
	if between.Temperature == 0 {
		*between = inlet
		for c := range between.Total {
			between.Total[c] /= 50
		}
		between.Total[water.Carbon] = inlet.Total[water.Carbon]
		between.Alkalinity = water.ElectroneutralAlkalinity(*between)
	}
	s.second, err = s.plant.Second.Array.Ready(*between)
	return err
}

// point runs the membranes ion by ion at the flows that were found and
// collects what every gauge along the path would read.
func (s *solver) point(at *state, inlet water.Water) (Point, error) {
	fresh := at.feed - at.recycled
	suction := s.suction(fresh)
	pressure := suction + s.gain(s.plant.Booster, at.feed)
	back := s.behind(at.product)
	first := back
	if s.second != nil {
		first = at.between - s.gain(s.plant.Second.Pump, at.permeate)
	}
	tap := s.gain(s.plant.Supply, fresh)
	if s.err != nil {
		return Point{}, s.err
	}
	if s.plant.Booster != nil && suction < leastSuction {
		return Point{}, &SuctionError{"booster pump", quantity.Pressure(suction), quantity.Flow(fresh)}
	}
	if first < leastSuction {
		return Point{}, &SuctionError{"pump between the passes", quantity.Pressure(first), quantity.Flow(at.permeate)}
	}
	p := Point{
		Tap: quantity.Pressure(tap), Suction: quantity.Pressure(suction), BackPressure: quantity.Pressure(first),
		Fresh:    water.Stream{Water: s.at.Feed, Flow: quantity.Flow(fresh), Pressure: quantity.Pressure(tap)},
		Feed:     water.Stream{Water: inlet, Flow: quantity.Flow(at.feed), Pressure: quantity.Pressure(pressure)},
		Recycled: quantity.Flow(at.recycled),
	}
	var err error
	if p.Membrane, err = s.run(1, s.first, p.Feed.Flow, pressure, first); err != nil {
		return p, err
	}
	p.Drain = p.Membrane.Concentrate
	p.Drain.Flow -= p.Recycled
	if takes := s.loss(s.plant.Restrictor, float64(p.Drain.Flow)); !(math.Abs(takes-float64(p.Drain.Pressure)) <= 1e-4*s.scale) {
		return p, fmt.Errorf("unlike rows share the feed in no steady way: %w", s.starved(at.feed))
	}
	if s.second != nil {
		if err := s.secondRun(&p, at, back); err != nil {
			return p, err
		}
	}
	if p.FeedLosses, err = s.losses(s.plant.FeedSide, fresh); err != nil {
		return p, err
	}
	p.OutLosses, err = s.losses(s.plant.PermeateOut, float64(p.Product().Flow))
	return p, err
}

func (s *solver) run(pass int, m *membrane.Ready, q quantity.Flow, pressure, back float64) (membrane.Result, error) {
	r, err := m.Run(q, quantity.Pressure(pressure), quantity.Pressure(back))
	if none := (*membrane.NoFlowError)(nil); errors.As(err, &none) {
		return r, &NoPermeateError{pass, q, none.Feed, none.Permeate, none.Osmotic}
	}
	return r, err
}

// secondRun runs the second pass on the very permeate that the first one made.
func (s *solver) secondRun(p *Point, at *state, back float64) error {
	feed := p.Membrane.Permeate
	ready, err := s.plant.Second.Array.Ready(feed.Water)
	if err != nil {
		return err
	}
	second, err := s.run(2, ready, feed.Flow, at.between, back)
	if err != nil {
		return err
	}
	p.Second = &second
	return nil
}

func (s *solver) losses(parts []Part, q float64) ([]Loss, error) {
	losses := make([]Loss, 0, len(parts))
	for _, part := range parts {
		drop, err := part.Resistance.Loss(quantity.Flow(q), s.fluid)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", part.Name, err)
		}
		losses = append(losses, Loss{part.Name, quantity.Flow(q), drop})
	}
	return losses, nil
}

// far is how far two waters are apart: the largest difference of a component
// over its larger strength.
func far(a, b *water.Water) (most float64) {
	for c := range a.Total {
		x, y := float64(a.Total[c]), float64(b.Total[c])
		if top := max(x, y); top > 0 {
			most = max(most, math.Abs(x-y)/top)
		}
	}
	return most
}
