package sizing

import (
	"context"
	"errors"
	"fmt"
	"hash/fnv"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"rinsewright/cost"
	"rinsewright/quantity"
)

// random draws a small problem whose margins and costs are any function of the
// parts chosen so far, as a real chain's are.
func random(t *rapid.T) Problem {
	p := Problem{Years: rapid.IntRange(1, 8).Draw(t, "years"), Discount: 0.06, Within: 0.4, Allow: rapid.IntRange(0, 2).Draw(t, "allow")}
	seed := rapid.Uint32().Draw(t, "seed")
	tight := rapid.Float64Range(0.3, 1.5).Draw(t, "tight")
	step := rapid.SampledFrom([]cost.Money{1, 50}).Draw(t, "step") // coarse prices make ties
	stages := rapid.IntRange(1, 4).Draw(t, "stages")
	for stage := range stages {
		var s Stage
		for o := range rapid.IntRange(1, 5).Draw(t, "options") {
			s.Options = append(s.Options, Option{Name: fmt.Sprint(o), First: step * cost.Money(rapid.IntRange(0, 6).Draw(t, "first")), Yearly: step * cost.Money(rapid.IntRange(0, 3).Draw(t, "yearly"))})
		}
		for o := range s.Options {
			if rapid.IntRange(0, 4).Draw(t, "doomed") == 0 {
				s.Options[o].Doom = Doom{[]string{"a", "d"}, 1.1}
				s.Options[o].First -= 2 * step // less than nothing, at times
			}
		}
		options := s.Options
		last := stage == stages-1
		cheats := func(chosen []int) bool { return chance(seed, stage, 10, chosen) < 0.3 } // breaks a limit and saves by it
		s.Judge = func(_ context.Context, chosen []int) (Verdict, error) {
			v := Verdict{Margins: []Margin{
				{Constraint: "a", Used: tight * chance(seed, stage, 1, chosen)},
				{Constraint: []string{"b", "c", "a"}[stage%3], Used: tight * chance(seed, stage, 2, chosen)},
			}}
			sum := cost.Money(0)
			for range chosen {
				sum += options[chosen[len(chosen)-1]].Yearly // any function that never exceeds a completion's
			}
			v.Yearly = min(sum, options[chosen[stage]].Yearly)
			v.Yearly += step * cost.Money(3*chance(seed, 0, 3, chosen[:1]))
			v.Levels = [Objectives]int{stage % 2 * int(2*chance(seed, stage, 5, chosen)), int(3 * chance(seed, stage, 6, chosen))}
			if options[chosen[stage]].Doom.certain() {
				v.Margins[0].Used = 1.1 + chance(seed, stage, 7, chosen[stage:])
			}
			switch acc := accumulated(p.Stages, options, v.Yearly, chosen); {
			case !last:
				v.Sound = acc + 2*step
			case cheats(chosen):
				v.Margins = append(v.Margins, Margin{Constraint: "e", Used: 1.3})
			default:
				v.Yearly = acc + 2*step
			}
			if !last && chance(seed, stage, 8, chosen) < 0.1 {
				v.Doom = Doom{[]string{"b", "d"}, 1.2} // the last stage sees to it
			} else if last && doomed(seed, chosen) {
				v.Margins = append(v.Margins, Margin{Constraint: "d", Used: 1.2 + chance(seed, stage, 9, chosen)})
			}
			return v, nil
		}
		if rapid.Bool().Draw(t, "fits") {
			s.Fits = func(chosen []int) bool { return chance(seed, stage, 4, chosen) < 0.8 }
		}
		p.Stages = append(p.Stages, s)
	}
	return p
}

// accumulated is the cost of a year as the search adds it up: each stage's own bound,
// or that of the stages before with what the option adds.
func accumulated(before []Stage, options []Option, bound cost.Money, chosen []int) (sum cost.Money) {
	for i, s := range before[:len(chosen)-1] {
		v, _ := s.Judge(context.Background(), chosen[:i+1])
		sum = max(sum+s.Options[chosen[i]].Yearly, v.Yearly)
	}
	return max(sum+options[chosen[len(chosen)-1]].Yearly, bound)
}

// doomed says that an earlier stage foretold a broken limit of a choice.
func doomed(seed uint32, chosen []int) bool {
	for stage := range len(chosen) - 1 {
		if chance(seed, stage, 8, chosen[:stage+1]) < 0.1 {
			return true
		}
	}
	return false
}

func chance(seed uint32, stage, salt int, chosen []int) float64 {
	h := fnv.New64a()
	fmt.Fprint(h, seed, stage, salt, chosen)
	return math.Round(20*float64(h.Sum64()>>11)/float64(1<<53)) / 20 // coarse, so that headroom ties
}

// everything judges every system there is, without a bound.
func everything(t *rapid.T, p Problem) (all []*System) {
	s := &search{Problem: p, outcome: &Outcome{}}
	s.annuity, _ = Annuity(p.Years, p.Discount)
	s.bounds()
	level := []*partial{{judged: true}}
	for range p.Stages {
		var next []*partial
		for _, q := range level {
			for _, c := range s.expand(q) {
				v, err := p.Stages[c.depth-1].Judge(context.Background(), c.chosen())
				if err != nil {
					t.Fatal(err)
				}
				s.take(c, v)
				next = append(next, c)
			}
		}
		level = next
	}
	for _, q := range level {
		all = append(all, s.system(q))
	}
	return all
}

func least(all []*System, order func(a, b *System) int) *System {
	if len(all) == 0 {
		return nil
	}
	return slices.MinFunc(all, order)
}

func same(a, b *System) bool {
	if a == nil || b == nil {
		return a == b
	}
	return slices.Equal(a.Chosen, b.Chosen) && a.First == b.First && a.Yearly == b.Yearly && a.Headroom == b.Headroom && a.Levels == b.Levels
}

func TestTheSearchFindsWhatTryingEverythingFinds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := random(t)
		got, err := Find(context.Background(), p)
		if err != nil {
			t.Fatal(err)
		}
		all := everything(t, p)
		var feasible []*System
		for _, f := range all {
			if len(f.Broken()) == 0 {
				feasible = append(feasible, f)
			}
		}
		over := least(feasible, overOrder)
		if !same(got.LeastOver, over) {
			t.Fatalf("least over the years: got %+v, want %+v", got.LeastOver, over)
		}
		if over == nil {
			checkRelaxations(t, p.Allow, got, all)
			return
		}
		if want := least(feasible, firstOrder); !same(got.LeastFirst, want) {
			t.Fatalf("least first cost: got %+v, want %+v", got.LeastFirst, want)
		}
		most := cost.Money(math.Floor(float64(over.Over) * (1 + float64(p.Within))))
		affordable := slices.DeleteFunc(slices.Clone(feasible), func(f *System) bool { return f.Over > most })
		if want := least(affordable, headroomOrder); !same(got.MostHeadroom, want) {
			t.Fatalf("most headroom: got %+v, want %+v", got.MostHeadroom, want)
		}
		checkFrontier(t, got, affordable)
		checkBinds(t, "over the years", got.BindsOver, all, func(f *System) bool { return f.Over < over.Over })
		checkBinds(t, "first", got.BindsFirst, all, func(f *System) bool { return f.First < got.LeastFirst.First })
	})
}

func checkFrontier(t *rapid.T, got *Outcome, affordable []*System) {
	costs := func(all []*System) (list []string) {
		for _, f := range all {
			list = append(list, fmt.Sprint(f.First, f.Yearly, f.Levels))
		}
		slices.Sort(list)
		return slices.Compact(list)
	}
	var want []*System
	for _, f := range affordable {
		if !beaten(affordable, f.First, f.Yearly, f.Levels) {
			want = append(want, f)
		}
	}
	if !slices.Equal(costs(got.Frontier), costs(want)) {
		t.Fatalf("frontier: got %v, want %v", costs(got.Frontier), costs(want))
	}
}

// checkBinds holds what is said to bind against its definition: some system
// breaks this constraint alone and would beat the pick.
func checkBinds(t *rapid.T, what string, got []Binding, all []*System, beats func(*System) bool) {
	want := map[string]bool{}
	for _, f := range all {
		if broken := f.Broken(); len(broken) == 1 && beats(f) {
			want[broken[0]] = true
		}
	}
	for _, b := range got {
		if !want[b.Constraint] || !beats(b.Cheaper) {
			t.Fatalf("%s: %q is said to bind and does not", what, b.Constraint)
		}
		delete(want, b.Constraint)
	}
	if len(want) > 0 {
		t.Fatalf("%s: %v bind and are not told", what, want)
	}
}

// checkRelaxations holds what would let a system in, alone or together with
// others, against its definition.
func checkRelaxations(t *rapid.T, allow int, got *Outcome, all []*System) {
	want := map[string]float64{}
	for _, f := range all {
		broken := f.Broken()
		if len(broken) > max(allow, 1) {
			continue
		}
		slices.Sort(broken)
		set := strings.Join(broken, " + ")
		if used, ok := want[set]; !ok || breachOf(f) < used {
			want[set] = breachOf(f)
		}
	}
	for set, used := range want { // less would do
		names := strings.Split(set, " + ")
		for other, less := range want {
			if less <= used && other != set && within(strings.Split(other, " + "), names) {
				delete(want, set)
			}
		}
	}
	for _, r := range got.Relaxations {
		set := strings.Join(r.Constraints, " + ")
		if want[set] != breachOf(r.Least) {
			t.Fatalf("relaxing %q: got %g, want %g", set, breachOf(r.Least), want[set])
		}
		delete(want, set)
	}
	if len(want) > 0 {
		t.Fatalf("relaxing %v would do and is not told", want)
	}
}

func TestAnnuity(t *testing.T) {
	for _, row := range []struct {
		years          int
		discount       float64
		want, tolerant float64
		source         string
	}{
		{5, 0.06, 4.212364, 5e-7, "published: present value of an ordinary annuity, standard table, 5 periods at 6 %"},
		{10, 0.05, 7.721735, 5e-7, "published: present value of an ordinary annuity, standard table, 10 periods at 5 %"},
		{5, 0, 5, 0, "published: arithmetic"},
	} {
		got, err := Annuity(row.years, quantity.Ratio(row.discount))
		if err != nil || !(math.Abs(got-row.want) <= row.tolerant) {
			t.Errorf("%d years at %g: got %g, %v, want %g (%s)", row.years, row.discount, got, err, row.want, row.source)
		}
	}
	for _, bad := range []float64{math.NaN(), math.Inf(1), -0.1, 2} {
		if _, err := Annuity(5, quantity.Ratio(bad)); !errors.Is(err, ErrProblem) {
			t.Errorf("discount %g: %v", bad, err)
		}
	}
}

func TestAStageThatFailsEndsTheSearch(t *testing.T) {
	broken := errors.New("the station cannot be computed")
	p := Problem{Years: 5, Stages: []Stage{{Options: make([]Option, 3), Judge: func(context.Context, []int) (Verdict, error) { return Verdict{}, broken }}}}
	if _, err := Find(context.Background(), p); !errors.Is(err, broken) {
		t.Errorf("got %v", err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := Find(ctx, p); !errors.Is(err, context.Canceled) {
		t.Errorf("got %v", err)
	}
}

// TestASearchWithoutEndNamesItsLargestLever wants to know which stage to
// shorten.
func TestASearchWithoutEndNamesItsLargestLever(t *testing.T) {
	p := million()
	p.Stages[2].Name, p.MostTrials = "membrane", 500
	_, err := Find(context.Background(), p)
	if !errors.Is(err, ErrTooMany) || !strings.Contains(err.Error(), "options: list fewer") {
		t.Errorf("got %v", err)
	}
}

// TestExplainingLeavesThePicksAlone ends the search for what binds at once.
func TestExplainingLeavesThePicksAlone(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := random(t)
		long, err := Find(context.Background(), p)
		if err != nil {
			t.Fatal(err)
		}
		p.Explain = 1
		short, err := Find(context.Background(), p)
		if err != nil {
			t.Fatal(err)
		}
		if !same(long.LeastOver, short.LeastOver) || !same(long.LeastFirst, short.LeastFirst) || !same(long.MostHeadroom, short.MostHeadroom) {
			t.Fatalf("picks change: %+v, %+v", long, short)
		}
	})
}

func TestAShareThatIsNoNumberBreaksItsLimit(t *testing.T) {
	p := Problem{Years: 5, Stages: []Stage{{Options: make([]Option, 1), Judge: func(context.Context, []int) (Verdict, error) {
		return Verdict{Margins: []Margin{{Constraint: "flux", Used: math.NaN()}}}, nil
	}}}}
	got, err := Find(context.Background(), p)
	if err != nil || got.LeastOver != nil {
		t.Errorf("got %+v, %v", got, err)
	}
}

// TestAMillionSystemsNeedFewTrials holds the search to what it is for.
func TestAMillionSystemsNeedFewTrials(t *testing.T) {
	got, err := Find(context.Background(), million())
	if err != nil || got.LeastOver == nil {
		t.Fatal(err)
	}
	if got.Combinations < 1e6 || got.Trials > 100_000 {
		t.Errorf("%.0f systems took %d judgements", got.Combinations, got.Trials)
	}
}

func BenchmarkFindAmongAMillion(b *testing.B) {
	p := million()
	for b.Loop() {
		if _, err := Find(context.Background(), p); err != nil {
			b.Fatal(err)
		}
	}
}

// million is four stages of 32 parts, the dearer the more able.
func million() Problem {
	p := Problem{Years: 5, Discount: 0.06, Within: 0.25}
	for stage := range 4 {
		var s Stage
		for o := range 32 {
			s.Options = append(s.Options, Option{First: cost.Money(1000 + 150*o + 7*((o*13+stage)%11)), Yearly: cost.Money(100 + 5*((o*7)%13))})
		}
		s.Judge = func(_ context.Context, chosen []int) (Verdict, error) {
			able := 0
			for _, c := range chosen {
				able += c
			}
			return Verdict{Margins: []Margin{{Constraint: "able", Used: float64(10*len(chosen)) / float64(1+able)}}}, nil
		}
		p.Stages = append(p.Stages, s)
	}
	return p
}
