package faults

import (
	"slices"
	"strings"
	"unicode"
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

// heard is what remarks add to the logarithm of each cause. The same thing said
// twice counts once.
func heard(words []string) []float64 {
	add := make([]float64, len(causes))
	for _, c := range conceptsIn(words) {
		share := hearsayCounts
		if slices.ContainsFunc(words, func(w string) bool { return !strings.HasPrefix(w, Hearsay) && c.in(w) }) {
			share = 1
		}
		for _, s := range c.speaks {
			if k := indexOf(s.cause); k >= 0 {
				add[k] += share * s.log
			}
		}
	}
	for k := range add {
		add[k] = min(max(add[k], -mostWords), mostWords)
	}
	return add
}

func indexOf(number int) int {
	return slices.IndexFunc(causes, func(c Cause) bool { return c.Number == number })
}

// conceptsIn lists the concepts that remarks hold, each once.
func conceptsIn(words []string) (found []concept) {
	for _, c := range lexicon {
		if slices.ContainsFunc(words, c.in) {
			found = append(found, c)
		}
	}
	return found
}

// Heard tells what was made of people's words, for the page and for whoever
// doubts it.
func Heard(words []string) (all []Remark) {
	for _, c := range conceptsIn(words) {
		r := Remark{Concept: c.name}
		for _, w := range words {
			if c.in(w) {
				r.Heard = append(r.Heard, w)
			}
		}
		speaks := slices.Clone(c.speaks)
		slices.SortStableFunc(speaks, func(a, b speak) int {
			if a.log > b.log {
				return -1
			}
			return 1
		})
		for _, s := range speaks {
			if s.log > 0 {
				r.Speaks = append(r.Speaks, s.cause)
			}
		}
		all = append(all, r)
	}
	return all
}

// concept is one thing that people say, in any of its wordings, and the causes
// that it speaks for.
type concept struct {
	name    string
	phrases []string // each a few word beginnings that must all be there; "only bay" hears "it is only in bay two"
	speaks  []speak
}

type speak struct {
	cause int
	log   float64 // of how many times likelier the remark is with this cause than without
}

// in tells whether a remark holds any of the concept's phrases.
func (c *concept) in(remark string) bool {
	words := wordsOf(strings.TrimPrefix(remark, Hearsay))
	return slices.ContainsFunc(c.phrases, func(p string) bool {
		for _, stem := range strings.Fields(p) {
			not := strings.HasPrefix(stem, "-")
			stem = strings.TrimPrefix(stem, "-")
			has := slices.ContainsFunc(words, func(w string) bool {
				return strings.HasPrefix(w, strings.TrimSuffix(stem, "$")) && (!strings.HasSuffix(stem, "$") || len(w) == len(stem)-1)
			})
			if has == not {
				return false
			}
		}
		return true
	})
}

// wordsOf splits a remark into its words, small letters without accents.
func wordsOf(remark string) []string {
	plain := strings.Map(func(r rune) rune {
		r = unicode.ToLower(r)
		if i := strings.IndexRune("áéíóúüñ", r); i >= 0 {
			return []rune("aeiouun")[len([]rune("áéíóúüñ"[:i]))]
		}
		if unicode.IsLetter(r) || unicode.IsDigit(r) {
			return r
		}
		if r == '\'' || r == '’' {
			return -1
		}
		return ' '
	}, remark)
	return strings.Fields(plain)
}
