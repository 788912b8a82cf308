package door

import (
	"encoding/json"
	"math"
	"strings"
	"testing"

	"rinsewright/testdata/sites"
)

func file(t testing.TB, name string) string {
	t.Helper()
	text, err := sites.File(name)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// Colder water makes less, and the old value stays beside the new one.
func TestAColderFeedMakesLess(t *testing.T) {
	var d Door
	q := Question{Ask: Sketch, File: file(t, "cormorant-reach"), Units: "si"}
	before := d.Answer(t.Context(), q)
	q.Set = []Change{{"sample.1.temperature", "6 C"}, {"supply.coldest", "5 C"}}
	after := d.Answer(t.Context(), q)
	if before.Path == nil || after.Path == nil {
		t.Fatal(before.Why, after.Why)
	}
	was, now := before.Path.Promises[0], after.Path.Promises[0]
	if !(now.SI < 0.95*was.SI) {
		t.Errorf("%s: %g, before %g", now.Says, now.SI, was.SI)
	}
	if now.Was != was.Value || was.Was != "" {
		t.Errorf("%q was %q, and before that %q was %q", now.Value, now.Was, was.Value, was.Was)
	}
	if !strings.Contains(after.Path.Wide, "was ") || strings.Contains(before.Path.Wide, ">was ") {
		t.Error("the drawing does not show what was")
	}
	if again := d.Answer(t.Context(), Question{Ask: Sketch, File: q.File, Units: "si"}); again.Path.Promises[0].SI != was.SI {
		t.Error("a change stayed behind")
	}
}

// Every number on the path that can be turned is one of the survey's, with the
// value that stands there.
func TestKnobsAreTheSurveys(t *testing.T) {
	for _, name := range sites.Names {
		var d Door
		a := d.Answer(t.Context(), Question{Ask: Sketch, File: file(t, name)})
		if a.Path == nil {
			t.Fatal(name, a.Why)
		}
		knobs := 0
		for _, s := range a.Path.Stations {
			for _, k := range s.Knobs {
				knobs++
				back := d.Answer(t.Context(), Question{Ask: Sketch, File: file(t, name), Set: []Change{{k.Key, k.Says}}})
				if len(back.Wrong) > 0 || back.Path == nil || back.Path.Wide != a.Path.Wide {
					t.Errorf("%s: %s said back as %q changes something: %v %s", name, k.Key, k.Says, back.Wrong, back.Why)
				}
			}
		}
		if knobs < 5 {
			t.Errorf("%s: only %d numbers can be turned", name, knobs)
		}
	}
}

func TestWhatCannotBeTakenIsSaid(t *testing.T) {
	var d Door
	q := Question{Ask: Sketch, File: file(t, "harrow-field"), Set: []Change{{"tank.volume", "9 gpm"}, {"supply.running_pressure", "99 psi"}}}
	a := d.Answer(t.Context(), q)
	said := map[string]string{}
	for _, w := range a.Wrong {
		said[w.Key] = w.Says
	}
	if !strings.Contains(said["tank.volume"], "Wanted") || !strings.Contains(said["supply.running_pressure"], "wanted") {
		t.Errorf("said %q", said)
	}
	for _, q := range []Question{{Ask: Sketch, File: "rinsewright = 1\n[site]\nname = \"Gull Point\"\n"}, {Ask: "weather", File: file(t, "brightmere")}, {Ask: Sketch, File: "no site"}} {
		if a := d.Answer(t.Context(), q); a.Why == "" || a.Path != nil {
			t.Errorf("%q about %.20q: %+v", q.Ask, q.File, a)
		}
	}
}

func TestSheetOfAPartialSurvey(t *testing.T) {
	var d Door
	q := Question{Ask: Sheet, File: "rinsewright = 1\n[site]\nname = \"Gull Point\"\n"}
	if a := d.Answer(t.Context(), q); !strings.Contains(a.Why, "Nobody has read the raw water") {
		t.Errorf("%+v", a)
	}
	q.Set = []Change{{"sample.1.place", "raw"}, {"sample.1.strength", "290 ppm"}, {"sample.1.scale", "NaCl"}}
	if a := d.Answer(t.Context(), q); a.Sheet == nil || len(a.Sheet.Rows) < 5 || a.Sheet.Next == nil {
		t.Errorf("%+v", a)
	}
}

// Whatever is asked, the answer is JSON without a number that is none.
func FuzzDoor(f *testing.F) {
	f.Add(file(f, "cormorant-reach"), "sample.1.temperature", "6 C", "sketch")
	f.Add(file(f, "fennel-lane"), "tank.volume", "0 gal", "sketch")
	f.Add(file(f, "brightmere"), "resin.1.volume", "NaN ft3", "sketch")
	f.Add(file(f, "long-barrow"), "demand.normal_day", "-1", "sketch")
	f.Add("rinsewright = 1\n[site]\n", "sample.1.strength", "1e300 ppm", "sketch")
	f.Fuzz(func(t *testing.T, text, key, says, ask string) {
		if ask != string(Sketch) {
			return // the others take a second
		}
		question, err := json.Marshal(Question{Ask: Ask(ask), File: text, Set: []Change{{key, says}}})
		if err != nil {
			t.Fatal(err)
		}
		var d Door
		var a Answer
		if err := json.Unmarshal(d.JSON(t.Context(), question), &a); err != nil {
			t.Fatal(err)
		}
		if a.Path == nil {
			return
		}
		for _, p := range a.Path.Promises {
			if math.IsNaN(p.SI) || math.IsInf(p.SI, 0) || strings.Contains(p.Value, "NaN") {
				t.Errorf("%s is %q", p.Says, p.Value)
			}
		}
	})
}
