package study

import (
	"fmt"
	"math"

	"rinsewright/quantity"
	"rinsewright/service"
)

// sharedDays is how far back drifts of several sites are compared.
const sharedDays = 60

// Shared is one cause that explains what moved at several sites.
type Shared struct {
	What  string   // "feed strength"
	Says  string   // what moved and what that is likely to be
	Sites []string // which it explains
	Odds  float64  // number: for one cause over each site by itself
}

// SharedCauses returns what several forecast sites have in common, likeliest
// first, each told once. Whether sites stand on one main or bought one lot of
// resin nobody has said; the people who read it know.
func SharedCauses(all []*Forecasted) (out []Shared) {
	names, drifts := make([]string, len(all)), make([][]service.Drift, len(all))
	for i, f := range all {
		names[i], drifts[i] = f.Site.Name, f.drifts
	}
	return sharedOf(names, drifts)
}

func sharedOf(names []string, drifts [][]service.Drift) (out []Shared) {
	for _, c := range service.CommonCauses(drifts) {
		s := Shared{What: c.Of, Says: sharedWords(c), Odds: c.Odds}
		for _, i := range c.Members {
			s.Sites = append(s.Sites, names[i])
		}
		out = append(out, s)
	}
	return out
}

// sharedWords says what moved, by how much, and what usually does that.
func sharedWords(c service.Common) string {
	share := func(x float64) string { return percent(quantity.Ratio(math.Abs(math.Expm1(x)))) }
	band := func(of func(float64) string) string {
		return fmt.Sprintf("%s (%s to %s)", of(c.Likely), of(c.Low), of(c.High))
	}
	way := func(more, less string) string {
		if c.Likely > 0 {
			return more
		}
		return less
	}
	switch c.Of {
	case service.StrengthDrift:
		return "the feed is " + band(share) + way(" stronger", " weaker") + " than two months ago: the source has changed, not these rigs"
	case service.WarmthDrift:
		kelvin := func(x float64) string { return fmt.Sprintf("%.1f K", math.Abs(x)) }
		return "the feed is " + band(kelvin) + way(" warmer", " colder") + " than its season: weather; " + way("more is made, and more salt passes", "less is made") + " until it passes"
	case service.FreeDrift:
		return way("more", "less") + " of the raw water's chlorine is free than before: the utility has switched; test behind the carbon"
	case service.LotDrift:
		return "the bottles in the lead hold " + band(share) + way(" more", " less") + " than usual: perhaps one lot of resin"
	}
	return "on an open day " + band(share) + way(" more", " less") + " is drawn than two months ago"
}
