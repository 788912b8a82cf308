package study

import (
	"context"
	"math"
	"os"
	"path/filepath"
	"testing"

	"rinsewright/internal/sitefile"
	"rinsewright/working"
)

// A reader with a pocket calculator gets every closed formula's value from its
// own printed inputs, in their printed units; and an input that another step
// computed carries that step's value.
func TestEveryStepOfTheWorkingCanBeRepeatedByHand(t *testing.T) {
	files, err := filepath.Glob("../testdata/sites/*/site.toml")
	if err != nil || len(files) == 0 {
		t.Fatalf("no example sites: %v", err)
	}
	for _, file := range files {
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		s, err := sitefile.Read(file, data)
		if err != nil {
			t.Fatal(err)
		}
		c, err := Check(context.Background(), s, Options{Seed: 1, Looks: 4})
		if err != nil {
			t.Fatal(err)
		}
		repeated := 0
		steps := map[string]working.Step{}
		for _, step := range c.Working {
			steps[step.ID] = step
			if step.Source == "" || (step.Formula == "") == (step.Solved == "") {
				t.Errorf("%s: %s %q has no source, or not exactly one of formula and solved", file, step.ID, step.Name)
			}
			if step.Formula == "" {
				continue
			}
			repeated++
			values := map[string]float64{}
			for _, in := range step.Inputs {
				values[in.Symbol] = in.Value
			}
			got, err := evaluate(step.Formula, values)
			if err != nil {
				t.Errorf("%s: %s = %s: %v", file, step.Symbol, step.Formula, err)
				continue
			}
			if math.Abs(got-step.Value) > 1e-6*math.Abs(step.Value)+1e-12 {
				t.Errorf("%s: %s %q says %g, its formula %s gives %g", file, step.ID, step.Name, step.Value, step.Formula, got)
			}
		}
		if repeated < 5 {
			t.Errorf("%s: only %d closed formulas", file, repeated)
		}
		linked(t, file, steps)
	}
}

func linked(t *testing.T, file string, steps map[string]working.Step) {
	t.Helper()
	for _, step := range steps {
		for _, in := range step.Inputs {
			from, ok := steps[in.Step]
			if in.Step == "" || !ok {
				continue
			}
			if in.Symbol == from.Symbol && math.Abs(in.Value-from.Value) > 1e-9*math.Abs(from.Value) {
				t.Errorf("%s: %s takes %s = %g from %s, which says %g", file, step.ID, in.Symbol, in.Value, in.Step, from.Value)
			}
		}
	}
}
