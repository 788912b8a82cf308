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
	remark = strings.TrimPrefix(remark, Hearsay)
	words, kept := wordsOf(remark), undenied(remark)
	return slices.ContainsFunc(c.phrases, func(p string) bool {
		stems := strings.Fields(p)
		from := kept
		if slices.ContainsFunc(stems, func(stem string) bool { return denies[strings.TrimSuffix(stem, "$")] }) {
			from = words // "no pressure" is what it says, not the want of it
		}
		for _, stem := range stems {
			not := strings.HasPrefix(stem, "-")
			stem = strings.TrimPrefix(stem, "-")
			has := slices.ContainsFunc(from, func(w string) bool {
				return strings.HasPrefix(w, strings.TrimSuffix(stem, "$")) && (!strings.HasSuffix(stem, "$") || len(w) == len(stem)-1)
			})
			if has == not {
				return false
			}
		}
		return true
	})
}

// denies are the words after which the next few are said not to be so.
var denies = map[string]bool{
	"no": true, "not": true, "never": true, "without": true, "isnt": true, "arent": true, "wasnt": true, "dont": true, "doesnt": true, "didnt": true,
	"havent": true, "hasnt": true, "wont": true, "cant": true, "sin": true, "ni": true, "nunca": true,
}

// deniedWords is how far a denial reaches within its clause: "no smell of
// chlorine" denies the chlorine, "not today, and it smells" does not.
const deniedWords = 3

// idle are words that a no goes with and denies nothing else: "no idea why it
// spots".
var idle = map[string]bool{"idea": true, "sure": true, "matter": true, "doubt": true, "wonder": true, "clue": true, "longer": true, "se": true, "seguro": true}

// undenied are the words of a remark but for those that it denies.
func undenied(remark string) (kept []string) {
	clauses := strings.FieldsFunc(remark, func(r rune) bool { return strings.ContainsRune(".,;:!?()", r) })
	for _, clause := range clauses {
		left := 0
		for _, w := range wordsOf(clause) {
			switch {
			case denies[w]:
				left = deniedWords
			case w == "but" || w == "pero" || w == "only" || w == "solo":
				left = 0
			case left == deniedWords && idle[w]:
				left = 0
			case left > 0:
				left--
				continue
			}
			kept = append(kept, w)
		}
	}
	return kept
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
