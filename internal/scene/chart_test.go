package scene

import (
	"errors"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestBarsAreAsLongAsTheirValues(t *testing.T) {
	d, err := Bars{Rows: []BarRow{{Label: "a", Parts: []BarPart{{Value: 30}}}, {Label: "b", Parts: []BarPart{{Value: 10}}}}}.Draw(0)
	if err != nil {
		t.Fatal(err)
	}
	var long []float64
	d.Each(func(s Shape) {
		if r, ok := s.(Rect); ok && r.Fill == Series(0) {
			long = append(long, r.W)
		}
	})
	if len(long) != 2 || math.Abs(long[0]/long[1]-3) > 1e-9 {
		t.Errorf("bars of 30 and 10 are %v long", long)
	}
}

func TestPartsAreToldApartWithoutColour(t *testing.T) {
	marks := map[string]int{}
	for n := range serieses {
		var s sheet
		s.swatch(n, 0, 0, 60, 20)
		d := Drawing{Width: 60, Height: 20, Shapes: s.shapes[1:]} // without the colour
		text := svg(t, d, SVGOptions{})
		if other, seen := marks[text]; seen {
			t.Errorf("parts %d and %d share a texture", other, n)
		}
		marks[text] = n
	}
}

func TestTheDotFollowsTheVerdict(t *testing.T) {
	for _, c := range []struct {
		name   string
		band   Band
		hollow bool
		tone   Role
	}{
		{"inside", Band{Low: 12, High: 22, Value: 18, Doubt: 1}, false, Ink},
		{"outside", Band{Low: 12, High: 22, Value: 25, Doubt: 1}, false, Rust},
		{"below an open promise", Band{Low: 0.74, High: math.NaN(), Value: 0.6}, false, Rust},
		{"under a top", Band{Low: math.NaN(), High: 10, Value: 3, Doubt: math.NaN()}, false, Ink},
		{"meter too coarse", Band{Low: 0.3, High: 0.6, Value: 0.9, Doubt: 0.5}, true, Ink},
		{"no promise", Band{Low: math.NaN(), High: math.NaN(), Value: 3}, false, Ink},
	} {
		if c.band.hollow() != c.hollow || c.band.tone() != c.tone {
			t.Errorf("%s: hollow %t tone %s, want %t %s", c.name, c.band.hollow(), c.band.tone(), c.hollow, c.tone)
		}
	}
}

func TestTicksAreRoundAndCoverTheValues(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		low := rapid.Float64Range(-1e9, 1e9).Draw(t, "low")
		high := low + rapid.Float64Range(1e-3, 1e9).Draw(t, "more")
		a := newAxis(low, high, 0, 100, 4)
		slack := 1e-6 * a.tick
		if a.low > low+slack || a.high < high-slack {
			t.Fatalf("axis %g to %g leaves out %g to %g", a.low, a.high, low, high)
		}
		if n := len(a.ticks()); n < 2 || n > 8 {
			t.Fatalf("%d ticks from %g to %g", n, low, high)
		}
	})
}

func TestTicksPrintWhatTheyAre(t *testing.T) {
	for _, c := range []struct {
		low, high float64
		want      string
	}{
		{0, 1, "0 0.5 1.0"}, {0.61, 0.98, "0.6 0.8 1.0"}, {0, 2400, "0 1,000 2,000 3,000"}, {-20, 20, "−20 0 20"},
	} {
		a := newAxis(c.low, c.high, 0, 1, 3)
		var got []string
		for _, v := range a.ticks() {
			got = append(got, a.words(v))
		}
		if s := strings.Join(got, " "); s != c.want {
			t.Errorf("%g to %g: ticks %s, want %s", c.low, c.high, s, c.want)
		}
	}
}

func TestAGapInTheYearStaysAGap(t *testing.T) {
	m := permeateYear()
	m.Values[5] = math.NaN()
	d, err := m.Draw(0)
	if err != nil {
		t.Fatal(err)
	}
	lines := 0
	d.Each(func(s Shape) {
		if p, ok := s.(Polyline); ok && p.Stroke == Accent && p.Width == modelPaint.Width && len(p.Points) > 2 {
			lines++
		}
	})
	if lines != 2 {
		t.Errorf("the model is drawn in %d pieces, want 2", lines)
	}
}

func TestChartsThatCannotBeDrawn(t *testing.T) {
	inf := math.Inf(1)
	draw := map[string]func() (Drawing, error){
		"no rows":        func() (Drawing, error) { return Bars{}.Draw(0) },
		"negative bar":   func() (Drawing, error) { return Bars{Rows: []BarRow{{Parts: []BarPart{{Value: -1}}}}}.Draw(0) },
		"infinite bar":   func() (Drawing, error) { return Bars{Rows: []BarRow{{Parts: []BarPart{{Value: inf}}}}}.Draw(0) },
		"narrow bars":    func() (Drawing, error) { return singleBars().Draw(20) },
		"infinite band":  func() (Drawing, error) { return Band{High: inf}.Draw(0) },
		"band reversed":  func() (Drawing, error) { return Band{Low: 2, High: 1}.Draw(0) },
		"negative doubt": func() (Drawing, error) { return Band{High: 1, Doubt: -1}.Draw(0) },
		"infinite month": func() (Drawing, error) { return Months{Values: [12]float64{inf}}.Draw(0) },
		"no such month":  func() (Drawing, error) { return Months{Readings: []MonthReading{{Month: 0.5}}}.Draw(0) },
		"NaN width":      func() (Drawing, error) { return Months{}.Draw(math.NaN()) },
	}
	for name, f := range draw {
		if _, err := f(); !errors.Is(err, ErrChart) {
			t.Errorf("%s: error is %v, want ErrChart", name, err)
		}
	}
}

func anyValue(t *rapid.T, name string) float64 {
	return rapid.OneOf(rapid.Just(0.0), rapid.Just(math.NaN()), rapid.Float64Range(0, 1e5), rapid.Float64Range(0, 1e-3), rapid.Just(mostAmount)).Draw(t, name)
}

// anyChart draws one chart of any sort.
func anyChart(t *rapid.T) (Drawing, error) {
	width := rapid.SampledFrom([]float64{0, 240, 380, 900}).Draw(t, "width")
	switch rapid.IntRange(0, 2).Draw(t, "sort") {
	case 0:
		b := Bars{Title: anyText.Draw(t, "title"), Note: anyText.Draw(t, "note"), Unit: anyText.Draw(t, "unit")}
		for range rapid.IntRange(1, 5).Draw(t, "rows") {
			r := BarRow{Label: anyText.Draw(t, "label"), Low: anyValue(t, "low"), High: anyValue(t, "high")}
			for range rapid.IntRange(0, 8).Draw(t, "parts") {
				r.Parts = append(r.Parts, BarPart{Name: anyText.Draw(t, "part"), Value: anyValue(t, "value")})
			}
			b.Rows = append(b.Rows, r)
		}
		return b.Draw(width)
	case 1:
		b := Band{Label: anyText.Draw(t, "label"), Unit: anyText.Draw(t, "unit"), Low: anyValue(t, "low"), High: anyValue(t, "high"), Value: anyValue(t, "value"), Doubt: anyValue(t, "doubt"), Verdict: anyText.Draw(t, "verdict")}
		if b.High < b.Low {
			b.Low, b.High = b.High, b.Low
		}
		return b.Draw(width)
	}
	m := Months{Title: anyText.Draw(t, "title"), Unit: anyText.Draw(t, "unit"), Promise: anyValue(t, "promise"), FromZero: rapid.Bool().Draw(t, "zero")}
	for i := range 12 {
		m.Values[i], m.Low[i], m.High[i] = anyValue(t, "v"), anyValue(t, "l"), anyValue(t, "h")
	}
	return m.Draw(width)
}

func TestNoTextLiesOverAnotherOnAnyChart(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d, err := anyChart(t)
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range faults(d) {
			t.Error(f)
		}
		wellFormed(t, d)
	})
}

func FuzzCharts(f *testing.F) {
	f.Add("label", "µS", 1.0, 2.0, 3.0)
	f.Add("", "", math.NaN(), math.Inf(1), math.Inf(-1))
	f.Add("<", "\xff", -1.0, 0.0, 1e300)
	f.Fuzz(func(t *testing.T, label, unit string, a, b, c float64) {
		m := Months{Title: label, Unit: unit, Promise: c}
		for i := range 12 {
			m.Values[i], m.Low[i], m.High[i] = a, b, c
		}
		for _, draw := range []func(float64) (Drawing, error){
			Bars{Title: label, Unit: unit, Rows: []BarRow{{Label: label, Parts: []BarPart{{Name: unit, Value: a}, {Value: b}}, Low: b, High: c}}}.Draw,
			Band{Label: label, Unit: unit, Low: a, High: b, Value: c, Doubt: a}.Draw,
			m.Draw,
		} {
			if d, err := draw(0); err == nil {
				wellFormed(t, d)
			}
		}
	})
}
