package layout

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"rinsewright/internal/scene"
)

func plainFlow(size Size) *Flow {
	return New(Frame{Size: size, Title: "Parts list", Site: "Gull Point", Number: "gull-point", Date: "13 June 2026", Program: "rinsewright test", Hash: "input 0123", Made: time.Date(2026, 6, 13, 0, 0, 0, 0, time.UTC)})
}

func texts(d scene.Document) (perSheet [][]string) {
	for _, s := range d.Sheets {
		var all []string
		s.Each(func(x scene.Shape) {
			if t, ok := x.(scene.Text); ok {
				all = append(all, t.Content)
			}
		})
		perSheet = append(perSheet, all)
	}
	return perSheet
}

func TestHeadsOfATableStandOnEveryPage(t *testing.T) {
	f := plainFlow(Letter)
	var rows []Row
	for i := range 120 {
		rows = append(rows, Row{Cells: []string{fmt.Sprintf("part %d", i), "1"}})
	}
	f.Table([]Column{{Head: "what", Share: 3}, {Head: "how many", Share: 1, Right: true}}, rows)
	pages := texts(f.Document())
	if len(pages) < 3 {
		t.Fatalf("120 rows take %d pages, want 3 at least", len(pages))
	}
	seen := 0
	for i, page := range pages {
		all := strings.Join(page, "\n")
		if !strings.Contains(all, "how many") {
			t.Errorf("page %d has no heads", i+1)
		}
		if want := fmt.Sprintf("page %d of %d", i+1, len(pages)); !strings.Contains(all, want) {
			t.Errorf("page %d does not say %q", i+1, want)
		}
		seen += strings.Count(all, "part ")
	}
	if seen != 120 {
		t.Errorf("%d rows printed, want 120", seen)
	}
}

// A total does not stand alone on a page of its own: the row before it comes
// with it, wherever the table begins.
func TestATotalIsNotAloneOnItsPage(t *testing.T) {
	for n := 20; n < 60; n++ {
		f := plainFlow(Letter)
		var rows []Row
		for i := range n {
			rows = append(rows, Row{Cells: []string{fmt.Sprintf("part %d", i), "1"}})
		}
		f.Table([]Column{{Head: "what", Share: 3}, {Head: "how many", Share: 1, Right: true}}, append(rows, Row{Cells: []string{"total", "9"}, Strong: true}))
		pages := texts(f.Document())
		last := strings.Join(pages[len(pages)-1], "\n")
		if !strings.Contains(last, "total") || !strings.Contains(last, "part ") {
			t.Errorf("%d rows: the last page holds %q", n, last)
		}
	}
}

func TestARowTallerThanAPageGoesOnOnTheNext(t *testing.T) {
	f := plainFlow(Letter)
	f.Table([]Column{{Head: "what", Share: 1}}, Rows([]string{strings.Repeat("word ", 4000)}))
	d := f.Document()
	words := 0
	for _, page := range texts(d) {
		words += strings.Count(strings.Join(page, " "), "word")
	}
	if words != 4000 {
		t.Errorf("%d words printed on %d pages, want 4000", words, len(d.Sheets))
	}
}

func TestADraftIsMarkedOnEveryPage(t *testing.T) {
	f := New(Frame{Size: A4, Title: "Quote", Site: "Gull Point", Draft: true})
	f.Break()
	f.Across()
	for i, page := range texts(f.Document()) {
		if n := strings.Count(strings.Join(page, "\n"), "DRAFT"); n != 2 || page[0] != "DRAFT" {
			t.Errorf("page %d of a draft says so %d times and first %q, want in its head and as a watermark under everything", i+1, n, page[0])
		}
	}
}

func TestEachPairAndRowIsAFact(t *testing.T) {
	f := plainFlow(A4)
	f.Head("Price")
	f.Pairs([]Pair{{"first cost", "1954 USD"}, {"who comes", ""}})
	f.Table([]Column{{Share: 1}, {Share: 1}}, Rows([]string{"total", "300.28 USD"}))
	want := []Fact{{"Price", "first cost", "1954 USD"}, {"Price", "total", "300.28 USD"}}
	if got := f.Facts(); fmt.Sprint(got) != fmt.Sprint(want) {
		t.Errorf("facts are %v, want %v", got, want)
	}
}

// Whatever a person typed, nothing is printed outside the paper.
func TestNoTextLeavesThePaper(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		word := rapid.StringMatching(`[A-Za-zÄñ0-9 .,/()-]{0,90}|x{200}|[水🚿 ]{0,40}`)
		size := rapid.SampledFrom([]Size{A4, Letter, A6}).Draw(t, "size")
		f := New(Frame{Size: size, Title: word.Draw(t, "title"), Site: word.Draw(t, "site"), From: word.Draw(t, "from"), Number: word.Draw(t, "number"), Date: "13 June 2026", Draft: rapid.Bool().Draw(t, "draft")})
		f.Head(word.Draw(t, "head"))
		f.Para(word.Draw(t, "text"))
		f.Pairs([]Pair{{word.Draw(t, "name"), word.Draw(t, "value")}})
		f.Tight([]Pair{{word.Draw(t, "name"), word.Draw(t, "value")}})
		f.Steps([]Step{{Text: word.Draw(t, "step"), Note: word.Draw(t, "note"), Figure: word.Draw(t, "figure"), Fill: word.Draw(t, "fill"), Caution: word.Draw(t, "caution")}})
		f.Ticks([]string{word.Draw(t, "tick"), word.Draw(t, "tick"), word.Draw(t, "tick")})
		f.Caution(word.Draw(t, "where"), word.Draw(t, "why"))
		f.Table([]Column{{Head: word.Draw(t, "column"), Share: 1}, {Head: word.Draw(t, "column"), Share: 3, Right: true}}, Rows([]string{word.Draw(t, "cell"), word.Draw(t, "cell")}))
		f.Signatures([]string{word.Draw(t, "who"), word.Draw(t, "who"), word.Draw(t, "who")})
		for i, s := range f.Document().Sheets {
			s.Each(func(x scene.Shape) {
				if c, ok := x.(scene.Text); ok {
					inside(t, i, s.Width, s.Height, c)
				}
			})
		}
	})
}

func inside(t *rapid.T, sheet int, width, height float64, c scene.Text) {
	left, wide := c.X, scene.PrintedWidth(c.Content, c.Size, c.Weight)
	switch c.Anchor {
	case scene.Middle:
		left -= wide / 2
	case scene.End:
		left -= wide
	}
	if c.Turn != 0 { // the mark of a draft, about its middle
		across, down := wide/2*math.Cos(c.Turn*math.Pi/180), wide/2*math.Sin(c.Turn*math.Pi/180)
		if across > width/2 || down > height/2 {
			t.Fatalf("sheet %d: %q reaches %.0f across and %.0f down from the middle of %.0f by %.0f", sheet+1, c.Content, across, down, width, height)
		}
		return
	}
	if left < 4 || left+wide > width-4 || c.Y < c.Size || c.Y > height-8 {
		t.Fatalf("sheet %d: %q lies at %.0f to %.0f of %.0f across and %.0f of %.0f down", sheet+1, c.Content, left, left+wide, width, c.Y, height)
	}
}
