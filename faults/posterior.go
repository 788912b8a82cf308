package faults

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"

	"rinsewright/plant"
	"rinsewright/quantity"
)

// Quadrature of severity: nodes, and how wide each is taken.
var severities = [...]float64{0.12, 0.38, 0.64, 0.9}

const severityWidth = 0.11

// tail is the degrees of freedom of the likelihood's tails, an exponent:
// at few, one reading that is far off costs every cause about the same.
const tail = 10.0

// asked is a case made ready: its rig, its belief before today's readings, and
// the readings that it can have.
type asked struct {
	chain
	c          *Case
	rows       []Evidence
	observed   []float64
	noise      []float64
	belief     belief
	at         []float64 // where causes are linearised
	sound      []float64 // readings of the sound rig there
	tried      []trial
	base       []Evidence // readings of the baseline that the rig has
	both       []pair
	best       []*trial // the likeliest form of each cause
	soundSlope *mat.Dense
	paired     bool
}

// trial is one form of one cause with its severities.
type trial struct {
	cause  int // index into causes
	form   form
	logs   [len(severities)]float64 // log likelihood
	y      [len(severities)][]float64
	slope  *mat.Dense
	at     []float64 // where it is linearised
	sound  []float64 // readings of the sound rig there
	log    float64   // severity integrated
	failed bool
}

// ask makes a case ready: baseline first, then the drift to today, then the
// readings that today's conditions are told by.
func ask(c *Case) (*asked, error) {
	if err := errors.Join(credible(c.Baseline), credible(c.Now)); err != nil {
		return nil, err
	}
	n, err := nominalOf(&c.Facts)
	if err != nil {
		return nil, err
	}
	a := &asked{chain: chainOf(n), c: c}
	b := a.prior()
	if a.base = a.kept(c.Baseline, false); len(a.base) > 0 {
		a.penOf(&b, a.base)
		if b, err = a.fit(b, nil, a.base, fitSteps); err != nil {
			b = a.prior() // a baseline that no sound rig has: as if there were none
			a.base = nil
		} else {
			a.drift(&b)
		}
	}
	a.rows = a.kept(c.Now, true)
	if !samePen(c.Baseline, c.Now) || len(a.base) == 0 {
		a.penOf(&b, a.rows)
	}
	a.observed = onScales(a.rows)
	a.noise = noise(a.rows, a.observed)
	a.belief = b
	return a, a.today()
}

// kept drops readings of what the rig has not, and adds the figure of the
// resin's use.
func (a *asked) kept(rows []Evidence, now bool) (all []Evidence) {
	s := a.stateAt(make([]float64, len(a.doubts)))
	v, err := a.n.see(&s)
	if err != nil {
		return nil
	}
	for _, e := range rows {
		if _, ok := v.value(&e); ok {
			all = append(all, e)
		}
	}
	if now && a.n.bed != nil {
		all = append(all, a.sinceChange()...)
	}
	return all
}

// sinceChange is what the lead vessel has behind it: by the meter, or by the calendar
// and the use of water.
func (a *asked) sinceChange() []Evidence {
	f := &a.c.Facts
	switch {
	case f.SinceChange.Known && f.SinceChange.Value > 0:
		return []Evidence{{Reading: plant.Reading{Of: ResinWater, SI: float64(f.SinceChange.Value)}}}
	case f.SinceTime.Known && f.SinceTime.Value > 0 && f.PerDay.Known:
		return []Evidence{{Reading: plant.Reading{Of: ResinTime, SI: float64(f.SinceTime.Value)}}}
	}
	return nil
}

// penOf widens the pen's doubt to what its scale leaves open, and cuts it from
// what another pen told.
func (a *asked) penOf(b *belief, rows []Evidence) {
	gain, zero := penDoubts(a.doubts)
	sd := a.doubts[gain].before
	for i := range rows {
		if rows[i].ScaleDoubt {
			sd = scaleSD
		}
	}
	for _, k := range []int{gain, zero} {
		for i := range b.mean {
			b.cov.SetSym(i, k, 0)
		}
		b.mean[k] = 0
	}
	b.cov.SetSym(gain, gain, square(sd))
	b.cov.SetSym(zero, zero, square(a.doubts[zero].before))
}

// samePen tells whether two sets of readings name the same pen.
func samePen(a, b []Evidence) bool {
	name := func(rows []Evidence) string {
		for i := range rows {
			if rows[i].Of == plant.PermeateStrength || rows[i].Of == plant.FeedStrength {
				return rows[i].Instrument
			}
		}
		return ""
	}
	x := name(a)
	return x != "" && x == name(b)
}

func (a *asked) drift(b *belief) {
	for i := range a.doubts {
		b.cov.SetSym(i, i, b.cov.At(i, i)+square(a.doubts[i].drift))
	}
	years := min(float64(a.n.facts.BaselineAge.Or(quantity.Time(yearLong)))/yearLong, 4)
	b.mean[a.water] -= waterLost * years
	b.mean[a.salt] += saltGained * years
}

// today finds where to linearise: the conditions that direct readings tell.
func (a *asked) today() error {
	x := a.directly(nil)
	a.at = x
	s := a.stateAt(x)
	v, err := a.n.see(&s)
	if err != nil {
		return fmt.Errorf("faults: the rig as the readings tell it: %w", err)
	}
	if a.n.bed != nil && a.n.facts.ResinPlace == BeforeTank {
		a.n.oldTank = max(v.out, v.tankAir/2)
	} else {
		old := a.stateAt(a.belief.mean)
		if v, err := a.n.see(&old); err == nil {
			a.n.oldTank = v.mean()
		}
	}
	if a.sound, err = a.predict(x, nil, a.rows); err != nil || len(a.rows) == 0 {
		return err
	}
	a.soundSlope, err = a.slope(x, a.belief.spreads(), nil, a.rows, a.sound)
	return err
}

// directly is where the readings that tell a condition by themselves put the
// doubts, with a cause at work or without.
func (a *asked) directly(change effect) []float64 {
	var direct []Evidence
	for i := range a.rows {
		for _, d := range a.doubts {
			if d.direct == a.rows[i].Of {
				direct = append(direct, a.rows[i])
			}
		}
	}
	if b, err := a.fit(a.belief, change, direct, 2); err == nil {
		return b.mean
	}
	return a.belief.mean
}

// try works out the likelihood of every form of every cause; the likelier ones
// a second time, around their own best point.
func (a *asked) try() {
	for k := range causes {
		if !(a.c.weigh(k) > 0) {
			continue
		}
		for _, f := range causes[k].forms(a.c) {
			at, sound := a.at, a.sound
			if f.told {
				at = a.directly(func(s *state) { f.change(s, severities[1]) })
				if y, err := a.predict(at, nil, a.rows); err == nil {
					sound = y
				}
			}
			a.tried = append(a.tried, a.tryOne(k, f, at, sound, 1))
		}
	}
	order := make([]int, len(a.tried))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(i, j int) int { return cmp.Compare(a.tried[j].log, a.tried[i].log) })
	for _, i := range order[:min(again, len(order))] {
		if t := a.closer(&a.tried[i]); !t.failed {
			a.tried[i] = t
		}
	}
}

// again is how many forms are tried a second time.
const again = 14

// closer tries a form again around the point that its best node asks for.
func (a *asked) closer(t *trial) trial {
	best := floats.MaxIdx(t.logs[:])
	if t.failed || t.y[best] == nil || len(a.rows) == 0 {
		return trial{failed: true}
	}
	r := residuals(a.observed, t.y[best], t.slope, t.at, a.belief.mean)
	mean, _, err := update(a.belief, t.slope, r, a.noiseOf(t.y[best], t.sound))
	if err != nil {
		return trial{failed: true}
	}
	at, sd := append([]float64{}, t.at...), a.belief.spreads()
	for i := range at {
		at[i] = min(max(mean[i], a.belief.mean[i]-2.5*sd[i]), a.belief.mean[i]+2.5*sd[i])
	}
	sound, err := a.predict(at, nil, a.rows)
	if err != nil {
		return trial{failed: true}
	}
	return a.tryOne(t.cause, t.form, at, sound, best)
}

// tryOne works out the likelihood of a form around a point, with the slope at
// one node.
func (a *asked) tryOne(k int, f form, at, sound []float64, node int) trial {
	if len(a.rows) == 0 { // nothing was read: words and weights alone
		return trial{cause: k, form: f}
	}
	t := trial{cause: k, form: f, log: math.Inf(-1), at: at, sound: sound}
	change := func(x float64) effect { return func(s *state) { f.change(s, x) } }
	ok := false
	for i, x := range severities {
		y, err := a.predict(at, change(x), a.rows)
		if t.logs[i] = math.Inf(-1); err == nil {
			t.y[i], ok = y, true
		}
	}
	for _, i := range []int{node, 1, 0, 2, 3} {
		if t.y[i] == nil || t.slope != nil {
			continue
		}
		if j, err := a.slope(at, a.belief.spreads(), change(severities[i]), a.rows, t.y[i]); err == nil {
			t.slope = j
		}
	}
	if t.failed = !ok || t.slope == nil; t.failed {
		return t
	}
	for i := range severities {
		if t.y[i] != nil {
			t.logs[i] = a.logLikelihood(&t, i)
		}
	}
	t.log = floats.LogSumExp(t.logs[:]) - math.Log(float64(len(severities)))
	return t
}

// changeDoubt is how far the model may be off in a change that a cause makes,
// as a share of that change: a rig far from sound is known less well.
const changeDoubt = 0.2

func (a *asked) noiseOf(y, sound []float64) []float64 {
	all := make([]float64, len(y))
	for i := range y {
		all[i] = a.noise[i] + square(changeDoubt*(y[i]-sound[i]))
	}
	return all
}

// bend is how the readings move with severity at a node.
func (t *trial) bend(i int) []float64 {
	low, high := max(i-1, 0), min(i+1, len(severities)-1)
	if t.y[low] == nil {
		low = i
	}
	if t.y[high] == nil {
		high = i
	}
	g := make([]float64, len(t.y[i]))
	if low == high {
		return g
	}
	for r := range g {
		g[r] = (t.y[high][r] - t.y[low][r]) / (severities[high] - severities[low]) * severityWidth
	}
	return g
}

// logLikelihood is that of the readings, in Student's form, up to a constant
// that is the same for every cause:
//
//	−½ ln|S| − (ν + n)/2 ln(1 + rᵀ S⁻¹ r/ν)
func (a *asked) logLikelihood(t *trial, node int) float64 {
	return a.likelihood(t, node, t.bend(node))
}

func (a *asked) likelihood(t *trial, node int, bend []float64) float64 {
	n := len(a.rows)
	if n == 0 {
		return 0
	}
	r := residuals(a.observed, t.y[node], t.slope, t.at, a.belief.mean)
	_, s := spreadBy(a.belief.cov, t.slope, a.noiseOf(t.y[node], t.sound))
	for i := range n {
		for k := i; k < n; k++ {
			if b := bend[i] * bend[k]; b != 0 {
				s.SetSym(i, k, s.At(i, k)+b)
			}
		}
	}
	var chol mat.Cholesky
	if !chol.Factorize(s) {
		return math.Inf(-1)
	}
	residual := mat.NewVecDense(n, r)
	var solved mat.VecDense
	if err := chol.SolveVecTo(&solved, residual); err != nil && !isCondition(err) {
		return math.Inf(-1)
	}
	d := mat.Dot(residual, &solved)
	return -chol.LogDet()/2 - (tail+float64(n))/2*math.Log1p(d/tail)
}
