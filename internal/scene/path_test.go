package scene

import (
	"errors"
	"math"
	"strings"
	"testing"
)

func drawn(t *testing.T, p Path, s Style) Drawing {
	t.Helper()
	d, err := p.Draw(s)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func words(d Drawing) string {
	var out []string
	d.Each(func(s Shape) {
		if t, ok := s.(Text); ok {
			out = append(out, strings.ReplaceAll(t.Content, noBreak, " "))
		}
	})
	return strings.Join(out, "\n")
}

// waterWidths gives the widths of the runs of water in drawing order.
func waterWidths(d Drawing) []float64 {
	var out []float64
	d.Each(func(s Shape) {
		if o, ok := s.(Outline); ok && strings.HasPrefix(string(o.Stroke), "water-") {
			out = append(out, o.Width)
		}
	})
	return out
}

func TestWhatStaysAndWhatDrainsAddUpToWhatCameIn(t *testing.T) {
	scale := marina().flowScale(Style{}, widestPipe)
	in, stays, drains := scale.width(2570), scale.width(1285), scale.width(1285)
	if math.Abs(stays+drains-in) > 1e-9 {
		t.Errorf("widths %g + %g are not %g", stays, drains, in)
	}
}

func TestPolishedWaterStaysInSight(t *testing.T) {
	p := smallest()
	p.Stations[0].FlowLitresPerDay, p.Stations[1].FlowLitresPerDay, p.Stations[2].FlowLitresPerDay = 90000, 90000, 3
	for _, layout := range []Layout{Wide, Narrow, Mini} {
		d := drawn(t, p, Style{Layout: layout, Bare: true})
		for _, w := range waterWidths(d) {
			if w < 2 {
				t.Errorf("layout %d draws water %g wide, want at least 2", layout, w)
			}
		}
	}
}

func TestSeveralPathsShareOneScale(t *testing.T) {
	few, many := smallest(), marina()
	style := Style{FullWidthLitresPerDay: 2640, Bare: true}
	got := waterWidths(drawn(t, few, style))[0] / waterWidths(drawn(t, many, style))[0]
	if want := 300.0 / 2640; math.Abs(got-want) > 1e-9 {
		t.Errorf("300 L a day is drawn %.4f of 2640, want %.4f", got, want)
	}
}

func TestStrongerWaterIsDarker(t *testing.T) {
	last := -1
	for _, us := range []float64{0, 0.055, 0.3, 0.5, 1, 2, 5, 10, 40, 200, 500, 1000, 50000} {
		at := strings.Index("123456789", strings.TrimPrefix(string(tint(us)), "water-"))
		if at < last {
			t.Errorf("%g µS/cm is paler than a weaker water", us)
		}
		last = at
	}
	for _, dark := range []bool{false, true} {
		for i := 2; i <= tints; i++ {
			if luminance(t, Water(i), dark) >= luminance(t, Water(i-1), dark) {
				t.Errorf("%s is not darker than the one before (dark %t)", Water(i), dark)
			}
		}
	}
}

func TestEveryStateIsAWord(t *testing.T) {
	for state, want := range map[State]string{Fine: "fine", Due: "due", Today: "today", NotKnown: "not known"} {
		p := smallest()
		p.Stations[1].State, p.Stations[1].Word = state, ""
		for _, layout := range []Layout{Wide, Narrow} {
			d := drawn(t, p, Style{Layout: layout})
			if !strings.Contains(words(d), want) {
				t.Errorf("layout %d does not say %q", layout, want)
			}
			if !strings.Contains(d.Desc, want) {
				t.Errorf("what is read aloud does not say %q", want)
			}
		}
	}
}

func TestWordingSaysTheStateOnce(t *testing.T) {
	for _, c := range []struct {
		state      State
		word, want string
	}{
		{Fine, "4 months", "fine · 4 months"},
		{Fine, "fine · 4 months", "fine · 4 months"},
		{Due, "9–21 Aug", "due 9–21 Aug"},
		{Due, "due 9–21 Aug", "due 9–21 Aug"},
		{Today, "swap", "today · swap"},
		{NotKnown, "", "not known"},
	} {
		if got := (Station{State: c.state, Word: c.word}).wording(); got != c.want {
			t.Errorf("%v with %q reads %q, want %q", c.state, c.word, got, c.want)
		}
	}
}

func TestNotKnownIsAQuestionMarkAndNeverALevel(t *testing.T) {
	p := smallest()
	p.Stations[1].State, p.Stations[1].Fill = NotKnown, 0.8
	if d := drawn(t, p, Style{Bare: true}); !strings.Contains(words(d), "?") {
		t.Error("no question mark stands for what is not known")
	}
}

func TestRustIsOnlyForWhatNeedsAPersonToday(t *testing.T) {
	rusty := func(p Path) bool {
		found := false
		drawn(t, p, Style{}).Each(func(s Shape) {
			if x, ok := s.(Text); ok && x.Tone == Rust {
				found = true
			}
			if x, ok := s.(Polyline); ok && x.Stroke == Rust {
				found = true
			}
		})
		return found
	}
	p := smallest()
	if rusty(p) {
		t.Error("rust where nothing is due today")
	}
	p.Stations[1].State = Today
	if !rusty(p) {
		t.Error("no rust where a station is due today")
	}
	p = smallest()
	p.Stations[1].Suspect = true
	if !rusty(p) {
		t.Error("no rust on a suspect station")
	}
}

func TestASuspectIsMarkedWithWhy(t *testing.T) {
	p := smallest()
	p.Stations[1].Suspect, p.Stations[1].Why = true, "It reads higher after than before."
	for _, layout := range []Layout{Wide, Narrow} {
		got := strings.ReplaceAll(words(drawn(t, p, Style{Layout: layout})), "\n", " ")
		if !strings.Contains(got, "suspect") || !strings.Contains(got, p.Stations[1].Why) {
			t.Errorf("layout %d says %q", layout, got)
		}
	}
}

func TestWhatBindsIsSaid(t *testing.T) {
	p := smallest()
	p.Stations[1].Binds = true
	for _, layout := range []Layout{Wide, Narrow} {
		d := drawn(t, p, Style{Layout: layout})
		if !strings.Contains(words(d), "binds") || !strings.Contains(d.Desc, "what binds") {
			t.Errorf("layout %d does not say which station binds", layout)
		}
	}
}

func TestTheDrainSaysItsLitresADay(t *testing.T) {
	for _, layout := range []Layout{Wide, Narrow} {
		if got := words(drawn(t, marina(), Style{Layout: layout})); !strings.Contains(got, "1,285 L a day to drain") {
			t.Errorf("layout %d does not name the drain's litres", layout)
		}
		// reference: 1285 L / 3.785411784 L per US gallon (231 in³ exactly) = 339.46
		if got := words(drawn(t, marina(), Style{Layout: layout, Gallons: true})); !strings.Contains(got, "339 gal a day to drain") {
			t.Errorf("layout %d does not name the drain's gallons", layout)
		}
	}
}

func TestAnUnknownFlowIsDashedAndNoFlowIsThin(t *testing.T) {
	p := smallest()
	p.Stations[1].FlowLitresPerDay, p.Stations[2].FlowLitresPerDay = math.NaN(), 0
	got := words(drawn(t, p, Style{}))
	for _, want := range []string{"dashed: not known", "thin: no flow"} {
		if !strings.Contains(got, want) {
			t.Errorf("legend does not say %q", want)
		}
	}
	if got := words(drawn(t, smallest(), Style{})); strings.Contains(got, "dashed") || strings.Contains(got, "thin") {
		t.Error("legend explains what is not on the drawing")
	}
}

func TestAShortenedTextKeepsItsFullWording(t *testing.T) {
	d := drawn(t, worst(14), Style{})
	d.Each(func(s Shape) {
		if x, ok := s.(Text); ok && strings.HasSuffix(x.Content, "…") && x.Full == "" {
			t.Errorf("%q has lost its full wording", x.Content)
		}
	})
}

func TestUnitsStayWithTheirNumbers(t *testing.T) {
	f := face{size: 13, weight: 400}
	for _, r := range f.wrap("keeps up 99.6 % of the time", 62, 9) {
		if strings.HasPrefix(r.text, "%") || strings.HasSuffix(r.text, "99.6") {
			t.Errorf("number and unit are parted: %q", r.text)
		}
	}
}

func TestPathsThatCannotBeDrawn(t *testing.T) {
	bad := map[string]func(*Path, *Style){
		"no stations":         func(p *Path, _ *Style) { p.Stations = nil },
		"too many":            func(p *Path, _ *Style) { p.Stations = make([]Station, 25) },
		"kind below":          func(p *Path, _ *Style) { p.Stations[0].Kind = -1 },
		"kind above":          func(p *Path, _ *Style) { p.Stations[0].Kind = kinds },
		"negative flow":       func(p *Path, _ *Style) { p.Stations[1].FlowLitresPerDay = -1 },
		"infinite strength":   func(p *Path, _ *Style) { p.Stations[1].StrengthMicrosiemens = math.Inf(1) },
		"infinite fill":       func(p *Path, _ *Style) { p.Stations[1].Fill = math.Inf(-1) },
		"float not known":     func(p *Path, _ *Style) { p.Stations[1].Stop = math.NaN() },
		"drain from nowhere":  func(p *Path, _ *Style) { p.Drain = &Drain{At: "attic"} },
		"drain, no membrane":  func(p *Path, _ *Style) { p.Drain = &Drain{} },
		"negative drain":      func(p *Path, _ *Style) { p.Stations[1].ID = "x"; p.Drain = &Drain{At: "x", LitresPerDay: -5} },
		"no such layout":      func(_ *Path, s *Style) { s.Layout = 9 },
		"too narrow":          func(_ *Path, s *Style) { s.Width = 10 },
		"width not a number":  func(_ *Path, s *Style) { s.Width = math.NaN() },
		"scale not a number":  func(_ *Path, s *Style) { s.FullWidthLitresPerDay = math.NaN() },
		"scale below nothing": func(_ *Path, s *Style) { s.FullWidthLitresPerDay = -3 },
	}
	for name, spoil := range bad {
		p, s := smallest(), Style{}
		spoil(&p, &s)
		if _, err := p.Draw(s); !errors.Is(err, ErrPath) {
			t.Errorf("%s: error is %v, want ErrPath", name, err)
		}
	}
}

func TestDrawingLeavesThePathAlone(t *testing.T) {
	p := marina()
	p.Stations[0].Name = "  Well \n two "
	p.Stations[0].Fill = 3
	drawn(t, p, Style{})
	if p.Stations[0].Name != "  Well \n two " || p.Stations[0].Fill != 3 {
		t.Error("Draw changed the path it was given")
	}
}

func TestEveryKindHasAWordAndASymbol(t *testing.T) {
	for k := Kind(0); k < kinds; k++ {
		if k.String() == "" || k.String() == "station" {
			t.Errorf("kind %d has no word", k)
		}
		for _, down := range []bool{false, true} {
			var s sheet
			w, h := k.size()
			s.symbol(Station{Kind: k, Fill: 0.5}, 100, 100, w, h, down)
			if len(s.shapes) == 0 {
				t.Errorf("%v has no symbol", k)
			}
		}
	}
}

func FuzzDraw(f *testing.F) {
	f.Add("Heron Quay", "Membrane ×2", "18 µS", "fine", 7, 1285.0, 18.0, 0.4, 8, 0, 0.0)
	f.Add("", "", "", "", 0, math.NaN(), math.NaN(), math.NaN(), 3, 1, 0.0)
	f.Add("<b>", "\x00\xff\u202e", "]]>", "\"'&", 15, math.Inf(1), 0.0, math.Inf(-1), 14, 2, -1.0)
	f.Add("a", "b", "c", "d", 9, 0.0, -1.0, 2.0, 24, 0, 1e9)
	f.Fuzz(func(t *testing.T, title, name, read, word string, kind int, flow, strength, fill float64, n, layout int, width float64) {
		p := Path{Title: title, Subtitle: word}
		for i := range min(max(n, 0), 30) {
			p.Stations = append(p.Stations, Station{Kind: Kind(kind), Name: name, Read: []string{read, word}, Due: []string{read}, State: State(i), Word: word, Fill: fill, FlowLitresPerDay: flow, StrengthMicrosiemens: strength, Suspect: i%2 == 0, Why: read, ID: name})
		}
		p.Drain = &Drain{At: name, LitresPerDay: flow, StrengthMicrosiemens: strength, Notes: []string{word}}
		d, err := p.Draw(Style{Layout: Layout(layout), Width: width, LinkBase: word})
		if err != nil {
			return
		}
		for _, fault := range faults(d) {
			t.Error(fault)
		}
		wellFormed(t, d)
	})
}

func BenchmarkDrawDepot(b *testing.B) {
	p := depot()
	for b.Loop() {
		d, err := p.Draw(Style{})
		if err != nil {
			b.Fatal(err)
		}
		if err := d.SVG(discard{}, SVGOptions{}); err != nil {
			b.Fatal(err)
		}
	}
}

type discard struct{}

func (discard) Write(p []byte) (int, error) { return len(p), nil }
