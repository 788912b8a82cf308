package service

import (
	"math"
	"math/bits"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"
)

// smallFleet draws a fleet whose best days can be found by trying them all.
func smallFleet(r *rapid.T) Fleet {
	return drawn(r, 3, 8, 1, 4, 7, []string{"", "north", "south"})
}

func drawn(r *rapid.T, fewDays, mostDays, fewSites, mostSites, mostTasks int, areas []string) Fleet {
	whole := func(name string, low, high int) int { return rapid.IntRange(low, high).Draw(r, name) }
	f := Fleet{From: 20000, Days: whole("days", fewDays, mostDays)}
	for range whole("sites", fewSites, mostSites) {
		f.Sites = append(f.Sites, Place{Area: areas[whole("area", 0, len(areas)-1)], Drive: float64(whole("drive", 0, 120)), Stop: float64(whole("stop", 0, 60))})
	}
	for range whole("tasks", fewSites, mostTasks) {
		likely := f.From + Day(whole("likely", -4, 10))
		t := Task{
			Site:  whole("at", 0, len(f.Sites)-1),
			Spent: When{likely - Day(whole("below", 0, 6)), likely, likely + Day(whole("above", 0, 6))}, Thrown: float64(whole("thrown", 0, 40)), Harm: float64(whole("harm", 0, 90)),
		}
		if whole("window", 0, 3) == 0 {
			t.First = f.From + Day(whole("first", 0, 5))
			t.Last = t.First + Day(whole("last", 0, 5))
		}
		f.Tasks = append(f.Tasks, t)
	}
	return f
}

// bruteForce is the least that a fleet costs over every choice of days for every
// site, by counting through all of them. It knows of the tasks that the plan
// takes up, and nothing else of how the plan is made.
func bruteForce(f Fleet, done []bool) float64 {
	c := f.calendar()
	n := len(c)
	byArea := map[string][]int{}
	for i, s := range f.Sites {
		name := s.Area
		if name == "" {
			name = "alone" + string(rune('0'+i))
		}
		byArea[name] = append(byArea[name], i)
	}
	total := 0.0
	for _, sites := range byArea {
		drive := 0.0
		for _, i := range sites {
			for k, t := range f.Tasks {
				if done[k] && t.Site == i {
					drive = math.Max(drive, f.Sites[i].Drive)
				}
			}
		}
		least := math.Inf(1)
		for open := range 1 << n {
			sum := drive * float64(bits.OnesCount(uint(open)))
			for _, i := range sites {
				sum += bruteSite(f, c, done, i, open)
			}
			least = math.Min(least, sum)
		}
		total += least
	}
	return total
}

// bruteSite tries every set of a site's days within those that are open.
func bruteSite(f Fleet, c []Day, done []bool, site, open int) float64 {
	least := math.Inf(1)
	for set := open; ; set = (set - 1) & open {
		sum := f.Sites[site].Stop * float64(bits.OnesCount(uint(set)))
		for k, t := range f.Tasks {
			if !done[k] || t.Site != site {
				continue
			}
			best := math.Inf(1)
			for d := range c {
				if set&(1<<d) != 0 && allowed(t, c, d) {
					best = math.Min(best, t.costs(c[d], f.From))
				}
			}
			sum += best
		}
		least = math.Min(least, sum)
		if set == 0 {
			return least
		}
	}
}

// allowed: within the window, or the first working day of it where it is shut.
func allowed(t Task, c []Day, d int) bool {
	if c[d] < t.First {
		return false
	}
	return t.Last == 0 || c[d] <= t.Last || d == 0 || c[d-1] < t.First
}

func TestTripsAreWithinTwoPercentOfBruteForce(t *testing.T) {
	isNearBruteForce(t, smallFleet)
}

// Areas of many sites are searched with fewer trials.
func TestTripsOfACrowdedAreaAreWithinTwoPercentOfBruteForce(t *testing.T) {
	isNearBruteForce(t, func(r *rapid.T) Fleet { return drawn(r, 6, 8, 9, 13, 20, []string{"north"}) })
}

func isNearBruteForce(t *testing.T, draw func(*rapid.T) Fleet) {
	t.Helper()
	cases, exact, worst := 0, 0, 0.0
	rapid.Check(t, func(r *rapid.T) {
		f := draw(r)
		p, err := Trips(f)
		if err != nil {
			r.Fatal(err)
		}
		want, got := bruteForce(f, taken(p)), p.Work+p.Travel
		if got < want-1e-6 {
			r.Fatalf("plan costs %g, less than the least possible %g", got, want)
		}
		if got > want*1.02+1e-6 {
			r.Errorf("plan costs %g, the least is %g", got, want)
		}
		cases++
		if got <= want+1e-6 {
			exact++
		}
		worst = math.Max(worst, got/math.Max(want, 1e-9)-1)
	})
	t.Logf("%d fleets, %d exact, worst %.2f %% over", cases, exact, 100*worst)
}

// taken tells which tasks a plan takes up.
func taken(p Planned) (done []bool) {
	for _, d := range p.Days {
		done = append(done, d != 0)
	}
	return done
}

// One site alone is planned exactly.
func TestOneSiteIsPlannedExactly(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		f := smallFleet(r)
		for i := range f.Sites {
			f.Sites[i].Area = ""
		}
		p, err := Trips(f)
		if err != nil {
			r.Fatal(err)
		}
		if want := bruteForce(f, taken(p)); math.Abs(p.Work+p.Travel-want) > 1e-6 {
			r.Errorf("plan costs %g, the least is %g", p.Work+p.Travel, want)
		}
	})
}

// thousand is a thousand sites in fifty areas, six things to do at each.
func thousand() Fleet {
	noise := rand.New(rand.NewPCG(3, 4))
	f := Fleet{From: 20000, Days: 16 * 7, Off: [7]bool{0: true, 6: true}}
	for i := range 1000 {
		f.Sites = append(f.Sites, Place{Area: string(rune('A' + i%50)), Drive: 4000, Stop: 2500})
		for range 6 {
			likely := f.From + Day(noise.IntN(16*7))
			f.Tasks = append(f.Tasks, Task{Site: i, Spent: When{likely - Day(noise.IntN(30)), likely, likely + Day(noise.IntN(60))}, Thrown: 1000 * noise.Float64(), Harm: 4000 * noise.Float64()})
		}
	}
	return f
}

func BenchmarkTripsOfAThousandSites(b *testing.B) {
	f := thousand()
	for b.Loop() {
		if _, err := Trips(f); err != nil {
			b.Fatal(err)
		}
	}
}
