package study_test

import (
	"encoding/json"
	"fmt"
	"testing"
	"time"

	"rinsewright/study"
)

// A thousand sites in fifty areas, from what was kept of each, to a plan of eight
// weeks: goal under 2 s.
func BenchmarkAPlanOfAThousandKeptSites(b *testing.B) {
	from := time.Date(2026, 7, 10, 0, 0, 0, 0, time.UTC)
	s := example(b, "cormorant-reach")
	text, err := json.Marshal(study.WantsOf(s, study.Options{}, from))
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		all := make([]study.Wants, 1000)
		for i := range all {
			if err := json.Unmarshal(text, &all[i]); err != nil {
				b.Fatal(err)
			}
			all[i].Name, all[i].Area = fmt.Sprintf("site %d", i), fmt.Sprintf("area %d", i%50)
			for k := range all[i].Work { // each in a week of its own
				w := &all[i].Work[k]
				for _, d := range []*int{(*int)(&w.Spent.Low), (*int)(&w.Spent.Likely), (*int)(&w.Spent.High), (*int)(&w.Hurts.Low), (*int)(&w.Hurts.Likely), (*int)(&w.Hurts.High)} {
					*d += i % 23
				}
			}
		}
		if _, err := study.PlanTrips(all, study.TripOptions{From: from, Weeks: 8}); err != nil {
			b.Fatal(err)
		}
	}
}
