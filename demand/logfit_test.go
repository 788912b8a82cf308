package demand

import (
	"errors"
	"math"
	"math/rand/v2"
	"reflect"
	"strings"
	"testing"
	"time"

	"rinsewright/internal/check"
	"rinsewright/quantity"
)

// madeLog is an invented log with everything a real one has: three bays, trend,
// weather, a holiday, lines entered twice.
type madeLog struct {
	profile  Profile
	days     int
	trend    float64 // factor a year
	swing    float64 // of days
	holidays map[string]float64
	gap      [2]int // days without lines, first and last
	doubled  float64
	seed     uint64
}

var logStart = time.Date(2021, time.March, 1, 0, 0, 0, 0, time.UTC)

func (m madeLog) lines() (log []LoggedVend) {
	random := rand.New(rand.NewPCG(m.seed, 2))
	shares := hourShares(m.profile.Hours)
	sigma := math.Sqrt(math.Log1p(m.swing * m.swing))
	for d := range m.days {
		at := logStart.AddDate(0, 0, d)
		day := m.profile.Weekday[at.Weekday()] * m.profile.Month[at.Month()-1] * math.Pow(m.trend, float64(d-m.days)/365.25)
		day *= math.Exp(sigma*random.NormFloat64() - sigma*sigma/2)
		if factor, ok := m.holidays[at.Format("01-02")]; ok {
			day *= factor
		}
		for h, share := range shares {
			rate := day * share
			for t := random.ExpFloat64(); t < rate; t += random.ExpFloat64() {
				v := LoggedVend{
					At:  at.Add(time.Duration((float64(h) + t/rate) * float64(time.Hour))),
					Bay: string(rune('1' + random.IntN(3))), Length: quantity.Minutes(float64(3 + random.IntN(3))),
				}
				if d >= m.gap[0] && d <= m.gap[1] && m.gap[1] > 0 {
					continue
				}
				log = append(log, v)
				if random.Float64() < m.doubled {
					log = append(log, v)
				}
			}
		}
	}
	return log
}

func summerSite(t *testing.T) Profile {
	p, _ := mustProfile(t, Answers{VehiclesPerDay: 40, VehiclesBusiest: 75, Opens: quantity.Hours(9), Closes: quantity.Hours(17)})
	for m := range p.Month {
		p.Month[m] = 1 + 0.4*math.Cos(2*math.Pi*float64(m-6)/12)
	}
	return p
}

func TestFitFindsWhatTheLogWasMadeOf(t *testing.T) {
	truth := summerSite(t)
	made := madeLog{profile: truth, days: 3 * 365, trend: 1.08, swing: 0.15, holidays: map[string]float64{"07-04": 2.5}, gap: [2]int{400, 409}, doubled: 0.03, seed: 1}
	log := made.lines()
	f, err := FitLog(log, Answers{GunFlow: 1e-4}, nil)
	if err != nil {
		t.Fatal(err)
	}
	if len(f.Gaps) != 1 || f.Gaps[0].First != logStart.AddDate(0, 0, 400) || f.Gaps[0].Last != logStart.AddDate(0, 0, 409) {
		t.Errorf("gaps %+v, want ten days from day 400", f.Gaps)
	}
	if share := float64(f.Doubles) / float64(len(log)); math.Abs(share-0.03) > 0.006 {
		t.Errorf("%d of %d lines are doubles, want about 3 %%", f.Doubles, len(log))
	}
	day, _ := DayOf(time.July, 4)
	if len(f.Surges) != 1 || f.Surges[0].Day != day || f.Surges[0].Name != "" || !holds(f.Surges[0].Factor, 2.5) {
		t.Errorf("surges %+v, want 2.5 times on 4 July", f.Surges)
	}
	if !holds(f.Trend, 1.08) || f.Trend.High-f.Trend.Low > 0.06 {
		t.Errorf("trend %+v, want 1.08", f.Trend)
	}
	check.Near(t, float64(f.Profile.DayToDay), 0.15, 0.03, derived+"the log was made with 0.15")
	if f.Profile.Bays != 3 || math.Abs(f.Profile.Vends[0].Length.Minutes()-4) > 0.05 {
		t.Errorf("%d bays, %g minutes", f.Profile.Bays, f.Profile.Vends[0].Length.Minutes())
	}
	for _, e := range append(f.Weekday[:], f.Trend) {
		if math.Abs(math.Log(e.High*e.Low/e.Factor/e.Factor)) > 1e-9 {
			t.Errorf("%+v is not as far up as down, as a ratio", e)
		}
	}
	for _, s := range f.Profile.Surge {
		if s.Day == day && s.Factor != f.Surges[0].Factor.Factor {
			t.Errorf("profile surges by %g", s.Factor)
		}
	}
}

// holds tells whether an interval holds a value, with a tenth of its width to
// spare: a test that fails by chance one time in twenty is no test.
func holds(e Effect, want float64) bool {
	spare := (e.High - e.Low) / 2
	return e.Known && e.Low-spare <= want && want <= e.High+spare && e.Low <= e.Factor && e.Factor <= e.High
}

// The intervals hold what the logs were made of about as often as they say.
func TestFitIntervalsHoldAsOftenAsTheySay(t *testing.T) {
	truth := summerSite(t)
	mean := 0.0
	for _, m := range truth.Month {
		mean += m / 12
	}
	held, asked, below := 0, 0, 0
	tally := func(e Effect, want float64) {
		asked++
		if want < e.Low {
			below++
		}
		if e.Low <= want && want <= e.High {
			held++
		}
	}
	for seed := range uint64(12) {
		f, err := FitLog(madeLog{profile: truth, days: 2 * 365, trend: 1.1, swing: 0.2, seed: seed + 10}.lines(), Answers{}, nil)
		if err != nil {
			t.Fatal(err)
		}
		tally(f.Trend, 1.1)
		for w := range f.Weekday {
			tally(f.Weekday[w], truth.Weekday[w]*mean)
		}
		for m := range f.Month {
			tally(f.Month[m], truth.Month[m]/mean)
		}
		for h := 9; h < 17; h++ {
			tally(f.Hour[h], hourShares(truth.Hours)[h])
		}
	}
	if share := float64(held) / float64(asked); share < 0.92 || share > 0.985 {
		t.Errorf("95 %% intervals held the truth in %.3f of %d", share, asked)
	}
	if share := float64(below) / float64(asked); share > 0.055 {
		t.Errorf("the truth is below %.3f of the 95 %% intervals, want about 0.025", share)
	}
}

func TestNamedHolidaysAreLookedAtByName(t *testing.T) {
	made := madeLog{profile: summerSite(t), days: 2 * 365, trend: 1, swing: 0.1, holidays: map[string]float64{"05-30": 1.5}, seed: 4}
	h := Holiday{Name: "spring holiday", Dates: []time.Time{
		time.Date(2021, time.May, 30, 0, 0, 0, 0, time.UTC), time.Date(2022, time.May, 30, 0, 0, 0, 0, time.UTC), time.Date(1990, time.May, 28, 0, 0, 0, 0, time.UTC),
	}}
	f, err := FitLog(made.lines(), Answers{}, []Holiday{h, {Name: "outside the log", Dates: h.Dates[2:]}})
	if err != nil {
		t.Fatal(err)
	}
	if len(f.Surges) != 1 || f.Surges[0].Name != h.Name || f.Surges[0].Seen != 2 || !holds(f.Surges[0].Factor, 1.5) {
		t.Errorf("%+v", f.Surges)
	}
}

// Half a year can't tell a trend from its season: the trend stays near none, and
// says that it is not sure.
func TestShortLogIsUnsureOfItsTrend(t *testing.T) {
	f, err := FitLog(madeLog{profile: summerSite(t), days: 150, trend: 1, seed: 6}.lines(), Answers{}, nil)
	if err != nil {
		t.Fatal(err)
	}
	if !(f.Trend.Low < 1 && f.Trend.High > 1 && f.Trend.High/f.Trend.Low > 1.3) {
		t.Errorf("trend %+v from five months", f.Trend)
	}
	if f.Month[10].Known || f.Month[10].Factor != 1 || !strings.Contains(strings.Join(f.Assumed, "\n"), "November") {
		t.Errorf("November %+v, assumed %q", f.Month[10], f.Assumed)
	}
}

func TestClosedWeekdaysAndMonthsStayShut(t *testing.T) {
	p := summerSite(t)
	p.Weekday[time.Monday] = 0
	for _, m := range []time.Month{time.December, time.January, time.February} {
		p.Month[m-1] = 0
	}
	f, err := FitLog(madeLog{profile: p, days: 2 * 365, trend: 1, seed: 8}.lines(), Answers{}, nil)
	if err != nil {
		t.Fatal(err)
	}
	if f.Profile.Weekday[time.Monday] != 0 || f.Profile.Month[0] != 0 || f.Profile.Month[5] < 1 || len(f.Gaps) != 0 {
		t.Errorf("Monday %g, January %g, gaps %+v", f.Profile.Weekday[time.Monday], f.Profile.Month[0], f.Gaps)
	}
}

func TestVendLogIsReadLineByLine(t *testing.T) {
	const text = "\ufeffBay, time ,minutes,litres,note\n" +
		"2,2026-05-02 14:05:30,4,9.5,\n" +
		"1,2026-05-02T14:06,5,,x\n" +
		"1,yesterday,5,,\n" +
		"1,2026-05-02 14:09,five,,\n" +
		"3,2026-05-02T14:10:00+02:00,4,0x10,\n" +
		"3,2026-05-02T14:11:00+02:00,4,,\n"
	log, bad, err := ReadLog(strings.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	want := []LoggedVend{
		{At: time.Date(2026, 5, 2, 14, 5, 30, 0, time.UTC), Bay: "2", Length: 240, Litres: quantity.Litres(9.5)},
		{At: time.Date(2026, 5, 2, 14, 6, 0, 0, time.UTC), Bay: "1", Length: 300},
	}
	if len(log) != 3 || !reflect.DeepEqual(log[:2], want) || log[2].At.Hour() != 14 {
		t.Errorf("read %+v", log)
	}
	if len(bad) != 3 || bad[0].Line != 4 || bad[1].Line != 5 || bad[2].Line != 6 || !strings.Contains(bad[0].Why, "yesterday") {
		t.Errorf("bad lines %+v", bad)
	}
	for name, text := range map[string]string{"empty": "", "no time": "bay,minutes\n1,2\n", "mostly wrong": "time\nx\ny\n2026-05-02 14:05\n"} {
		if _, _, err := ReadLog(strings.NewReader(text)); !errors.Is(err, ErrLog) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// A nil error means a profile that a year can be run on, and finite factors.
func FuzzFitLog(f *testing.F) {
	f.Add("time,bay,minutes,litres\n2026-05-02 14:05,1,4,9\n", uint8(3))
	f.Add("time\n1970-01-01 00:00\n2999-12-31 23:59\n", uint8(200))
	f.Add("time,bay\n\"2026", uint8(1))
	f.Fuzz(func(t *testing.T, text string, days uint8) {
		log, _, err := ReadLog(strings.NewReader(text))
		if err != nil || len(log) == 0 || len(log) > 500 {
			return
		}
		for d := range int(days) { // lengthen it so that some can be fitted
			v := log[d%len(log)]
			v.At = v.At.AddDate(0, 0, d/2)
			log = append(log, v)
		}
		fit, err := FitLog(log, Answers{}, nil)
		if err != nil {
			return
		}
		if d, err := fit.Profile.Demand(); err != nil || !(0 < d.Vends && d.Vends <= math.MaxFloat64) {
			t.Fatalf("%+v, error %v", d, err)
		}
		for _, e := range append(append(fit.Month[:], fit.Weekday[:]...), fit.Trend) {
			if !(0 <= e.Low && e.Low <= e.Factor*(1+1e-9) && e.Factor <= e.High*(1+1e-9) && e.High <= math.MaxFloat64) {
				t.Fatalf("effect %+v", e)
			}
		}
	})
}
