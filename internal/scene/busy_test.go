package scene

import (
	"errors"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// Invented days and weeks; no number in them is a measurement.

func busySaturday() BusyDay {
	b := BusyDay{Title: "Level through the busiest Saturday", Note: "of 200 simulated years", Unit: "L", Full: 1150, Start: 1030, CutOff: 95}
	for q := range 96 {
		h := float64(q) / 4
		drop := 0.0
		if h > 8 {
			drop = 900 * math.Sin(min((h-8)/11, 1)*math.Pi/2)
		}
		if h > 19.5 {
			drop -= (h - 19.5) * 60
		}
		b.Median = append(b.Median, max(1150-drop, 95))
		b.Low = append(b.Low, max(1090-1.22*drop, 95))
		b.High = append(b.High, min(1150-0.72*drop, 1150))
	}
	return b
}

func busyWeek() BusyWeek {
	b := BusyWeek{Title: "The tank through the week", Note: "May to September"}
	for day := range 7 {
		for hour := range 24 {
			drop := 0.0
			if hour > 8 {
				drop = (0.35 + 0.45*map[bool]float64{true: 1}[day == 5] + 0.2*map[bool]float64{true: 1}[day == 6]) * math.Sin(min(float64(hour-8)/11, 1)*math.Pi/2)
			}
			if hour > 19 {
				drop *= 1 - float64(hour-19)/8
			}
			b.Fill[day][hour] = 0.97 - drop
			if day >= 5 && hour > 13 && hour < 20 {
				b.Short[day][hour] = []float64{0.6, 6, 0.1, 0.03, 9, 1}[hour-14] * float64(day-4) / 2
			}
		}
	}
	return b
}

func riskLines() RiskLines {
	r := RiskLines{
		Title: "What more tank or more make-up buys", Note: "chance that a year has a short vend", XName: "make-up in the coldest month", XUnit: "L/min",
		YName: "usable tank", YUnit: "L", Today: Point{0.74, 620}, TodayWords: "today: dry one year in four",
	}
	for i, words := range []string{"dry one year in two", "one year in five", "one year in twenty", "one year in a hundred"} {
		l := RiskLine{Words: words}
		for x := 0.5; x < 1.31; x += 0.1 {
			l.Points = append(l.Points, Point{x, (1 + 0.28*float64(i)) * 260 / (x * x)})
		}
		r.Lines = append(r.Lines, l)
	}
	return r
}

func busySamples() []sample {
	return []sample{
		{"busy-day", func() (Drawing, error) { return busySaturday().Draw(0) }},
		{"busy-day-phone", func() (Drawing, error) { return busySaturday().Draw(300) }},
		{"busy-week", func() (Drawing, error) { return busyWeek().Draw(0) }},
		{"busy-week-phone", func() (Drawing, error) { return busyWeek().Draw(300) }},
		{"risk-lines", func() (Drawing, error) { return riskLines().Draw(0) }},
		{"risk-lines-phone", func() (Drawing, error) { return riskLines().Draw(300) }},
	}
}

func TestLevelsStandWhereTheyAre(t *testing.T) {
	d, err := BusyDay{Full: 1000, Start: math.NaN(), CutOff: math.NaN(), Median: []float64{1000, 500}, Low: []float64{0, 0}, High: []float64{1000, 1000}}.Draw(0)
	if err != nil {
		t.Fatal(err)
	}
	var median []Point
	d.Each(func(s Shape) {
		if p, ok := s.(Polyline); ok && p.Width == modelPaint.Width && len(p.Points) == 2 && median == nil {
			median = p.Points
		}
	})
	if len(median) != 2 || math.Abs(median[1].Y-median[0].Y-plotHeight/2) > 1e-9 {
		t.Errorf("half the tank is drawn as %v", median)
	}
}

func TestACellIsFilledToItsLevelAndStruckByItsShortVends(t *testing.T) {
	for _, c := range []struct {
		fill, short float64
		lines       int
	}{{1, 0, 0}, {0.25, 0.03, 1}, {0.5, 1, 2}, {0, 7, 3}} {
		var s sheet
		s.cell(c.fill, c.short, 0, 0, 20, 21.5)
		if r := s.shapes[0].(Rect); math.Abs(r.H-20*c.fill) > 1e-9 || math.Abs(r.Y+r.H-20.75) > 1e-9 {
			t.Errorf("fill %g is %+v", c.fill, r)
		}
		lines := 0
		if o, ok := s.shapes[len(s.shapes)-1].(Outline); ok {
			lines = len(o.Steps) / 2
		}
		if lines != c.lines {
			t.Errorf("%g short vends: %d strokes, want %d", c.short, lines, c.lines)
		}
	}
}

// The seldomest line is whole and widest, the others differ by dash: no colour
// is needed.
func TestRisksAreToldApartWithoutColour(t *testing.T) {
	seen := map[string]bool{}
	for _, p := range riskPaints {
		key := ""
		for _, d := range p.Dash {
			key += short(d) + " "
		}
		if seen[key] {
			t.Errorf("dash %q twice", key)
		}
		seen[key] = true
	}
	if len(riskPaints[mostRisks-1].Dash) != 0 {
		t.Error("the seldomest line is dashed")
	}
}

func TestALineIsCutWhereItLeavesTheMap(t *testing.T) {
	r := RiskLines{Today: Point{1, 100}, Lines: []RiskLine{{Points: []Point{{0, 900}, {1, 100}, {2, 50}}}}}
	s := riskSheet{risk: r}
	s.frameY(0, 400, 0, 150, "", 520, 0)
	s.frameX(0, 2)
	pieces := s.pieces(r.Lines[0])
	if len(pieces) != 1 || len(pieces[0]) != 3 || math.Abs(pieces[0][0].Y-s.top) > 1e-9 || math.Abs(pieces[0][0].X-s.x.place(0.625)) > 1e-9 {
		t.Errorf("pieces %v", pieces)
	}
}

func TestBusyChartsThatCannotBeDrawn(t *testing.T) {
	inf := math.Inf(1)
	day, week, risk := busySaturday(), busyWeek(), riskLines()
	day.Low = day.Low[:5]
	week.Fill[3][3] = 1.2
	risk.Lines[1].Points[2].X = risk.Lines[1].Points[1].X
	for name, draw := range map[string]func() (Drawing, error){
		"lengths differ": func() (Drawing, error) { return day.Draw(0) },
		"no levels":      func() (Drawing, error) { return BusyDay{Full: 1}.Draw(0) },
		"full infinite":  func() (Drawing, error) { b := busySaturday(); b.Full = inf; return b.Draw(0) },
		"too narrow":     func() (Drawing, error) { return busySaturday().Draw(10) },
		"over full":      func() (Drawing, error) { return week.Draw(0) },
		"short below":    func() (Drawing, error) { b := busyWeek(); b.Short[0][0] = -1; return b.Draw(0) },
		"x stands still": func() (Drawing, error) { return risk.Draw(0) },
		"no lines":       func() (Drawing, error) { return RiskLines{}.Draw(0) },
		"today infinite": func() (Drawing, error) { r := riskLines(); r.Today.X = inf; return r.Draw(0) },
	} {
		if _, err := draw(); !errors.Is(err, ErrChart) {
			t.Errorf("%s: error is %v", name, err)
		}
	}
}

func TestBusyChartsAreSpoken(t *testing.T) {
	for _, c := range busySamples() {
		d, err := c.draw()
		if err != nil {
			t.Fatal(err)
		}
		if !strings.HasSuffix(d.Desc, ".") || len(d.Desc) < 60 || strings.Contains(d.Desc, "NaN") {
			t.Errorf("%s is read aloud as %q", c.name, d.Desc)
		}
	}
}

// No text lies over another, whatever the numbers and the width.
func TestNoTextLiesOverAnotherOnAnyBusyChart(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		width := rapid.SampledFrom([]float64{0, 240, 300, 380, 900}).Draw(t, "width")
		full := rapid.Float64Range(0.001, 1e6).Draw(t, "full")
		level := func(name string) float64 {
			return rapid.OneOf(rapid.Just(math.NaN()), rapid.Float64Range(0, full)).Draw(t, name)
		}
		day := BusyDay{Title: anyText.Draw(t, "title"), Note: anyText.Draw(t, "note"), Unit: "L", Full: full, Start: level("start"), CutOff: level("cut-off")}
		for range rapid.IntRange(2, 9).Draw(t, "times") {
			day.Median, day.Low, day.High = append(day.Median, level("median")), append(day.Low, level("low")), append(day.High, level("high"))
		}
		week := busyWeek()
		week.Title, week.Filled = anyText.Draw(t, "week title"), anyText.Draw(t, "filled")
		week.Fill[2][3] = math.NaN()
		risk := RiskLines{XName: anyText.Draw(t, "x"), YName: anyText.Draw(t, "y"), XUnit: "L/min", YUnit: "L", TodayWords: anyText.Draw(t, "today"), Today: Point{level("today x"), level("today y")}}
		for range rapid.IntRange(1, 4).Draw(t, "lines") {
			l, x := RiskLine{Words: anyText.Draw(t, "words")}, 0.0
			for range rapid.IntRange(2, 6).Draw(t, "points") {
				x += rapid.Float64Range(1e-3, full).Draw(t, "step")
				l.Points = append(l.Points, Point{x, level("risk")})
			}
			risk.Lines = append(risk.Lines, l)
		}
		for _, c := range []interface {
			Draw(float64) (Drawing, error)
		}{day, week, risk} {
			d, err := c.Draw(width)
			if err != nil {
				t.Fatal(err)
			}
			for _, f := range faults(d) {
				t.Errorf("%T: %s", c, f)
			}
			if err := d.check(); err != nil {
				t.Errorf("%T: %v", c, err)
			}
		}
	})
}
