package paper

import (
	"io"
	"testing"
	"time"

	"rinsewright/internal/paper/layout"
	"rinsewright/internal/sitefile"
	"rinsewright/testdata/sites"
)

func benchRecord(b *testing.B) (Record, Job) {
	b.Helper()
	data, err := sites.File("cormorant-reach")
	if err != nil {
		b.Fatal(err)
	}
	s, err := sitefile.Read("site.toml", data)
	if err != nil {
		b.Fatal(err)
	}
	return Record{Site: s, Hangs: checked(b, "cormorant-reach", nil)}, Job{
		Language: "en", Size: layout.A4, Date: time.Date(2026, 6, 13, 0, 0, 0, 0, time.UTC), Number: "gull-7", Hash: "0123456789ab",
		Address: "https://rinse.example.org/sites/7/reading",
	}
}

// A pack of forty pages or more, sixty photographs among them, that were made
// small when they were taken in.
func BenchmarkPackOfFortyPages(b *testing.B) {
	r, j := benchRecord(b)
	for i := range 60 {
		p, err := Photograph(taken(b, 1400, 900+i, 1), "the skid")
		if err != nil {
			b.Fatal(err)
		}
		j.Photos = append(j.Photos, p)
	}
	k, _ := KindNamed("warranty")
	k.set = func(p *setting) error {
		for range 4 {
			if err := p.warranty(); err != nil {
				return err
			}
			p.Break()
		}
		return nil
	}
	b.ReportAllocs()
	for b.Loop() {
		made, err := k.Make(r, j)
		if err != nil {
			b.Fatal(err)
		}
		if n := len(made.Document.Sheets); n < 40 {
			b.Fatalf("%d pages, want 40", n)
		}
		if err := made.Document.PDF(io.Discard); err != nil {
			b.Fatal(err)
		}
	}
}

// A thousand labels on a sheet each in one document, as a fleet prints them.
func BenchmarkThousandLabels(b *testing.B) {
	r, j := benchRecord(b)
	k, _ := KindNamed("label")
	b.ReportAllocs()
	for b.Loop() {
		var all []Made
		for range 1000 {
			made, err := k.Make(r, j)
			if err != nil {
				b.Fatal(err)
			}
			all = append(all, made)
		}
		if err := Joined("Labels", all).PDF(io.Discard); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkPhotographFromATelephone(b *testing.B) {
	data := taken(b, 4000, 3000, 6)
	for b.Loop() {
		if _, err := Photograph(data, ""); err != nil {
			b.Fatal(err)
		}
	}
}
