package cli

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"time"

	"rinsewright/catalog"
	"rinsewright/internal/paper"
	"rinsewright/internal/paper/layout"
	"rinsewright/internal/sitefile"
	"rinsewright/site"
	"rinsewright/study"
)

// PapersCommand writes the papers of a site.
type PapersCommand struct {
	Site     string   `arg:"" help:"Site file." type:"path"`
	Out      string   `required:"" placeholder:"DIR" type:"path" help:"Folder for the papers; it is made if need be."`
	Only     []string `placeholder:"NAME" help:"Only these papers, such as quote or parts; may be given again."`
	Option   string   `placeholder:"LETTER" help:"Option of the quote that was taken: papers are then about it, not about what hangs there."`
	Language string   `enum:"en,es" default:"en" help:"Language: en or es."`
	Paper    string   `enum:"a4,letter" default:"letter" help:"Paper: a4 or letter."`
	Date     string   `placeholder:"DAY" help:"Day on the papers, such as 2026-06-13; today if not given."`
	From     string   `help:"Who hands the papers over: name, telephone, licence."`
	For      string   `help:"Who gets them."`
	By       string   `help:"Who prepared them."`
	Number   string   `help:"Number on the papers; the site file's name if not given."`
	Address  string   `placeholder:"URL" help:"Address of the site's reading page, for the code on the label."`
	Sizing
}

// Help is the long help with examples.
func (PapersCommand) Help() string {
	return `Examples:
  rinsewright papers site.toml --out papers
  rinsewright papers site.toml --out papers --only quote --language es --paper a4
  rinsewright papers site.toml --out papers --option B --from "Wren Water, 555-0142"

A paper that the site gives no cause for is left out, and said. The same
record, day and options give the same bytes.`
}

// Run writes them.
func (c PapersCommand) Run(desk Desk) error {
	kinds, err := c.kinds()
	if err != nil {
		return err
	}
	record, job, err := c.record(desk)
	if err != nil {
		return err
	}
	if err := os.MkdirAll(c.Out, 0o755); err != nil {
		return bad(fmt.Errorf("make folder: %w", err), "")
	}
	for _, k := range kinds {
		if err := c.write(desk, k, record, job); err != nil {
			return err
		}
	}
	return nil
}

// sheets are the tables that go with a paper, for a spreadsheet.
func (c PapersCommand) sheets(desk Desk, k paper.Kind, r paper.Record, j paper.Job) error {
	if k.Name != "parts" {
		return nil
	}
	grid, err := paper.PartsGrid(r, j)
	if err != nil {
		return bad(err, "")
	}
	book, err := grid.XLSX()
	if err != nil {
		return bad(err, "")
	}
	if err := writeWhole(filepath.Join(c.Out, "parts.xlsx"), book); err != nil {
		return bad(err, "")
	}
	_, err = fmt.Fprintf(desk.Out, "%-22s %d lines\n", "parts.xlsx", len(grid.Rows))
	return err
}

func (c PapersCommand) kinds() ([]paper.Kind, error) {
	if len(c.Only) == 0 {
		return paper.Kinds, nil
	}
	var all []paper.Kind
	for _, name := range c.Only {
		k, ok := paper.KindNamed(name)
		if !ok {
			var names []string
			for _, k := range paper.Kinds {
				names = append(names, k.Name)
			}
			return nil, bad(fmt.Errorf("no paper is called %q", name), "papers: "+strings.Join(names, ", "))
		}
		all = append(all, k)
	}
	return all, nil
}

// record asks every question that the papers answer.
func (c PapersCommand) record(desk Desk) (r paper.Record, j paper.Job, err error) {
	data, s, err := readSite(c.Site)
	if err != nil {
		return r, j, err
	}
	if j, err = c.job(desk, data, s); err != nil {
		return r, j, err
	}
	if r.Parts, err = c.parts(); err != nil {
		return r, j, err
	}
	r.Site = s
	options := c.options(data)
	if r.Hangs, err = study.Check(desk.Context, s, options.Options); err != nil && !nothingHangs(err) {
		return r, j, unanswered(err, filepath.Base(c.Site))
	}
	if r.Sized, err = study.Size(desk.Context, s, r.Parts, options); err != nil {
		return r, j, unsized(err, filepath.Base(c.Site))
	}
	if r.Offer, err = study.Offer(s, r.Sized); err != nil && !errors.Is(err, study.ErrNoSystem) {
		return r, j, unsized(err, filepath.Base(c.Site))
	}
	return r, j, nil
}

func nothingHangs(err error) bool { return errors.Is(err, study.ErrNoRig) }

func (c PapersCommand) job(desk Desk, data []byte, s *site.Site) (paper.Job, error) {
	day := time.Now().UTC().Truncate(24 * time.Hour)
	if c.Date != "" {
		var err error
		if day, err = time.Parse(time.DateOnly, c.Date); err != nil {
			return paper.Job{}, bad(fmt.Errorf("read date: %q is not a day", c.Date), "such as 2026-06-13")
		}
	}
	size := layout.Letter
	if c.Paper == "a4" {
		size = layout.A4
	}
	number := c.Number
	if number == "" {
		number = strings.TrimSuffix(filepath.Base(c.Site), filepath.Ext(c.Site))
		if number == "site" {
			number = filepath.Base(filepath.Dir(c.Site))
		}
	}
	sum := sha256.Sum256(bytes.Join([][]byte{data, []byte(catalog.Text()), []byte(fmt.Sprint(c.Seed, c.Years, c.Units))}, []byte{0}))
	return paper.Job{
		Options:  paper.Options{Units: c.System(), Locale: sitefile.Locale(data), Version: desk.Version},
		Language: c.Language, Size: size, Date: day, From: c.From, For: c.For, By: c.By, Number: number,
		Hash: hex.EncodeToString(sum[:6]), Address: c.Address, Option: strings.ToUpper(c.Option),
	}, nil
}

func (c PapersCommand) write(desk Desk, k paper.Kind, r paper.Record, j paper.Job) error {
	made, err := k.Make(r, j)
	if errors.Is(err, paper.ErrNothing) {
		_, err = fmt.Fprintf(desk.Out, "%-22s nothing to put on it\n", k.Name)
		return err
	}
	if err != nil {
		return bad(err, "")
	}
	var b bytes.Buffer
	if err := made.Document.PDF(&b); err != nil {
		return bad(err, "")
	}
	name := k.Name + ".pdf"
	if err := writeWhole(filepath.Join(c.Out, name), b.Bytes()); err != nil {
		return bad(err, "")
	}
	pages := "pages"
	if len(made.Document.Sheets) == 1 {
		pages = "page"
	}
	if _, err := fmt.Fprintf(desk.Out, "%-22s %d %s\n", name, len(made.Document.Sheets), pages); err != nil {
		return err
	}
	return c.sheets(desk, k, r, j)
}
