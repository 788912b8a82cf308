package study_test

import (
	"regexp"
	"testing"

	"rinsewright/quantity"
	"rinsewright/study"
	"rinsewright/testdata/sites"
)

// band is the doubt of a value as a sentence tells it.
var band = regexp.MustCompile(` \([0-9.]+ to [0-9.]+\)`)

// What a sketch tells is what the check tells: the same promises, the same
// path, the same findings, only without bands, and whether the tank keeps up
// from one year only.
func TestSketchSaysWhatTheCheckSays(t *testing.T) {
	for _, name := range sites.Names {
		s := example(t, name)
		o := study.Options{Seed: 1, Looks: 4}
		sketch, err := study.Sketch(t.Context(), s, o)
		if err != nil {
			t.Fatal(err)
		}
		full, err := study.Check(t.Context(), s, o)
		if err != nil {
			t.Fatal(err)
		}
		if len(sketch.Promises) != len(full.Promises) || len(sketch.Path) != len(full.Path) || len(sketch.Findings) != len(full.Findings) {
			t.Fatalf("%s: %d promises, %d stations, %d findings; the check has %d, %d, %d", name, len(sketch.Promises), len(sketch.Path), len(sketch.Findings),
				len(full.Promises), len(full.Path), len(full.Findings))
		}
		for i, p := range full.Promises {
			got, _ := sketch.Promises[i].Band.Value.Plain(quantity.SI)
			want, _ := p.Band.Value.Plain(quantity.SI)
			if p.Name == "run_dry_risk" {
				continue // of one year, not of several
			}
			if got != want || sketch.Promises[i].Name != p.Name {
				t.Errorf("%s: %s is %g, the check says %s %g", name, sketch.Promises[i].Name, got, p.Name, want)
			}
		}
		for i, st := range full.Path {
			if got := sketch.Path[i]; st.Name != "Tank" && got.State != st.State || st.Name != "Tank" && got.Word != st.Word || got.Strength != st.Strength || got.Entering != st.Entering {
				t.Errorf("%s: station %s is %v %q %v, the check says %v %q %v", name, st.Name, got.State, got.Word, got.Strength, st.State, st.Word, st.Strength)
			}
		}
		for i, f := range full.Findings {
			if f.About == "storage" {
				continue
			}
			if want := band.ReplaceAllString(f.Says, ""); sketch.Findings[i].Says != want || sketch.Findings[i].State != f.State {
				t.Errorf("%s: finds %q, the check finds %q", name, sketch.Findings[i].Says, want)
			}
		}
	}
}

func BenchmarkSketch(b *testing.B) {
	for _, name := range sites.Names {
		s := example(b, name)
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				if _, err := study.Sketch(b.Context(), s, study.Options{Seed: 1}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
