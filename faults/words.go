package faults

import (
	"cmp"
	"math"
	"slices"
	"strings"
)

// Remark is one thing that was heard in what people said.
type Remark struct {
	Concept string   `json:"concept"` // what it was taken for
	Heard   []string `json:"heard"`   // the words, as they were said
	Speaks  []int    `json:"speaks"`  // causes that it speaks for, strongest first
}

// mostWords bounds what all words together may add to the logarithm of a cause:
// words are soft, sometimes false, and never decide.
const mostWords = 3.7

// Hearsay begins a remark that somebody passes on without having seen it; it
// counts a third.
const Hearsay = "hearsay: "

const hearsayCounts = 1.0 / 3

// heard is what remarks add to the logarithm of each cause, over all that each may
// mean:
//
//	ln Σ_t P(t | words) exp s_tk
//
// The same thing said twice counts once.
func heard(words []string) []float64 {
	add := make([]float64, len(causes))
	for _, r := range understood(words) {
		for k := range add {
			add[k] += r.adds[k]
		}
	}
	for k := range add {
		add[k] = min(max(add[k], -mostWords), mostWords)
	}
	return add
}

// understanding is what was made of one remark.
type understanding struct {
	words []string
	topic int
	sure  float64 // share, with hearsay's
	adds  []float64
}

// understood lists what was made of remarks; of those that mean the same the
// clearest is kept.
func understood(words []string) (all []understanding) {
	for _, text := range words {
		remark, told := strings.CutPrefix(text, Hearsay)
		u := listener().understand(remark)
		if u.words = []string{text}; told {
			u.sure *= hearsayCounts
			for k := range u.adds {
				u.adds[k] *= hearsayCounts
			}
		}
		i := slices.IndexFunc(all, func(o understanding) bool { return o.topic == u.topic })
		if i < 0 {
			all = append(all, u)
			continue
		}
		both := append(slices.Clone(all[i].words), text)
		if u.sure > all[i].sure {
			all[i] = u
		}
		all[i].words = both
	}
	return all
}

func (e *ear) understand(remark string) understanding {
	p := e.means(remark)
	u := understanding{adds: make([]float64, len(causes))}
	for i := range u.adds {
		u.adds[i] = 1
	}
	for i, share := range p {
		if share > u.sure {
			u.topic, u.sure = i, share
		}
		for _, s := range e.topics[i].speaks {
			u.adds[indexOf(s.cause)] += share * math.Expm1(s.log)
		}
	}
	for k, x := range u.adds {
		u.adds[k] = math.Log(max(x, math.Exp(-mostWords)))
	}
	return u
}

func indexOf(number int) int {
	return slices.IndexFunc(causes, func(c Cause) bool { return c.Number == number })
}

// clearly is from which share on a remark is told as understood.
const clearly = 0.5

// Heard tells what was made of people's words, for the page and for whoever
// doubts it.
func Heard(words []string) (all []Remark) {
	e := listener()
	for _, u := range understood(words) {
		if t := e.topics[u.topic]; !t.idle && u.sure >= clearly*hearsayCounts {
			all = append(all, Remark{t.name, u.words, t.favours()})
		}
	}
	return all
}

// favours lists the causes that a topic speaks for, strongest first.
func (t *topic) favours() (numbers []int) {
	speaks := slices.Clone(t.speaks)
	slices.SortStableFunc(speaks, func(a, b speak) int { return cmp.Compare(b.log, a.log) })
	for _, s := range speaks {
		if s.log > mayBring {
			numbers = append(numbers, s.cause)
		}
	}
	return numbers
}
