package scene

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// box is the room a text takes, from the top of its capitals to below its
// descenders, as wide as TextWidth says.
type box struct {
	l, t, r, b float64
	what       string
}

func boxOf(t Text) box {
	w := TextWidth(t.Content, t.Size, t.Weight)
	l := t.X
	switch t.Anchor {
	case Middle:
		l -= w / 2
	case End:
		l -= w
	}
	return box{l, t.Y - 0.74*t.Size, l + w, t.Y + 0.22*t.Size, t.Content}
}

func (b box) meets(o box) bool {
	const hair = 0.01
	return b.l < o.r-hair && o.l < b.r-hair && b.t < o.b-hair && o.t < b.b-hair
}

func textBoxes(d Drawing) []box {
	var out []box
	d.Each(func(s Shape) {
		if t, ok := s.(Text); ok && t.Content != "" {
			out = append(out, boxOf(t))
		}
	})
	return out
}

// faults lists what a drawing promises not to do with its texts.
func faults(d Drawing) []string {
	var out []string
	boxes := textBoxes(d)
	for i, a := range boxes {
		if a.l < -0.01 || a.t < -0.01 || a.r > d.Width+0.01 || a.b > d.Height+0.01 {
			out = append(out, fmt.Sprintf("%q leaves the drawing: %.1f,%.1f to %.1f,%.1f of %.0f by %.0f", a.what, a.l, a.t, a.r, a.b, d.Width, d.Height))
		}
		for _, b := range boxes[:i] {
			if a.meets(b) {
				out = append(out, fmt.Sprintf("%q lies over %q at %.1f,%.1f", a.what, b.what, a.l, a.t))
			}
		}
		for _, p := range pipeBoxes(d) {
			// The question mark stands in a vessel with a ground of its own.
			if a.what != "?" && a.meets(p) {
				out = append(out, fmt.Sprintf("%q lies on water at %.1f,%.1f", a.what, a.l, a.t))
			}
		}
	}
	return out
}

// pipeBoxes covers each run of water by small boxes along it.
func pipeBoxes(d Drawing) []box {
	var out []box
	d.Each(func(s Shape) {
		o, ok := s.(Outline)
		if !ok || !strings.HasPrefix(string(o.Stroke), "water-") {
			return
		}
		var at Point
		for _, st := range o.Steps {
			a, b := st.A, st.B
			if st.Op == 'L' {
				a, b = at, st.To
			}
			if st.Op == 'L' || st.Op == 'C' {
				for i := range 24 {
					out = append(out, runBox(at, a, b, st.To, float64(i)/24, float64(i+1)/24, o.Width/2))
				}
			}
			at = st.To
		}
	})
	return out
}

func runBox(p, a, b, q Point, from, to, half float64) box {
	at := func(t float64) Point {
		u := 1 - t
		k := [4]float64{u * u * u, 3 * u * u * t, 3 * u * t * t, t * t * t}
		return Point{k[0]*p.X + k[1]*a.X + k[2]*b.X + k[3]*q.X, k[0]*p.Y + k[1]*a.Y + k[2]*b.Y + k[3]*q.Y}
	}
	s, e := at(from), at(to)
	// A line is as wide as its stroke across and no longer than its ends.
	dx, dy := half, half
	if math.Abs(e.X-s.X) < 0.01 {
		dy = 0
	}
	if math.Abs(e.Y-s.Y) < 0.01 {
		dx = 0
	}
	return box{min(s.X, e.X) - dx, min(s.Y, e.Y) - dy, max(s.X, e.X) + dx, max(s.Y, e.Y) + dy, "water"}
}

func TestNoTextLiesOverAnother(t *testing.T) {
	for _, s := range samples() {
		d, err := s.draw()
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range faults(d) {
			t.Errorf("%s: %s", s.name, f)
		}
	}
}

// anyNumber is a number as the engine may give it, or not known.
func anyNumber(top float64) *rapid.Generator[float64] {
	return rapid.OneOf(rapid.Just(0.0), rapid.Just(math.NaN()), rapid.Float64Range(0, top), rapid.Float64Range(0, 1))
}

var anyText = rapid.OneOf(
	rapid.StringMatching(`[A-Z][a-z]{2,9}( [a-z0-9µ/%]{1,9}){0,5}`),
	rapid.StringMatching(`[0-9]{1,4}(\.[0-9])? (µS|psi|L/min|gpg|°C)`),
	rapid.StringN(0, 40, 160),
	rapid.Just("Undergroundsprinklerconnectionmanifoldsx"),
)

var anyStation = rapid.Custom(func(t *rapid.T) Station {
	return Station{
		Kind: Kind(rapid.IntRange(0, int(kinds)-1).Draw(t, "kind")), Name: anyText.Draw(t, "name"),
		Read: rapid.SliceOfN(anyText, 0, 5).Draw(t, "read"), Due: rapid.SliceOfN(anyText, 0, 5).Draw(t, "due"),
		State: State(rapid.IntRange(0, 3).Draw(t, "state")), Word: anyText.Draw(t, "word"),
		Fill: anyNumber(1).Draw(t, "fill"), Stop: rapid.Float64Range(0, 1).Draw(t, "stop"), Start: rapid.Float64Range(0, 1).Draw(t, "start"),
		FlowLitresPerDay: anyNumber(20000).Draw(t, "flow"), StrengthMicrosiemens: anyNumber(60000).Draw(t, "strength"),
		Suspect: rapid.Bool().Draw(t, "suspect"), Binds: rapid.Bool().Draw(t, "binds"), Why: anyText.Draw(t, "why"), ID: rapid.StringMatching(`[a-z]{0,4}`).Draw(t, "id"),
	}
})

var anyPath = rapid.Custom(func(t *rapid.T) Path {
	p := Path{Title: anyText.Draw(t, "title"), Subtitle: anyText.Draw(t, "subtitle"), Stations: rapid.SliceOfN(anyStation, 1, 24).Draw(t, "stations")}
	if rapid.Bool().Draw(t, "drained") {
		at := rapid.IntRange(0, len(p.Stations)-1).Draw(t, "at")
		p.Stations[at].ID = "drained"
		p.Drain = &Drain{At: "drained", LitresPerDay: anyNumber(20000).Draw(t, "waste"), StrengthMicrosiemens: anyNumber(60000).Draw(t, "brine"), Notes: rapid.SliceOfN(anyText, 0, 4).Draw(t, "notes")}
	}
	return p
})

var anyStyle = rapid.Custom(func(t *rapid.T) Style {
	layout := Layout(rapid.IntRange(0, 2).Draw(t, "layout"))
	width := rapid.SampledFrom([]float64{0, widths[layout][1], 1.5 * widths[layout][0]}).Draw(t, "width")
	return Style{Layout: layout, Width: width, Bare: rapid.Bool().Draw(t, "bare"), Gallons: rapid.Bool().Draw(t, "gallons"), LinkBase: rapid.SampledFrom([]string{"", "#", "/site/3#"}).Draw(t, "link")}
})

func TestNoTextLiesOverAnotherOnAnyPath(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d, err := anyPath.Draw(t, "path").Draw(anyStyle.Draw(t, "style"))
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range faults(d) {
			t.Error(f)
		}
	})
}

func TestSymbolsStandInsideTheDrawing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d, err := anyPath.Draw(t, "path").Draw(anyStyle.Draw(t, "style"))
		if err != nil {
			t.Fatal(err)
		}
		d.Each(func(s Shape) {
			if p, ok := place(s); ok && !(p.X >= -1 && p.X <= d.Width+1 && p.Y >= -1 && p.Y <= d.Height+1) {
				t.Errorf("%T at %.1f,%.1f lies outside %.0f by %.0f", s, p.X, p.Y, d.Width, d.Height)
			}
		})
	})
}

// place gives a point of a shape that must lie inside.
func place(s Shape) (Point, bool) {
	switch s := s.(type) {
	case Rect:
		return Point{s.X + s.W, s.Y + s.H}, true
	case Circle:
		return Point{s.X, s.Y}, true
	case Polyline:
		return s.Points[len(s.Points)-1], true
	case Outline:
		return s.Steps[0].To, true
	}
	return Point{}, false
}
