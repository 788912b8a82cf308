package scene

import (
	"errors"
	"math"
	"strings"
	"testing"
)

// A year of visits, invented.
func trend() Trend {
	t := Trend{Title: "Permeate flow, normalised", Note: "share of where the log began", Unit: "%", Events: []TrendEvent{{20600, "acid clean"}}}
	for i := range 20 {
		day := 20454 + float64(i)*19
		t.Days = append(t.Days, day)
		t.Likely = append(t.Likely, 100-float64(i))
		t.Low, t.High = append(t.Low, 95-float64(i)), append(t.High, 105-float64(i))
		read := math.NaN()
		if i%3 == 0 {
			read = 101 - float64(i)
		}
		t.Reads = append(t.Reads, read)
	}
	return t
}

func TestATrendTellsItsEndsAndChanges(t *testing.T) {
	for _, width := range []float64{0, 340, 1400} {
		d, err := trend().Draw(width)
		if err != nil {
			t.Fatal(err)
		}
		for _, want := range []string{"1 January 2026 100\u00a0%, band 95 to 105", "81\u00a0%, band 76 to 86", "27 May 2026: acid clean"} {
			if !strings.Contains(d.Desc, want) {
				t.Errorf("told %q, want %q in it", d.Desc, want)
			}
		}
	}
}

func TestATrendRefusesWhatItCannotDraw(t *testing.T) {
	for name, spoil := range map[string]func(*Trend){
		"one day":   func(t *Trend) { t.Days = t.Days[:1] },
		"backwards": func(t *Trend) { t.Days[3] = t.Days[1] },
		"infinite":  func(t *Trend) { t.High[2] = math.Inf(1) },
		"no day":    func(t *Trend) { t.Days[0] = math.NaN() },
	} {
		x := trend()
		spoil(&x)
		if _, err := x.Draw(0); !errors.Is(err, ErrChart) {
			t.Errorf("%s: got %v", name, err)
		}
	}
}
