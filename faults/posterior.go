package faults

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"

	"rinsewright/plant"
)

// Quadrature of severity: nodes, and how wide each is taken.
var severities = [...]float64{0.12, 0.38, 0.64, 0.9}

const severityWidth = 0.11

// tail is the degrees of freedom of the likelihood's tails, an exponent:
// at few, one reading that is far off costs every cause about the same.
const tail = 6.0

// asked is a case made ready: its rig, its belief before today's readings, and
// the readings that it can have.
type asked struct {
	chain
	c        *Case
	rows     []Evidence
	observed []float64
	noise    []float64
	belief   belief
	at       []float64 // where causes are linearised
	sound    []float64 // readings of the sound rig there
	tried    []trial
	base     []Evidence // readings of the baseline that the rig has
}

// trial is one form of one cause with its severities.
type trial struct {
	cause  int // index into causes
	form   form
	logs   [len(severities)]float64 // log likelihood
	y      [len(severities)][]float64
	slope  *mat.Dense
	log    float64 // severity integrated
	failed bool
}

// ask makes a case ready: baseline first, then the drift to today, then the
// readings that today's conditions are told by.
func ask(c *Case) (*asked, error) {
	n, err := nominalOf(&c.Facts)
	if err != nil {
		return nil, err
	}
	a := &asked{chain: chain{n, doubtsOf(&c.Facts)}, c: c}
	b := a.prior()
	if a.base = a.kept(c.Baseline, false); len(a.base) > 0 {
		a.penOf(&b, a.base)
		if b, err = a.fit(b, a.base, onScales(a.base), fitSteps); err != nil {
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
		if _, ok := v.value(&e); ok && !math.IsNaN(e.SI) && !math.IsInf(e.SI, 0) {
			all = append(all, e)
		}
	}
	if now && a.n.bed != nil && a.c.Facts.SinceChange.Known && a.c.Facts.SinceChange.Value > 0 {
		all = append(all, Evidence{Reading: plant.Reading{Of: resinUsed, SI: float64(a.c.Facts.SinceChange.Value)}})
	}
	return all
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
}

// today finds where to linearise: the conditions that direct readings tell.
func (a *asked) today() error {
	x := a.belief.mean
	var direct []Evidence
	for i := range a.rows {
		for _, d := range a.doubts {
			if d.direct == a.rows[i].Of {
				direct = append(direct, a.rows[i])
			}
		}
	}
	if len(direct) > 0 {
		if b, err := a.fit(a.belief, direct, onScales(direct), 2); err == nil {
			x = b.mean
		}
	}
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
	if a.sound, err = a.predict(x, nil, a.rows); err != nil {
		return err
	}
	return nil
}

// try works out the likelihood of every form of every cause.
func (a *asked) try() {
	for k := range causes {
		if !(causes[k].weight(a.c) > 0) {
			continue
		}
		for _, f := range causes[k].forms(a.c) {
			a.tried = append(a.tried, a.tryOne(k, f))
		}
	}
}

func (a *asked) tryOne(k int, f form) trial {
	t := trial{cause: k, form: f, log: math.Inf(-1)}
	change := func(x float64) effect { return func(s *state) { f.change(s, x) } }
	ok := false
	for i, x := range severities {
		y, err := a.predict(a.at, change(x), a.rows)
		if t.logs[i] = math.Inf(-1); err == nil {
			t.y[i], ok = y, true
		}
	}
	for _, i := range []int{1, 0, 2, 3} { // the slope where the middle of it is
		if t.y[i] == nil || t.slope != nil {
			continue
		}
		if j, err := a.slope(a.at, a.belief.spreads(), change(severities[i]), a.rows, t.y[i]); err == nil {
			t.slope = j
		}
	}
	if t.failed = !ok || t.slope == nil; t.failed {
		return t
	}
	for i := range severities {
		if t.y[i] != nil {
			t.logs[i] = a.logLikelihood(t.y[i], t.bend(i), t.slope)
		}
	}
	t.log = floats.LogSumExp(t.logs[:]) - math.Log(float64(len(severities)))
	return t
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
func (a *asked) logLikelihood(y, bend []float64, j *mat.Dense) float64 {
	n := len(a.rows)
	if n == 0 {
		return 0
	}
	r := residuals(a.observed, y, j, a.at, a.belief.mean)
	_, s := spreadBy(a.belief.cov, j, a.noise)
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
