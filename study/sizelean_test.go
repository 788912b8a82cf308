package study

import (
	"context"
	"math/rand/v2"
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
		for range 1500 {
			chosen := make([]int, pathStage+1)
			for stage := range chosen {
				chosen[stage] = rng.IntN(len(z.choices[stage]))
			}
			if z.at(chosen, outletStage).before {
				chosen[resinStage] = 0
			}
			bound, err := z.judgeLean(context.Background(), chosen[:pathStage])
			if err != nil {
				t.Fatal(err)
			}
			settled := &pathLook{look: z.base}
			v := verdict{z: z}
			if z.settlePath(&v, settled, chosen, true); !settled.settled || settled.warm.Recovery() > 0.8 {
				continue
			}
			settled.verdict = v.Verdict
			z.paths[keyOf(chosen)] = settled
			path, err := z.judgePath(context.Background(), chosen)
			if err != nil {
				t.Fatal(err)
			}
			held++
			if float64(bound.Yearly) > 1.001*float64(path.Yearly) {
				t.Errorf("%s %v: at least %d a year, and costs %d", name, chosen, bound.Yearly, path.Yearly)
			}
			for _, m := range bound.Margins {
				if at := usedIn(path, m.Constraint); m.Used > at*1.001 {
					t.Errorf("%s %v: %s at least %.4f (%s), and is %.4f", name, chosen, m.Constraint, m.Used, m.Says, at)
				}
			}
		}
		if held < 50 {
			t.Errorf("%s: only %d of the systems drawn have a path", name, held)
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
