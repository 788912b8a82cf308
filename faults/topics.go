package faults

import "slices"

// How many times likelier a remark is with a cause than without, as a logarithm.
// Common practice, no source: a row's own words 20 times, what two rows share 6, a
// hint 2. A trouble that a row brings is complained of three times as often as one
// that it does not bring.
const (
	strong = 3.0
	fair   = 1.8
	some   = 0.8
	hint   = 0.4

	brings, mayBring, notOf = 0.7, 0.1, -0.4

	seldom = 0.3 // how often a rare fault is talked of
)

// topic is one thing that people talk of and the causes that it speaks for.
type topic struct {
	key    string // in sayings.csv: a cause's number, or a trouble's word
	name   string
	often  float64 // how often it is talked of, a share over a cause's own words
	speaks []speak
	idle   bool // has nothing to do with the rig: words that nobody foresaw count for it
}

type speak struct {
	cause int
	log   float64
}

func speaksFor(log float64, numbers ...int) (all []speak) {
	for _, n := range numbers {
		all = append(all, speak{n, log})
	}
	return all
}

func also(parts ...[]speak) (all []speak) {
	for _, p := range parts {
		all = append(all, p...)
	}
	return all
}

// trouble is what owners complain of: many causes bring it, some may, the others
// do not.
func trouble(key, name string, log, other float64, brought, may []int) topic {
	t := topic{key: key, name: name, often: 2, speaks: speaksFor(log, brought...)}
	for _, c := range causes {
		switch {
		case slices.Contains(brought, c.Number):
		case slices.Contains(may, c.Number):
			t.speaks = append(t.speaks, speak{c.Number, mayBring})
		default:
			t.speaks = append(t.speaks, speak{c.Number, other})
		}
	}
	return t
}

// troubles are the complaints. Source: [TradeFaults], readings and causes of its
// rows; a lamp on the resin is all that many an owner sees.
func troubles() []topic {
	return []topic{
		trouble("spots", "spots or haze", brings, notOf, []int{1, 11, 15, 16, 19, 20, 21, 22, 23, 24, 25, 26, 27, 28, 29, 30, 31, 46}, []int{3, 4, 12, 17, 18, 48}),
		trouble("slow", "too little water made", brings, notOf, []int{2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 39, 40, 41, 49}, []int{13, 14, 17, 32, 37, 48}),
		trouble("resin", "resin does not last", brings, notOf, []int{1, 15, 16, 17, 19, 20, 21, 22, 23, 24, 25, 46}, []int{3, 4, 11, 12, 18, 26, 27, 48}),
		trouble("bill", "water bill", 1.1, notOf, []int{13, 14, 32}, []int{37, 38, 48}),
		trouble("purity", "the pen reads higher", brings, notOf, []int{1, 11, 12, 15, 16, 18, 19, 22, 23, 24, 25, 26, 27, 28, 46}, []int{3, 4, 17, 20, 21, 29, 48}),
		trouble("light", "the resin's lamp", brings, notOf, []int{1, 11, 15, 16, 17, 19, 20, 22, 23, 24, 25, 27, 46}, []int{3, 4, 12, 18, 21, 26, 48}),
		trouble("weak", "weak at the gun", 1.5, -0.6, []int{33, 34, 35, 36, 37}, []int{10, 32}),
		trouble("none", "no complaint", hint, -hint, []int{8, 16, 18}, []int{3, 7, 9, 14, 19}),
		{key: "talk", name: "nothing about the rig", often: 4, idle: true},
	}
}

// shares are rows that share words with another: what speaks for the first speaks
// for these too. Source: [TradeFaults], common practice.
var shares = map[int][]speak{
	1:  speaksFor(strong, 46),
	2:  also(speaksFor(fair, 9), speaksFor(some, 6)),
	3:  also(speaksFor(1.1, 48), speaksFor(some, 4, 12)),
	4:  speaksFor(some, 3, 21),
	5:  also(speaksFor(fair, 44), speaksFor(some, 22, 26)),
	6:  also(speaksFor(fair, 24), speaksFor(some, 2, 9)),
	7:  speaksFor(some, 24),
	8:  speaksFor(some, 45),
	9:  speaksFor(some, 2, 10),
	10: speaksFor(some, 9, 40),
	12: speaksFor(some, 3, 4),
	13: speaksFor(some, 12, 14),
	14: also(speaksFor(fair, 38), speaksFor(some, 13, 32)),
	16: speaksFor(some, 46),
	17: also(speaksFor(fair, 40), speaksFor(some, 20)),
	18: speaksFor(some, 16),
	19: also(speaksFor(some, 20, 21, 24), speaksFor(hint, 22, 23, 25)),
	20: speaksFor(some, 17),
	21: also(speaksFor(fair, 30), speaksFor(some, 31), speaksFor(hint, 1, 11, 15, 16, 19, 20, 22, 23, 24, 25, 26, 27, 28, 29, 46)),
	22: speaksFor(some, 17, 25),
	23: speaksFor(some, 36),
	24: speaksFor(some, 6),
	25: speaksFor(some, 22, 27),
	26: also(speaksFor(fair, 44), speaksFor(some, 42)),
	27: speaksFor(some, 25),
	28: speaksFor(some, 29),
	29: speaksFor(some, 28, 31),
	30: speaksFor(some, 21, 31),
	31: speaksFor(some, 29, 30),
	32: speaksFor(some, 14, 38),
	36: also(speaksFor(fair, 37), speaksFor(some, 10)),
	37: speaksFor(fair, 36),
	38: speaksFor(some, 14, 32),
	40: speaksFor(some, 10),
	42: speaksFor(some, 20),
	44: speaksFor(some, 5, 26),
	45: speaksFor(some, 32),
	46: also(speaksFor(fair, 1), speaksFor(some, 16)),
	48: speaksFor(some, 3),
}

// topicsOf are the complaints and each cause's own words.
func topicsOf() []topic {
	all := troubles()
	for _, c := range causes {
		speaks := append(speaksFor(strong, c.Number), shares[c.Number]...)
		often := 1.0
		if usualWeights[c.Number] < 1 {
			often = seldom
		}
		all = append(all, topic{key: digits(c.Number), name: c.Name, often: often, speaks: speaks})
	}
	return all
}
