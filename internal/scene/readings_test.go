package scene

import (
	"errors"
	"math"
	"strings"
	"testing"
	"time"
)

func readWeekly(values ...float64) (all []ReadingPoint) {
	for i, v := range values {
		all = append(all, ReadingPoint{At: time.Date(2026, 5, 1+7*i, 10, 0, 0, 0, time.UTC), Value: v, Words: "read"})
	}
	return all
}

// Every point is drawn once, in its order from left to right, and a higher
// reading stands higher.
func TestReadingsDrawsEveryPoint(t *testing.T) {
	for _, width := range []float64{340, 720} {
		d, err := Readings{Title: "Strength", Unit: "µS/cm", Points: readWeekly(8, 9, 7.5, 30), Value: 9, Low: 7, High: 11}.Draw(width)
		if err != nil {
			t.Fatal(err)
		}
		var at []Circle
		d.Each(func(s Shape) {
			if g, ok := s.(Group); ok && strings.HasPrefix(g.ID, "point-") {
				at = append(at, g.Shapes[0].(Circle))
			}
		})
		if len(at) != 4 {
			t.Fatalf("%d points", len(at))
		}
		for i := 1; i < 4; i++ {
			if at[i].X <= at[i-1].X {
				t.Errorf("point %d stands at %g, the one before at %g", i+1, at[i].X, at[i-1].X)
			}
		}
		if !(at[3].Y < at[1].Y && at[1].Y < at[0].Y && at[0].Y < at[2].Y) {
			t.Errorf("heights %v", at)
		}
	}
}

func TestReadingsRefuses(t *testing.T) {
	backwards := readWeekly(1, 2)
	backwards[0], backwards[1] = backwards[1], backwards[0]
	for name, trend := range map[string]Readings{
		"nothing":   {Value: math.NaN(), Low: math.NaN(), High: math.NaN()},
		"backwards": {Points: backwards},
		"NaN":       {Points: readWeekly(math.NaN())},
		"infinite":  {Points: readWeekly(1), High: math.Inf(1)},
	} {
		if _, err := trend.Draw(0); !errors.Is(err, ErrChart) {
			t.Errorf("%s: %v", name, err)
		}
	}
	if _, err := (Readings{Points: readWeekly(5), Value: math.NaN(), Low: math.NaN(), High: math.NaN()}).Draw(0); err != nil {
		t.Errorf("one point alone: %v", err)
	}
}
