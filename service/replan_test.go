package service

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"
)

// The closed form against the definition summed over quantiles: the band's three
// days are kept, each half is a normal's, or before the
// likely day a lognormal's (published: the normal distribution's quantile by
// math.Erfinv).
func TestExpectedDaysAreTheMeanOverTheBand(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		likely := Day(rapid.IntRange(0, 100).Draw(r, "likely"))
		w := When{likely - Day(rapid.IntRange(0, 60).Draw(r, "below")), likely, likely + Day(rapid.IntRange(0, 90).Draw(r, "above"))}
		d := Day(rapid.IntRange(-40, 240).Draw(r, "day"))
		early, late := w.around(d, 30)
		const n = 20000
		wantEarly, wantLate := 0.0, 0.0
		for i := range n {
			q := (float64(i) + 0.5) / n
			z := math.Sqrt2 * math.Erfinv(2*q-1) / 1.6448536269514722
			side := float64(w.High - w.Likely)
			if z < 0 {
				side = float64(w.Likely - w.Low)
			}
			at := float64(w.Likely) + z*side
			if z < 0 && w.Low > 30 { // from day 30 on nothing was spent before
				at = 30 + float64(w.Likely-30)*math.Pow(float64(w.Likely-30)/float64(w.Low-30), z)
			}
			wantEarly += math.Max(at-float64(d), 0) / n
			wantLate += math.Max(float64(d)-at, 0) / n
		}
		if math.Abs(early-wantEarly) > 0.01 || math.Abs(late-wantLate) > 0.01 {
			r.Errorf("early %g, late %g; summed %g and %g", early, late, wantEarly, wantLate)
		}
	})
}

// A bottle at 10.00 a day thrown away and 80.00 a day of spots, known to run out
// on day 40: done on day 40, the working day that is neither early nor late
// (arithmetic).
func TestWhatIsKnownIsDoneOnItsDay(t *testing.T) {
	f := Fleet{From: 20000, Days: 60, Sites: []Place{{Drive: 4000, Stop: 2500}}, Tasks: []Task{{Spent: When{20040, 20040, 20040}, Thrown: 1000, Harm: 8000}}}
	p, err := Trips(f)
	if err != nil || p.Days[0] != 20040 || p.Travel != 6500 || p.Work != 0 {
		t.Errorf("%+v, %v", p, err)
	}
	f.Tasks[0].Spent = When{20030, 20040, 20050}
	p, err = Trips(f)
	if err != nil || p.Days[0] >= 20040 {
		t.Errorf("spots cost more than resin, so doubt should bring it forward: %+v, %v", p, err)
	}
}

// Two neighbours four days apart share a drive when it costs more than four days
// of resin, and do not when it costs less (arithmetic).
func TestNeighboursShareADriveThatCostsMoreThanTheWait(t *testing.T) {
	for drive, shared := range map[float64]bool{4500: true, 3500: false} {
		f := Fleet{From: 20000, Days: 40, Sites: []Place{{"north", drive, 0}, {"north", drive, 0}}, Tasks: []Task{
			{Site: 0, Spent: When{20010, 20010, 20010}, Thrown: 1000, Harm: 9000},
			{Site: 1, Spent: When{20014, 20014, 20014}, Thrown: 1000, Harm: 9000},
		}}
		p, err := Trips(f)
		if err != nil || (p.Days[0] == p.Days[1]) != shared {
			t.Errorf("a drive of %g: days %v, %v", drive, p.Days, err)
		}
		if p.Work+p.Travel > p.Alone {
			t.Errorf("the plan costs %g, every piece of work by itself %g", p.Work+p.Travel, p.Alone)
		}
	}
}

// What a later forecast may move: nothing in another area, and in its own only
// what saves more than the bother for each piece of work.
func TestALaterForecastMovesOnlyWhatItShould(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		f := drawn(r, 5, 20, 2, 6, 12, []string{"", "north", "south"})
		before, err := Trips(f)
		if err != nil {
			r.Fatal(err)
		}
		const bother = 30
		same, err := Replan(f, before.Days, bother)
		if err != nil {
			r.Fatal(err)
		}
		for i := range f.Tasks {
			if same.Days[i] != before.Days[i] {
				r.Fatalf("nothing was read, yet task %d moved from %d to %d", i, before.Days[i], same.Days[i])
			}
		}
		read := rapid.IntRange(0, len(f.Tasks)-1).Draw(r, "read")
		by := Day(rapid.IntRange(-5, 5).Draw(r, "by"))
		t := &f.Tasks[read]
		t.Spent = When{t.Spent.Low + by, t.Spent.Likely + by, t.Spent.High + by}
		after, err := Replan(f, before.Days, bother)
		if err != nil {
			r.Fatal(err)
		}
		fresh, err := Trips(f)
		if err != nil {
			r.Fatal(err)
		}
		at := f.Sites[t.Site]
		for i, x := range f.Tasks {
			if after.Days[i] == before.Days[i] {
				continue
			}
			if x.Site != t.Site && (at.Area == "" || f.Sites[x.Site].Area != at.Area) {
				r.Errorf("a reading at site %d moved task %d in another area", t.Site, i)
			}
		}
		if got, free := after.Work+after.Travel, fresh.Work+fresh.Travel; got > free+bother*float64(len(f.Tasks))+1e-6 {
			r.Errorf("keeping days costs %g over planning afresh", got-free)
		}
	})
}

// Outside its window nothing is done; where the window holds no working day, it
// is the first one after.
func TestWindowsAreKept(t *testing.T) {
	f := Fleet{From: 20000, Days: 30, Off: [7]bool{0: true, 6: true}, Sites: []Place{{Drive: 10}}, Tasks: []Task{{First: 20006, Last: 20009}, {First: 20006, Last: 20006}}}
	for f.From.weekday() != 0 { // day 6 ahead is then a Saturday
		f.From++
	}
	f.Tasks[1].First, f.Tasks[1].Last = f.From+6, f.From+6
	f.Tasks[0].First, f.Tasks[0].Last = f.From+9, f.From+11
	p, err := Trips(f)
	if err != nil || p.Days[0] < f.From+9 || p.Days[0] > f.From+11 || p.Days[1] != f.From+8 {
		t.Errorf("%+v, %v", p, err)
	}
}

func FuzzTrips(f *testing.F) {
	f.Add(20000, 10, 3.0, 4.0, 5.0, 6.0, 20003, 20004)
	f.Add(0, 0, math.NaN(), math.Inf(1), -1.0, 0.0, 5, 1)
	f.Fuzz(func(t *testing.T, from, days int, drive, stop, thrown, harm float64, low, high int) {
		p, err := Trips(Fleet{
			From: Day(from % 1e6), Days: days, Sites: []Place{{"a", drive, stop}, {"a", stop, drive}},
			Tasks: []Task{{Site: 1, Spent: When{Day(low % 1e6), Day(low % 1e6), Day(high % 1e6)}, Thrown: thrown, Harm: harm}, {Site: 0, First: Day(low % 1e6), Last: Day(high % 1e6)}},
		})
		if err != nil {
			if !errors.Is(err, ErrRange) {
				t.Errorf("an error without its kind: %v", err)
			}
			return
		}
		if x := p.Work + p.Travel + p.Alone; math.IsNaN(x) || math.IsInf(x, 0) || x < 0 {
			t.Errorf("%+v", p)
		}
	})
}

// A bottle promised for day 10 turns out good until day 13: three days of resin at
// 10.00 against a call at 20.00 or 40.00 (arithmetic).
func TestAPromisedDayMovesOnlyForMoreThanTheBother(t *testing.T) {
	for bother, want := range map[float64]Day{2000: 20013, 4000: 20010} {
		f := Fleet{From: 20000, Days: 40, Sites: []Place{{Drive: 4000, Stop: 2500}}, Tasks: []Task{{Spent: When{20013, 20013, 20013}, Thrown: 1000, Harm: 9000}}}
		p, err := Replan(f, []Day{20010}, bother)
		if err != nil || p.Days[0] != want {
			t.Errorf("bother of %g: day %v, want %d, %v", bother, p.Days, want, err)
		}
	}
	// The same where the site is visited on both days anyway, for a pin (invented) on
	// each that cannot move.
	for bother, want := range map[float64]Day{2000: 20013, 4000: 20010} {
		f := Fleet{From: 20000, Days: 40, Sites: []Place{{Drive: 4000, Stop: 2500}}, Tasks: []Task{
			{Spent: When{20013, 20013, 20013}, Thrown: 1000, Harm: 9000}, {First: 20010, Last: 20010}, {First: 20013, Last: 20013},
		}}
		p, err := Replan(f, []Day{20010, 20010, 20013}, bother)
		if err != nil || p.Days[0] != want {
			t.Errorf("bother of %g between two visits: day %v, want %d, %v", bother, p.Days, want, err)
		}
	}
}
