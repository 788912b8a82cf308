package cli

import (
	"errors"
	"fmt"
	"io"
	"path/filepath"

	"rinsewright/hydraulics"
	"rinsewright/internal/paper"
	"rinsewright/internal/sitefile"
	"rinsewright/plant"
	"rinsewright/study"
)

// CheckCommand judges the rig of a site as it hangs.
type CheckCommand struct {
	Site    string `arg:"" help:"Site file." type:"path"`
	HTML    string `name:"html" placeholder:"FILE" help:"Write a page with the path drawn, promises, costs and working."`
	JSON    bool   `name:"json" help:"Print one JSON object instead."`
	Busy    bool   `help:"Ask whether the busiest day keeps up, and what more tank or membrane buys; a page always does."`
	Working bool   `help:"Print how every number came about."`
	Seed    uint64 `default:"1" help:"Seed of the bands: the same seed gives the same answer."`
	Draws   int    `default:"64" help:"Draws behind each band, 16 to 4000; more take longer and steady the ends."`
	Units
	Spoken
}

// Help is the long help with examples.
func (CheckCommand) Help() string {
	return `Examples:
  rinsewright check site.toml
  rinsewright check site.toml --units si --working
  rinsewright check site.toml --html page.html
  rinsewright check site.toml --json | less

Exit code 0 when nothing needs a person today, 1 when something does,
2 when the site file or the survey cannot be used.`
}

// Run judges the site.
func (c CheckCommand) Run(desk Desk) error {
	data, s, err := readSite(c.Site)
	if err != nil {
		return c.refuse(desk, err)
	}
	if c.Draws < 16 || c.Draws > 4000 {
		return c.refuse(desk, bad(fmt.Errorf("--draws: read %d, wanted 16 to 4000", c.Draws), "--draws 2000 steadies the ends of the bands"))
	}
	options := study.Options{Seed: c.Seed, Looks: c.Draws, Units: c.System(), Locale: sitefile.Locale(data), Busy: c.Busy || c.HTML != ""}
	checked, err := study.Check(desk.Context, s, options)
	if err != nil {
		return c.refuse(desk, unanswered(err, filepath.Base(c.Site)))
	}
	if c.HTML != "" {
		o := paper.Options{Language: c.Language, Units: options.Units, Locale: options.Locale, Version: desk.Version}
		if err := writePage(c.HTML, func(w io.Writer) error { return paper.CheckPage(w, checked, o) }); err != nil {
			return c.refuse(desk, bad(err, ""))
		}
	}
	if c.JSON {
		if err := printJSON(desk.Out, checkedJSON(checked)); err != nil {
			return err
		}
	} else {
		t := newTerminal(desk.Out, options).in(c.Language)
		t.checked(checked)
		if c.Working {
			t.working(checked.Working)
		} else {
			t.line("")
			t.wrap("", "Every number can be opened: --working. A page to keep: --html FILE.")
		}
		if t.err != nil {
			return t.err
		}
	}
	if needsSomeone(checked) {
		return no("")
	}
	return nil
}

func (c CheckCommand) refuse(desk Desk, err error) error {
	return refuseAs("rinsewright.check/1", c.JSON, desk, err)
}

func needsSomeone(c *study.Checked) bool {
	for _, f := range c.Findings {
		if f.State == study.Today {
			return true
		}
	}
	return false
}

// unanswered turns why study has no answer into a line and a hint.
func unanswered(err error, name string) error {
	var hinting interface{ Hint() string }
	switch {
	case errors.As(err, &hinting):
		return &said{ExitNo, err.Error(), hinting.Hint(), err}
	case errors.Is(err, plant.ErrUnsettled):
		return &said{ExitNo, err.Error(), "a larger restrictor or less recycle lets it settle", err}
	case errors.Is(err, study.ErrFragile), errors.Is(err, hydraulics.ErrNoFlow):
		return &said{ExitNo, err.Error(), "read the pressure at the tap while the rig runs, and look for more", err}
	case errors.Is(err, study.ErrNoRig):
		return bad(err, "add [membrane] to "+name+": count = 1 is enough to begin with")
	case errors.Is(err, study.ErrNoSample):
		return bad(err, "one pen reading at the tap: rinsewright survey "+name+` --set sample.place=raw --set sample.strength="290 ppm"`)
	case errors.Is(err, study.ErrNoDemand):
		return bad(err, "one number is enough: rinsewright survey "+name+" --set demand.normal_day=12")
	}
	return bad(err, "")
}
