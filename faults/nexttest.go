package faults

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"

	"rinsewright/plant"
)

// Test is one thing that can be read or tried next.
type Test struct {
	Do       string
	Of       plant.Gauge // what is read, "" for a check without a gauge
	Number   int
	Cause    int     // whose own check it is; 0 for a gauge
	Minutes  float64 // number of minutes
	Kit      float64 // number of minutes of work that what it uses up costs
	Tells    float64 // expected information, a number of bits
	Outcomes []Outcome
}

// Outcome is one way in which a test may come out, its reading in SI, and what
// it would mean.
type Outcome struct {
	Reads  float64 // SI, about; not for a check without a gauge
	Says   string  // "it is so", "it is not so", "" for a gauge
	Causes []int   // that it would speak for, likeliest first
	Share  float64 // how likely it is to come out so, a share
}

// gaugeTests are what can be read on the path, with minutes. Source:
// [TradeFaults], its section of readings; kits as minutes of work that cost as much.
var gaugeTests = []Test{
	{Do: "read the tap with the pen", Of: plant.FeedStrength, Minutes: 1},
	{Do: "read the permeate after ten minutes' running", Of: plant.PermeateStrength, Minutes: 1},
	{Do: "read the permeate half a minute after a start", Of: plant.PermeateFirst, Minutes: 3},
	{Do: "read the concentrate", Of: plant.ConcentrateStrength, Minutes: 1},
	{Do: "read the feed's temperature", Of: plant.FeedTemperature, Minutes: 0.5},
	{Do: "catch the permeate in a bucket for a minute", Of: plant.PermeateFlow, Minutes: 2},
	{Do: "catch the drain in a bucket for a minute", Of: plant.ConcentrateFlow, Minutes: 2},
	{Do: "look at the drain with the tank full", Of: plant.ConcentrateFlowFull, Minutes: 5},
	{Do: "read the tap's pressure with nothing running", Of: plant.StaticPressure, Minutes: 2},
	{Do: "read the pressure ahead of the filters, running", Of: plant.TapPressure, Minutes: 2},
	{Do: "read the pressure at the membrane", Of: plant.FeedPressure, Minutes: 1},
	{Do: "read the pressure of the concentrate", Of: plant.ConcentratePressure, Minutes: 1},
	{Do: "hang a gauge on the permeate", Of: plant.PermeatePressure, Minutes: 4},
	{Do: "test total chlorine at the membrane", Of: plant.MembraneChlorine, Minutes: 3, Kit: 1},
	{Do: "test free chlorine at the membrane", Of: plant.MembraneFreeChlorine, Minutes: 3, Kit: 1},
	{Do: "test the hardness behind the softener", Of: plant.MembraneHardness, Minutes: 3, Kit: 0.5},
	{Do: "test the pH of the permeate", Of: plant.PermeatePH, Minutes: 2},
	{Do: "test iron in the tap water", Of: plant.FeedIron, Minutes: 8, Kit: 2},
	{Do: "read behind the lead vessel", Of: plant.LeadStrength, Minutes: 1.5},
	{Do: "read behind the last vessel", Of: plant.PolishStrength, Minutes: 1},
	{Do: "read behind the resin in its first minute", Of: plant.PolishFirst, Minutes: 3},
	{Do: "test silica behind the resin", Of: plant.PolishSilica, Minutes: 8, Kit: 3},
	{Do: "read the tank", Of: plant.TankStrength, Minutes: 1},
	{Do: "shut the pump's outlet and watch the level for a quarter of an hour", Of: plant.TankDrop, Minutes: 15},
	{Do: "read the gun in its first 20 seconds", Of: plant.GunFirst, Minutes: 2},
	{Do: "read what drips off a rinsed panel", Of: plant.DripStrength, Minutes: 3},
	{Do: "catch one gun in a bucket", Of: plant.GunFlow, Minutes: 3},
	{Do: "catch one gun with every bay open", Of: plant.GunFlowAll, Minutes: 5},
	{Do: "read the pressure at the gun", Of: plant.GunPressure, Minutes: 3},
	{Do: "count the starts in an hour of running", Of: plant.StartsPerHour, Minutes: 10},
	{Do: "read the hour meter against the calendar", Of: plant.HoursPerDay, Minutes: 1},
}

// How sure a check without a gauge is: how often it says so when it is so, and
// when it is not. Common practice, no source.
const (
	saysSo      = 0.85
	saysWrongly = 0.1
)

// ahead is what a likely cause foresees for readings that were not taken.
type ahead struct {
	cause int // number
	p     float64
	mean  []float64
	sd    []float64
}

// vague is what a reading counts whose outcomes run into one another.
const vague = 0.1

// mostAhead bounds how many causes a next test is weighed by.
const mostAhead = 8

// nextTests are the tests worth most for their minutes, best first.
func (a *asked) nextTests(f *Finding, best []*trial) (all []Test) {
	rows, tests := a.untaken()
	aheads := a.aheads(f, best, rows)
	for i, t := range tests {
		if t.Tells, t.Outcomes = tellsOf(aheads, i, &rows[i]); len(t.Outcomes) < 2 {
			t.Tells *= vague
		}
		all = append(all, t)
	}
	for _, s := range f.Ranked[:min(mostAhead, len(f.Ranked))] {
		r := RemedyOf(s.Cause.Number)
		if r.Settles == "" {
			continue
		}
		t := Test{Do: r.Settles, Cause: s.Cause.Number, Minutes: float64(r.Takes), Tells: checkTells(s.Probability)}
		yes := s.Probability*saysSo + (1-s.Probability)*saysWrongly
		t.Outcomes = []Outcome{
			{Says: "it is so", Causes: []int{s.Cause.Number}, Share: yes},
			{Says: "it is not so", Causes: othersThan(f, s.Cause.Number), Share: 1 - yes},
		}
		all = append(all, t)
	}
	slices.SortStableFunc(all, func(x, y Test) int { return cmp.Compare(y.worth(), x.worth()) })
	seen := map[plant.Gauge]bool{} // one bay or housing at a time
	return slices.DeleteFunc(all, func(t Test) bool {
		twice := t.Of != "" && seen[t.Of]
		seen[t.Of] = true
		return twice
	})
}

// worth is information for a minute; two minutes go into turning to anything.
func (t *Test) worth() float64 { return t.Tells / (t.Minutes + t.Kit + 2) }

func othersThan(f *Finding, number int) (all []int) {
	for _, s := range f.Ranked {
		if s.Cause.Number != number && len(all) < 2 {
			all = append(all, s.Cause.Number)
		}
	}
	return all
}

// checkTells is the information of a check that says yes or no of one cause.
func checkTells(p float64) float64 {
	yes := p*saysSo + (1-p)*saysWrongly
	return entropy(yes) - p*entropy(saysSo) - (1-p)*entropy(saysWrongly)
}

func entropy(p float64) float64 {
	if !(p > 0 && p < 1) {
		return 0
	}
	return -p*math.Log2(p) - (1-p)*math.Log2(1-p)
}

// untaken are the readings that this rig can have and nobody took.
func (a *asked) untaken() (rows []Evidence, tests []Test) {
	s := a.stateAt(a.at)
	v, err := a.n.see(&s)
	if err != nil {
		return nil, nil
	}
	add := func(t Test) {
		e := Evidence{}
		e.Of, e.Number = t.Of, t.Number
		if slices.ContainsFunc(a.rows, func(r Evidence) bool { return r.Of == e.Of && (r.Number == e.Number || e.Number == 0) }) {
			return
		}
		if t.Of == plant.PermeateStrength {
			e.Timed, e.Running = true, 600
		}
		if t.Of == plant.MembraneHardness && !a.c.Facts.Softener || t.Of == plant.LeadStrength && a.c.Facts.Lag == 0 {
			return
		}
		if _, ok := v.value(&e); ok {
			rows, tests = append(rows, e), append(tests, t)
		}
	}
	for _, t := range gaugeTests {
		add(t)
	}
	for bay := range a.c.Facts.Bays {
		add(Test{Do: "read the gun of bay " + digits(bay+1), Of: plant.GunStrength, Number: bay + 1, Minutes: 2})
	}
	for h := range max(a.c.Facts.Housings, 1) {
		if a.c.Facts.Housings > 1 {
			add(Test{Do: "read the permeate of housing " + digits(h+1), Of: plant.HousingStrength, Number: h + 1, Minutes: 2})
		}
	}
	return rows, tests
}

func digits(n int) string {
	if n >= 10 {
		return digits(n/10) + digits(n%10)
	}
	return string(rune('0' + n))
}

// aheads is what the likeliest causes foresee, each at its best severity and
// with the doubts as the readings left them.
func (a *asked) aheads(f *Finding, best []*trial, rows []Evidence) (all []ahead) {
	for _, s := range f.Ranked {
		if len(all) == mostAhead {
			break
		}
		t := best[indexOf(s.Cause.Number)]
		if t == nil || t.failed || s.Probability < 0.005 {
			continue
		}
		if next, ok := a.aheadOf(t, rows); ok {
			next.cause, next.p = s.Cause.Number, s.Probability
			all = append(all, next)
		}
	}
	return all
}

func (a *asked) aheadOf(t *trial, rows []Evidence) (ahead, bool) {
	x, cov := a.settledBy(t)
	change := func(s *state) { t.form.change(s, t.severity()) }
	y, err := a.predict(x, change, rows)
	if err != nil {
		return ahead{}, false
	}
	b := belief{x, cov}
	j, err := a.slope(x, b.spreads(), change, rows, y)
	if err != nil {
		return ahead{}, false
	}
	worse, err := a.predict(x, func(s *state) { t.form.change(s, min(t.severity()+0.2, 1)) }, rows)
	if err != nil {
		worse = y
	}
	out := ahead{mean: y, sd: make([]float64, len(rows))}
	var pj mat.Dense
	pj.Mul(j, cov)
	for i := range rows {
		v := square(worse[i]-y[i]) + square(rows[i].instrument().spread(unscaled(&rows[i], y[i])))
		for k := range x {
			v += pj.At(i, k) * j.At(i, k)
		}
		out.sd[i] = math.Sqrt(v)
	}
	return out, true
}

// settledBy are the doubts as the readings leave them if a cause is at work.
func (a *asked) settledBy(t *trial) ([]float64, *mat.SymDense) {
	if t.slope == nil || len(a.rows) == 0 {
		return a.belief.mean, a.belief.cov
	}
	node := t.best()
	r := residuals(a.observed, t.y[node], t.slope, t.at, a.belief.mean)
	mean, cov, err := update(a.belief, t.slope, r, a.noiseOf(t.y[node], t.sound))
	if err != nil {
		return a.belief.mean, a.belief.cov
	}
	sd := a.belief.spreads()
	for i := range mean {
		mean[i] = min(max(mean[i], a.belief.mean[i]-2.5*sd[i]), a.belief.mean[i]+2.5*sd[i])
	}
	return mean, cov
}

// unscaled is the reading at a point of its scale.
func unscaled(e *Evidence, y float64) float64 {
	in := e.instrument()
	if in.knee == 0 {
		return y
	}
	return 2 * in.knee * math.Sinh(y)
}

const outcomeGrid = 60

// tellsOf is the information between causes and one reading, by sums over a grid
// of what it may read, and what its likelier outcomes would mean.
func tellsOf(all []ahead, row int, e *Evidence) (bits float64, outcomes []Outcome) {
	low, high, total := math.Inf(1), math.Inf(-1), 0.0
	for i := range all {
		low = min(low, all[i].mean[row]-3*all[i].sd[row])
		high = max(high, all[i].mean[row]+3*all[i].sd[row])
		total += all[i].p
	}
	if !(high > low) || !(total > 0) {
		return 0, nil
	}
	step := (high - low) / outcomeGrid
	for k := range outcomeGrid {
		y, mix := low+(float64(k)+0.5)*step, 0.0
		for i := range all {
			mix += all[i].p / total * normal(y, all[i].mean[row], all[i].sd[row])
		}
		for i := range all {
			if d := normal(y, all[i].mean[row], all[i].sd[row]); d > 1e-12 && mix > 1e-12 {
				bits += all[i].p / total * d * math.Log2(d/mix) * step
			}
		}
	}
	return max(bits, 0) * total, outcomesOf(all, row, e)
}

func normal(y, mean, sd float64) float64 {
	z := (y - mean) / sd
	return math.Exp(-z*z/2) / (sd * math.Sqrt(2*math.Pi))
}

// outcomesOf groups causes that foresee about the same.
func outcomesOf(all []ahead, row int, e *Evidence) (out []Outcome) {
	order := slices.Clone(all)
	slices.SortStableFunc(order, func(x, y ahead) int { return cmp.Compare(x.mean[row], y.mean[row]) })
	var last ahead
	for i, x := range order {
		if i > 0 && x.mean[row]-last.mean[row] < 1.2*math.Hypot(x.sd[row], last.sd[row]) {
			o := &out[len(out)-1]
			o.Causes, o.Share = append(o.Causes, x.cause), o.Share+x.p
			continue
		}
		last = x
		out = append(out, Outcome{Reads: unscaled(e, x.mean[row]), Causes: []int{x.cause}, Share: x.p})
	}
	return out
}
