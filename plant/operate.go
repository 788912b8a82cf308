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

// ErrIncomplete is wrapped when a plant lacks a part that it cannot work without.
var ErrIncomplete = errors.New("plant incomplete")

// NoFeedError says that the supply's pressure is used up before the membrane
// has enough to make any permeate.
type NoFeedError struct {
	Static       quantity.Pressure // of the supply, nothing running
	BackPressure quantity.Pressure // on the permeate side, nothing running
	Osmotic      quantity.Pressure // of the feed
}

func (e *NoFeedError) Error() string {
	return fmt.Sprintf("no permeate: %.2f bar at the tap does not exceed %.2f bar on the permeate side and %.2f bar osmotic",
		e.Static.Bar(), e.BackPressure.Bar(), e.Osmotic.Bar())
}

// Hint says what the user could change.
func (e *NoFeedError) Hint() string {
	return "a vented tank with a delivery pump instead of back-pressure, a lower tank, or a booster pump ahead of the membrane"
}

// Bounds of the search and how closely the two balances are met: a thousand
// times finer than any gauge shows.
const (
	leastFlow     = 1e-9  // m³/s
	mostFlow      = 0.05  // m³/s
	flowTolerance = 2e-11 // m³/s, about a millilitre in a day
	relativeFlow  = 1e-7
)

// Operate returns where p settles under c: the feed flow at which the
// concentrate's pressure is what the restrictor takes,
//
//	P_m = P_tap(Q_f) − Σ losses(Q_f)       P_p = P_tank + ρ g z + Σ losses(Q_p)
//	Q_p = train(Q_f, P_m, P_p)             P_c − drop = restrictor(Q_f − Q_p)
//
// found by bracketing, so that any plant whose supply can make permeate has an
// answer. Source: balances of water and pressure over the parts' own models.
// Water closes by construction; pressure to 1e-6. The error wraps
// [ErrIncomplete], is a [*NoFeedError], or is that of a part.
func (p Plant) Operate(c Conditions) (Point, error) {
	s, err := p.solver(c)
	if err != nil {
		return Point{}, fmt.Errorf("operate plant: %w", err)
	}
	feed, err := s.settle()
	if err != nil {
		return Point{}, fmt.Errorf("operate plant: %w", err)
	}
	return s.point(feed)
}

// solver holds what stays the same while flows are tried.
type solver struct {
	plant Plant
	at    Conditions
	fluid hydraulics.Fluid
	feed  membrane.Feed
	err   error   // first error of a part during a search
	last  float64 // permeate of the last trial, m³/s: the next one is near
	slope float64 // of what the train makes less what was tried, by what was tried
}

func (p Plant) solver(c Conditions) (*solver, error) {
	if p.Supply == nil || p.Restrictor == nil || len(p.Train.Housings) == 0 {
		return nil, fmt.Errorf("%w: wanted a supply, a membrane and a restrictor", ErrIncomplete)
	}
	density, err := water.Density(c.Feed.Temperature)
	if err != nil {
		return nil, err
	}
	viscosity, err := water.Viscosity(c.Feed.Temperature)
	if err != nil {
		return nil, err
	}
	static, err := p.Supply.Pressure(0)
	if err != nil {
		return nil, err
	}
	feed, err := membrane.FeedOf(water.Stream{Water: c.Feed, Flow: quantity.LitresPerMinute(1), Pressure: static}, 0)
	if err != nil {
		return nil, err
	}
	s := &solver{plant: p, at: c, fluid: hydraulics.Fluid{Density: density, Viscosity: viscosity}, feed: feed, slope: -1.1}
	back, err := s.back(0)
	if err != nil {
		return nil, err
	}
	if !(static > back+feed.OsmoticPressure) {
		return nil, &NoFeedError{static, back, feed.OsmoticPressure}
	}
	return s, nil
}

// settle returns the feed flow in m³/s at which the restrictor balances.
func (s *solver) settle() (float64, error) {
	high, err := s.runOut()
	if err != nil {
		return 0, err
	}
	// Starved trials return an error through the membrane, read as "more feed".
	root, err := num.Root(s.imbalance, leastFlow, high, flowTolerance)
	if s.err != nil {
		return 0, s.err
	}
	if err != nil {
		return 0, fmt.Errorf("balance restrictor against concentrate between %.3g and %.3g L/min of feed: %w", leastFlow*6e4, high*6e4, err)
	}
	return root, nil
}

// runOut returns the feed flow that uses up the whole supply pressure.
func (s *solver) runOut() (float64, error) {
	head := func(q float64) float64 {
		p, err := s.membranePressure(quantity.Flow(q))
		s.keep(err)
		return float64(p)
	}
	high := quantity.LitresPerMinute(1)
	for float64(high) < mostFlow && head(float64(high)) > 0 && s.err == nil {
		high *= 2
	}
	if s.err != nil {
		return 0, s.err
	}
	if !(head(float64(high)) <= 0) {
		return float64(high), nil // a supply without limit: the restrictor decides below
	}
	root, err := num.Root(head, leastFlow, float64(high), flowTolerance)
	if err != nil {
		return 0, fmt.Errorf("find the flow that the supply runs out at: %w", err)
	}
	return root, s.err
}

// imbalance is the pressure that the restrictor takes at a feed flow less the
// concentrate's own: negative while more feed would come, in Pa.
func (s *solver) imbalance(q float64) float64 {
	permeate, concentrate, starved := s.split(quantity.Flow(q))
	if s.err != nil {
		return math.NaN()
	}
	if starved {
		return -1e7
	}
	loss, err := s.plant.Restrictor.Loss(quantity.Flow(q-permeate), s.fluid)
	s.keep(err)
	return float64(loss) - float64(concentrate)
}

// split returns the permeate in m³/s and the concentrate's pressure at a feed
// flow; starved says that the membrane would take all the feed.
func (s *solver) split(q quantity.Flow) (permeate float64, concentrate quantity.Pressure, starved bool) {
	pressure, err := s.membranePressure(q)
	if s.keep(err); s.err != nil {
		return 0, 0, false
	}
	var none *membrane.NoFlowError
	trial := func(qp float64) (float64, quantity.Pressure, error) {
		back, err := s.back(quantity.Flow(qp))
		if err != nil {
			return 0, 0, err
		}
		s.feed.Flow, s.feed.Pressure, s.feed.PermeatePressure = q, pressure, back
		made, pc, err := s.plant.Train.Flows(s.feed)
		if errors.As(err, &none) {
			return 0, pressure, nil
		}
		return float64(made), pc, err
	}
	excess := func(qp float64) float64 {
		made, pc, err := trial(qp)
		if errors.Is(err, membrane.ErrStarved) {
			return float64(q) // all of it would pass: more permeate than tried
		}
		s.keep(err)
		concentrate = pc
		return made - qp
	}
	permeate = s.agree(excess, float64(q))
	if permeate >= float64(q)*(1-1e-9) {
		return 0, 0, true
	}
	s.last = permeate
	return permeate, concentrate, false
}

// agree finds the permeate flow that makes the back-pressure under which the
// train makes that flow. Newton's step from the last answer, with a slope that
// the trials improve, almost always does; the bracket is the certainty behind
// it.
func (s *solver) agree(excess func(float64) float64, most float64) float64 {
	x, slope := min(s.last, most), s.slope
	f := excess(x)
	for range 8 {
		next := min(max(x-f/slope, 0), most)
		if s.err != nil || math.Abs(next-x) <= relativeFlow*x+flowTolerance {
			return next
		}
		g := excess(next)
		if found := (g - f) / (next - x); found < -0.05 {
			slope, s.slope = found, found
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
	s.keep(err)
	return root
}

func (s *solver) keep(err error) {
	if s.err == nil && err != nil {
		s.err = err
	}
}

// membranePressure is the pressure left for the membrane at a feed flow.
func (s *solver) membranePressure(q quantity.Flow) (quantity.Pressure, error) {
	p, err := s.plant.Supply.Pressure(q)
	if err != nil {
		return 0, err
	}
	for _, part := range s.plant.FeedSide {
		loss, err := part.Resistance.Loss(q, s.fluid)
		if err != nil {
			return 0, fmt.Errorf("%s: %w", part.Name, err)
		}
		p -= loss
	}
	return p, nil
}

// back is the pressure on the permeate side at a permeate flow.
func (s *solver) back(q quantity.Flow) (quantity.Pressure, error) {
	lift, err := hydraulics.ElevationLoss(s.plant.Lift, s.fluid)
	if err != nil {
		return 0, err
	}
	p := s.at.TankPressure + lift
	for _, part := range s.plant.PermeateOut {
		loss, err := part.Resistance.Loss(q, s.fluid)
		if err != nil {
			return 0, fmt.Errorf("%s: %w", part.Name, err)
		}
		p += loss
	}
	return max(p, 0), nil
}

// point runs the membrane ion by ion at the feed flow that was found and
// collects what every gauge along the path would read.
func (s *solver) point(feed float64) (Point, error) {
	q := quantity.Flow(feed)
	permeate, _, _ := s.split(q)
	if s.err != nil {
		return Point{}, fmt.Errorf("operate plant: %w", s.err)
	}
	back, err := s.back(quantity.Flow(permeate))
	if err != nil {
		return Point{}, fmt.Errorf("operate plant: %w", err)
	}
	pressure, err := s.membranePressure(q)
	if err != nil {
		return Point{}, fmt.Errorf("operate plant: %w", err)
	}
	stream := water.Stream{Water: s.at.Feed, Flow: q, Pressure: pressure}
	result, err := s.plant.Train.Run(stream, back, membrane.DefaultSlices)
	if err != nil {
		return Point{}, fmt.Errorf("operate plant: %w", err)
	}
	tap, err := s.plant.Supply.Pressure(q)
	if err != nil {
		return Point{}, fmt.Errorf("operate plant: %w", err)
	}
	point := Point{Tap: tap, Feed: stream, Membrane: result, BackPressure: back}
	point.FeedLosses, err = s.losses(s.plant.FeedSide, q)
	if err != nil {
		return Point{}, fmt.Errorf("operate plant: %w", err)
	}
	point.OutLosses, err = s.losses(s.plant.PermeateOut, quantity.Flow(permeate))
	if err != nil {
		return Point{}, fmt.Errorf("operate plant: %w", err)
	}
	return point, nil
}

func (s *solver) losses(parts []Part, q quantity.Flow) ([]Loss, error) {
	losses := make([]Loss, 0, len(parts))
	for _, part := range parts {
		drop, err := part.Resistance.Loss(q, s.fluid)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", part.Name, err)
		}
		losses = append(losses, Loss{part.Name, q, drop})
	}
	return losses, nil
}
