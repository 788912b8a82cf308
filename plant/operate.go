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
	strengthTries     = 250
	restrictorAgrees  = 1e-4 // of the standing pressure
	mostFresh         = 5
	nearEnough        = 2e-6 // from here on flows stay and only strengths move
)

// Operate returns where p settles under c: the flows at which every part's
// pressure agrees,
//
//	P_s = P_tap(Q_f − Q_r) − Σ losses(Q_f − Q_r)    P_m = P_s + booster(Q_f)
//	Q_p = array(Q_f, P_m, P_p)                      P_p = P_tank + ρ g z + Σ losses(Q_p)
//	restrictor(Q_f − Q_p − Q_r) = P_c               recycle(Q_r) = P_c − P_s
//
// and, where concentrate comes back or a second pass follows, the strengths
// at which what enters leaves, ion by ion. All balances are solved together,
// first with few slices of the membrane and then with all; where that leads
// nowhere, by roots within roots, each of which rises steadily. So a rig has an
// answer, or a reason that names what to change by its Hint method.
//
// Source: balances of water, salt and pressure over the parts' own models. Water
// and every component close to 1e-9; pressures to 1e-6 of the standing one, 1e-4
// where almost no concentrate or permeate is left. The error wraps
// [ErrIncomplete], [ErrRecycle], [ErrSuction], [ErrUnsettled],
// [membrane.ErrNoFlow] (as [*NoFeedError] or [*NoPermeateError]),
// [membrane.ErrStarved] (or as [*NoDrainError]) or [membrane.ErrRange] (as
// [*PressureError]); else it is that of a part.
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

// hunt is a plant's flows and strengths on the way to each other.
type hunt struct {
	mix     mixing
	at      state
	between water.Water // that the second pass was taken to meet
	loose   bool        // the restrictor did not yet agree with the last flows
	fresh   int         // rounds in which it did not although they were just found
}

// operate alternates between flows and strengths until both stay. Without
// recycle the water at the membrane is known, and once is enough; a second pass
// takes one round more, since its feed is an answer.
func (s *solver) operate() (Point, error) {
	h := hunt{mix: mixing{feed: s.at.Feed, inlet: s.at.Feed, moved: 1, longest: 1}}
	for range strengthTries {
		point, settled, err := s.round(&h)
		if errors.Is(err, membrane.ErrNoFlow) && h.mix.back() {
			s.err = nil
			continue
		}
		if err != nil || settled {
			return point, err
		}
	}
	return Point{}, &UnsettledError{After: s.tries, Strength: true}
}

// round settles the flows on the strengths, and moves the strengths to what the
// flows ask for.
func (s *solver) round(h *hunt) (point Point, settled bool, err error) {
	if err = s.ready(h.mix.inlet, &h.between); err != nil {
		return point, false, err
	}
	search := h.loose || !(h.mix.moved < nearEnough)
	if search {
		if h.at, err = s.settle(h.at); err != nil {
			return point, false, err
		}
	}
	if point, err = s.point(&h.at, h.mix.inlet); err != nil {
		return point, false, err
	}
	settled = s.plant.Recycle == nil || h.mix.move(&point)
	if s.two && far(&h.between, &point.Membrane.Permeate.Water) > 1e-6 {
		h.between, settled = point.Membrane.Permeate.Water, false
	}
	takes := s.loss(s.plant.Restrictor, float64(point.Drain.Flow))
	h.loose = !(math.Abs(takes-float64(point.Drain.Pressure)) <= restrictorAgrees*s.scale)
	if h.loose && search {
		h.fresh++
	}
	if h.loose && settled && h.fresh > mostFresh {
		return point, false, &UnsettledError{After: s.tries, Rows: len(s.plant.Beside) > 0}
	}
	return point, settled && !h.loose, nil
}

// ready makes the membranes ready for their waters. A second pass is first
// guessed to meet a fiftieth of the feed.
func (s *solver) ready(inlet water.Water, between *water.Water) error {
	if err := s.first.ready(s.plant.array(), inlet); err != nil || !s.two {
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
	return s.second.ready(s.plant.Second.Array, *between)
}

func (m *pass) ready(a membrane.Array, w water.Water) error {
	r, err := a.Ready(w)
	if err != nil {
		return err
	}
	m.fine = r
	return nil
}

// point runs the membranes ion by ion at the flows that were found and
// collects what every gauge along the path would read.
func (s *solver) point(at *state, inlet water.Water) (Point, error) {
	fresh, feed := at.fresh(), at.feed()
	suction := s.suction(fresh)
	pressure := suction + s.gain(s.plant.Booster, feed)
	back := s.behind(at.product())
	first := s.behindFirst(at)
	tap := s.gain(s.plant.Supply, fresh)
	if s.err != nil {
		return Point{}, s.err
	}
	p := Point{
		Tap: quantity.Pressure(tap), Suction: quantity.Pressure(suction), BackPressure: quantity.Pressure(first),
		Fresh:    water.Stream{Water: s.at.Feed, Flow: quantity.Flow(fresh), Pressure: quantity.Pressure(tap)},
		Feed:     water.Stream{Water: inlet, Flow: quantity.Flow(feed), Pressure: quantity.Pressure(pressure)},
		Recycled: quantity.Flow(at.recycled),
	}
	var err error
	if p.Membrane, err = s.run(1, s.first.fine, p.Feed.Flow, pressure, first); err != nil {
		return p, err
	}
	p.Drain = p.Membrane.Concentrate
	p.Drain.Flow -= p.Recycled
	if s.two {
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
