package study

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"rinsewright/quantity"
	"rinsewright/water"
)

// Doubt is one reason why a promise has a band, and what would settle it.
type Doubt struct {
	Says    string
	Share   quantity.Ratio // of the variance between looks, by rank
	Reading string         // that would settle it
	Minutes quantity.Time  // what that reading takes
	Narrows quantity.Ratio // by how much the band would shrink, at most
}

// leastShare is below what sixty looks can tell from chance.
const leastShare = 0.05

// cause is something that differs between looks and may move a promise.
type cause struct {
	doubted
	of func(*look) float64
}

// causes are the doubts of the site and those of its raw water.
func causes() (all []cause) {
	for k, d := range doubts {
		all = append(all, cause{d, func(l *look) float64 { return l.drawn.normal[k] }})
	}
	of := func(c water.Component) func(*look) float64 {
		return func(l *look) float64 { return float64(l.raw.Water.Total[c]) }
	}
	return append(all,
		cause{doubted{says: "strength of the raw water", reading: "a conductivity meter in the raw water", minutes: 1}, func(l *look) float64 { return float64(l.raw.Conductivity) }},
		cause{doubted{says: "carbon dioxide of the raw water", reading: "pH and alkalinity of the raw water, on the spot", minutes: 8}, func(l *look) float64 { return float64(l.raw.Solution.CO2()) }},
		cause{doubted{says: "alkalinity of the raw water", reading: "a drop kit for alkalinity", minutes: 3}, func(l *look) float64 { return float64(l.raw.Water.Alkalinity) }},
		cause{doubted{says: "hardness of the raw water", reading: "a drop kit for hardness", minutes: 3}, func(l *look) float64 {
			return float64(l.raw.Water.Total[water.Calcium] + l.raw.Water.Total[water.Magnesium])
		}},
		cause{doubted{says: "silica of the raw water", reading: "a silica kit", minutes: 10}, of(water.Silica)},
		cause{doubted{says: "temperature of the raw water", reading: "a thermometer in a running cup", minutes: 1}, func(l *look) float64 { return float64(l.raw.Water.Temperature) }},
	)
}

// doubtsOf ranks what moves a promise between looks: the cause that explains
// most first, then what the next one adds to it,
//
//	share_k = R²(causes 1..k) − R²(causes 1..k−1)    narrows_k = 1 − √(1 − share_k)
//
// on ranks, so that a curved answer counts as much as a straight one. What is
// left is chance, and what several causes do together.
//
// Source: squared rank correlation, taken stepwise ([Saltelli2008] ch. 1 tells
// of its ancestors). The error is about 1/√looks.
func (c *checking) doubtsOf(p promised) (told []Doubt) {
	var y []float64
	var kept []*look
	for _, l := range c.looks {
		if x := p.of(c, l); !math.IsNaN(x) && !math.IsInf(x, 0) {
			y, kept = append(y, x), append(kept, l)
		}
	}
	all := causes()
	columns := make([][]float64, len(all))
	for i, k := range all {
		for _, l := range kept {
			columns[i] = append(columns[i], k.of(l))
		}
	}
	for _, s := range stepwise(y, columns, max(leastShare, 4/float64(len(y)+1))) {
		d := all[s.cause]
		told = append(told, Doubt{
			Says: d.says, Share: quantity.Ratio(s.share), Reading: d.reading, Minutes: quantity.Minutes(d.minutes),
			Narrows: quantity.Ratio(1 - math.Sqrt(1-s.share)),
		})
	}
	slices.SortStableFunc(told, func(a, b Doubt) int { return int(1e6 * (b.Share - a.Share)) })
	return told
}

// explained is a cause and the share of variance that it adds.
type explained struct {
	cause int
	share float64
}

// stepwise takes the column that explains most of what is left of y, again and
// again until none explains as much as least. Columns and y are taken by rank.
func stepwise(y []float64, columns [][]float64, least float64) (found []explained) {
	y = centredRanks(y)
	whole := dot(y, y)
	left := make([][]float64, len(columns))
	for i, x := range columns {
		left[i] = centredRanks(x)
	}
	for whole > 0 {
		best, share := -1, least
		for i, x := range left {
			if xx := dot(x, x); xx > 1e-6*whole {
				if s := dot(x, y) * dot(x, y) / xx / whole; s > share {
					best, share = i, s
				}
			}
		}
		if best < 0 {
			break
		}
		found = append(found, explained{best, min(share, 1)})
		taken := slices.Clone(left[best])
		takeOut(y, taken)
		for _, x := range left {
			takeOut(x, taken)
		}
	}
	return found
}

// takeOut leaves of x only what does not go along with taken.
func takeOut(x, taken []float64) {
	k := dot(x, taken) / dot(taken, taken)
	for i := range x {
		x[i] -= k * taken[i]
	}
}

func dot(a, b []float64) (sum float64) {
	for i := range a {
		sum += a[i] * b[i]
	}
	return sum
}

// centredRanks are the ranks of xs about their mean; equals share theirs.
func centredRanks(xs []float64) []float64 {
	order := make([]int, len(xs))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int {
		switch {
		case xs[a] < xs[b]:
			return -1
		case xs[a] > xs[b]:
			return 1
		}
		return a - b
	})
	ranks := make([]float64, len(xs))
	for i := 0; i < len(order); {
		j := i
		for j < len(order) && xs[order[j]] == xs[order[i]] {
			j++
		}
		for _, k := range order[i:j] {
			ranks[k] = float64(i+j-1)/2 - float64(len(xs)-1)/2
		}
		i = j
	}
	return ranks
}

// Settling is a reading and the promises whose bands it would narrow.
type Settling struct {
	Reading string
	Minutes quantity.Time
	Promise []Narrowed // most first
	Whole   float64    // sum of the shares by which bands shrink, a number
}

// Narrowed is a promise and the share by which its band would shrink.
type Narrowed struct {
	Says string
	By   quantity.Ratio
}

// mostGains is how many promises a person is told of for one reading.
const mostGains = 2

// Gain says in words what s would narrow most, as "recovery by 30 %".
func (s Settling) Gain() string {
	told := make([]string, min(len(s.Promise), mostGains))
	for i := range told {
		told[i] = fmt.Sprintf("%s by %.0f %%", s.Promise[i].Says, 100*float64(s.Promise[i].By))
	}
	return strings.Join(told, ", ")
}

// settlings ranks the readings by how much they would narrow all promises.
func settlings(promises []Promise) (all []Settling) {
	for _, p := range promises {
		for _, d := range p.Doubts {
			i := slices.IndexFunc(all, func(s Settling) bool { return s.Reading == d.Reading })
			if i < 0 {
				i = len(all)
				all = append(all, Settling{Reading: d.Reading, Minutes: d.Minutes})
			}
			all[i].Promise = append(all[i].Promise, Narrowed{p.Says, d.Narrows})
			all[i].Whole += float64(d.Narrows)
		}
	}
	for _, s := range all {
		slices.SortStableFunc(s.Promise, func(a, b Narrowed) int { return int(1e6 * (b.By - a.By)) })
	}
	slices.SortStableFunc(all, func(a, b Settling) int { return int(1e6 * (b.Whole - a.Whole)) })
	return all
}
