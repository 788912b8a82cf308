package cli

import (
	"cmp"
	"fmt"
	"path/filepath"
	"time"

	"rinsewright/internal/sitefile"
	"rinsewright/study"
)

const quoteSchema = "rinsewright.quote/1"

// QuoteCommand prints an offer.
type QuoteCommand struct {
	Site   string `arg:"" help:"Site file." type:"path"`
	JSON   bool   `name:"json" help:"Print one JSON object instead."`
	On     string `placeholder:"DAY" help:"Day of the offer, such as 2026-06-13: prices older than --months are flagged; today if not given."`
	Months int    `default:"6" help:"Age in months from which prices are flagged."`
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
		return refuseAs(quoteSchema, c.JSON, desk, err)
	}
	parts, err := c.parts()
	if err != nil {
		return refuseAs(quoteSchema, c.JSON, desk, err)
	}
	options := c.options(data)
	q, err := study.Quote(desk.Context, s, parts, options)
	if err != nil {
		return refuseAs(quoteSchema, c.JSON, desk, unsized(err, filepath.Base(c.Site)))
	}
	on := cmp.Or(c.On, time.Now().UTC().Format(time.DateOnly))
	if _, err := time.Parse(time.DateOnly, on); err != nil {
		return refuseAs(quoteSchema, c.JSON, desk, bad(fmt.Errorf("--on: read %q, wanted a day such as 2026-06-13", on), ""))
	}
	stale := study.StalePrices(s.Prices, on, c.Months)
	if old := parts.OlderThan(c.Months, on); stale == "" && len(old) > 0 {
		stale = fmt.Sprintf("%d prices of the parts list are more than %d months old, %s among them: ask for new ones before this goes out", len(old), c.Months, old[0].Name)
	}
	if c.JSON {
		return printJSON(desk.Out, quotedJSON(q, stale))
	}
	t := newTerminal(desk.Out, options.Options)
	if stale != "" {
		t.wrap("!  ", upperFirst(stale)+".")
	}
	t.quoted(q)
	return t.err
}

func (t *terminal) quoted(q *study.Quoted) {
	t.line("Quote for " + q.Site.Name)
	if q.Site.Origin != "" {
		t.line("(" + q.Site.Origin + ")")
	}
	t.wrap("", fmt.Sprintf("Prices hold for %d days from the date it is handed over.", q.ValidFor))
	for _, o := range q.Options {
		t.option(o)
	}
	t.list("Not in the price", q.Excluded)
	t.list("What you provide", q.Customer)
	t.list("Terms", q.Terms)
	t.assumed(q.Assumed)
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
	if o.Tax != nil {
		t.line(pad("  Tax", 64) + fmt.Sprintf("%14s", t.text(o.Tax)))
		t.line(pad("  Price with tax", 64) + fmt.Sprintf("%14s", t.text(o.Total)))
	} else {
		t.line("  without tax: the price list tells none")
	}
	if o.Monthly != nil {
		t.line(pad("  or by the month, "+o.Loan, 64) + fmt.Sprintf("%14s", t.text(o.Monthly)))
	}
	t.line("")
	for _, p := range o.Promise {
		t.wrap("  "+pad(p.Says, 40), p.Band.Text(t.units, t.locale))
	}
	t.line("")
	for _, c := range o.Uses {
		t.line(pad("  a year: "+c.Name, 64) + fmt.Sprintf("%14s", t.text(c.Amount)))
	}
	if o.Drain != nil {
		t.line("  to the drain a year: " + t.text(o.Drain))
	}
	t.line("")
	t.line(pad(fmt.Sprintf("  Service, %.0f visits a year", o.Plan.Visits), 64) + fmt.Sprintf("%14s", t.text(o.Plan.Price)))
	for _, does := range o.Plan.Does {
		t.wrap("    - ", does)
	}
}

func (t *terminal) list(head string, all []string) {
	t.head(head)
	for _, x := range all {
		t.wrap("- ", x)
	}
}

type quoteOptionJSON struct {
	Letter   string        `json:"letter"`
	Says     string        `json:"says"`
	System   string        `json:"system"`
	Price    numberJSON    `json:"price"`
	Tax      *numberJSON   `json:"tax,omitempty"`
	Total    numberJSON    `json:"total"`
	Monthly  *numberJSON   `json:"monthly,omitempty"`
	Loan     string        `json:"loan,omitempty"`
	Yearly   numberJSON    `json:"yearly_cost"`
	Drain    *numberJSON   `json:"drain_per_year,omitempty"`
	Visits   float64       `json:"service_visits"`
	Service  numberJSON    `json:"service_per_year"`
	Promises []promiseJSON `json:"promises"`
	Uses     []costJSON    `json:"costs"`
}

type quoteJSON struct {
	Schema   string             `json:"schema"`
	Site     study.Heading      `json:"site"`
	ValidFor int                `json:"valid_days"`
	Stale    string             `json:"stale,omitempty"`
	Options  []quoteOptionJSON  `json:"options"`
	Excluded []string           `json:"excluded"`
	Customer []string           `json:"customer_provides"`
	Terms    []string           `json:"terms"`
	Assumed  []study.Assumption `json:"assumed"`
	Cautions []study.Caution    `json:"cautions"`
	Errors   []sitefile.Problem `json:"errors"`
}

func quotedJSON(q *study.Quoted, stale string) quoteJSON {
	out := quoteJSON{
		Schema: quoteSchema, Site: q.Site, ValidFor: q.ValidFor, Stale: stale, Options: []quoteOptionJSON{}, Excluded: q.Excluded,
		Customer: q.Customer, Terms: q.Terms, Assumed: q.Assumed, Cautions: q.Cautions, Errors: []sitefile.Problem{},
	}
	for _, o := range q.Options {
		x := quoteOptionJSON{
			Letter: o.Letter, Says: o.Says, System: o.Short, Price: plain(o.Price), Tax: mayPlain(o.Tax), Total: plain(o.Total), Monthly: mayPlain(o.Monthly),
			Loan: o.Loan, Yearly: plain(o.Yearly), Drain: mayPlain(o.Drain), Visits: o.Plan.Visits, Service: plain(o.Plan.Price), Promises: []promiseJSON{}, Uses: []costJSON{},
		}
		for _, p := range o.Promise {
			x.Promises = append(x.Promises, promisesJSON(p))
		}
		for _, c := range o.Uses {
			n := plain(c.Amount)
			x.Uses = append(x.Uses, costJSON{c.Name, n.Value, n.Unit})
		}
		out.Options = append(out.Options, x)
	}
	return out
}
