package web

import (
	"net/http"
	"strings"
	"testing"

	"rinsewright/internal/store"
)

// Two people read one site: one writes 8,5 and reads bar, the other writes 8.5
// and reads psi. Each sees and types their own way; the file keeps its own.
func TestEveryoneReadsTheirOwnWay(t *testing.T) {
	s := serving(t)
	kit, jo := s.visitor(t), s.visitor(t)
	kit.begins()
	if status, _ := kit.post("/people", "name", "Jo", "login", "jo", "role", "tech", "password", password); status != http.StatusSeeOther {
		t.Fatal(status)
	}
	jo.signsIn("jo")
	if status, _ := jo.post("/settings/mine", "units", "si", "decimal", "comma"); status != http.StatusSeeOther {
		t.Fatal(status)
	}
	if status, _ := jo.post("/settings/mine", "units", "parsec", "decimal", ""); status != http.StatusUnprocessableEntity {
		t.Errorf("units that are none: %d", status)
	}
	if status, _ := jo.post("/settings", "units", "si", "decimal", "comma", "paper", "a4"); status != http.StatusForbidden {
		t.Errorf("a tech sets what holds for everyone: %d", status)
	}
	site, err := s.store.AddSite(t.Context(), "", "rinsewright = 1\n[site]\nname = \"Gull Point\" # invented\nabout = \"No. 4,5 on the quay\"\n[supply]\nstatic_pressure = \"60.5 psi\" # a remark\n", false)
	if err != nil {
		t.Fatal(err)
	}
	survey := "/sites/" + site.ID + "/survey"
	if _, body := jo.get(survey); !strings.Contains(body, `value="60,5 psi"`) || !strings.Contains(body, "No. 4,5 on the quay") {
		t.Error("a point is shown to somebody who writes a comma, or a name was changed")
	}
	if _, body := kit.get(survey); !strings.Contains(body, `value="60.5 psi"`) {
		t.Error("a comma is shown to somebody who writes a point")
	}
	if status, body := jo.post(survey, "rev", "1", "decimal", "comma", "site.about", "No. 4,5 on the quay", "supply.static_pressure", "60,5 psi", "supply.running_pressure", "3,25 bar", "supply.running_flow", "1.250,5 L/h"); status != http.StatusSeeOther {
		t.Fatalf("survey with commas: %d %s", status, body)
	}
	kept, err := s.store.Site(t.Context(), site.ID)
	if err != nil {
		t.Fatal(err)
	}
	for _, line := range []string{`static_pressure = "60.5 psi" # a remark`, `running_pressure = "3.25 bar"`, `running_flow = "1,250.5 L/h"`, `about = "No. 4,5 on the quay"`} {
		if !strings.Contains(kept.File, line) {
			t.Errorf("the file lacks %s:\n%s", line, kept.File)
		}
	}
	reading := "/sites/" + site.ID + "/reading"
	id := func() string { return store.NewID(kept.Created) }
	for who, form := range map[*visitor][]string{
		jo:  {"decimal", "comma", "raw.value", "248,5", "temperature", "14,5 C"},
		kit: {"decimal", "point", "raw.value", "248.5", "temperature", "14.5 C"},
	} {
		if status, body := who.post(reading, append(form, "id", id(), "taken", "1780000000000", "offset", "0", "raw.id", id(), "raw.unit", "ppm")...); status != http.StatusSeeOther {
			t.Errorf("reading %v: %d %s", form, status, body)
		}
	}
	samples, err := s.store.Samples(t.Context(), site.ID, 10)
	if err != nil || len(samples) != 2 {
		t.Fatalf("%d samples, %v", len(samples), err)
	}
	read := map[string]map[float64]bool{}
	for _, x := range samples {
		for _, r := range x.Readings {
			if r != commaTyped {
				read[r.Name] = map[float64]bool{r.SI: true}
			}
		}
	}
	for _, x := range samples {
		for _, r := range x.Readings {
			if r != commaTyped && !read[r.Name][r.SI] {
				t.Errorf("%s: %q is %v, the other is %v", r.Name, r.Typed, r.SI, read[r.Name])
			}
		}
	}
}

// The list speaks to each in their own units.
func TestTheListIsInTheReadersUnits(t *testing.T) {
	s := serving(t)
	p := visits(t, s, 1440)
	p.walksRound()
	p.waits(`document.readyState === "complete" && !document.querySelector("meta[http-equiv]")`)
	p.open("/settings")
	p.ask(`(() => { document.querySelector("form[action='/settings/mine'] [value=si]").click(); document.querySelector("form[action='/settings/mine'] [value=comma]").click(); return true })()`)
	p.presses("Save mine")
	p.sees("Saved.")
	p.open("/")
	p.waits(`document.querySelectorAll(".sites .mini svg").length === 5 && document.readyState === "complete" && !document.querySelector("meta[http-equiv]")`)
	for _, reader := range []string{"US point", "SI comma"} {
		if list, _, err := s.store.SitesFor(t.Context(), reader, "Cormorant", 0, 1); err != nil || !list[0].Current("test") {
			t.Errorf("not looked at for %s: %+v, %v", reader, list, err)
		}
	}
	p.presses("Cormorant Reach")
	p.sees("mg/L of carbon dioxide")
	p.ask(`/\d,\d/.test(document.querySelector("main").innerText) && / L\b/.test(document.querySelector("main").innerText)`)
}
