package faults

import (
	_ "embed"
	"encoding/csv"
	"math"
	"slices"
	"strings"
	"sync"
	"unicode"
)

// Sayings are how owners and technicians might say each row of the trade's table
// and each complaint, English and Spanish: columns about and says.
//
//go:embed sayings.csv
var sayings string

// ear knows how often each word is used of each topic.
type ear struct {
	topics []topic
	said   []map[string]float64 // times, by topic
	total  []float64            // words, by topic
	pooled map[string]float64
	all    float64
	tongue
}

// tongue makes words of a remark.
type tongue struct {
	kin                   map[string]string
	idle, deny, undenying map[string]bool
}

// listener is made of the sayings when somebody first says something.
var listener = sync.OnceValue(newEar)

func newEar() *ear {
	e := &ear{topics: topicsOf(), pooled: map[string]float64{}, tongue: newTongue()}
	e.said, e.total = make([]map[string]float64, len(e.topics)), make([]float64, len(e.topics))
	at := map[string]int{}
	for i, t := range e.topics {
		at[t.key], e.said[i] = i, map[string]float64{}
	}
	rows, err := csv.NewReader(strings.NewReader(sayings)).ReadAll()
	if err != nil {
		return e // a test reads the table
	}
	for _, row := range rows[1:] {
		t, ok := at[row[0]]
		if !ok {
			continue
		}
		for _, w := range e.words(row[1]) {
			e.said[t][w]++
			e.total[t]++
			e.pooled[w]++
			e.all++
		}
	}
	return e
}

func newTongue() tongue {
	t := tongue{kin: map[string]string{}, idle: map[string]bool{}, deny: map[string]bool{}, undenying: map[string]bool{}}
	for _, line := range strings.Split(kinText, "\n") {
		kept, others, _ := strings.Cut(line, ":")
		t.kin[kept] = kept
		for _, w := range strings.Fields(others) {
			t.kin[w] = kept
		}
	}
	for _, w := range strings.Fields(idleText) {
		t.idle[w] = true
	}
	for _, w := range strings.Fields(denyText) {
		t.deny[w] = true
	}
	for _, w := range strings.Fields(undenyText) {
		t.undenying[w] = true
	}
	return t
}

// deniedWords is how many words a denial reaches: "no smell of chlorine" denies both,
// "not today, and it smells" does not.
const deniedWords = 2

// words are what counts of a remark, each once: stems, kin as one, without idle
// words; what is denied is another word.
func (t *tongue) words(remark string) (all []string) {
	add := func(w string) {
		if !slices.Contains(all, w) {
			all = append(all, w)
		}
	}
	for _, clause := range strings.FieldsFunc(plain(remark), func(r rune) bool { return strings.ContainsRune(".,;:!?()", r) }) {
		left := 0
		for _, w := range strings.Fields(clause) {
			switch {
			case t.deny[w]:
				left = deniedWords
			case w == "but" || w == "pero" || w == "only" || w == "solo" || left == deniedWords && t.undenying[w]:
				left = 0
			case t.idle[w]:
			case left > 0:
				add("~" + t.stem(w))
				left--
			default:
				add(t.stem(w))
			}
		}
	}
	return all
}

// stem is a word's beginning, or what stands for its kin.
func (t *tongue) stem(w string) string {
	if k, ok := t.kin[w]; ok {
		return k
	}
	for _, end := range []string{"ings", "ing", "edly", "ed", "es", "s", "ly"} {
		base, ok := strings.CutSuffix(w, end)
		if !ok || len(base) < 3 {
			continue
		}
		if k, ok := t.kin[base]; ok {
			return k
		}
		if k, ok := t.kin[base+"e"]; ok {
			return k
		}
		w = base
		break
	}
	return w[:min(len(w), 6)]
}

// plain is a remark in small letters without accents.
func plain(remark string) string {
	text := strings.Map(func(r rune) rune {
		r = unicode.ToLower(r)
		if i := slices.Index([]rune("áéíóúüñ"), r); i >= 0 {
			return rune("aeiouun"[i])
		}
		switch {
		case r <= unicode.MaxASCII && (unicode.IsLetter(r) || unicode.IsDigit(r)) || strings.ContainsRune(".,;:!?()", r):
			return r
		case r == '\'' || r == '’':
			return -1
		}
		return ' '
	}, strings.ReplaceAll(strings.ReplaceAll(remark, "o-ring", "oring"), "O-ring", "oring"))
	return strings.ReplaceAll(text, "o ring", "oring")
}

// How words are weighed. Common practice, no source: a word says less than it would
// if words came independently, three of four words of a remark belong to its topic,
// fewer where a topic has few sayings, and a word that no saying has is likelier of
// something else.
const (
	together = 0.9
	belongs  = 0.75
	few      = 5.0
	strange  = 0.8
)

// means is which topic a remark means, a share each:
//
//	P(t | words) ∝ often_t Π (λ n_tw/(N_t q_w) + 1 − λ)
//
// with n the times that the topic's sayings have the word, N their words, q the
// word's share in all.
// Source: [Maron1961], words taken for independent.
func (e *ear) means(remark string) []float64 {
	logs := make([]float64, len(e.topics))
	for i := range e.topics {
		logs[i] = math.Log(e.topics[i].often)
	}
	for _, w := range e.words(remark) {
		w = e.nearest(w)
		q := e.pooled[w] / e.all
		for i := range e.topics {
			switch {
			case q > 0:
				own := e.said[i][w] / max(e.total[i], 1) / q
				logs[i] += together * math.Log1p(belongs*e.total[i]/(e.total[i]+few)*(own-1))
			case e.topics[i].idle:
				logs[i] += strange
			}
		}
	}
	most, sum := slices.Max(logs), 0.0
	for i := range logs {
		logs[i] = math.Exp(logs[i] - most)
		sum += logs[i]
	}
	for i := range logs {
		logs[i] /= sum
	}
	return logs
}

// longWord is from how many letters on a word is known with one of them wrong.
const longWord = 6

// nearest is a word that the sayings have: the same, or one letter off.
func (e *ear) nearest(w string) string {
	if e.pooled[w] > 0 || len(w) < longWord {
		return w
	}
	best := ""
	for other := range e.pooled {
		if oneOff(w, other) && (best == "" || other < best) {
			best = other
		}
	}
	if best == "" {
		return w
	}
	return best
}

// oneOff tells whether two stems differ by one letter, wrong, missing or too many, or
// by two swapped.
func oneOff(a, b string) bool {
	if len(b) < longWord || a[0] != b[0] {
		return false
	}
	i := 0
	for i < min(len(a), len(b)) && a[i] == b[i] {
		i++
	}
	if i >= min(len(a), len(b))-1 {
		return true
	}
	x, y := a[i:], b[i:]
	return x[1:] == y[1:] || strings.HasPrefix(x, y[1:]) || strings.HasPrefix(y, x[1:]) || x[0] == y[1] && x[1] == y[0] && x[2:] == y[2:]
}
