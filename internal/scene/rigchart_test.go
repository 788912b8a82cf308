package scene

import (
	"errors"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// Invented: a row of three housings, and a pump on a line.

func housings() Profile {
	p := Profile{Title: "Along the membrane", Note: "three elements, feed at 12 °C", Along: "length of membrane from the feed end", Unit: "m", Ends: []float64{0.97, 1.93, 2.9}}
	flux := Panel{Name: "Flux", Unit: "L/(m²·h)", Limit: 30, LimitName: "usual top for well water", FromZero: true}
	strength := Panel{Name: "Strength of the water", Unit: "mg/L", Limit: unknown, FromZero: true}
	scale := Panel{Name: "Calcite, at the membrane", Unit: "index", Limit: 0, LimitName: "scale begins at"}
	for i := range 48 {
		x := (float64(i) + 0.5) / 48
		p.Places = append(p.Places, 2.9*x)
		flux.Values = append(flux.Values, 27-14*x)
		strength.Values = append(strength.Values, 350/(1-0.55*x))
		scale.Values = append(scale.Values, -0.6+1.1*x*x)
	}
	p.Panels = []Panel{flux, strength, scale}
	return p
}

func pumpAndLine() Curves {
	pump, line := Curve{Name: "pump"}, Curve{Name: "line with two guns open"}
	for i := range 41 {
		q := float64(i) * 0.5
		pump.Points = append(pump.Points, Point{q, 5.2 - 0.013*q*q})
		line.Points = append(line.Points, Point{q, 0.3 + 0.021*q*q})
	}
	return Curves{
		Title: "Pump and line", Note: "tank half full", Across: "flow", AcrossUnit: "L/min", Up: "pressure", UpUnit: "bar",
		Lines: []Curve{pump, line}, Mark: Point{12.0, 3.33}, MarkWords: "settles at 12.0 L/min, 3.3 bar", FromZeroOnly: true,
	}
}

func TestAProfileRefusesWhatItCannotShow(t *testing.T) {
	for name, change := range map[string]func(*Profile){
		"no panel":       func(p *Profile) { p.Panels = nil },
		"short panel":    func(p *Profile) { p.Panels[0].Values = p.Panels[0].Values[1:] },
		"falling places": func(p *Profile) { p.Places[3] = 0 },
		"infinite":       func(p *Profile) { p.Panels[1].Values[2] = math.Inf(1) },
	} {
		p := housings()
		change(&p)
		if _, err := p.Draw(0); !errors.Is(err, ErrChart) {
			t.Errorf("%s: error %v, want ErrChart", name, err)
		}
	}
	for name, c := range map[string]Curves{"no line": {}, "one point": {Lines: []Curve{{Points: []Point{{1, 2}}}}}, "not a number": {Lines: []Curve{{Points: []Point{{1, 2}, {2, math.NaN()}}}}}} {
		if _, err := c.Draw(0); !errors.Is(err, ErrChart) {
			t.Errorf("%s: error %v, want ErrChart", name, err)
		}
	}
}

func TestLinesAreToldApartWithoutColour(t *testing.T) {
	d, err := pumpAndLine().Draw(0)
	if err != nil {
		t.Fatal(err)
	}
	plain := strings.NewReplacer("accent", "ink").Replace(svg(t, d, SVGOptions{}))
	if strings.Count(plain, "stroke-dasharray") == 0 {
		t.Error("no line is dashed")
	}
}

func TestTextsOfRigChartsStandApart(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		width := rapid.SampledFrom([]float64{0, 240, 300, 380, 700, 1200}).Draw(t, "width")
		p, c := housings(), pumpAndLine()
		name := rapid.SampledFrom([]string{"", "Flux", strings.Repeat("a long name ", 12)}).Draw(t, "name")
		p.Panels[0].Name, p.Panels[1].LimitName, c.Lines[0].Name, c.MarkWords, c.Up, p.Along = name, name, name, name, name, name
		scale := rapid.SampledFrom([]float64{1e-4, 1, 1e5}).Draw(t, "scale")
		for i := range p.Panels[0].Values {
			p.Panels[0].Values[i] *= scale
		}
		for i := range c.Lines[0].Points {
			c.Lines[0].Points[i].Y *= scale
		}
		for what, draw := range map[string]func(float64) (Drawing, error){"profile": p.Draw, "curves": c.Draw} {
			d, err := draw(width)
			if err != nil {
				t.Fatalf("%s: %v", what, err)
			}
			for _, fault := range faults(d) {
				t.Errorf("%s at %g: %s", what, width, fault)
			}
		}
	})
}
