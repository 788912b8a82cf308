package cli

import (
	"fmt"
	"path/filepath"
	"strings"

	"rinsewright/internal/sitefile"
	"rinsewright/study"
)

// CompareCommand sets ways to make the water side by side.
type CompareCommand struct {
	Site string `arg:"" help:"Site file." type:"path"`
	JSON bool   `name:"json" help:"Print one JSON object instead."`
	Sizing
}

// Help is the long help with examples.
func (CompareCommand) Help() string {
	return `Examples:
  rinsewright compare site.toml
  rinsewright compare site.toml --years 10 --units si

The ways: as it hangs, resin alone, membrane alone, both, both behind a
softener, concentrate used again for the wash, and a tank filled at night.
Each runs the whole path on the same water, demand and prices. To choose the
sizes of a system, use size.`
}

// Run compares the ways.
func (c CompareCommand) Run(desk Desk) error {
	const schema = "rinsewright.compare/1"
	data, s, err := readSite(c.Site)
	if err != nil {
		return refuseAs(schema, c.JSON, desk, err)
	}
	parts, err := c.parts()
	if err != nil {
		return refuseAs(schema, c.JSON, desk, err)
	}
	options := study.CompareOptions{
		Options: study.Options{Seed: c.Seed, Units: c.System(), Locale: sitefile.Locale(data)}, Years: c.Years,
	}
	compared, err := study.Compare(desk.Context, s, parts, options)
	if err != nil {
		return refuseAs(schema, c.JSON, desk, unanswered(err, filepath.Base(c.Site)))
	}
	if c.JSON {
		return printJSON(desk.Out, comparedJSON(compared))
	}
	t := newTerminal(desk.Out, options.Options)
	t.alternatives(compared)
	return t.err
}

// alternatives prints the ways, the one that costs least over the years first.
func (t *terminal) alternatives(c *study.Compared) {
	t.heading(c.Site)
	t.head(fmt.Sprintf("Ways to make this water, over %d years", c.Years))
	t.line(pad("", 38) + fmt.Sprintf("%12s %13s %13s", "to begin", "a year", "a rinse"))
	missed := false
	for _, w := range c.Ways {
		if w.Cannot == "" {
			name := w.Name
			if w.Misses != "" {
				name += " *"
				missed = true
			}
			t.line(pad(name, 38) + fmt.Sprintf("%12s %13s %13s", t.text(w.First), t.text(w.Yearly), t.text(w.PerRinse)))
		}
	}
	if missed {
		t.wrap("* ", "misses the strength that is wanted at the gun")
	}
	t.wrap("", fmt.Sprintf("Sorted by first cost and %d years together, a later year's money worth %.0f %% less. First costs are what is bought beyond what hangs there, fitted.", c.Years, 100*float64(c.Discount)))
	for _, w := range c.Ways {
		t.alternative(w, c.Years)
	}
	t.assumed(c.Assumed)
	t.cautions(c.Cautions)
}

func (t *terminal) alternative(w study.Alternative, years int) {
	t.head(upperFirst(w.Name))
	t.wrap("", w.Says+".")
	if w.Cannot != "" {
		t.wrap("cannot    ", w.Cannot)
		return
	}
	water := "at the gun " + t.text(w.Strength)
	if w.Bottle != nil {
		water += "; a bottle of resin lasts " + t.text(w.Bottle)
	}
	t.wrap("gives     ", water+"; "+t.text(w.Drain)+" to drain a year")
	for _, says := range []string{w.Misses, w.Coldest} {
		if says != "" {
			t.wrap("          ", says)
		}
	}
	for _, b := range w.Buys {
		t.line(pad("buys      "+counted(b), 64) + fmt.Sprintf("%14s", t.text(b.Amount)))
	}
	parts := make([]string, len(w.Costs))
	for i, c := range w.Costs {
		parts[i] = c.Name + " " + t.text(c.Amount)
	}
	t.wrap("a year    ", strings.Join(parts, ", "))
	whole := fmt.Sprintf("%s over %d years in today's money", t.text(w.Present), years)
	if w.PerMinute != nil {
		whole += "; " + t.text(w.PerMinute) + " a minute of rinse"
	}
	t.wrap("costs     ", whole)
	if w.Payback != "" {
		t.wrap("pays back ", w.Payback)
	}
	if len(w.Ties) > 0 {
		t.wrap("would be  ", "as cheap a year as the first if "+ties(w.Ties))
	}
}

// mostTies is how many prices a person is told of.
const mostTies = 2

func ties(all []study.TiedPrice) string {
	told := make([]string, min(len(all), mostTies))
	for i := range told {
		told[i] = fmt.Sprintf("%s cost %.2g times as much", all[i].Price, all[i].Times)
	}
	return strings.Join(told, ", or if ")
}

type alternativeJSON struct {
	Name      string      `json:"name"`
	Says      string      `json:"says"`
	Misses    string      `json:"misses,omitempty"`
	Here      bool        `json:"here"`
	Cannot    string      `json:"cannot,omitempty"`
	First     *numberJSON `json:"first_cost,omitempty"`
	Yearly    *numberJSON `json:"yearly_cost,omitempty"`
	PerRinse  *numberJSON `json:"cost_per_rinse,omitempty"`
	PerMinute *numberJSON `json:"cost_per_minute,omitempty"`
	Present   *numberJSON `json:"present_cost,omitempty"`
	Strength  *numberJSON `json:"gun_strength,omitempty"`
	Bottle    *numberJSON `json:"resin_days,omitempty"`
	Drain     *numberJSON `json:"drain_per_year,omitempty"`
	Payback   string      `json:"payback,omitempty"`
	Costs     []costJSON  `json:"costs,omitempty"`
	Ties      []tieJSON   `json:"ties,omitempty"`
}

type tieJSON struct {
	Price string  `json:"price"`
	Times float64 `json:"times"`
}

type compareJSON struct {
	Schema   string             `json:"schema"`
	Site     study.Heading      `json:"site"`
	Years    int                `json:"years"`
	Discount float64            `json:"discount"`
	Ways     []alternativeJSON  `json:"ways"`
	Assumed  []study.Assumption `json:"assumed"`
	Cautions []study.Caution    `json:"cautions"`
	Errors   []sitefile.Problem `json:"errors"`
}

func comparedJSON(c *study.Compared) compareJSON {
	out := compareJSON{
		Schema: "rinsewright.compare/1", Site: c.Site, Years: c.Years, Discount: float64(c.Discount),
		Ways: []alternativeJSON{}, Assumed: c.Assumed, Cautions: c.Cautions, Errors: []sitefile.Problem{},
	}
	for _, w := range c.Ways {
		a := alternativeJSON{
			Name: w.Name, Says: w.Says, Misses: w.Misses, Here: w.Here, Cannot: w.Cannot, First: mayPlain(w.First), Yearly: mayPlain(w.Yearly), PerRinse: mayPlain(w.PerRinse),
			PerMinute: mayPlain(w.PerMinute), Present: mayPlain(w.Present), Strength: mayPlain(w.Strength), Bottle: mayPlain(w.Bottle), Drain: mayPlain(w.Drain), Payback: w.Payback,
		}
		for _, line := range w.Costs {
			n := plain(line.Amount)
			a.Costs = append(a.Costs, costJSON{line.Name, n.Value, n.Unit})
		}
		for _, t := range w.Ties {
			a.Ties = append(a.Ties, tieJSON{t.Price, t.Times})
		}
		out.Ways = append(out.Ways, a)
	}
	return out
}
