package carbon_test

import (
	"errors"
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"rinsewright/carbon"
	"rinsewright/quantity"
)

func near(t *testing.T, what string, got, want, relative float64, source string) {
	t.Helper()
	if !(math.Abs(got-want) <= relative*math.Abs(want)) {
		t.Errorf("%s = %.6g, want %.6g within %.2g %% (%s)", what, got, want, 100*relative, source)
	}
}

// town is feed at the reference conditions with so many mg/L of either chlorine.
func town(free, chloramine float64) carbon.Challenge {
	return carbon.Challenge{
		FreeChlorine: quantity.MilligramsPerLitre(free), Chloramine: quantity.MilligramsPerLitre(chloramine),
		Temperature: quantity.Celsius(20), PH: 7.25,
	}
}

func bed(t testing.TB, k carbon.Kind, v quantity.Volume) carbon.Bed {
	t.Helper()
	b, err := carbon.NewBed(k, v)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func leak(t testing.TB, b carbon.Bed, c carbon.Challenge, f quantity.Flow, used quantity.Ratio) carbon.Leak {
	t.Helper()
	l, err := b.Leak(c, f, used)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

func TestContactIsBedVolumeOverFlow(t *testing.T) {
	for _, row := range []struct {
		feet, gpm, want float64 // ft³, gpm, min
		source          string
	}{
		{1, 2, 3.74, "published: trade page, 7.48 ft³ / gpm"},
		{1, 1, 7.48, "published: trade page, 1 to 2 gpm/ft³ is 3.7 to 7.5 min"},
		{1, 3, 2.49, "published: trade page, 2 to 3 gpm/ft³"},
	} {
		got, err := bed(t, carbon.Granular, quantity.CubicFeet(row.feet)).ContactTime(quantity.GallonsPerMinute(row.gpm))
		if err != nil {
			t.Fatal(err)
		}
		near(t, "minutes", got.Minutes(), row.want, 2e-3, row.source)
	}
}

// from memory, unverified: the half-value length test. 80 cm of carbon that
// halves chlorine every 4 cm; at one bed length a second the times are as the
// lengths.
func TestTwentyHalfValuesLeaveAMillionth(t *testing.T) {
	b := bed(t, carbon.Granular, 0.080)
	b.ChlorineHalf = 4
	l := leak(t, b, town(1, 0), 0.001, 0)
	near(t, "share left", l.FreeChlorine.MilligramsPerLitre(), 9.54e-7, 1e-3, "from memory, unverified: half-value length test")
}

func TestWarmAndAcidWaterReactsFaster(t *testing.T) {
	b := bed(t, carbon.Granular, quantity.Litres(1))
	rate := func(celsius float64, pH quantity.PH) float64 {
		c := town(1, 0)
		c.Temperature, c.PH = quantity.Celsius(celsius), pH
		return -math.Log(leak(t, b, c, quantity.LitresPerMinute(2), 0).FreeChlorine.MilligramsPerLitre())
	}
	near(t, "rate at 25 °C over 5 °C", rate(25, 7)/rate(5, 7), 2, 1e-9, "published: trade page, twice per 20 °C")
	near(t, "rate at pH 5.5 over pH 9", rate(15, 5.5)/rate(15, 9), 4, 1e-9, "published: trade page, four times faster at pH 5 to 6 than at 8 to 10")
}

func TestCarbonBurntOutrightBoundsEveryCapacity(t *testing.T) {
	got, err := carbon.StoichiometricLimit(1)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "kg Cl2 per kg C", float64(got), 11.8, 2e-3, "common practice, no source: stoichiometry")
	if got < 6 {
		t.Errorf("limit %v is below the 6 lb per lb of a worked example (published: trade page)", got)
	}
	for _, k := range []carbon.Kind{carbon.Block, carbon.Granular, carbon.Catalytic} {
		b := bed(t, k, quantity.Litres(10))
		limit, err := carbon.StoichiometricLimit(b.Carbon)
		if err != nil {
			t.Fatal(err)
		}
		if !(b.Capacity < limit) {
			t.Errorf("%s takes up %v of at most %v", k, b.Capacity, limit)
		}
	}
}

// 1 mg/L in 1e6 gallons is 8.3 lb; at 6 lb per lb that uses 1.4 lb of carbon.
func TestOneMilligramPerLitreIsEightPoundsPerMillionGallons(t *testing.T) {
	const pound = 0.45359237
	chlorine := float64(quantity.MilligramsPerLitre(1)) * float64(quantity.Gallons(1e6)) // kg
	near(t, "lb of chlorine", chlorine/pound, 8.3, 0.01, "published: trade page")
	near(t, "lb of carbon", chlorine/pound/6, 1.4, 0.01, "published: trade page")

	b := bed(t, carbon.Granular, quantity.CubicFeet(1))
	b.Carbon, b.Capacity = 1.4*pound, 6*1.4*pound
	life, err := b.Life(carbon.Duty{Challenge: town(1, 0), Flow: quantity.GallonsPerMinute(0.02), Recovery: 1, RunPerDay: quantity.Hours(24)})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "gallons", life.Feed.Gallons(), 1e6, 0.02, "published: trade page; the last two per cent leak")
}

// common practice, no source: a new bed at guidance contact holds the feed of a
// town under 0.1 mg/L.
func TestGuidanceContactHoldsANewBed(t *testing.T) {
	for _, row := range []struct {
		kind    carbon.Kind
		feed    carbon.Challenge
		minutes float64
	}{
		{carbon.Granular, town(2, 0), 2},
		{carbon.Granular, town(0, 3), 10},
		{carbon.Catalytic, town(0, 3), 5},
		{carbon.Block, town(2, 0), 0.5},
	} {
		flow := quantity.Flow(0.1 / (60 * row.minutes)) // 100 L of carbon
		b := bed(t, row.kind, 0.1)
		if l := leak(t, b, row.feed, flow, 0); l.Total() > carbon.LeakLimit {
			t.Errorf("%s at %v min leaks %.3f mg/L", row.kind, row.minutes, l.Total().MilligramsPerLitre())
		}
		verdicts, err := b.Contact(row.feed, flow)
		if err != nil || len(verdicts) != 1 || !verdicts[0].Holds || math.Abs(float64(verdicts[0].Margin)) > 1e-6 {
			t.Errorf("%s at %v min: %+v, %v", row.kind, row.minutes, verdicts, err)
		}
	}
}

// common practice, no source: a pair of 20 by 4.5 inch cartridges at 4.2 gpm has
// 39 s of contact, which does for chlorine for a while but not for chloramine.
func TestCartridgesDoForChlorineNotForChloramine(t *testing.T) {
	flow := quantity.GallonsPerMinute(4.2)
	b := bed(t, carbon.Block, quantity.Volume(float64(flow)*39))
	verdicts, err := b.Contact(town(2, 2), flow)
	if err != nil || len(verdicts) != 2 {
		t.Fatalf("%+v, %v", verdicts, err)
	}
	if !verdicts[0].Holds || verdicts[1].Holds || verdicts[1].Warn {
		t.Errorf("verdicts %+v", verdicts)
	}
	if l := leak(t, b, town(0, 3), flow, 0.2); l.Total() < carbon.LeakLimit {
		t.Errorf("3 mg/L of chloramine leaks %.3f mg/L past a cartridge a fifth used, want over 0.1", l.Total().MilligramsPerLitre())
	}
}

// from memory, unverified: 10 min is the design figure for chloramine; the 6 min
// of one page is below guidance.
func TestSixMinutesIsBelowChloramineGuidance(t *testing.T) {
	for minutes, want := range map[float64]struct{ holds, warn bool }{
		5: {false, false}, 6: {false, true}, 9.9: {false, true}, 10: {true, false},
	} {
		b := bed(t, carbon.Granular, 0.1)
		verdicts, err := b.Contact(town(0, 2), quantity.Flow(0.1/(60*minutes)))
		if err != nil || len(verdicts) != 1 {
			t.Fatalf("%+v, %v", verdicts, err)
		}
		v := verdicts[0]
		if v.Holds != want.holds || v.Warn != want.warn || v.Holds != (v.Advice == "") {
			t.Errorf("%v min: %+v", minutes, v)
		}
		near(t, "asked", v.Asked.Minutes(), 10, 1e-9, "from memory, unverified")
		near(t, "margin", float64(v.Margin), minutes/10-1, 1e-6, "definition")
	}
}

func TestLifeCountsFeedNotPermeate(t *testing.T) {
	duty := carbon.Duty{Challenge: town(1, 0), Flow: quantity.LitresPerMinute(6), Recovery: 1.0 / 3, RunPerDay: quantity.Hours(8)}
	life, err := bed(t, carbon.Granular, quantity.Litres(28)).Life(duty)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "feed over permeate", float64(life.Feed)/float64(life.Permeate), 3, 1e-12, "common practice, no source: at a third of recovery a factor of 3")
	near(t, "days", life.Time.Days(), life.Feed.Litres()/(6*60*8), 1e-12, "definition")
}

// from memory, unverified: chloramine uses three times the capacity that free
// chlorine of the same Cl2 does.
func TestChloramineUsesCapacityThreefold(t *testing.T) {
	used := func(c carbon.Challenge) float64 {
		b := bed(t, carbon.Granular, 0.1)
		a := clock(t, carbon.Plan{Carbon: &b, Calendar: carbon.Calendar{Usual: c}, Flow: quantity.LitresPerMinute(5), RunPerDay: quantity.Hours(6), Years: 1})
		return float64(a.Used)
	}
	near(t, "used by chloramine over used by chlorine", used(town(0, 1))/used(town(1, 0)), 3, 1e-9, "from memory, unverified")
	fed := 5e-3 / 60 * 6 * 3600 * 365 * 1e-3 // kg of Cl2 in a year at 1 mg/L
	near(t, "used share", used(town(1, 0)), fed/(0.25*480*0.1), 1e-9, "mass balance")
}

func TestWhatIsUsedIsTakenOffTheLife(t *testing.T) {
	b := bed(t, carbon.Granular, quantity.Litres(28))
	life := func(used quantity.Ratio) carbon.Life {
		l, err := b.Life(carbon.Duty{Challenge: town(2, 0), Flow: quantity.LitresPerMinute(6), Recovery: 0.5, RunPerDay: quantity.Hours(8), Used: used})
		if err != nil {
			t.Fatal(err)
		}
		return l
	}
	taken := float64(life(0).Feed-life(0.3).Feed) * 0.002 // kg of Cl2
	near(t, "Cl2 taken up between", taken, 0.3*float64(b.Capacity), 1e-9, "mass balance")
}

func TestLifeEndsWhereTheLeakReachesTheLimit(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d, b := drawDuty(t)
		life, err := b.Life(d)
		if err != nil {
			t.Fatal(err)
		}
		if life.TooSmall || life.NoChallenge {
			return
		}
		l, err := b.Leak(d.Challenge, d.Flow, life.Used)
		if err != nil {
			t.Fatal(err)
		}
		if miss := float64(l.Total()/carbon.LeakLimit) - 1; math.Abs(miss) > 1e-6 {
			t.Fatalf("at the end of its life the bed leaks %v of the limit", miss+1)
		}
	})
}

// drawDuty draws a duty of city water and a bed for it.
func drawDuty(t *rapid.T) (carbon.Duty, carbon.Bed) {
	x := func(name string, lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(t, name) }
	c := town(x("free", 0, 4), x("chloramine", 0, 4))
	c.Temperature, c.PH = quantity.Celsius(x("celsius", 1, 35)), quantity.PH(x("pH", 5, 10))
	kind := rapid.SampledFrom([]carbon.Kind{carbon.Block, carbon.Granular, carbon.Catalytic}).Draw(t, "kind")
	b, err := carbon.NewBed(kind, quantity.Litres(x("litres", 0.3, 200)))
	if err != nil {
		t.Fatal(err)
	}
	return carbon.Duty{
		Challenge: c, Flow: quantity.LitresPerMinute(x("flow", 0.5, 20)), Recovery: 0.5,
		RunPerDay: quantity.Hours(x("hours", 0.5, 24)), Used: quantity.Ratio(x("used", 0, 0.9)),
	}, b
}

func TestLeakGrowsWithFlowUseAndColdAndNeverPassesTheFeed(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d, b := drawDuty(t)
		here, err := b.Leak(d.Challenge, d.Flow, d.Used)
		if err != nil {
			t.Fatal(err)
		}
		if here.FreeChlorine > d.Challenge.FreeChlorine || here.Chloramine > d.Challenge.Chloramine || here.Total() < 0 {
			t.Fatalf("leak %+v of feed %+v", here, d.Challenge)
		}
		colder := d.Challenge
		colder.Temperature -= 1
		for name, worse := range map[string]func() (carbon.Leak, error){
			"more flow": func() (carbon.Leak, error) { return b.Leak(d.Challenge, d.Flow*1.1, d.Used) },
			"more used": func() (carbon.Leak, error) { return b.Leak(d.Challenge, d.Flow, d.Used+0.05) },
			"colder":    func() (carbon.Leak, error) { return b.Leak(colder, d.Flow, d.Used) },
		} {
			there, err := worse()
			if err != nil {
				t.Fatal(err)
			}
			if there.FreeChlorine < here.FreeChlorine || there.Chloramine < here.Chloramine {
				t.Fatalf("%s: leak fell from %+v to %+v", name, here, there)
			}
		}
	})
}

// TRADE claims: 20,000 gallons at 2 ppm is 40,000 ppm-gallons.
func TestCartridgeRatingScalesWithChlorine(t *testing.T) {
	got, err := carbon.LifeFromRating(quantity.Gallons(20000), quantity.MilligramsPerLitre(2), quantity.MilligramsPerLitre(1))
	if err != nil {
		t.Fatal(err)
	}
	near(t, "gallons", got.Gallons(), 40000, 1e-9, "published: trade page, 20,000 gallons at 2 ppm")
}

func TestUnknownKindIsRefused(t *testing.T) {
	if _, err := carbon.NewBed("coconut", 1); !errors.Is(err, carbon.ErrRange) {
		t.Errorf("%v, want ErrRange", err)
	}
}

func ExampleBed_Life() {
	b, err := carbon.NewBed(carbon.Catalytic, quantity.CubicFeet(1.5))
	if err != nil {
		fmt.Println(err)
		return
	}
	// invented: a chloramine town, 2.5 mg/L at 12 °C and pH 7.8.
	life, err := b.Life(carbon.Duty{
		Challenge: carbon.Challenge{Chloramine: quantity.MilligramsPerLitre(2.5), Temperature: quantity.Celsius(12), PH: 7.8},
		Flow:      quantity.GallonsPerMinute(2), Recovery: 0.5, RunPerDay: quantity.Hours(6),
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("used to %.0f %%\n", 100*life.Used)
	// Output: used to 32 %
}

func FuzzLife(f *testing.F) {
	for _, x := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), 0, -1, 1e-300, 1e300} {
		f.Add(x, 1e-3, 1e-4, 7.0, 0.1)
		f.Add(0.03, x, 1e-4, 7.0, 0.1)
		f.Add(0.03, 1e-3, x, 7.0, 0.1)
		f.Add(0.03, 1e-3, 1e-4, x, 0.1)
		f.Add(0.03, 1e-3, 1e-4, 7.0, x)
	}
	f.Fuzz(func(t *testing.T, volume, chlorine, flow, pH, used float64) {
		b, err := carbon.NewBed(carbon.Granular, quantity.Volume(volume))
		if err != nil {
			return
		}
		c := carbon.Challenge{FreeChlorine: quantity.MassConc(chlorine), Temperature: quantity.Celsius(15), PH: quantity.PH(pH)}
		life, err := b.Life(carbon.Duty{Challenge: c, Flow: quantity.Flow(flow), Recovery: 0.5, RunPerDay: quantity.Hours(24), Used: quantity.Ratio(used)})
		if err != nil {
			return
		}
		for _, x := range []float64{float64(life.Feed), float64(life.Permeate), float64(life.Time), float64(life.Used)} {
			if math.IsNaN(x) || math.IsInf(x, 0) {
				t.Fatalf("%+v left the package", life)
			}
		}
	})
}

func BenchmarkLife(b *testing.B) {
	c := bed(b, carbon.Granular, quantity.Litres(28))
	d := carbon.Duty{Challenge: town(1, 1), Flow: quantity.LitresPerMinute(6), Recovery: 0.5, RunPerDay: quantity.Hours(8)}
	for b.Loop() {
		if _, err := c.Life(d); err != nil {
			b.Fatal(err)
		}
	}
}
