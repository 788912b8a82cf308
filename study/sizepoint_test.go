package study

import (
	"errors"
	"sync/atomic"
	"testing"

	"rinsewright/quantity"
)

// A point of the frontier that is a pick is told as the pick is, whoever waits
// hears that the search goes on, and a point that is not there is refused.
func TestAPointOfTheFrontierIsTheSystemThere(t *testing.T) {
	var judged atomic.Int64
	o := SizeDefaults()
	o.Looks = 4
	o.Told = func(int) { judged.Add(1) }
	r, err := Size(t.Context(), surveyed(t, "long-barrow"), parts(t), o)
	if err != nil {
		t.Fatal(err)
	}
	if judged.Load() < 100 {
		t.Errorf("heard of %d judgements", judged.Load())
	}
	compared := 0
	for i, f := range r.Frontier {
		for _, pick := range r.Picks {
			if f.Pick != pick.Name || pick.SameAs != "" {
				continue
			}
			compared++
			p, err := r.PickAt(t.Context(), i)
			if err != nil {
				t.Fatal(err)
			}
			if p.Short != pick.Short || p.First != pick.First || len(p.Promises) != len(pick.Promises) {
				t.Fatalf("point %d is %q for %v, its pick %q for %v", i+1, p.Short, p.First, pick.Short, pick.First)
			}
			for k := range p.Promises {
				got, _ := p.Promises[k].Band.Value.Plain(quantity.SI)
				want, _ := pick.Promises[k].Band.Value.Plain(quantity.SI)
				if got != want {
					t.Errorf("point %d promises %s %g, its pick %g", i+1, p.Promises[k].Name, got, want)
				}
			}
		}
	}
	if compared == 0 {
		t.Error("no pick stands on the frontier")
	}
	for _, i := range []int{-1, len(r.Frontier)} {
		if _, err := r.PickAt(t.Context(), i); !errors.Is(err, ErrNoPoint) {
			t.Errorf("point %d: %v", i+1, err)
		}
	}
}
