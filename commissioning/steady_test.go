package commissioning

import (
	"errors"
	"math"
	"testing"

	"rinsewright/internal/check"
	"rinsewright/quantity"
)

// The guide's Annex H.3: eleven corrections of a thermometer, a straight line
// about 20 °C. The table is recalled; that it gives the published intercept,
// slope and both doubts to their last digit is what speaks for it.
func TestTheSlopeOfTheGuidesThermometer(t *testing.T) {
	at := []float64{21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511}
	correction := []float64{-0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.160}
	var series []Timed
	for i := range at {
		series = append(series, Timed{quantity.Time(at[i] - 20), correction[i]})
	}
	l, err := Fit(series, 0)
	if err != nil {
		t.Fatal(err)
	}
	const source = "published: JCGM 100:2008 H.3, result and doubts (data from memory)"
	check.Near(t, l.Slope, 0.00218, 5e-6, source)
	check.Near(t, l.SlopeDoubt, 0.00067, 5e-6, source)
	check.Near(t, l.Level-l.Slope*float64(l.Mean), -0.1712, 5e-5, source)
	check.Near(t, math.Hypot(l.LevelDoubt, l.SlopeDoubt*float64(l.Mean)), 0.0029, 5e-5, source)
}

func minutes(ys ...float64) (series []Timed) {
	for i, y := range ys {
		series = append(series, Timed{quantity.Minutes(2 * float64(i)), y})
	}
	return series
}

// Readings every two minutes, in µS/cm; the pen's last digit is 1.
func TestWhenAStrengthIsSteady(t *testing.T) {
	s := Settling{Share: 0.05, Least: 1, Ahead: quantity.Minutes(10)}
	for _, row := range []struct {
		about  string
		series []Timed
		want   Steadiness
	}{
		{"creep washing out", minutes(60, 41, 30, 24, 20), Moving},
		{"level", minutes(18.0, 18.1, 18.0, 18.0, 18.1, 18.0, 18.0), Steady},
		{"three readings", minutes(18, 18, 18), NotKnown},
		{"level but scattered", minutes(17, 19, 16, 20), NotKnown},
	} {
		got, _, err := s.Settle(row.series, 0.05)
		if err != nil || got != row.want {
			t.Errorf("%s: %s, %v; want %s", row.about, got, err, row.want)
		}
	}
	// A coarse pen cannot tell a slope within minutes; it can within half an hour.
	coarse := minutes(18, 18, 18, 18)
	if got, _, _ := s.Settle(coarse, 0.29); got == Steady {
		t.Error("four readings of a pen without decimals are called steady")
	}
	for i := range coarse {
		coarse[i].At *= 8
	}
	if got, _, _ := s.Settle(coarse, 0.29); got != Steady {
		t.Errorf("the same over 48 minutes: %s", got)
	}
}

func TestASlopeNeedsReadingsAtDifferentTimes(t *testing.T) {
	for _, series := range [][]Timed{nil, {{0, 1}, {0, 2}, {0, 3}, {0, 4}}, {{0, math.NaN()}, {1, 2}, {2, 3}, {3, 4}}, {{quantity.Time(math.Inf(1)), 1}, {1, 2}, {2, 3}, {3, 4}}} {
		if _, err := Fit(series, 0); !errors.Is(err, ErrRange) {
			t.Errorf("%v: %v", series, err)
		}
	}
}
