package faults

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"

	"rinsewright/quantity"
)

// Finding is what may be wrong, likeliest first, and what to do next.
type Finding struct {
	Ranked []Suspect
	Both   []Together // pairs worth naming, likeliest first
	Alike  [][]int    // causes that the readings taken cannot part, by number
	Next   []Test     // best for its minutes first
	Heard  []Remark
	Traps  []string // mistakes that cost the customer a part
	Used   int      // readings that were weighed
	Based  bool     // on a baseline of this rig
}

// Suspect is one cause with how surely it is meant.
type Suspect struct {
	Cause       Cause
	Probability float64 // that it is at work, a share; all add up to 1
	Severity    float64 // mean, dimensionless: 0 hardly to 1 ruin
	Form        string  // "bay 3", where the cause has forms
	Points      []Point // what it foresees beside what was read; of the first few
	Remedy      Remedy
	// Life is how much water the lead vessel polishes with the cause at work, and
	// Sound without; 0 without resin. Of the first few.
	Life, Sound quantity.Volume
}

// Together is two causes at once.
type Together struct {
	One, Two    int     // numbers
	Probability float64 // a share
}

// explained is how many causes are told reading by reading.
const explained = 5

// Rank is [Find] without explanation and next tests. Errors are its; beside one
// the causes are still ranked, by words and weights alone.
func Rank(c Case) ([]Suspect, error) {
	a, err := ask(&c)
	if err != nil {
		return wordsAlone(&c), err
	}
	a.try()
	return a.find().Ranked, nil
}

// Find ranks all causes of a case, explains the first few, and says what to test
// next. The error wraps [ErrRange] for a reading that no instrument shows, or is
// that of a rig that cannot be: a nameplate that makes no element, or conditions
// in which no plant settles.
func Find(c Case) (*Finding, error) {
	a, err := ask(&c)
	if err != nil {
		return nil, err
	}
	a.try()
	f := a.find()
	f.Heard, f.Used, f.Based = Heard(c.Words), len(a.rows), len(a.base) > 0
	for i := range f.Ranked[:explained] {
		t := a.best[indexOf(f.Ranked[i].Cause.Number)]
		f.Ranked[i].Points = a.explain(t)
		f.Ranked[i].Life, f.Ranked[i].Sound = a.lives(t)
	}
	for i := range f.Ranked {
		f.Ranked[i].Remedy = RemedyOf(f.Ranked[i].Cause.Number)
	}
	f.Alike = a.groups(f)
	f.Next = a.nextTests(f, a.best)
	f.Traps = trapsOf(f)
	return f, nil
}

// wordsAlone ranks without the plant, where there is none that the readings fit.
func wordsAlone(c *Case) (all []Suspect) {
	logs := heard(c.Words)
	for k := range causes {
		logs[k] += math.Log(c.weigh(k))
	}
	total := floats.LogSumExp(logs)
	for k := range causes {
		all = append(all, Suspect{Cause: causes[k], Probability: math.Exp(logs[k] - total), Severity: 0.5})
	}
	slices.SortStableFunc(all, func(x, y Suspect) int { return cmp.Compare(y.Probability, x.Probability) })
	return all
}

// lives is what the lead vessel polishes with a cause at work and without.
func (a *asked) lives(t *trial) (ill, sound quantity.Volume) {
	if a.n.bed == nil || t == nil {
		return 0, 0
	}
	s := a.stateAt(a.at)
	if v, err := a.n.see(&s); err == nil {
		sound = quantity.Volume(v.life())
	}
	t.form.change(&s, t.severity())
	if v, err := a.n.see(&s); err == nil {
		ill = quantity.Volume(v.life())
	}
	return ill, sound
}

// formOf is the form of a trial in words, or none where another form of its
// cause does about as well.
func (a *asked) formOf(t *trial) string {
	for i := range a.tried {
		o := &a.tried[i]
		if o.cause == t.cause && o.form.says != t.form.says && o.log > t.log-0.5 {
			return ""
		}
	}
	return t.form.says
}

// groups are causes of more than one in twenty that the readings cannot part.
func (a *asked) groups(f *Finding) (all [][]int) {
	in := map[int]bool{}
	for i, s := range f.Ranked {
		if s.Probability < 0.05 || in[s.Cause.Number] {
			continue
		}
		group := []int{s.Cause.Number}
		for _, other := range f.Ranked[i+1:] {
			if other.Probability >= 0.05 && a.alike(a.best[indexOf(s.Cause.Number)], a.best[indexOf(other.Cause.Number)]) {
				group = append(group, other.Cause.Number)
				in[other.Cause.Number] = true
			}
		}
		if len(group) > 1 {
			all = append(all, group)
		}
	}
	return all
}

// trapsOf calls the mistake of a new membrane on chlorine wherever a cause that may
// well be ends in a new element.
func trapsOf(f *Finding) []string {
	for _, s := range f.Ranked {
		if s.Probability >= 0.05 && slices.Contains(s.Remedy.Cautions, Trap) {
			return []string{Trap}
		}
	}
	return nil
}

func (a *asked) find() *Finding {
	logs := make([]float64, len(causes))
	best := make([]*trial, len(causes))
	for k := range logs {
		logs[k] = math.Inf(-1)
	}
	weights := make([]float64, len(causes))
	for i := range a.tried {
		weights[a.tried[i].cause] += a.tried[i].form.weight
	}
	for i := range a.tried {
		t := &a.tried[i]
		w := math.Log(t.form.weight / weights[t.cause])
		logs[t.cause] = logAdd(logs[t.cause], t.log+w)
		if best[t.cause] == nil || t.log > best[t.cause].log {
			best[t.cause] = t
		}
	}
	a.best = best
	words := heard(a.c.Words)
	weight := make([]float64, len(causes))
	all := 0.0
	for k := range causes {
		weight[k] = a.c.weigh(k)
		all += weight[k]
	}
	if !a.paired {
		a.both, a.paired = a.pairs(logs, best), true
	}
	for k := range causes {
		logs[k] = temper*logs[k] + math.Log(weight[k]) + words[k] + math.Log(1-twoAtOnce)
	}
	for _, p := range a.both { // told half to each
		said := min(words[p.one]+words[p.two], mostWords)
		log := temper*p.log + math.Log(weight[p.one]*weight[p.two]/all) + said + math.Log(twoAtOnce)
		logs[p.one], logs[p.two] = logAdd(logs[p.one], log), logAdd(logs[p.two], log)
	}
	total := floats.LogSumExp(logs)
	f := &Finding{}
	for _, p := range a.both {
		said := min(words[p.one]+words[p.two], mostWords)
		share := 2 * math.Exp(temper*p.log+math.Log(weight[p.one]*weight[p.two]/all)+said+math.Log(twoAtOnce)-total)
		if share > 0.1 {
			f.Both = append(f.Both, Together{causes[p.one].Number, causes[p.two].Number, share})
		}
	}
	slices.SortStableFunc(f.Both, func(x, y Together) int { return cmp.Compare(y.Probability, x.Probability) })
	for k := range causes {
		p := 0.0
		if total > math.Inf(-1) {
			p = math.Exp(logs[k] - total)
		}
		s := Suspect{Cause: causes[k], Probability: p}
		if best[k] != nil {
			s.Form, s.Severity = a.formOf(best[k]), best[k].severity()
		}
		f.Ranked = append(f.Ranked, s)
	}
	slices.SortStableFunc(f.Ranked, func(x, y Suspect) int { return cmp.Compare(y.Probability, x.Probability) })
	return f
}

// temper is the exponent of the likelihood: what the linearisation and the
// model leave out makes readings say less than their instruments would.
const temper = 0.9

func logAdd(a, b float64) float64 {
	if math.IsInf(a, -1) {
		return b
	}
	if math.IsInf(b, -1) {
		return a
	}
	m := max(a, b)
	return m + math.Log(math.Exp(a-m)+math.Exp(b-m))
}

func (t *trial) severity() float64 {
	top := floats.Max(t.logs[:])
	if math.IsInf(top, -1) {
		return 0.5
	}
	sum, mean := 0.0, 0.0
	for i, x := range severities {
		w := math.Exp(t.logs[i] - top)
		sum, mean = sum+w, mean+w*x
	}
	return mean / sum
}
