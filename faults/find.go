package faults

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
)

// Finding is what may be wrong, likeliest first.
type Finding struct {
	Ranked []Suspect
}

// Suspect is one cause with how surely it is meant.
type Suspect struct {
	Cause       Cause
	Probability float64 // that it is at work, a share; all add up to 1
	Severity    float64 // mean, dimensionless: 0 hardly to 1 ruin
	Form        string  // "bay 3", where the cause has forms
}

// Find ranks all causes of a case. It returns the error of a rig that cannot
// be: a nameplate that makes no element, or readings that no plant has.
func Find(c Case) (*Finding, error) {
	a, err := ask(&c)
	if err != nil {
		return nil, err
	}
	a.try()
	return a.find(), nil
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
	words := heard(a.c.Words)
	weight := make([]float64, len(causes))
	all := 0.0
	for k := range causes {
		weight[k] = causes[k].weight(a.c)
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
	for k := range causes {
		p := 0.0
		if total > math.Inf(-1) {
			p = math.Exp(logs[k] - total)
		}
		s := Suspect{Cause: causes[k], Probability: p}
		if best[k] != nil {
			s.Form, s.Severity = best[k].form.says, best[k].severity()
		}
		f.Ranked = append(f.Ranked, s)
	}
	slices.SortStableFunc(f.Ranked, func(x, y Suspect) int { return cmp.Compare(y.Probability, x.Probability) })
	return f
}

// temper is the exponent of the likelihood: what the linearisation and the
// model leave out makes readings say less than their instruments would.
const temper = 0.8

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
