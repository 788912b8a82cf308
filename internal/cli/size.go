package cli

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"

	"rinsewright/catalog"
	"rinsewright/internal/grid"
	"rinsewright/internal/paper"
	"rinsewright/internal/sitefile"
	"rinsewright/sizing"
	"rinsewright/study"
)

// Sizing is what size and quote share.
type Sizing struct {
	Catalogue string `name:"catalog" placeholder:"FILE" type:"path" help:"Parts and prices to choose from, CSV or a workbook, as rinsewright catalog writes them."`
	Years     int    `default:"5" help:"Years that cost is counted over."`
	Seed      uint64 `default:"1" help:"Seed of simulated years and bands: the same seed gives the same answer."`
	Units
}

func (s Sizing) options(data []byte) study.SizeOptions {
	o := study.SizeDefaults()
	o.Seed, o.Years, o.Options.Units, o.Locale = s.Seed, s.Years, s.System(), sitefile.Locale(data)
	return o
}

func (s Sizing) parts() (*catalog.Catalogue, error) {
	if s.Catalogue == "" {
		return catalog.Generic()
	}
	text, err := os.ReadFile(s.Catalogue)
	if err != nil {
		return nil, bad(fmt.Errorf("read catalogue: %w", err), "rinsewright catalog > parts.csv makes one to change")
	}
	c, _, err := readCatalogue(text)
	return c, err
}

// readCatalogue reads a catalogue as text or as a workbook, and returns it as text
// too.
func readCatalogue(data []byte) (*catalog.Catalogue, string, error) {
	text, err := grid.Text(data)
	if err != nil {
		return nil, "", bad(err, "rinsewright catalog --xlsx parts.xlsx makes one to change")
	}
	c, err := catalog.Read(text)
	if err != nil {
		return nil, "", bad(err, "rinsewright catalog shows how each column is written")
	}
	return c, string(text), nil
}

// SizeCommand turns a survey into a sized system.
type SizeCommand struct {
	Site    string `arg:"" help:"Site file." type:"path"`
	HTML    string `name:"html" placeholder:"FILE" help:"Write a page: three paths on one scale, the frontier, where the money goes, working."`
	JSON    bool   `name:"json" help:"Print one JSON object instead."`
	Working bool   `help:"Print how every number of the first pick came about."`
	Sizing
}

// Help is the long help with examples.
func (SizeCommand) Help() string {
	return `Examples:
  rinsewright size site.toml
  rinsewright size site.toml --html page.html
  rinsewright size site.toml --catalog parts.csv --units si

Exit code 0 with a system, 1 when no system holds every constraint (the
answer says which one to relax), 2 when the site file or the survey cannot
be used.`
}

// Run sizes the site.
func (c SizeCommand) Run(desk Desk) error {
	data, s, err := readSite(c.Site)
	if err != nil {
		return refuseAs("rinsewright.size/1", c.JSON, desk, err)
	}
	parts, err := c.parts()
	if err != nil {
		return refuseAs("rinsewright.size/1", c.JSON, desk, err)
	}
	options := c.options(data)
	sized, err := study.Size(desk.Context, s, parts, options)
	if err != nil {
		return refuseAs("rinsewright.size/1", c.JSON, desk, unsized(err, filepath.Base(c.Site)))
	}
	if c.HTML != "" {
		o := paper.Options{Units: options.Options.Units, Locale: options.Locale, Version: desk.Version}
		if err := writePage(c.HTML, func(w io.Writer) error { return paper.SizePage(w, sized, o) }); err != nil {
			return refuseAs("rinsewright.size/1", c.JSON, desk, bad(err, ""))
		}
	}
	if c.JSON {
		err = printJSON(desk.Out, sizedJSON(sized))
	} else {
		t := newTerminal(desk.Out, options.Options)
		t.sized(sized)
		if c.Working && len(sized.Picks) > 0 {
			t.working(sized.Picks[0].Working)
		}
		err = t.err
	}
	if err == nil && len(sized.Picks) == 0 {
		return no("")
	}
	return err
}

func unsized(err error, name string) error {
	switch {
	case errors.Is(err, catalog.ErrRead):
		return bad(err, "rinsewright catalog prints a catalogue with every kind of part")
	case errors.Is(err, sizing.ErrTooMany):
		return bad(err, "a catalogue with fewer parts is searched sooner")
	case errors.Is(err, study.ErrNoSystem):
		return &said{ExitNo, err.Error(), "rinsewright size " + name + " says which constraint to relax, and by how much", err}
	}
	return unanswered(err, name)
}
