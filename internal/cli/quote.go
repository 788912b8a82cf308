package cli

import (
	"fmt"
	"path/filepath"

	"rinsewright/study"
)

// QuoteCommand prints an offer.
type QuoteCommand struct {
	Site string `arg:"" help:"Site file." type:"path"`
	Sizing
}

// Help is the long help with examples.
func (QuoteCommand) Help() string {
	return `Examples:
  rinsewright quote site.toml
  rinsewright quote site.toml --catalog parts.csv > quote.txt

Put your supplier's prices in a catalogue first: the built-in ones are invented.`
}

// Run prints the quote.
func (c QuoteCommand) Run(desk Desk) error {
	data, s, err := readSite(c.Site)
	if err != nil {
		return err
	}
	parts, err := c.parts()
	if err != nil {
		return err
	}
	options := c.options(data)
	q, err := study.Quote(desk.Context, s, parts, options)
	if err != nil {
		return unsized(err, filepath.Base(c.Site))
	}
	t := newTerminal(desk.Out, options.Options)
	t.quoted(q)
	return t.err
}

func (t *terminal) quoted(q *study.Quoted) {
	t.line("Quote for " + q.Site.Name)
	if q.Site.Origin != "" {
		t.line("(" + q.Site.Origin + ")")
	}
	t.wrap("", fmt.Sprintf("Prices hold for %d days from the date it is handed over, without tax.", q.ValidFor))
	for _, o := range q.Options {
		t.option(o)
	}
	t.list("Not in the price", q.Excluded)
	t.list("What you provide", q.Customer)
	t.list("Terms", q.Terms)
	t.cautions(q.Cautions)
}

func (t *terminal) option(o study.QuoteOption) {
	t.head("Option " + o.Letter + ": " + o.Says)
	t.wrap("", o.Short)
	for _, x := range o.Parts {
		if x.Kept {
			t.line(pad("  stays     "+counted(x), 66))
			continue
		}
		t.line(pad("  supplied  "+counted(x), 64) + fmt.Sprintf("%14s", t.text(x.Amount)))
	}
	t.line(pad("  Price, fitted and started", 64) + fmt.Sprintf("%14s", t.text(o.Price)))
	t.line("")
	for _, p := range o.Promise {
		t.wrap("  "+pad(p.Says, 40), p.Band.Text(t.units, t.locale))
	}
	t.line("")
	for _, c := range o.Uses {
		t.line(pad("  a year: "+c.Name, 64) + fmt.Sprintf("%14s", t.text(c.Amount)))
	}
}

func (t *terminal) list(head string, all []string) {
	t.head(head)
	for _, x := range all {
		t.wrap("- ", x)
	}
}
