package study

import (
	"context"
	"fmt"
	"math"
	"time"

	"rinsewright/catalog"
	"rinsewright/cost"
	"rinsewright/site"
)

// Quoted is what is offered to a customer: the sized systems as options, what
// is and is not in the price, and how long it holds.
type Quoted struct {
	Site     Heading
	Options  []QuoteOption
	Excluded []string // what the price does not hold
	Customer []string // what the customer provides
	Terms    []string
	ValidFor int // days
	Assumed  []Assumption
	Cautions []Caution
}

// QuoteOption is one system on offer.
type QuoteOption struct {
	Letter  string // "A"
	Says    string
	Short   string
	Parts   []PartLine
	Price   Figure
	Yearly  Figure
	Promise []Promise
	Uses    []Cost // consumables of a year
	Tax     Figure // nil where the price list tells none
	Total   Figure // with tax
	Monthly Figure // of a loan for the total, nil where none is offered
	Loan    string // its terms in words
	Drain   Figure // a year; nil without a membrane
	Plan    Plan
}

// Plan is a year of service: what is done and what it costs the customer
// beside the consumables.
type Plan struct {
	Visits float64 // a year, a number
	Does   []string
	Price  Figure // a year: travel and work
}

// quoteDays is how long prices hold. Source: [TradeDefaults].
const quoteDays = 30

// quotePromises are the promises that a customer cares about.
var quotePromises = []string{"permeate_flow_coldest", "strength_after_membrane", "strength_after_resin", "run_dry_risk", "cost_per_rinse", "drain_per_rinse"}

// Quote sizes a site and turns its picks into an offer. Systems that are the
// same are offered once. The error is that of [Size], or wraps [ErrNoSystem].
func Quote(ctx context.Context, s *site.Site, parts *catalog.Catalogue, o SizeOptions) (*Quoted, error) {
	sized, err := Size(ctx, s, parts, o)
	if err != nil {
		return nil, err
	}
	return Offer(s, sized)
}

// Offer turns the picks of a sizing that was made into an offer. The error
// wraps [ErrNoSystem] when it has none.
func Offer(s *site.Site, sized *Sized) (*Quoted, error) {
	if len(sized.Picks) == 0 {
		return nil, fmt.Errorf("quote %s: %w", s.Name, ErrNoSystem)
	}
	q := &Quoted{
		Site: sized.Site, ValidFor: quoteDays, Excluded: excluded(s), Customer: provides(s), Cautions: sized.Cautions, Terms: terms(), Assumed: sized.Assumed,
	}
	for _, p := range sized.Picks {
		if p.SameAs != "" {
			continue
		}
		o := quoteOption(p, string(rune('A'+len(q.Options))))
		if err := o.price(p, s.Prices); err != nil {
			return nil, fmt.Errorf("quote %s: %w", s.Name, err)
		}
		q.Options = append(q.Options, o)
	}
	return q, nil
}

// Visits that a small system needs beside its changes of resin: spring start,
// mid season, autumn. Source: [TradeDefaults].
const (
	planVisits  = 3
	planMinutes = 60
)

// price adds tax, a loan and a year of service to an option.
func (o *QuoteOption) price(p Pick, list cost.Prices) error {
	first, ok := p.First.(amount)
	if !ok {
		return nil
	}
	total := first.minor
	if list.Tax.Known {
		tax := math.Round(first.minor * float64(list.Tax.Value))
		total += tax
		o.Tax = amount{tax, first.currency}
	}
	o.Total = amount{total, first.currency}
	if list.FinanceRate.Known && list.FinanceYears > 0 {
		paid, err := cost.Monthly(wholeMoney(total), list.FinanceRate.Value, list.FinanceYears)
		if err != nil {
			return err
		}
		o.Monthly = money(paid, first.currency)
		o.Loan = fmt.Sprintf("%d years at %.3g %% a year", list.FinanceYears, 100*float64(list.FinanceRate.Value))
	}
	usual := cost.Default()
	visit := float64(list.Visit.Or(usual.Visit.Value)) + planMinutes/60*float64(list.Labour.Or(usual.Labour.Value))
	o.Plan = Plan{
		Visits: planVisits, Price: amount{planVisits * visit, first.currency},
		Does: []string{
			"readings along the whole path, judged against the promises",
			"filters and carbon by the model's dates, floats and cautions looked at",
			"a report after each visit, with what is due next and when",
		},
	}
	if p.Drain.PerYear > 0 {
		o.Drain = figure(p.Drain.PerYear)
	}
	return nil
}

func quoteOption(p Pick, letter string) QuoteOption {
	q := QuoteOption{Letter: letter, Says: p.Says, Short: p.Short, Parts: p.Parts, Price: p.First, Yearly: p.Yearly, Uses: p.Costs}
	for _, name := range quotePromises {
		for _, promise := range p.Promises {
			if promise.Name == name {
				q.Promise = append(q.Promise, promise)
			}
		}
	}
	return q
}

// StalePrices says that a price list is older than some months on a day, both
// days as "2026-06-13"; "" when it is not, or when nobody noted its day.
func StalePrices(list cost.Prices, on string, months int) string {
	from, err := time.Parse(time.DateOnly, list.Date)
	if err != nil {
		return ""
	}
	to, err := time.Parse(time.DateOnly, on)
	if err != nil || !from.AddDate(0, months, 0).Before(to) {
		return ""
	}
	age := int(to.Sub(from).Hours() / 24 / 30.4)
	return fmt.Sprintf("the prices are of %s, %d months old: ask for new ones before this goes out", list.Date, age)
}

// excluded lists what other trades and authorities do.
func excluded(s *site.Site) []string {
	all := []string{
		"power: the circuit, residual-current (GFCI) protection and bonding, by a licensed electrician",
		"drain: a connection to the sewer with an air gap, by a licensed plumber; never to a storm drain",
		"permits: discharge of concentrate, plumbing, electrical, whatever the place asks for",
		"backflow: the approved assembly on the supply and its yearly test",
		"delivery, and work on walls, floors and shelter",
	}
	if !s.Prices.Tax.Known {
		all = append(all, "taxes")
	}
	if s.Supply.Source == site.Well {
		all = append(all, "the well, its pump and its tank")
	}
	return all
}

func provides(s *site.Site) []string {
	all := []string{
		"a dry, frost-free wall and a floor that carries the full tank (a litre weighs a kilogram)",
		"a supply with the pressure and flow of the survey, and a shut-off valve",
		"a drain that takes the concentrate while the membrane runs",
	}
	if s.Demand.FirstMonth > 0 {
		all = append(all, "a call before the winter lay-up and before the season starts")
	}
	return all
}

// OfficeNote is the one term of a quote that speaks to whoever writes it: it is
// not for the customer.
const OfficeNote = "Parts are typical ones at catalogue prices; put the supplier's in before this leaves the office."

func terms() []string {
	return []string{
		"Promises hold for the water and demand of the survey, within their bands; readings on the day of the start-up prove them.",
		"Prices of a year are estimates from the survey's demand, not a contract.",
		OfficeNote,
	}
}
