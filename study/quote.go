package study

import (
	"context"
	"fmt"

	"rinsewright/catalog"
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
	q := &Quoted{Site: sized.Site, ValidFor: quoteDays, Excluded: excluded(s), Customer: provides(s), Cautions: sized.Cautions, Terms: terms()}
	for _, p := range sized.Picks {
		if p.SameAs == "" {
			q.Options = append(q.Options, quoteOption(p, string(rune('A'+len(q.Options)))))
		}
	}
	return q, nil
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

// excluded lists what other trades and authorities do.
func excluded(s *site.Site) []string {
	all := []string{
		"power: the circuit, residual-current (GFCI) protection and bonding, by a licensed electrician",
		"drain: a connection to the sewer with an air gap, by a licensed plumber; never to a storm drain",
		"permits: discharge of concentrate, plumbing, electrical, whatever the place asks for",
		"backflow: the approved assembly on the supply and its yearly test",
		"taxes, delivery, and work on walls, floors and shelter",
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

func terms() []string {
	return []string{
		"Promises hold for the water and demand of the survey, within their bands; readings on the day of the start-up prove them.",
		"Prices of a year are estimates from the survey's demand, not a contract.",
		"Parts are typical ones at catalogue prices; put the supplier's in before this leaves the office.",
	}
}
