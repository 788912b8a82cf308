package paper_test

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"rinsewright/internal/paper/layout"
	"rinsewright/internal/scene"
)

// operations lists what is drawn on each sheet, one shape a line.
func operations(d scene.Document) (sheets []string) {
	for i, s := range d.Sheets {
		var b strings.Builder
		fmt.Fprintf(&b, "sheet %d, %.0f × %.0f\n", i+1, s.Width, s.Height)
		for _, m := range s.Marks {
			fmt.Fprintf(&b, "mark %d at %.1f: %s\n", m.Level, m.Y, m.Title)
		}
		s.Each(func(x scene.Shape) {
			switch x := x.(type) {
			case scene.Text:
				fmt.Fprintf(&b, "text %.1f,%.1f %g/%d %s %d: %s\n", x.X, x.Y, x.Size, x.Weight, x.Tone, x.Anchor, x.Content)
			case scene.Rect:
				fmt.Fprintf(&b, "rect %.1f,%.1f %.1f × %.1f %s %s\n", x.X, x.Y, x.W, x.H, x.Fill, x.Stroke)
			case scene.Circle:
				fmt.Fprintf(&b, "circle %.1f,%.1f %.1f %s\n", x.X, x.Y, x.R, x.Fill)
			case scene.Polyline:
				last := x.Points[len(x.Points)-1]
				fmt.Fprintf(&b, "line %.1f,%.1f to %.1f,%.1f %s\n", x.Points[0].X, x.Points[0].Y, last.X, last.Y, x.Stroke)
			case scene.Picture:
				fmt.Fprintf(&b, "picture %.1f,%.1f %.1f × %.1f, %d bytes\n", x.X, x.Y, x.W, x.H, len(x.JPEG))
			}
		})
		sheets = append(sheets, b.String())
	}
	return sheets
}

// everyBlock is an invented document with each block once, so that a change
// in how papers are set is seen, and a change of a number is not.
func everyBlock() scene.Document {
	f := layout.New(layout.Frame{Size: layout.A4, Title: "Every block", Site: "Gull Point wash", From: "Wren Water, 555-0142", Number: "gull-7", Date: "13 June 2026", Draft: true, Program: "rinsewright test", Hash: "input 0123456789ab"})
	f.Lead("A sentence that carries the page.")
	f.Pairs([]layout.Pair{{Name: "first cost", Value: "1954 USD"}, {Name: "who comes", Value: ""}})
	f.Head("Parts")
	f.Table([]layout.Column{{Head: "how many", Share: 1}, {Head: "what", Share: 4}, {Head: "price", Share: 1, Right: true}, {Head: "fitted on", Share: 1, Blank: true}}, []layout.Row{
		{Cells: []string{"Pumps"}, Group: true},
		{Cells: []string{"1", "3/4 hp delivery pump", "485.00 USD"}},
		{Cells: []string{"19 m", "3/4 in pipe", "132.05 USD"}, Tall: true},
		{Cells: []string{"", "total", "617.05 USD"}, Strong: true},
	})
	f.Sub("To do")
	f.Steps([]layout.Step{{Text: "Open the feed slowly", Note: "vent each housing", Figure: "30 min", Fill: "o'clock", Caution: "Stand clear of caps."}})
	f.Ticks([]string{"gloves", "lock and tag", "bucket"})
	f.Points([]string{"one", "two"})
	f.Caution("The drain", "Never to a storm drain.")
	f.Para("A paragraph.")
	f.Small("A small one.")
	f.Signatures([]string{"for the customer", "for the supplier", "seen by"})
	f.Photos([]layout.Photo{{JPEG: []byte("x"), Width: 400, Height: 300, Caption: "the skid"}, {JPEG: []byte("y"), Width: 300, Height: 400, Caption: "the tank"}})
	f.Across()
	f.Lines(2)
	return f.Document()
}

// The file is ours: it holds that nothing moved unseen, not that anything is
// right. UPDATE=1 rewrites it.
func TestBlocksAreSetAsTheyWere(t *testing.T) {
	got, file := strings.Join(operations(everyBlock()), "\n"), filepath.Join("testdata", "blocks.txt")
	if os.Getenv("UPDATE") != "" {
		if err := os.MkdirAll("testdata", 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(file, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if got != string(want) {
		t.Errorf("%s differs from what is kept; UPDATE=1 rewrites it, then look at the change", file)
	}
}
