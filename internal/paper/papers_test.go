package paper_test

import (
	"bytes"
	"context"
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"rinsewright/catalog"
	"rinsewright/internal/paper"
	"rinsewright/internal/paper/layout"
	"rinsewright/internal/sitefile"
	"rinsewright/quantity"
	"rinsewright/study"
	"rinsewright/testdata/sites"
)

// answered is an example site with every question answered once for all tests.
// Only the marina is sized: a search takes its time.
var answered = sync.OnceValues(func() (map[string]paper.Record, error) {
	all := map[string]paper.Record{}
	parts, err := catalog.Generic()
	if err != nil {
		return nil, err
	}
	for _, name := range sites.Names {
		data, err := sites.File(name)
		if err != nil {
			return nil, err
		}
		r := paper.Record{Parts: parts}
		if r.Site, err = sitefile.Read(name, data); err != nil {
			return nil, err
		}
		if r.Hangs, err = study.Check(context.Background(), r.Site, study.Options{Seed: 1, Looks: 8}); err != nil {
			return nil, err
		}
		if r.Coming, err = study.Forecast(r.Site, study.Options{Seed: 1}, time.Time{}); err != nil && !errors.Is(err, study.ErrNoLog) {
			return nil, err
		}
		if r.Proved, err = study.Prove(context.Background(), r.Site, study.Options{Seed: 1, Looks: 8}); err != nil && !errors.Is(err, study.ErrNotCommissioned) {
			return nil, err
		}
		if name == "cormorant-reach" {
			if r.Sized, err = study.Size(context.Background(), r.Site, parts, study.SizeOptions{Options: study.Options{Seed: 1, Looks: 4}}); err != nil {
				return nil, err
			}
			if r.Offer, err = study.Offer(r.Site, r.Sized); err != nil {
				return nil, err
			}
		}
		all[name] = r
	}
	return all, nil
})

func record(t *testing.T, name string) paper.Record {
	t.Helper()
	all, err := answered()
	if err != nil {
		t.Fatal(err)
	}
	return all[name]
}

func plainJob() paper.Job {
	return paper.Job{
		Options: paper.Options{Version: "test"}, Language: "en", Size: layout.Letter, Date: time.Date(2026, 6, 13, 0, 0, 0, 0, time.UTC),
		From: "Wren Water, 555-0142", For: "Marina office", Number: "gull-7", Hash: "0123456789ab", Address: "https://rinse.example.org/sites/7/reading",
	}
}

// printed writes a paper to a file.
func printed(t *testing.T, k paper.Kind, r paper.Record, j paper.Job) (file string, made paper.Made) {
	t.Helper()
	made, err := k.Make(r, j)
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := made.Document.PDF(&b); err != nil {
		t.Fatal(err)
	}
	file = filepath.Join(t.TempDir(), k.Name+".pdf")
	if err := os.WriteFile(file, b.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	return file, made
}

// tool runs one of the readers of Debian and fails on any word of complaint.
func tool(t *testing.T, name string, args ...string) string {
	t.Helper()
	var out, complaint bytes.Buffer
	c := exec.Command(name, args...)
	c.Stdout, c.Stderr = &out, &complaint
	if err := c.Run(); err != nil {
		t.Fatalf("%s %s: %v: %s (tools/needs.sh papers installs it)", name, strings.Join(args, " "), err, complaint.String())
	}
	if complaint.Len() > 0 {
		t.Errorf("%s warns: %s", name, complaint.String())
	}
	return out.String()
}

// words is the text of a PDF as a reader copies it, on one line.
func words(t *testing.T, file string) string {
	return strings.Join(strings.Fields(tool(t, "pdftotext", "-layout", file, "-")), " ")
}

// Two independent readers and a checker of structure open every paper of every
// example site without a warning.
func TestEveryPaperOpensWithoutWarning(t *testing.T) {
	for _, name := range sites.Names {
		for _, k := range paper.Kinds {
			t.Run(name+"/"+k.Name, func(t *testing.T) {
				r := record(t, name)
				if _, err := k.Make(r, plainJob()); errors.Is(err, paper.ErrNothing) && r.Sized == nil {
					return // not sized in this test: no quote, no parts
				}
				file, made := printed(t, k, r, plainJob())
				if out := tool(t, "qpdf", "--check", file); !strings.Contains(out, "No syntax or stream encoding errors") {
					t.Errorf("qpdf says %s", out)
				}
				if name != "cormorant-reach" && name != "harrow-field" {
					return // the same drawings as these two
				}
				tool(t, "pdftoppm", "-r", "20", file, filepath.Join(t.TempDir(), "page"))
				tool(t, "mutool", "draw", "-q", "-N", "-r", "20", "-o", filepath.Join(t.TempDir(), "page%d.png"), file)
				if !strings.Contains(tool(t, "mutool", "show", file, "outline"), made.Document.Sheets[0].Marks[0].Title) {
					t.Error("no contents beside the pages")
				}
				if !strings.Contains(tool(t, "mutool", "show", file, "trailer/Root/Lang"), "en") {
					t.Error("no language")
				}
				if about := tool(t, "pdfinfo", file); !strings.Contains(about, made.Document.Title) {
					t.Errorf("the title %q is not in %s", made.Document.Title, about)
				}
			})
		}
	}
}

// What stands on paper is what stands on the screen: each promise of the check
// is found in the text of the PDF, letter by letter.
func TestNumbersOnPaperAreThoseOnTheScreen(t *testing.T) {
	k, _ := paper.KindNamed("warranty")
	for _, name := range sites.Names {
		for _, units := range []quantity.System{quantity.US, quantity.SI} {
			r, j := record(t, name), plainJob()
			j.Units = units
			file, _ := printed(t, k, r, j)
			text := words(t, file)
			for _, promise := range r.Hangs.Promises {
				onScreen := promise.Band.Text(units, j.Locale)
				if !strings.Contains(text, promise.Says) {
					t.Errorf("%s: the paper does not name %q", name, promise.Says)
				}
				for _, word := range strings.Fields(onScreen) { // a narrow column wraps it
					if !strings.Contains(text, word) {
						t.Errorf("%s: %q of %s, %q, is not on the paper", name, word, promise.Says, onScreen)
					}
				}
			}
		}
	}
}

// The same holds where other pages show numbers: what gauges should read on the
// first day, what each option of a quote promises, what the owner is told.
func TestNumbersOfPagesStandOnTheirPapers(t *testing.T) {
	stands := func(name, kind string, j paper.Job, texts ...string) {
		t.Helper()
		k, _ := paper.KindNamed(kind)
		file, _ := printed(t, k, record(t, name), j)
		text := words(t, file)
		for _, want := range texts {
			for _, word := range strings.Fields(want) { // a narrow column wraps it
				if !strings.Contains(text, word) {
					t.Errorf("%s of %s: %q of %q is not on it", kind, name, word, want)
				}
			}
		}
	}
	for _, name := range sites.Names {
		for _, units := range []quantity.System{quantity.US, quantity.SI} {
			r, j := record(t, name), plainJob()
			j.Units = units
			sheet := study.StartUp(r.Site, study.Options{Seed: 1, Units: units, Locale: j.Locale})
			var gauges, owner []string
			for _, step := range sheet.Steps {
				for _, a := range step.Read {
					if f := sheet.Should[a.Key()]; f != nil {
						gauges = append(gauges, f.Text(units, j.Locale))
					}
				}
			}
			for _, x := range r.Hangs.Promises {
				switch x.Name {
				case "strength_after_membrane", "strength_after_resin", "permeate_flow", "refill_time":
					owner = append(owner, x.Band.Value.Text(units, j.Locale))
				}
			}
			stands(name, "start-up", j, gauges...)
			stands(name, "owner", j, owner...)
			if r.Offer == nil {
				continue
			}
			var promised []string
			for _, o := range r.Offer.Options {
				for _, x := range o.Promise {
					promised = append(promised, x.Band.Text(units, j.Locale))
				}
			}
			stands(name, "quote", j, promised...)
		}
	}
}

func TestMoneyOfTheQuoteIsThatOfTheSizing(t *testing.T) {
	r, j := record(t, "cormorant-reach"), plainJob()
	k, _ := paper.KindNamed("quote")
	file, _ := printed(t, k, r, j)
	text := words(t, file)
	for _, o := range r.Offer.Options {
		for _, f := range []study.Figure{o.Price, o.Yearly} {
			if want := f.Text(j.Units, j.Locale); strings.Count(text, want) < 2 {
				t.Errorf("option %s: %q stands %d times on the quote, want it in the comparison and in the option", o.Letter, want, strings.Count(text, want))
			}
		}
		for _, line := range o.Parts {
			if want := line.Amount.Text(j.Units, j.Locale); !line.Kept && !strings.Contains(text, want) {
				t.Errorf("option %s: %s at %s is not on the quote", o.Letter, line.Name, want)
			}
		}
	}
	for _, want := range []string{"13 July 2026", "rinsewright test", "input 0123456789ab", "DRAFT", "page 1 of"} {
		if !strings.Contains(text, want) {
			t.Errorf("the quote does not say %q", want)
		}
	}
}

// Printing twice gives the same bytes: a signed paper can be printed again.
func TestTheSameRecordGivesTheSameBytes(t *testing.T) {
	for _, k := range paper.Kinds {
		a, _ := printed(t, k, record(t, "cormorant-reach"), plainJob())
		b, _ := printed(t, k, record(t, "cormorant-reach"), plainJob())
		one, err1 := os.ReadFile(a)
		two, err2 := os.ReadFile(b)
		if err := errors.Join(err1, err2); err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(one, two) {
			t.Errorf("%s differs between two prints", k.Name)
		}
	}
}

func TestASiteWithoutASystemGetsNoQuote(t *testing.T) {
	k, _ := paper.KindNamed("quote")
	if _, err := k.Make(record(t, "brightmere"), plainJob()); !errors.Is(err, paper.ErrNothing) {
		t.Errorf("error %v, want one that wraps ErrNothing", err)
	}
}

func TestOwnersPageAndLabelAreOneSheet(t *testing.T) {
	for _, name := range sites.Names {
		for _, kind := range []string{"owner", "label"} {
			for _, language := range paper.Languages {
				k, _ := paper.KindNamed(kind)
				j := plainJob()
				j.Language = language
				if _, made := printed(t, k, record(t, name), j); len(made.Document.Sheets) != 1 {
					t.Errorf("%s of %s in %s has %d sheets, want 1", kind, name, language, len(made.Document.Sheets))
				}
			}
		}
	}
}

// What a person types reaches the paper as letters and breaks nothing: not the
// text of a PDF, not its title, not its contents.
func TestHostileWordsCannotBreakAPaper(t *testing.T) {
	r := record(t, "fennel-lane")
	site := *r.Site
	site.Name = "Lane) Tj ET endstream endobj (\\ <script>alert(1)</script> \x00\x1b\u202e %%EOF 洗車 " + strings.Repeat("ñ(", 80)
	r.Site = &site
	for _, k := range paper.Kinds {
		j := plainJob()
		j.From, j.By, j.Number = site.Name, site.Name, site.Name
		if _, err := k.Make(r, j); errors.Is(err, paper.ErrNothing) {
			continue
		}
		file, _ := printed(t, k, r, j)
		if out := tool(t, "qpdf", "--check", file); !strings.Contains(out, "No syntax or stream encoding errors") {
			t.Errorf("%s: qpdf says %s", k.Name, out)
		}
		if text := words(t, file); !strings.Contains(text, "endstream") || !strings.Contains(text, "<script>") {
			t.Errorf("%s: the name is not told as it was typed", k.Name)
		}
		tool(t, "mutool", "show", file, "outline")
	}
}
