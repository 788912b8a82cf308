package study

import (
	"context"
	"fmt"
	"math"

	"rinsewright/quantity"
	"rinsewright/site"
	"rinsewright/water"
	"rinsewright/working"
)

// WaterSheet is what is known of a site's raw water, how surely, and what it
// will do.
type WaterSheet struct {
	Site           Heading
	Place, Date    string
	Full           bool           // every main ion was analysed; the water stands as printed
	Imbalance      quantity.Ratio // its charge error then, cations less anions
	Rows           []SheetRow
	Hardness       []Fact       // in every unit that reports use
	Charges        []ChargeRow  // the ions by equivalents, cations first
	Indices        []IndexRow   // at the raw water
	Scaling        []ScalingRow // by recovery
	Holds          Held         // the recovery that does not scale
	Unjudged       []string     // minerals of which an ion was not looked for
	Eats           []Share      // what a mixed bed would hold without a membrane, by charge
	Behind         []Share      // the same behind a membrane
	Disinfectant   []string     // what is in it and what that asks for
	Permeate       []string     // how the made water attacks metals and concrete
	Troubles       []water.Trouble
	NotLooked      []string // troubles that nobody looked for
	Assumed        []Assumption
	Contradictions []string
	Next           []NextReading // which reading would narrow the answers most, first the best
	Working        []working.Step
	Looks          int
}

// SheetRow is one quantity of the sheet.
type SheetRow struct {
	Name string
	Band Band
	From working.Origin
}

// ChargeRow is one ion's charge.
type ChargeRow struct {
	Name   string
	Cation bool
	Band   Band
}

// IndexRow is one of the trade's indices.
type IndexRow struct {
	Name  string
	Value float64 // a dimensionless number
	Says  string
}

// ScalingRow is the concentrate at one recovery. Its band holds the doubt of
// the readings and of the databases.
type ScalingRow struct {
	Recovery quantity.Ratio
	First    string
	Index    float64 // saturation index, a dimensionless number
	Low      float64 // of its band, a dimensionless number
	High     float64 // of its band, a dimensionless number
	Verdict  string  // holds · holds within doubt · scales within doubt · scales
}

// Held is the greatest recovery, in steps of 5 %, at which nothing settles:
// for sure within the band, and by the best guess. 0 is none.
type Held struct{ Surely, Likely quantity.Ratio }

// NextReading is a reading that nobody took, and how much it would narrow.
type NextReading struct {
	Name    string
	Minutes float64        // number of minutes it takes
	Price   float64        // what it costs to buy, as a number of minutes of work
	Narrows quantity.Ratio // the share by which it would shrink the bands of scaling and resin load
	Most    string         // the answer it helps most
	Why     string
}

// Water makes the sheet of the site's latest raw water. Errors are those of
// [Check] for a site without a reading.
func Water(ctx context.Context, s *site.Site, o Options) (*WaterSheet, error) {
	sample, prior, err := rawSample(s)
	if err != nil {
		return nil, fmt.Errorf("water of %s: %w", s.Name, err)
	}
	base, err := water.Complete(sample, prior)
	if err != nil {
		return nil, fmt.Errorf("water of %s: %w", s.Name, err)
	}
	w := sheet{site: s, options: o, sample: sample, base: base, judged: map[quantity.Ratio]ScalingRow{}}
	looks := max(o.Looks, leastSheet)
	if w.draws, err = water.Ensemble(sample, prior, o.Seed, looks); err != nil {
		return nil, fmt.Errorf("water of %s: %w", s.Name, err)
	}
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	out := w.whole()
	c := checking{site: s, options: o, base: &look{raw: base}}
	c.writeRaw()
	out.Working = c.book.steps
	return out, ctx.Err()
}

// leastSheet is how many waters stand behind a sheet: more than behind a
// check, since ranking readings asks for correlations.
const leastSheet = 192

// sheet is a water sheet under way.
type sheet struct {
	site    *site.Site
	options Options
	sample  water.Sample
	base    water.Completion
	draws   []water.Completion
	judged  map[quantity.Ratio]ScalingRow // recoveries that were asked already
}

func (w *sheet) whole() *WaterSheet {
	s := w.site
	out := &WaterSheet{
		Site: Heading{s.Name, s.About, s.Origin, string(s.Use)}, Place: w.sample.Place, Date: w.sample.Date,
		Full: w.base.Full, Imbalance: w.base.Imbalance, Rows: w.rows(), Hardness: w.hardness(), Charges: w.charges(),
		Indices: w.indices(), Scaling: w.scaling(), Holds: w.holds(), Eats: w.eats(), Behind: w.behind(),
		Disinfectant: w.disinfectant(), Permeate: w.permeate(), Contradictions: w.base.Contradictions, Next: w.next(), Looks: len(w.draws),
	}
	out.Troubles, out.NotLooked = water.Troubles(w.sample, 0.5)
	for _, m := range w.base.Unjudged {
		out.Unjudged = append(out.Unjudged, m.String())
	}
	for _, a := range w.base.Assumed {
		out.Assumed = append(out.Assumed, Assumption(a))
	}
	return out
}

// span is the band of a figure over the draws; it holds the value.
func (w *sheet) span(of func(water.Completion) float64, value float64) (low, high float64) {
	low, high = water.Band(w.draws, of)
	if math.IsNaN(value) {
		return low, high
	}
	return min(low, value), max(high, value)
}
