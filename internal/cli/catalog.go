package cli

import (
	"cmp"
	"fmt"
	"io"
	"os"
	"time"

	"rinsewright/catalog"
	"rinsewright/internal/paper"
)

// CatalogCommand prints a catalogue, and takes one to a spreadsheet and back.
type CatalogCommand struct {
	File   string `arg:"" optional:"" type:"path" help:"Catalogue to read, CSV or a workbook; the built-in one if not given."`
	XLSX   string `name:"xlsx" placeholder:"FILE" help:"Write a workbook instead of printing CSV."`
	Date   string `placeholder:"DAY" help:"Note the day on which the prices were told, such as 2026-06-13."`
	Months int    `default:"6" help:"Age in months from which prices are flagged."`
	On     string `placeholder:"DAY" help:"Day to count the age from; today if not given."`
}

// Help is the long help with examples.
func (CatalogCommand) Help() string {
	return `Examples:
  rinsewright catalog > parts.csv
  rinsewright catalog --xlsx parts.xlsx
  rinsewright catalog parts.xlsx --date 2026-06-13 > parts.csv
  rinsewright size site.toml --catalog parts.xlsx

Typical parts by nominal size, none a brand's, at invented prices. Open the
file in a spreadsheet and put your supplier's numbers in. A file that is read
is checked: every row that cannot be used is told by its line, and prices
older than --months are listed beside the output.`
}

// Run prints the catalogue, or writes it as a workbook.
func (c CatalogCommand) Run(desk Desk) error {
	text := catalog.Text()
	if c.File != "" {
		data, err := os.ReadFile(c.File)
		if err != nil {
			return bad(fmt.Errorf("read catalogue: %w", err), "rinsewright catalog > parts.csv makes one to change")
		}
		if _, text, err = readCatalogue(data); err != nil {
			return err
		}
	}
	on := cmp.Or(c.On, time.Now().UTC().Format(time.DateOnly))
	for name, day := range map[string]string{"--on": on, "--date": cmp.Or(c.Date, on)} {
		if _, err := time.Parse(time.DateOnly, day); err != nil {
			return bad(fmt.Errorf("%s: read %q, wanted a day such as 2026-06-13", name, day), "")
		}
	}
	if c.Date != "" {
		text = paper.Dated(text, c.Date)
	}
	if err := c.flag(desk.Err, text, on); err != nil {
		return err
	}
	if c.XLSX == "" {
		text, err := paper.PriceText(text)
		if err != nil {
			return bad(err, "")
		}
		_, err = fmt.Fprint(desk.Out, text)
		return err
	}
	g, err := paper.PriceList(text)
	if err != nil {
		return bad(err, "")
	}
	book, err := g.XLSX()
	if err != nil {
		return bad(err, "")
	}
	return writePage(c.XLSX, func(w io.Writer) error { _, err := w.Write(book); return err })
}

// flag lists the prices that are too old to quote by.
func (c CatalogCommand) flag(w io.Writer, text, on string) error {
	parts, err := catalog.Read([]byte(text))
	if err != nil {
		return bad(err, "")
	}
	old := parts.OlderThan(c.Months, on)
	if len(old) == 0 {
		return nil
	}
	if _, err := fmt.Fprintf(w, "%d of %d prices are more than %d months old; ask for new ones before you quote:\n", len(old), len(parts.Parts), c.Months); err != nil {
		return err
	}
	listed := 0
	for _, p := range old {
		if p.Priced == "" {
			continue
		}
		listed++
		if _, err := fmt.Fprintf(w, "  %s, %s: told on %s\n", p.Kind, p.Name, p.Priced); err != nil {
			return err
		}
	}
	if rest := len(old) - listed; rest > 0 {
		_, err = fmt.Fprintf(w, "  %d with no day of their own: the list is of %s\n", rest, parts.Date)
	}
	return err
}
