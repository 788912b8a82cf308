package demand

import (
	"context"
	"errors"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"rinsewright/internal/check"
	"rinsewright/quantity"
)

func mustProfile(t testing.TB, a Answers) (Profile, []string) {
	t.Helper()
	p, assumed, err := FromAnswers(a)
	if err != nil {
		t.Fatal(err)
	}
	return p, assumed
}

func TestOneNumberOfVehiclesIsEnough(t *testing.T) {
	p, assumed := mustProfile(t, Answers{VehiclesPerDay: 40})
	if p.Weekday[time.Monday] != 40 || p.Weekday[time.Saturday] != 64 {
		t.Errorf("Monday %g, Saturday %g, want 40 and 1.6 times that", p.Weekday[time.Monday], p.Weekday[time.Saturday])
	}
	for _, word := range []string{"bays", "wait", "vend", "spot-free", "gun", "busiest weekday", "Saturday", "hours", "months"} {
		if !slices.ContainsFunc(assumed, func(s string) bool { return strings.Contains(s, word) }) {
			t.Errorf("nothing assumed about %q is told: %q", word, assumed)
		}
	}
	busy, _ := mustProfile(t, Answers{VehiclesBusiest: 64})
	if math.Abs(busy.Weekday[time.Monday]-40) > 1e-9 {
		t.Errorf("64 on the busiest day gives a normal day of %g, want 40", busy.Weekday[time.Monday])
	}
}

func TestWhatIsSaidIsNotAssumed(t *testing.T) {
	_, assumed := mustProfile(t, Answers{
		Bays: 3, VehiclesPerDay: 40, VehiclesBusiest: 70, BusiestWeekdays: []time.Weekday{time.Sunday},
		VendLength: 200, SpotFreeTime: 60, GunFlow: 1e-4, Waiting: 2,
		Opens: quantity.Hours(7), Closes: quantity.Hours(19), BusiestHour: quantity.Hours(11), BusiestHourShare: 0.15,
		FirstMonth: time.May, LastMonth: time.October,
	})
	if len(assumed) != 0 {
		t.Errorf("assumed %q though all was said", assumed)
	}
}

func TestSeasonFromMayToOctober(t *testing.T) {
	p, _ := mustProfile(t, Answers{VehiclesPerDay: 10, VehiclesBusiest: 22, FirstMonth: time.May, LastMonth: time.October})
	days, err := p.Days()
	if err != nil {
		t.Fatal(err)
	}
	open := 0
	for d, n := range days {
		month, _ := DateOf(d)
		if in := time.May <= month && month <= time.October; in != (n > 0) {
			t.Errorf("day %d in %v has %g vehicles", d, month, n)
		}
		if n > 0 {
			open++
		}
	}
	if open != 184 {
		t.Errorf("%d open days, want the 184 from May to October", open)
	}
	d, err := p.Demand()
	if err != nil {
		t.Fatal(err)
	}
	if m, _ := DateOf(d.BusiestDay); m != time.May || p.WeekdayOf(d.BusiestDay) != time.Saturday || d.Busiest != 22 {
		t.Errorf("busiest is day %d with %g, want the first Saturday of May with 22", d.BusiestDay, d.Busiest)
	}
	if d.OpenDays != 184 || math.Abs(float64(d.OpenDay)*184/365/float64(d.MeanDay)-1) > 1e-12 {
		t.Errorf("%d open days of %g and 365 of %g do not give one year", d.OpenDays, d.OpenDay, d.MeanDay)
	}
	winter, _ := mustProfile(t, Answers{VehiclesPerDay: 10, FirstMonth: time.November, LastMonth: time.February})
	for m, f := range winter.Month {
		if open := m >= 10 || m <= 1; open != (f > 0) {
			t.Errorf("winter season: month %d has factor %g", m+1, f)
		}
	}
}

func TestClosedAndSurgeDays(t *testing.T) {
	eve, err := DayOf(time.July, 3)
	if err != nil {
		t.Fatal(err)
	}
	p, _ := mustProfile(t, Answers{
		VehiclesPerDay: 10, VehiclesBusiest: 10, ClosedWeekdays: []time.Weekday{time.Sunday},
		ClosedDays: []int{9}, Surge: []Surge{{eve, 3}},
	})
	days, err := p.Days()
	if err != nil {
		t.Fatal(err)
	}
	if days[9] != 0 || days[0] != 0 || days[eve] != 30 || days[1] != 10 {
		t.Errorf("closed %g, Sunday %g, surge %g, Monday %g: want 0, 0, 30, 10", days[9], days[0], days[eve], days[1])
	}
}

func TestLitresPerVehicleRule(t *testing.T) {
	flow, litres := quantity.LitresPerMinute(6), quantity.Litres(8)
	for _, c := range []struct {
		name string
		a    Answers
	}{
		{"litres alone", Answers{LitresPerVehicle: litres}},
		{"litres and gun", Answers{LitresPerVehicle: litres, GunFlow: flow}},
		{"litres and time", Answers{LitresPerVehicle: litres, SpotFreeTime: 80}},
		{"gun and time", Answers{GunFlow: flow, SpotFreeTime: 80}},
		{"gun and share", Answers{GunFlow: flow, SpotFreeShare: 0.25, VendLength: 320}},
		{"litres beyond the vend", Answers{LitresPerVehicle: litres, GunFlow: flow, VendLength: 10}},
	} {
		t.Run(c.name, func(t *testing.T) {
			c.a.VehiclesPerDay = 1
			p, _ := mustProfile(t, c.a)
			if got := p.Vends[0].Water(); math.Abs(got.Litres()-8) > 1e-9 {
				t.Errorf("%.6f L a vehicle, want 8", got.Litres())
			}
		})
	}
}

func TestTradeRuleOfAHundredGallonsHidesThePeak(t *testing.T) {
	// common practice, no source: 100 gal per bay per day
	p, _ := mustProfile(t, Answers{Bays: 2, VehiclesPerDay: 80, VehiclesBusiest: 128, LitresPerVehicle: quantity.Gallons(2.5)})
	d, err := p.Demand()
	if err != nil {
		t.Fatal(err)
	}
	if got := d.BusyDay.Gallons(); math.Abs(got-320) > 1e-9 {
		t.Errorf("Saturday asks for %.1f gal, want 128 vehicles of 2.5", got)
	}
	check.Within(t, d.Offered, d.Peak*4/60, 1e-12, derived+"erlangs: vehicles an hour times a vend of 4 minutes")
	if d.Peak*24 < 128*1.5 {
		t.Errorf("the peak hour has %.1f vehicles: no peak at all", d.Peak)
	}
}

func TestShapeOfTheDay(t *testing.T) {
	for _, c := range []struct {
		name                string
		opens, closes, peak float64 // o'clock
		share               quantity.Ratio
		open                []int
		peaks               int
	}{
		{"eight to eight", 8, 20, 14, 0, []int{8, 9, 10, 11, 12, 13, 14, 15, 16, 17, 18, 19}, 14},
		{"half past seven", 7.5, 10, 8, 0, []int{7, 8, 9}, 8},
		{"through midnight", 20, 24, 22, 0, []int{20, 21, 22, 23}, 22},
		{"past midnight", 22, 2, 0.5, 0, []int{0, 1, 22, 23}, 1},
		{"round the clock", 0, 24, 12, 0.2, []int{0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16, 17, 18, 19, 20, 21, 22, 23}, 12},
		{"one hour", 6, 7, 6, 0, []int{6}, 6},
		{"peak said outside opening", 8, 12, 20, 0, []int{8, 9, 10, 11}, 11},
	} {
		t.Run(c.name, func(t *testing.T) {
			p, _ := mustProfile(t, Answers{
				VehiclesPerDay: 1, Opens: quantity.Hours(c.opens), Closes: quantity.Hours(c.closes),
				BusiestHour: quantity.Hours(c.peak), BusiestHourShare: c.share,
			})
			shares := hourShares(p.Hours)
			var open []int
			sum, peak := 0.0, 0
			for h, s := range shares {
				sum += s
				if s > 0 {
					open = append(open, h)
				}
				if s > shares[peak] {
					peak = h
				}
			}
			if !slices.Equal(open, c.open) || peak != c.peaks || math.Abs(sum-1) > 1e-12 {
				t.Errorf("open %v, want %v; peak %d, want %d; sum %g", open, c.open, peak, c.peaks, sum)
			}
			if c.share > 0 {
				check.Near(t, shares[peak], float64(c.share), 1e-12, "common practice, no source: as said in the answer")
			}
		})
	}
}

func TestAnswersThatCannotBe(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for _, c := range []struct {
		name string
		a    Answers
		want error
	}{
		{"nothing said", Answers{}, ErrNoDemand},
		{"no vehicles", Answers{Bays: 3, LitresPerVehicle: 1}, ErrNoDemand},
		{"shut every day", Answers{VehiclesPerDay: 9, ClosedWeekdays: []time.Weekday{0, 1, 2, 3, 4, 5, 6}}, ErrNoDemand},
		{"vehicles not a number", Answers{VehiclesPerDay: nan}, ErrRange},
		{"vehicles without end", Answers{VehiclesBusiest: inf}, ErrRange},
		{"vehicles negative", Answers{VehiclesPerDay: -4}, ErrRange},
		{"vend negative", Answers{VehiclesPerDay: 1, VendLength: -60}, ErrRange},
		{"share above one", Answers{VehiclesPerDay: 1, SpotFreeShare: 1.5}, ErrRange},
		{"month 13", Answers{VehiclesPerDay: 1, FirstMonth: 13}, ErrRange},
		{"weekday 9", Answers{VehiclesPerDay: 1, BusiestWeekdays: []time.Weekday{9}}, ErrRange},
		{"closing at 30 o'clock", Answers{VehiclesPerDay: 1, Closes: quantity.Hours(30)}, ErrRange},
		{"surge on day -1", Answers{VehiclesPerDay: 1, Surge: []Surge{{-1, 2}}}, ErrRange},
		{"surge not a number", Answers{VehiclesPerDay: 1, Surge: []Surge{{1, nan}}}, ErrRange},
		{"litres that take days", Answers{VehiclesPerDay: 1, LitresPerVehicle: 500, GunFlow: 1e-4}, ErrRange},
	} {
		t.Run(c.name, func(t *testing.T) {
			if _, _, err := FromAnswers(c.a); !errors.Is(err, c.want) {
				t.Errorf("error is %v, want %v", err, c.want)
			}
		})
	}
}

func TestDayOfAndDateOf(t *testing.T) {
	for d := range DaysInYear {
		month, day := DateOf(d)
		back, err := DayOf(month, day)
		if err != nil || back != d {
			t.Fatalf("day %d is %v %d, which is day %d (%v)", d, month, day, back, err)
		}
	}
	for _, c := range []struct {
		month time.Month
		day   int
	}{{time.February, 29}, {time.April, 31}, {0, 1}, {13, 1}, {time.May, 0}} {
		if d, err := DayOf(c.month, c.day); !errors.Is(err, ErrRange) {
			t.Errorf("%d-%d is day %d, error %v, want ErrRange", c.month, c.day, d, err)
		}
	}
}

func TestVentedTankHasTheTradesLevels(t *testing.T) {
	// common practice, no source: restart after half an hour's make-up or 10 %
	// of the tank, whichever is more; 10.5 gal at 0.35 gpm
	tank, err := VentedTank(quantity.Gallons(50), quantity.GallonsPerMinute(0.35))
	if err != nil {
		t.Fatal(err)
	}
	check.Near(t, tank.FloatDifferential().Gallons(), 10.5, 1e-9, "common practice, no source")
	check.Near(t, tank.Usable().Gallons(), 43.5, 1e-9, "common practice, no source")
	if _, err := VentedTank(quantity.Gallons(10), quantity.GallonsPerMinute(2)); !errors.Is(err, ErrTank) {
		t.Errorf("half an hour of 2 gpm in 10 gal: error %v, want ErrTank", err)
	}
}

func TestSeasonalMakeUp(t *testing.T) {
	m := SeasonalMakeUp(1, 3, 14)
	const source = derived + "a cosine between 1 and 3, least on day 14"
	check.Near(t, float64(m(14)), 1, 1e-12, source)
	check.Near(t, float64(m(14+182)), 3, 1e-3, source)
	check.Near(t, float64(m(14+91)), 2, 0.01, source)
}

func TestRowsAreAnsweredOneByOne(t *testing.T) {
	good := Answers{VehiclesPerDay: 30}
	demand := CalcDemand([]DemandRow{{ID: "a", Answers: good}, {ID: "b"}, {ID: "c", Answers: good}})
	if len(demand) != 3 || demand[0].Err != nil || !errors.Is(demand[1].Err, ErrNoDemand) || demand[2].ID != "c" {
		t.Errorf("rows a, b, c gave %+v", demand)
	}
	if demand[0].Demand.Vends < 30*DaysInYear {
		t.Errorf("%g vends a year from 30 a day", demand[0].Demand.Vends)
	}
	litre := quantity.LitresPerMinute(1)
	tanks := CalcTank(context.Background(), []TankRow{
		{ID: "a", Answers: good, Tank: Tank{Total: quantity.Litres(1000)}, MakeUpCold: litre, MakeUpWarm: 2 * litre, Years: 3},
		{ID: "b", Answers: good, Tank: Tank{Total: quantity.Litres(1)}, MakeUpCold: litre, Years: 3},
		{ID: "c", Answers: good, Tank: Tank{Total: quantity.Litres(1000)}, Years: 3},
	})
	if tanks[0].Err != nil || tanks[0].Replication.Years != 3 || tanks[0].Usable <= 0 || len(tanks[0].Assumed) == 0 {
		t.Errorf("row a gave %+v", tanks[0])
	}
	if !errors.Is(tanks[1].Err, ErrTank) || !errors.Is(tanks[2].Err, ErrRange) {
		t.Errorf("a tank of one litre: %v; no make-up: %v", tanks[1].Err, tanks[2].Err)
	}
}

// A nil error means a finite answer, whatever was said.
func FuzzAnswers(f *testing.F) {
	for _, x := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), 0, -1, 1, 1e-300, 1e300} {
		f.Add(x, 1.0, x, 1.0, 1.0, 8.0, 20.0, 14.0, 0.1, 2, 5, 10)
		f.Add(20.0, x, 200.0, x, x, x, x, x, x, 1, 0, 0)
	}
	f.Fuzz(func(t *testing.T, normal, busy, length, flow, litres, opens, closes, peak, share float64, bays, first, last int) {
		p, _, err := FromAnswers(Answers{
			Bays: bays, VehiclesPerDay: normal, VehiclesBusiest: busy,
			VendLength: quantity.Time(length), GunFlow: quantity.Flow(flow), LitresPerVehicle: quantity.Volume(litres),
			Opens: quantity.Hours(opens), Closes: quantity.Hours(closes), BusiestHour: quantity.Hours(peak),
			BusiestHourShare: quantity.Ratio(share), FirstMonth: time.Month(first), LastMonth: time.Month(last),
		})
		if err != nil {
			return
		}
		d, err := p.Demand()
		if err != nil {
			t.Fatalf("answers made a profile with no demand: %v", err)
		}
		for _, x := range []float64{
			d.Vends, d.Busiest, d.Peak, d.Offered, float64(d.PerVend), float64(d.MeanDay),
			float64(d.OpenDay), float64(d.BusyDay), float64(d.Year), float64(d.TurnedAway),
		} {
			if !(0 <= x && x <= math.MaxFloat64) {
				t.Fatalf("%+v is not finite", d)
			}
		}
		if d.Vends > 2e5 {
			return // no time
		}
		tank := Tank{Total: 1, Stop: 1, Start: 0.9, CutOff: 0.1, Restart: 0.2}
		y, err := SimulateYear(context.Background(), p, tank, SteadyMakeUp(1e-4), 1)
		if err != nil {
			t.Fatal(err)
		}
		for _, x := range []float64{float64(y.Delivered), float64(y.Made), float64(y.LitresWanted), float64(y.MeanWait), float64(y.AtFull)} {
			if !(0 <= x && x <= math.MaxFloat64) {
				t.Fatalf("%v is not finite", x)
			}
		}
	})
}

// A nil error means a finite answer, whatever the tank.
func FuzzTank(f *testing.F) {
	for _, x := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), 0, -1, 1e-9, 1e300} {
		f.Add(x, 0.9, 0.8, 0.1, 0.2, 0.0, 1e-4)
		f.Add(1.0, 0.9, 0.8, x, 0.2, x, x)
	}
	p, _, err := FromAnswers(Answers{VehiclesPerDay: 20})
	if err != nil {
		f.Fatal(err)
	}
	f.Fuzz(func(t *testing.T, total, stop, start, cut, restart, pump, makes float64) {
		tank := Tank{
			Total: quantity.Volume(total), Stop: quantity.Volume(stop), Start: quantity.Volume(start),
			CutOff: quantity.Volume(cut), Restart: quantity.Volume(restart), Pump: quantity.Flow(pump),
		}
		y, err := SimulateYear(context.Background(), p, tank, SteadyMakeUp(quantity.Flow(makes)), 1)
		if err != nil {
			return
		}
		b, err := p.RunDryBound(tank, quantity.Flow(makes))
		if err != nil || !(0 <= b.AtMost && b.AtMost <= 1 && b.Load >= 0 && b.Load <= 1e6) {
			t.Fatalf("bound %+v, error %v", b, err)
		}
		for _, x := range []float64{float64(y.Delivered), float64(y.Made), float64(y.LevelAt(12, 0.05)), float64(y.Closing()), float64(y.RunPerStart())} {
			if !(0 <= x && x <= math.MaxFloat64) {
				t.Fatalf("%v is not finite", x)
			}
		}
	})
}
