package scene

import (
	"bytes"
	"errors"
	"math"
	"testing"
	"time"
)

func plainSheet(shapes ...Shape) Document {
	return Document{
		Title: "Quote, Gull Point", Language: "en", Program: "rinsewright test", Made: time.Date(2026, 6, 13, 0, 0, 0, 0, time.UTC),
		Sheets: []Sheet{{Drawing: Drawing{Width: 595.28, Height: 841.89, Shapes: shapes}, Marks: []Mark{{Title: "Quote", Y: 40}}}},
	}
}

func TestTheSameDocumentGivesTheSameBytes(t *testing.T) {
	d := plainSheet(Text{X: 50, Y: 50, Size: 10, Tone: Ink, Content: "19.5 µS/cm (15.6 to 27.9)"}, Rect{X: 1, Y: 2, W: 3, H: 4, Paint: Paint{Fill: Accent}})
	var a, b bytes.Buffer
	if err := errors.Join(d.PDF(&a), d.PDF(&b)); err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(a.Bytes(), b.Bytes()) {
		t.Error("two prints of one document differ")
	}
	if !bytes.HasPrefix(a.Bytes(), []byte("%PDF-")) {
		t.Errorf("a PDF begins with %q", a.Bytes()[:8])
	}
}

func TestADocumentThatCannotBePrintedIsRefused(t *testing.T) {
	for name, d := range map[string]Document{
		"no sheet":     {},
		"not a number": plainSheet(Text{X: math.NaN(), Size: 10, Content: "x"}),
		"infinite":     plainSheet(Picture{X: math.Inf(1)}),
		"no paper":     {Sheets: []Sheet{{}}},
	} {
		if err := d.PDF(&bytes.Buffer{}); !errors.Is(err, ErrDrawing) {
			t.Errorf("%s: error %v, want one that wraps ErrDrawing", name, err)
		}
	}
}

func TestFiguresOfThePapersAreOfOneWidth(t *testing.T) {
	for _, weight := range []int{400, 600} {
		for _, r := range "123456789" {
			if got, want := PrintedWidth(string(r), 10, weight), PrintedWidth("0", 10, weight); got != want {
				t.Errorf("%c at weight %d is %g wide, 0 is %g: columns would not stand under each other", r, weight, got, want)
			}
		}
	}
}

func TestLettersThatTheFamilyLacksBecomeBoxes(t *testing.T) {
	for _, row := range []struct{ text, want string }{
		{"Muelle Añil, ½ in · µS/cm ≥ 0 °C", "Muelle Añil, ½ in · µS/cm ≥ 0 °C"},
		{"洗車 5", "□□ 5"},
		{"wash 🚿", "wash □"},
		{"two\nlines\ttabbed", "two lines tabbed"},
	} {
		if got := Printable(row.text); got != row.want {
			t.Errorf("%q prints as %q, want %q", row.text, got, row.want)
		}
	}
}

func TestAPlacedDrawingKeepsItsProportions(t *testing.T) {
	d := Drawing{Width: 100, Height: 50, Shapes: []Shape{
		Group{Shapes: []Shape{Text{X: 10, Y: 20, Size: 8}}},
		Outline{Steps: []Step{move(0, 0), curve(Point{1, 1}, Point{2, 2}, Point{100, 50})}, Paint: Paint{Stroke: Ink, Width: 2, Dash: []float64{4}}},
	}}
	placed := d.Placed(5, 7, 0.5)
	text := placed[0].(Group).Shapes[0].(Text)
	if text.X != 10 || text.Y != 17 || text.Size != 4 {
		t.Errorf("text lies at %g, %g with size %g, want 10, 17, 4", text.X, text.Y, text.Size)
	}
	line := placed[1].(Outline)
	if end := line.Steps[1].To; end != (Point{55, 32}) || line.Width != 1 || line.Dash[0] != 2 {
		t.Errorf("curve ends at %v with width %g and dash %g, want {55 32}, 1, 2", end, line.Width, line.Dash[0])
	}
}

// Two readers of the same font files agree on how wide a text runs: ours, by
// which lines are broken, and the printer's.
func TestWidthsAreThoseOfThePrinter(t *testing.T) {
	p := newPress(plainSheet())
	p.AddPage()
	for _, text := range []string{"19.5 µS/cm (15.6 to 27.9)", "Menor costo en 5 años", "WAVE, Ωπ½ · “l i”"} {
		for weight, style := range map[int]string{400: "", 600: "B"} {
			p.SetFont(family, style, 10)
			if got, want := PrintedWidth(text, 10, weight), p.GetStringWidth(text); math.Abs(got-want) > 0.01*want {
				t.Errorf("%q at weight %d is %.2f wide, the printer says %.2f", text, weight, got, want)
			}
		}
	}
}
