package membrane

import (
	"fmt"
	"math"

	"rinsewright/quantity"
	"rinsewright/water"
)

// Stage is rows side by side that share a feed. Like rows are one [Train] with
// its Parallel; unlike ones stand beside each other here and share the feed so
// that their pressure drops agree.
type Stage []Train

// Array is stages one after another on the concentrate: each takes what the
// one before leaves. All permeates join.
type Array []Stage

// Ready is an array made ready for one feed water: everything that stays the
// same while a rig's root finder tries flows and pressures. It remembers how
// unlike rows shared the last feed, so one Ready serves one goroutine.
type Ready struct {
	feed    Feed // its properties; flow and pressures are tried
	species speciated
	water   water.Water
	stages  []readyStage
	slices  int

	conductance float64 // m3/(s·Pa), of all membrane
}

type readyStage struct {
	rows   []row
	shares []float64 // of the stage's feed, by row
}

// row is one of alike rows side by side.
type row struct {
	elements []conduit
	limits   []Limits
	alike    float64
}

// Ready makes an array ready for a feed water. The error wraps [ErrRange] for
// an array of no elements, or more than 50 in a row, 1000 rows or 10 stages;
// or it is the water package's.
func (a Array) Ready(w water.Water) (*Ready, error) {
	if len(a) == 0 || len(a) > 10 {
		return nil, fmt.Errorf("membrane: array of %d stages: %w", len(a), ErrRange)
	}
	stream := water.Stream{Water: w, Flow: 1e-5, Pressure: 1e5} // tried, not used
	f, sp, err := feedOf(stream, 0)
	if err != nil {
		return nil, err
	}
	r := &Ready{feed: f, species: sp, water: w, slices: DefaultSlices}
	for _, stage := range a {
		s, err := stage.ready(&f)
		if err != nil {
			return nil, err
		}
		r.stages = append(r.stages, s)
		for _, o := range s.rows {
			for h := range o.elements {
				r.conductance += o.alike * o.elements[h].a * o.elements[h].area
			}
		}
	}
	return r, nil
}

func (s Stage) ready(f *Feed) (readyStage, error) {
	var out readyStage
	area := 0.0 // m2, of the rows so far
	for _, t := range s {
		if err := t.check(); err != nil {
			return out, err
		}
		one := row{alike: float64(max(t.Parallel, 1))}
		sections := 0.0
		for h := range t.Housings {
			c := t.Housings[h].conduit(f)
			one.elements = append(one.elements, c)
			one.limits = append(one.limits, t.Housings[h].Element.Sheet.Limits)
			sections += c.section
		}
		out.rows = append(out.rows, one)
		out.shares = append(out.shares, one.alike*sections/float64(len(one.elements)))
		area += out.shares[len(out.shares)-1]
	}
	for i := range out.shares { // a first guess, by open section
		out.shares[i] /= area
	}
	if len(out.rows) == 0 || len(out.rows) > mostRows {
		return out, fmt.Errorf("membrane: stage of %d unlike rows: %w", len(out.rows), ErrRange)
	}
	return out, nil
}

// OsmoticPressure returns what of the feed's the membrane can hold back.
func (r *Ready) OsmoticPressure() quantity.Pressure { return r.feed.OsmoticPressure }

// Flows returns the permeate of the array and the pressure where its
// concentrate leaves at a feed flow, a feed pressure and a back-pressure. Where
// the pressure does not exceed the back-pressure there is no permeate, and the
// channel's friction still takes its share. [Ready.Run] gives the same two
// numbers. It allocates nothing unless it fails.
//
// Source: the package's element model. Errors wrap [ErrRange] or [ErrStarved].
func (r *Ready) Flows(q quantity.Flow, pressure, back quantity.Pressure) (permeate quantity.Flow, concentrate quantity.Pressure, err error) {
	t, err := r.Try(q, pressure, back)
	if err == nil && t.Dry {
		err = &StarvedError{Feed: t.DryFeed, Element: t.DryElement}
	}
	if err != nil {
		return 0, 0, err
	}
	return max(t.Permeate, 0), t.Concentrate, nil
}

// Trial is what a search sees of an array at a feed flow and pressures that need
// not be an answer.
type Trial struct {
	Permeate    quantity.Flow // below zero where the back-pressure exceeds the feed's
	Concentrate quantity.Pressure
	Dry         bool          // the membrane would take almost all of its feed
	DryFeed     quantity.Flow // into the row that ran dry
	DryElement  int           // in that row
	Uneven      bool          // unlike rows have not come to the same drop
}

// Try is [Ready.Flows] for a search: a channel that runs dry is told and no
// error, and its permeate and pressure change steadily with what is tried, so
// that a search can pass through on its way. It allocates nothing.
//
// Source: the package's element model, in which no slice takes more than half of
// what flows past it, and water would come back through the membrane as it goes,
// which no rig shows: its permeate is none. The error wraps [ErrRange].
func (r *Ready) Try(q quantity.Flow, pressure, back quantity.Pressure) (Trial, error) {
	if !(1e-9 <= q && q <= 1 && -1e5 <= pressure && pressure <= 1.2e7 && -1e5 <= back && back <= 1.2e7) {
		return Trial{}, r.refuse(q, pressure, back)
	}
	var t Trial
	w := place{q: float64(q), salt: float64(q), p: float64(pressure)}
	total := 0.0 // m3/s
	for i := range r.stages {
		total += r.stages[i].march(r, &w, float64(back), &t)
	}
	if !finite(total) || !finite(w.p) {
		return Trial{}, fmt.Errorf("membrane: flows: no finite answer: %w", ErrRange)
	}
	t.Permeate, t.Concentrate = quantity.Flow(total), quantity.Pressure(w.p)
	if pressure < back {
		t.Permeate -= quantity.Flow(r.conductance * float64(back-pressure))
	}
	return t, nil
}

// Coarse returns the same array cut into fewer slices, from 1 to [DefaultSlices]:
// quick, and a few per cent off, for the first looks of a search. It shares
// nothing that a search changes.
func (r *Ready) Coarse(slices int) *Ready {
	c := *r
	c.slices = min(max(slices, 1), DefaultSlices)
	c.stages = append([]readyStage{}, r.stages...)
	for i := range c.stages {
		c.stages[i].shares = append([]float64{}, r.stages[i].shares...)
	}
	return &c
}

func (r *Ready) refuse(q quantity.Flow, pressure, back quantity.Pressure) error {
	f := r.feed
	f.Flow, f.Pressure, f.PermeatePressure = q, pressure, back
	return f.check()
}

// march carries the whole flow w through a stage and returns its permeate.
func (s *readyStage) march(r *Ready, w *place, back float64, t *Trial) float64 {
	if len(s.rows) > 1 {
		return s.share(r, w, back, t)
	}
	n := s.rows[0].alike
	one := w.times(1 / n)
	made := s.rows[0].march(r, &one, back, t)
	*w = one.times(n)
	return made * n
}

// march carries one row's feed w along its elements.
func (o *row) march(r *Ready, w *place, back float64, t *Trial) float64 {
	total, q0 := 0.0, w.q
	for h := range o.elements {
		made, dry := w.through(&o.elements[h], r.slices, back, float64(r.feed.OsmoticPressure), starved*q0)
		if total += made; dry && !t.Dry {
			t.Dry, t.DryFeed, t.DryElement = true, quantity.Flow(q0), h
		}
	}
	return total
}

// How closely the shares of unlike rows settle and how often they are tried.
const (
	shareTolerance = 1e-7 // the error left after this last step is about its square
	shareRoughly   = 1e-4 // with few slices
	evenEnough     = 1e-5
	shareTries     = 24
	dropExponent   = 2.3 // of flow in a row's drop, about, at ordinary recovery
	mostRows       = 20
)

// trial is one row at one share of the stage's feed.
type trial struct {
	share, drop float64
	slope       float64 // of drop by share
}

// share finds how unlike rows share the feed w. Each row's drop rises with its
// share, by a slope that the trials improve; Newton's step moves all shares to
// the drop at which they still add up to one.
func (s *readyStage) share(r *Ready, w *place, back float64, t *Trial) (total float64) {
	var rows [mostRows]trial
	trials := rows[:len(s.rows)]
	for i := range trials {
		trials[i].share = s.shares[i]
	}
	tolerance := shareTolerance
	if r.slices < DefaultSlices {
		tolerance = shareRoughly
	}
	var mixed place
	var seen Trial
	for range shareTries {
		seen = Trial{}
		mixed, total = s.try(r, w, back, trials, &seen)
		moved := moveShares(trials)
		if seen.Uneven = !(moved <= max(evenEnough, tolerance)); moved <= tolerance {
			break
		}
	}
	for i := range trials {
		s.shares[i] = trials[i].share
	}
	*w = mixed
	if t.Uneven = t.Uneven || seen.Uneven; !t.Dry {
		t.Dry, t.DryFeed, t.DryElement = seen.Dry, seen.DryFeed, seen.DryElement
	}
	return total
}

// try marches all rows at their shares and joins what leaves them.
func (s *readyStage) try(r *Ready, w *place, back float64, trials []trial, seen *Trial) (mixed place, total float64) {
	for i := range trials {
		t := &trials[i]
		one := w.times(t.share / s.rows[i].alike)
		made := s.rows[i].march(r, &one, back, seen)
		t.learn(max(w.p-one.p, 1e-6), s.shares[i])
		s.shares[i] = t.share
		total += made * s.rows[i].alike
		mixed.q += one.q * s.rows[i].alike
		mixed.salt += one.salt * s.rows[i].alike
		mixed.p += one.p * t.share
	}
	return mixed, total
}

// learn takes in the drop at a share that was another one before. The slope is
// the secant's where the share moved enough to tell one, and else a power law's.
func (t *trial) learn(drop, was float64) {
	power := drop / t.share
	if moved := t.share - was; t.slope > 0 && math.Abs(moved) > 1e-5*t.share {
		t.slope = min(max((drop-t.drop)/moved, power), 8*power)
	} else if t.slope == 0 {
		t.slope = dropExponent * power
	}
	t.drop = drop
}

// moveShares takes Newton's step and returns the largest change over a share.
func moveShares(trials []trial) (moved float64) {
	pulls, loose := 0.0, 0.0
	for i := range trials {
		pulls += trials[i].drop / trials[i].slope
		loose += 1 / trials[i].slope
	}
	common, sum := pulls/loose, 0.0
	for i := range trials {
		t := &trials[i]
		step := min(max((common-t.drop)/t.slope, -0.6*t.share), 1.5*t.share)
		moved = max(moved, math.Abs(step)/t.share)
		t.share += step
		sum += t.share
	}
	for i := range trials {
		trials[i].share /= sum
	}
	return moved
}
