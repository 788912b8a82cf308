package demand

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"rinsewright/quantity"
)

// aLog is an invented log: vends at random from a known profile, from 1 March.
func aLog(p Profile, days int) (log []LoggedVend) {
	random := rand.New(rand.NewPCG(1, 2))
	shares := hourShares(p.Hours)
	for d := range days {
		at := time.Date(2023, time.March, 1+d, 0, 0, 0, 0, time.UTC)
		for h, share := range shares {
			rate := p.Weekday[at.Weekday()] * p.Month[at.Month()-1] * share
			for t := random.ExpFloat64(); t < rate; t += random.ExpFloat64() {
				log = append(log, LoggedVend{At: at.Add(time.Duration((float64(h) + t/rate) * float64(time.Hour))), Litres: quantity.Litres(9)})
			}
		}
	}
	return log
}

func TestLogGivesBackTheProfileItCameFrom(t *testing.T) {
	truth, _ := mustProfile(t, Answers{VehiclesPerDay: 60, VehiclesBusiest: 110, Opens: quantity.Hours(9), Closes: quantity.Hours(17)})
	for m := range truth.Month {
		truth.Month[m] = 1 + 0.4*math.Cos(2*math.Pi*float64(m-6)/12)
	}
	got, assumed, err := FromLog(aLog(truth, 3*365), Answers{Bays: 3, GunFlow: 1e-4})
	if err != nil {
		t.Fatal(err)
	}
	for d := range truth.Weekday {
		for m := range truth.Month {
			want := truth.Weekday[d] * truth.Month[m]
			if r := got.Weekday[d] * got.Month[m] / want; math.Abs(r-1) > 0.06 {
				t.Errorf("weekday %d of month %d: %.3f times the truth", d, m+1, r)
			}
		}
	}
	a, b := hourShares(truth.Hours), hourShares(got.Hours)
	for h := range a {
		if math.Abs(a[h]-b[h]) > 0.006 {
			t.Errorf("hour %d has a share of %.4f, want %.4f", h, b[h], a[h])
		}
	}
	if w := got.Vends[0].Water().Litres(); math.Abs(w-9) > 1e-6 {
		t.Errorf("%g L a vend, want the metered 9", w)
	}
	for _, s := range assumed {
		if toldByLog(s) {
			t.Errorf("assumed %q though the log tells it", s)
		}
	}
}

func TestMonthsOutsideTheLogAreAssumed(t *testing.T) {
	truth, _ := mustProfile(t, Answers{VehiclesPerDay: 60})
	got, assumed, err := FromLog(aLog(truth, 92), Answers{}) // March to May
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(got.Month[10]-1) > 1e-9 || math.Abs(got.Month[2]+got.Month[3]+got.Month[4]-3) > 1e-9 {
		t.Errorf("months %v: want 1 outside March to May and a mean of 1 within", got.Month)
	}
	if last := assumed[len(assumed)-1]; last != "months not in the log, as the mean of those in it: [January February June July August September October November December]" {
		t.Errorf("assumed %q", last)
	}
}

func TestLogsThatSayTooLittle(t *testing.T) {
	truth, _ := mustProfile(t, Answers{VehiclesPerDay: 60})
	whole := aLog(truth, 30)
	wild := append([]LoggedVend(nil), whole...)
	wild[5].Litres = quantity.Volume(math.NaN())
	long := append([]LoggedVend(nil), whole...)
	long[0].At = long[0].At.AddDate(-40, 0, 0)
	for _, c := range []struct {
		name string
		log  []LoggedVend
		want error
	}{
		{"empty", nil, ErrNoDemand},
		{"a dozen vends", whole[:12], ErrNoDemand},
		{"a few days", whole[:200], ErrNoDemand},
		{"litres not a number", wild, ErrRange},
		{"forty years", long, ErrRange},
	} {
		if _, _, err := FromLog(c.log, Answers{}); !errors.Is(err, c.want) {
			t.Errorf("%s: error is %v, want %v", c.name, err, c.want)
		}
	}
}

// April's log has weekends only, of a wash that does twice March's trade: the
// weekends are not to look twice as busy.
func TestWeekdaysAreNotTakenForMonths(t *testing.T) {
	var days []loggedDay
	for d := range 28 {
		weekday := time.Weekday(d % 7)
		vends := 10.0
		if weekday == time.Saturday || weekday == time.Sunday {
			vends = 30
			days = append(days, loggedDay{weekday, time.April, 2 * vends})
		}
		days = append(days, loggedDay{weekday, time.March, vends})
	}
	var p Profile
	fitWeek(&p, days)
	if r := p.Weekday[time.Saturday] / p.Weekday[time.Monday]; math.Abs(r-3) > 1e-6 {
		t.Errorf("Saturday is %.4f times Monday, want 3", r)
	}
	if r := p.Month[3] / p.Month[2]; math.Abs(r-2) > 1e-6 {
		t.Errorf("April is %.4f times March, want 2", r)
	}
}
