package web

import (
	"bytes"
	"net/http"
	"net/http/httptest"
	"net/url"
	"slices"
	"strings"
	"testing"

	"rinsewright/internal/sitefile"
	"rinsewright/internal/store"
	"rinsewright/quantity"
	"rinsewright/site"
	"rinsewright/testdata/sites"
)

// Every key of the format is asked, except those of visits, which are logged,
// and of the first day, which is put on record by proving it.
func TestTheSurveyAsksEveryKey(t *testing.T) {
	asked := map[string]bool{}
	each(survey(&site.Site{}), func(f *field) { asked[strings.Replace(f.Key, ".1.", ".", 1)] = true })
	for _, key := range sitefile.Keys() {
		if asked[key] == (strings.HasPrefix(key, "visit.") || strings.HasPrefix(key, "commissioning.")) {
			t.Errorf("%s: asked %v", key, asked[key])
		}
	}
}

// A form that was opened and saved as it stands changes nothing, to the letter.
func TestAnUntouchedSurveyChangesNothing(t *testing.T) {
	for _, name := range sites.Names {
		kept, record := example(t, name)
		form := url.Values{"rev": {"1"}}
		each(survey(record), func(f *field) { form.Set(f.Key, strings.ReplaceAll(f.Value, "\n", "\r\n")) })
		e := editOf(t, kept, record, form)
		if len(e.typed) > 0 || len(e.wrong) > 0 {
			t.Errorf("%s: touched %v, wrong %v", name, e.typed, e.wrong)
		}
		if got := sitefile.Update([]byte(kept.File), e.site, quantity.Locale{}); string(got) != kept.File {
			t.Errorf("%s came out changed", name)
		}
	}
}

func TestTakingAPartAwayAndAddingOne(t *testing.T) {
	kept, record := example(t, "cormorant-reach")
	e := editOf(t, kept, record, url.Values{"rev": {"1"}, "remove": {"sample.1", "sample.3", "tank"}, "carbon.kind": {"block"}, "resin.2.volume": {"2 ft3"}})
	if len(e.wrong) > 0 {
		t.Fatal(e.wrong)
	}
	if len(e.site.Samples) != 1 || e.site.Samples[0].Place != "permeate" || e.site.Rig.Tank != nil || e.site.Rig.Carbon == nil || len(e.site.Rig.Resin) != 2 {
		t.Errorf("left %d samples, tank %v, carbon %v, %d bottles", len(e.site.Samples), e.site.Rig.Tank, e.site.Rig.Carbon, len(e.site.Rig.Resin))
	}
	if again, err := sitefile.Read("again", sitefile.Update([]byte(kept.File), e.site, quantity.Locale{})); err != nil || again.Rig.Carbon.Kind != "block" {
		t.Errorf("it does not come back: %v", err)
	}
}

func example(t testing.TB, name string) (store.Site, *site.Site) {
	t.Helper()
	file, err := sites.File(name)
	if err != nil {
		t.Fatal(err)
	}
	record, err := sitefile.Read(name, file)
	if err != nil {
		t.Fatal(err)
	}
	return store.Site{ID: "x", Name: record.Name, File: string(file), Rev: 1}, record
}

func editOf(t testing.TB, kept store.Site, record *site.Site, form url.Values) edit {
	t.Helper()
	form.Set("decimal", "point")
	r := httptest.NewRequest(http.MethodPost, "/", strings.NewReader(form.Encode()))
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	v := &visit{Server: &Server{}, r: r}
	if err := v.form(); err != nil {
		t.Fatal(err)
	}
	e, err := v.edited(kept, record, quantity.Locale{})
	if err != nil {
		t.Fatal(err)
	}
	return e
}

// Whatever is typed anywhere, the result is a record that can be written and
// read again, or a field that says what is wrong.
func FuzzSurvey(f *testing.F) {
	f.Add("sample.1.strength", "290 ppm", "sample.9")
	f.Add("resin.2.volume", "-1 ft3", "resin.1")
	f.Add("supply.coldest", "NaN C", "supply")
	f.Add("demand.normal_day", "1e400", "")
	f.Add("site.name", "\x00", "tank.1")
	f.Add("sample.2.strength", "Inf ppm", "sample.2")
	f.Add("prices.water", "-0", "visit.1")
	f.Fuzz(func(t *testing.T, key, typed, remove string) {
		kept, record := example(t, "cormorant-reach")
		e := editOf(t, kept, record, url.Values{"rev": {"1"}, key: {typed}, "remove": {remove}})
		if len(e.wrong) > 0 {
			return
		}
		text := sitefile.Update([]byte(kept.File), e.site, quantity.Locale{})
		again, err := sitefile.Read("again", text)
		if err != nil {
			t.Fatalf("%s = %q, without %q: %v", key, typed, remove, err)
		}
		if !bytes.Equal(sitefile.Write(again, quantity.Locale{}), sitefile.Write(e.site, quantity.Locale{})) {
			t.Fatalf("%s = %q comes back as something else", key, typed)
		}
	})
}

func TestWhatLooksOdd(t *testing.T) {
	strength := func(place, typed string, si float64) store.Sample {
		name := "strength"
		if strings.Contains(typed, "S/cm") {
			name = "conductivity"
		}
		return store.Sample{Place: place, Readings: []store.Reading{{Name: name, Typed: typed, SI: si}}}
	}
	for name, c := range map[string]struct {
		samples []store.Sample
		want    string
	}{
		"as it should be":         {[]store.Sample{strength("raw", "300 ppm", 0.3), strength("permeate", "9 ppm", 0.009), strength("polished", "0 ppm", 0)}, ""},
		"swapped":                 {[]store.Sample{strength("raw", "9 ppm", 0.009), strength("permeate", "300 ppm", 0.3)}, "swapped?"},
		"resin used up":           {[]store.Sample{strength("permeate", "9 ppm", 0.009), strength("polished", "12 ppm", 0.012)}, "is the resin used up?"},
		"no membrane":             {[]store.Sample{strength("raw", "90 ppm", 0.09), strength("polished", "95 ppm", 0.095)}, "is the resin used up?"},
		"the same water":          {[]store.Sample{strength("raw", "90 ppm", 0.09), strength("permeate", "90 ppm", 0.09)}, "the same water read twice?"},
		"two units, not compared": {[]store.Sample{strength("raw", "90 ppm", 0.09), strength("permeate", "18 uS/cm", 0.0018)}, ""},
		"nothing":                 {nil, ""},
	} {
		got := ""
		for _, d := range (readingView{record: &site.Site{}}).doubtful(c.samples) {
			got += d.Says + " "
		}
		if c.want == "" && got != "" || !strings.Contains(got, c.want) {
			t.Errorf("%s: %q, want %q", name, got, c.want)
		}
	}
}

// The first page, with all it needs, in bytes as they travel.
func TestTheFirstLoadIsSmall(t *testing.T) {
	s := serving(t)
	v := s.visitor(t)
	v.begins()
	if status, _ := v.post("/practice"); status != http.StatusSeeOther {
		t.Fatal(status)
	}
	id := s.siteID(t, "Fennel")
	total := 0
	for _, path := range []string{"/sites/" + id, "/assets/app.css", "/assets/app.js", "/assets/phone.js", "/sw.js", "/manifest.webmanifest"} {
		_, body, header := v.send(http.MethodGet, path, nil, func(r *http.Request) { r.Header.Set("Accept-Encoding", "gzip") })
		if len(body) > 600 && header.Get("Content-Encoding") != "gzip" {
			t.Errorf("%s travels uncompressed", path)
		}
		t.Logf("%s: %d bytes", path, len(body))
		total += len(body)
	}
	if t.Logf("together %d bytes", total); total > 200_000 {
		t.Errorf("the first load is %d bytes", total)
	}
}

// A control of the accessibility rules: they find what is there to find.
func TestTheRulesFindABadPage(t *testing.T) {
	s := serving(t)
	p := visits(t, s, 380)
	p.open("/setup?token=" + setupToken)
	p.ask(`(() => { const m = document.querySelector("main"); m.innerHTML = "<img alt><input><p>pale</p>"; m.firstChild.removeAttribute("alt"); m.lastChild.style.color = "#ccc"; return true })()`)
	found := p.violations()
	for _, rule := range []string{"image-alt", "label", "color-contrast"} {
		if !slices.ContainsFunc(found, func(f string) bool { return strings.HasPrefix(f, rule+":") }) {
			t.Errorf("%s was not found among %q", rule, found)
		}
	}
}
