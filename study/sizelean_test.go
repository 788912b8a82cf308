package study

import (
	"context"
	"math/rand/v2"
	"slices"
	"testing"

	"rinsewright/sizing"
)

// TestALeanPathBoundsThePathsItStandsFor draws systems and holds what is said of
// a path with nothing lost ahead of the membrane against the path itself: it
// makes no less, reads no higher without resin and costs no more in a year.
func TestALeanPathBoundsThePathsItStandsFor(t *testing.T) {
	for _, name := range []string{"cormorant-reach", "fennel-lane", "brightmere", "long-barrow"} {
		z, err := newSizer(surveyed(t, name), parts(t), SizeDefaults(), &notes{})
		if err != nil {
			t.Fatal(err)
		}
		rng := rand.New(rand.NewPCG(7, 7))
		held := 0
		for range 1200 {
			chosen := make([]int, feedStage+1)
			for stage := range chosen {
				chosen[stage] = rng.IntN(len(z.choices[stage]))
			}
			if !z.resinFits(chosen) {
				continue
			}
			bound, err := z.judgeLean(context.Background(), chosen[:restrictorStage+1])
			if err != nil {
				t.Fatal(err)
			}
			more, err := z.judgeResin(context.Background(), chosen[:resinStage+1])
			if err != nil {
				t.Fatal(err)
			}
			for _, m := range more.Margins {
				if m.Constraint != "resin flow" { // told once, by what the guns take
					bound.Margins = append(bound.Margins, m)
				}
			}
			bound.Yearly = max(bound.Yearly, more.Yearly)
			settled := &pathLook{look: z.base}
			v := verdict{z: z}
			if z.settlePath(&v, settled, chosen, everyLimit); !settled.settled || settled.warm.Recovery() > 0.8 {
				continue
			}
			all := z.afresh(everyLimit)
			path, err := all.judgePath(context.Background(), chosen)
			if err != nil {
				t.Fatal(err)
			}
			if float64(bound.Yearly) > 1.001*float64(path.Yearly) {
				t.Errorf("%s %v: at least %d a year, and costs %d", name, chosen, bound.Yearly, path.Yearly)
			}
			for _, m := range bound.Margins {
				held++
				if at := usedIn(path, m.Constraint); m.Used > at*1.001 {
					t.Errorf("%s %v: %s at least %.4f (%s), and is %.4f", name, chosen, m.Constraint, m.Used, m.Says, at)
				}
			}
		}
		if held < 300 {
			t.Errorf("%s: only %d limits of systems with a path", name, held)
		}
	}
}

func usedIn(v sizing.Verdict, constraint string) (used float64) {
	for _, m := range v.Margins {
		if m.Constraint == constraint {
			used = max(used, m.Used)
		}
	}
	return used
}

// TestAPathCostsTheSameWhateverBottleItWasMetWith judges one system without
// resin twice: on a path that was first met with a bottle behind the tank, and
// on one that was not.
func TestAPathCostsTheSameWhateverBottleItWasMetWith(t *testing.T) {
	yearly := func(first int) (float64, []string) {
		z, err := newSizer(surveyed(t, "cormorant-reach"), few(t), SizeDefaults(), &notes{})
		if err != nil {
			t.Fatal(err)
		}
		found, err := sizing.Find(context.Background(), z.problem())
		if err != nil {
			t.Fatal(err)
		}
		bare := slices.Clone(found.LeastFirst.Chosen)
		bare[resinStage] = 0
		z.paths = memo[pathKey, pathLook]{}
		with := slices.Clone(bare)
		with[resinStage] = first
		for _, chosen := range [][]int{with, bare} {
			if found.LeastFirst, err = sizing.Rate(context.Background(), z.problem(), chosen); err != nil {
				t.Fatal(err)
			}
		}
		return float64(found.LeastFirst.Yearly), found.LeastFirst.Broken()
	}
	alone, _ := yearly(0)
	met, broken := yearly(2)
	if alone != met {
		t.Errorf("without resin a year costs %.0f, and %.0f where the path was met with a bottle (%v)", alone, met, broken)
	}
}
