package cli

import (
	"bytes"
	"errors"
	"fmt"
	"os"
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
	Units
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
	data, err := os.ReadFile(c.Site)
	if err != nil {
		return c.refuse(desk, bad(fmt.Errorf("read site file: %w", err), "rinsewright survey "+filepath.Base(c.Site)+" makes one"))
	}
	return c.judge(desk, filepath.Base(c.Site), data)
}

func (c CheckCommand) judge(desk Desk, name string, data []byte) error {
	s, err := sitefile.Read(name, data)
	if err != nil {
		return c.refuse(desk, bad(err, ""))
	}
	options := study.Options{Seed: c.Seed, Units: c.System(), Locale: sitefile.Locale(data), Busy: c.Busy || c.HTML != ""}
	checked, err := study.Check(desk.Context, s, options)
	if err != nil {
		return c.refuse(desk, unanswered(err, name))
	}
	if c.HTML != "" {
		if err := writePage(c.HTML, checked, paper.Options{Units: options.Units, Locale: options.Locale, Version: desk.Version}); err != nil {
			return c.refuse(desk, bad(err, ""))
		}
	}
	if c.JSON {
		if err := printJSON(desk.Out, checkedJSON(checked)); err != nil {
			return err
		}
	} else {
		t := newTerminal(desk.Out, options)
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

// refuse reports bad input in the form that was asked for: with --json the
// problems are an object on standard output as well.
func (c CheckCommand) refuse(desk Desk, err error) error {
	if !c.JSON {
		return err
	}
	if e := printJSON(desk.Out, refusalJSON("rinsewright.check/1", err)); e != nil {
		return e
	}
	return &said{code: report(Desk{Err: &bytes.Buffer{}}, err)}
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

func writePage(file string, c *study.Checked, o paper.Options) error {
	var b bytes.Buffer
	if err := paper.CheckPage(&b, c, o); err != nil {
		return fmt.Errorf("draw page: %w", err)
	}
	return writeWhole(file, b.Bytes())
}

// writeWhole writes a file whole or not at all.
func writeWhole(file string, data []byte) error {
	f, err := os.CreateTemp(filepath.Dir(file), ".rinsewright-*")
	if err != nil {
		return fmt.Errorf("write %s: %w", file, err)
	}
	defer os.Remove(f.Name()) // gone already when the rename worked
	if _, err := f.Write(data); err != nil {
		return errors.Join(fmt.Errorf("write %s: %w", file, err), f.Close())
	}
	if err := errors.Join(f.Chmod(0o644), f.Sync(), f.Close()); err != nil {
		return fmt.Errorf("write %s: %w", file, err)
	}
	if err := os.Rename(f.Name(), file); err != nil {
		return fmt.Errorf("write %s: %w", file, err)
	}
	return nil
}
