package cli

import (
	"math"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"
	"testing/fstest"

	"rinsewright/service"
)

func simulatedLogs(t testing.TB) *logFolder {
	t.Helper()
	f, err := readLogFolder(os.DirFS("testdata/logs"))
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// Thirty simulated logs, each asked some twenty times. The floors are those of
// the task; what is reached stands in docs/explanation/forecast.md. Simulated
// agreement is not field validation.
func TestForecastsHoldOnSimulatedLogs(t *testing.T) {
	f := simulatedLogs(t)
	truth := map[string]service.Day{}
	each(t, "exhaustion_truth.csv", func(r *logRow) {
		if r.text("censored") == "n" && r.text("true_exhaustion_date") != "" {
			day, err := r.date("true_exhaustion_date")
			if err != nil {
				t.Fatal(err)
			}
			truth[r.text("site_id")+" "+r.text("bottle_id")] = day
		}
	})
	var off []float64
	held := 0
	for i, a := range forecastFolder(f) {
		day, ok := truth[f.queries[i].site+" "+f.queries[i].bottle]
		if !ok {
			continue
		}
		if a.err != nil {
			t.Fatal(a.err)
		}
		off = append(off, math.Abs(float64(a.when.Likely-day)))
		if a.when.Low <= day && day <= a.when.High {
			held++
		}
	}
	share := float64(held) / float64(len(off))
	t.Logf("%d asked: median error %.1f d, 90 %% bands hold %.3f", len(off), middle(off), share)
	if len(off) != 672 {
		t.Errorf("%d asked, want 672", len(off))
	}
	if !(middle(off) <= 8) {
		t.Errorf("median error %.1f d, want at most 8", middle(off))
	}
	if !(0.84 <= share && share <= 0.96) {
		t.Errorf("90 %% bands hold %.3f, want 0.84 to 0.96", share)
	}
}

// floors are the largest median errors of the state that are let pass, with the
// error of saying nothing has changed, or always the median.
var floors = map[string]float64{
	"A_ratio": 0.028, "B_ratio": 0.100, "lead_used_fraction": 0.17, "lag_used_fraction": 0.05, "carbon_used_fraction": 0.20,
}

func TestStatesHoldOnSimulatedLogs(t *testing.T) {
	f := simulatedLogs(t)
	truth := map[string]float64{}
	first := map[string][2]float64{}
	each(t, "state_truth.csv", func(r *logRow) {
		key := r.text("site_id") + " " + r.text("date") + " "
		get := func(name string) float64 { x, _ := strconv.ParseFloat(r.text(name), 64); return x }
		a, b := get("A_mult"), get("B_mult")
		if _, ok := first[r.text("site_id")]; !ok {
			first[r.text("site_id")] = [2]float64{a, b}
		}
		truth[key+"A_ratio"], truth[key+"B_ratio"] = a/first[r.text("site_id")][0], b/first[r.text("site_id")][1]
		for _, name := range []string{"lead_used_fraction", "lag_used_fraction", "carbon_used_fraction"} {
			if r.text(name) != "" {
				truth[key+name] = get(name)
			}
		}
	})
	off := map[string][]float64{}
	for _, s := range statesOf(f) {
		if s.err != nil {
			t.Fatal(s.err)
		}
		if want, ok := truth[s.site+" "+dateOf(s.day)+" "+s.quantity]; ok {
			off[s.quantity] = append(off[s.quantity], math.Abs(s.band.Likely-want))
		}
	}
	for name, floor := range floors {
		got := middle(off[name])
		t.Logf("%s: median error %.3f of %d", name, got, len(off[name]))
		if !(got <= floor) {
			t.Errorf("%s: median error %.3f, want at most %.3f", name, got, floor)
		}
	}
}

func each(t testing.TB, name string, take func(*logRow)) {
	t.Helper()
	if err := eachLogRow(os.DirFS("testdata/logs"), name, nil, func(r *logRow) error { take(r); return nil }); err != nil {
		t.Fatal(err)
	}
}

func middle(x []float64) float64 {
	if len(x) == 0 {
		return math.NaN()
	}
	s := slices.Sorted(slices.Values(x))
	return (s[(len(s)-1)/2] + s[len(s)/2]) / 2
}

func folderOf(sites, events, visits string) fstest.MapFS {
	file := func(s string) *fstest.MapFile { return &fstest.MapFile{Data: []byte(s)} }
	return fstest.MapFS{
		"sites.csv": file(sites), "events.csv": file(events), "visits.csv": file(visits),
		"queries.csv": file("site_id,as_of_date\nW1,2026-03-01\n"),
	}
}

const (
	aSite   = "site_id,use,city_type,element_size,elements,rated_gpd_each,rated_at_psi,di_lead_ft3,di_label_grains_per_ft3,di_act_at_uS_cm\nW1,self-serve bays,well,2540,1,750,100,1,9000,4\n"
	anEvent = "site_id,date,event,detail\nW1,2026-01-05,commissioned,\n"
	aVisit  = "site_id,visit_date,quantity,value,unit\nW1,2026-02-01,ec_raw,480,uS/cm\n"
)

func TestAFolderSaysWhereItIsWrong(t *testing.T) {
	cases := []struct {
		name                  string
		sites, events, visits string
		want                  string
	}{
		{"no column", "site_id,use\n", anEvent, aVisit, "sites.csv:1: no column city_type"},
		{"a number", strings.Replace(aSite, ",750,", ",lots,", 1), anEvent, aVisit, `sites.csv:2: rated_gpd_each: read "lots", wanted a number from 10 to 20000`},
		{"twice", aSite + "W1,,,,,,,,,\n", anEvent, aVisit, `sites.csv:3: site_id: read "W1", wanted each site once`},
		{"a date", aSite, strings.Replace(anEvent, "2026-01-05", "05.01.26", 1), aVisit, `events.csv:2: date: read "05.01.26", wanted a date, such as 2026-05-02`},
		{"a unit", aSite, anEvent, aVisit + "W1,2026-02-01,p_feed,60,bar\n", `visits.csv:3: unit: read "bar"`},
	}
	for _, c := range cases {
		_, err := readLogFolder(folderOf(c.sites, c.events, c.visits))
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: got %v, want %q", c.name, err, c.want)
		}
	}
	if _, err := readLogFolder(folderOf(aSite, anEvent, aVisit)); err != nil {
		t.Error(err)
	}
}

// What stands in a folder after a day must not change what is foreseen on it.
func TestLaterRowsDoNotChangeAForecast(t *testing.T) {
	f := simulatedLogs(t)
	s := f.sites[8] // its vends are counted
	log := f.entries[s.ID]
	var days []service.Day
	for _, q := range f.queries {
		if q.site == s.ID {
			days = append(days, q.day)
		}
	}
	at := days[len(days)/2]
	known := log[:0:0]
	for _, e := range log {
		if e.Day <= at {
			known = append(known, e)
		}
	}
	short := &logFolder{sites: f.sites[8:9], entries: map[string][]service.Entry{s.ID: known}, queries: []logQuery{{site: s.ID, day: at}}}
	long := &logFolder{sites: f.sites[8:9], entries: map[string][]service.Entry{s.ID: log}, queries: []logQuery{{site: s.ID, day: at}, {site: s.ID, day: days[len(days)-1]}}}
	a, b := forecastFolder(short)[0], forecastFolder(long)[0]
	if a.err != nil || b.err != nil || a.when != b.when {
		t.Errorf("%v %v, with the future %v %v", a.when, a.err, b.when, b.err)
	}
}

func FuzzLogFolder(f *testing.F) {
	f.Add(aSite, anEvent, aVisit)
	f.Add(aSite, "site_id,date,event,detail\nW1,2026-02-05,di_both_changed,\nW1,2026-01-05,element_changed,9 x 2540\n", aVisit+"W1,2026-02-01,ec_di_out,1e9,ppm\nW1,2026-02-01,meter_gallons,-5,gal\n")
	f.Add(strings.Replace(aSite, ",750,", ",NaN,", 1), "", "\"")
	f.Fuzz(func(t *testing.T, sites, events, visits string) {
		folder, err := readLogFolder(folderOf(sites, events, visits))
		if err != nil {
			return
		}
		if len(folder.sites) > 3 {
			folder.sites = folder.sites[:3]
		}
		for i := range folder.queries {
			folder.queries[i].day = min(folder.queries[i].day, folder.last+30)
		}
		for _, a := range forecastFolder(folder) {
			if a.err == nil && !(a.when.Low <= a.when.Likely && a.when.Likely <= a.when.High) {
				t.Errorf("band %v", a.when)
			}
		}
	})
}
