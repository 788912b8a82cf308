package cli

import (
	"fmt"
	"io"
	"os"
	"path/filepath"

	"rinsewright/internal/paper"
	"rinsewright/internal/sitefile"
	"rinsewright/study"
)

// DemoCommand runs the marina.
type DemoCommand struct {
	Keep string `placeholder:"DIR" help:"Folder for the page and the site file; a new one by default." type:"path"`
	Units
	Spoken
}

// Run judges the marina, writes its page and says where it is.
func (c DemoCommand) Run(desk Desk) error {
	data, err := desk.Examples("cormorant-reach")
	if err != nil {
		return err
	}
	s, err := sitefile.Read("cormorant-reach.toml", data)
	if err != nil {
		return err
	}
	options := study.Options{Seed: 1, Units: c.System(), Busy: true}
	checked, err := study.Check(desk.Context, s, options)
	if err != nil {
		return err
	}
	dir := c.Keep
	if dir == "" {
		if dir, err = os.MkdirTemp("", "rinsewright-demo-"); err != nil {
			return fmt.Errorf("make a folder for the demo: %w", err)
		}
	} else if err := os.MkdirAll(dir, 0o755); err != nil {
		return fmt.Errorf("make a folder for the demo: %w", err)
	}
	page, file := filepath.Join(dir, "cormorant-reach.html"), filepath.Join(dir, "cormorant-reach.toml")
	o := paper.Options{Language: c.Language, Units: options.Units, Version: desk.Version}
	if err := writePage(page, func(w io.Writer) error { return paper.CheckPage(w, checked, o) }); err != nil {
		return err
	}
	if err := writeWhole(file, data); err != nil {
		return err
	}
	t := newTerminal(desk.Out, options).in(c.Language)
	t.summary(checked)
	t.line("")
	t.line("The page:       " + page)
	t.line("The site file:  " + file)
	t.line("Change a number in it, then: rinsewright check " + file)
	return t.err
}
