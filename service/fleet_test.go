package service

import (
	"math"
	"os"
	"slices"
	"strconv"
	"testing"
)

// trust is the environment variable that asks for 500 fleets.
const trust = "RINSEWRIGHT_TRUST"

var fleet = []rigged{
	{lag: true, elements: 1, perDay: 250, bottle: 1},
	{lag: false, after: true, elements: 1, perDay: 180, bottle: 1},
	{lag: true, boosted: true, elements: 2, perDay: 500, bottle: 2},
}

// fleets is how many fleets of three sites are drawn.
func fleets() int {
	if n, err := strconv.Atoi(os.Getenv(trust)); err == nil && n > 1 {
		return n
	}
	if os.Getenv(trust) != "" {
		return 500
	}
	return 8
}

// Sites drawn from the model's own doubts are watched by the model: its bands
// must hold as often as they say.
func TestBandsHoldOnFleetsDrawnFromTheModelsOwnDoubts(t *testing.T) {
	var asked, held, early, late int
	var errors, first, later []float64
	for f := range fleets() {
		for i, c := range fleet {
			w := draw(t, outset(t, c), uint64(f*len(fleet)+i+1), 420)
			for _, q := range w.asked(t) {
				asked++
				switch {
				case q.truth < q.when.Low:
					early++
				case q.truth > q.when.High:
					late++
				default:
					held++
				}
				off := math.Abs(float64(q.when.Likely - q.truth))
				errors = append(errors, off)
				if q.visit < 3 {
					first = append(first, off)
				} else if q.visit > 12 {
					later = append(later, off)
				}
			}
		}
	}
	share := float64(held) / float64(asked)
	t.Logf("%d forecasts: 90 %% bands hold %.3f (before %.3f, after %.3f); median error %.1f d, of the first visits %.1f, of the late ones %.1f",
		asked, share, float64(early)/float64(asked), float64(late)/float64(asked), median(errors), median(first), median(later))
	low, high := 0.80, 0.97 // a small draw, and sites' forecasts hang together
	if fleets() >= 100 {
		low, high = 0.88, 0.92
	}
	if !(low <= share && share <= high) {
		t.Errorf("90 %% bands hold %.3f of %d, wanted %.2f to %.2f", share, asked, low, high)
	}
	if !(median(later) < median(first)) {
		t.Errorf("late forecasts miss by %.1f d, first ones by %.1f: no better with readings", median(later), median(first))
	}
}

type question struct {
	visit int
	truth Day
	when  When
}

// asked is a forecast after each visit, with the day that nobody knew.
func (w *world) asked(t testing.TB) (all []question) {
	watch := watch(t, w.o)
	h := 0
	for i, e := range w.log {
		if err := watch.Add(e); err != nil {
			t.Fatal(err)
		}
		day := int(e.Day - w.o.From) // live days until the end of this one
		for h+1 < len(w.holds) && w.holds[h+1].from <= day {
			h++
		}
		hold := w.holds[h]
		if hold.had >= 1 {
			continue
		}
		truth := -1
		for d := hold.from; d < len(w.gone); d++ {
			if hold.had+(w.gone[d]-w.at(hold.from))/hold.has > 1 {
				truth = d + 1
				break
			}
		}
		if truth < 0 || truth < day {
			continue // already past: nothing to foresee
		}
		when, ok, err := watch.Exhaustion(e.Day)
		if err != nil || !ok {
			t.Fatal(ok, err)
		}
		all = append(all, question{i, w.o.From + Day(truth), when})
	}
	return all
}

func median(x []float64) float64 {
	if len(x) == 0 {
		return math.NaN()
	}
	s := slices.Sorted(slices.Values(x))
	return s[len(s)/2]
}
