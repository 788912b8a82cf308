package faults

import (
	"errors"
	"strings"
	"testing"
)

func TestUsualWeightsNameEveryCause(t *testing.T) {
	if errUsual != nil || len(usualWeights) != len(causes) {
		t.Fatalf("%d weights (%v), want %d", len(usualWeights), errUsual, len(causes))
	}
	for _, c := range causes {
		if !strings.Contains(UsualWeights(), c.Name) {
			t.Errorf("cause %d %s is not in the table under its name", c.Number, c.Name)
		}
	}
}

// A workshop that meets a cause often moves it up; one it never meets is out.
func TestWeightsMoveCauses(t *testing.T) {
	at := func(w Weights) float64 {
		for _, s := range ranked(t, Case{Facts: wall(), Now: visit()[:3], Weights: w}) {
			if s.Cause.Number == 12 {
				return s.Probability
			}
		}
		return -1
	}
	usual := at(nil)
	if often, out := at(Weights{12: 5}), at(Weights{12: 0}); !(often > usual && usual > 0) || out > 0 {
		t.Errorf("often %g, usual %g, never %g", often, usual, out)
	}
}

func TestWeightsThatCannotBe(t *testing.T) {
	for _, row := range []struct{ text, says string }{
		{"", "cause,weight"},
		{"cause,weight\n50,1", "line 2: cause \"50\""},
		{"cause,weight\n12,-1", "line 2: weight \"-1\""},
		{"cause,weight\n12,NaN", "weight \"NaN\""},
		{"cause,weight\n12,1\n12,2", "line 3: cause 12 is there twice"},
		{"cause,weight\n12", "expected a cause and its weight"},
	} {
		if _, err := ParseWeights(strings.NewReader(row.text)); !errors.Is(err, ErrWeights) || !strings.Contains(err.Error(), row.says) {
			t.Errorf("%q: %v, want %q", row.text, err, row.says)
		}
	}
}

func FuzzParseWeights(f *testing.F) {
	f.Add(UsualWeights())
	f.Add("cause,weight\n1,1e400")
	f.Fuzz(func(t *testing.T, text string) {
		w, err := ParseWeights(strings.NewReader(text))
		for n, x := range w {
			if err == nil && (indexOf(n) < 0 || !(0 <= x && x <= mostWeight)) {
				t.Fatalf("cause %d weighs %g", n, x)
			}
		}
	})
}
