package cli

import (
	"rinsewright/internal/sitefile"
	"rinsewright/quantity"
	"rinsewright/study"
	"rinsewright/working"
)

type limitJSON struct {
	Constraint string  `json:"constraint"`
	Used       float64 `json:"used"`
	Says       string  `json:"says"`
}

type bindJSON struct {
	Constraint string `json:"constraint"`
	Says       string `json:"says"`
}

type moneyJSON struct {
	Amount   float64 `json:"amount"`
	Currency string  `json:"currency"`
}

type neighbourJSON struct {
	Instead string    `json:"instead"`
	Saves   moneyJSON `json:"saves"`
	Fails   limitJSON `json:"fails"`
}

type partJSON struct {
	Name   string    `json:"name"`
	Kind   string    `json:"kind"`
	Count  float64   `json:"count"`
	Kept   bool      `json:"kept"`
	Amount moneyJSON `json:"amount"`
}

type pickJSON struct {
	Name      string         `json:"name"`
	SameAs    string         `json:"same_as,omitempty"`
	Says      string         `json:"says"`
	System    string         `json:"system"`
	FirstCost moneyJSON      `json:"first_cost"`
	Yearly    moneyJSON      `json:"cost_of_a_year"`
	Over      moneyJSON      `json:"cost_over_years"`
	Headroom  float64        `json:"headroom"`
	Binds     []bindJSON     `json:"binds"`
	Cheaper   *neighbourJSON `json:"cheaper_neighbour,omitempty"`
	Limits    []limitJSON    `json:"limits"`
	Parts     []partJSON     `json:"parts"`
	Path      []stationJSON  `json:"path"`
	Drain     drainJSON      `json:"drain"`
	Promises  []promiseJSON  `json:"promises"`
	Costs     []costJSON     `json:"costs"`
	Working   []working.Step `json:"working"`
}

type pointJSON struct {
	System    string    `json:"system"`
	Pick      string    `json:"pick,omitempty"`
	FirstCost moneyJSON `json:"first_cost"`
	Yearly    moneyJSON `json:"cost_of_a_year"`
	Over      moneyJSON `json:"cost_over_years"`
	Headroom  float64   `json:"headroom"`
	// Risk is rinses that run short, a ratio; Drain what a year sends to the drain.
	Risk  numberJSON `json:"run_dry_risk"`
	Drain numberJSON `json:"drain_a_year"`
}

type turnJSON struct {
	Price  string  `json:"price"`
	Times  float64 `json:"times"`
	System string  `json:"system"`
	Pick   string  `json:"pick,omitempty"`
}

type wayJSON struct {
	Constraint string    `json:"constraint"`
	Says       string    `json:"says"`
	System     string    `json:"system"`
	FirstCost  moneyJSON `json:"first_cost"`
	Over       moneyJSON `json:"cost_over_years"`
}

type nowJSON struct {
	Yearly moneyJSON   `json:"cost_of_a_year"`
	Breaks []limitJSON `json:"breaks"`
}

type sizeJSON struct {
	Schema   string             `json:"schema"`
	Site     study.Heading      `json:"site"`
	Years    int                `json:"years"`
	Discount float64            `json:"discount_a_year"`
	Target   numberJSON         `json:"target"`
	Now      *nowJSON           `json:"now,omitempty"`
	Picks    []pickJSON         `json:"picks"`
	Frontier []pointJSON        `json:"frontier"`
	Turns    []turnJSON         `json:"would_change"`
	Relax    []wayJSON          `json:"relax"`
	Cut      bool               `json:"more_may_bind"`
	Assumed  []study.Assumption `json:"assumed"`
	Cautions []study.Caution    `json:"cautions"`
	Working  []working.Step     `json:"working"`
	Errors   []sitefile.Problem `json:"errors"`
}

func moneyOf(f study.Figure) moneyJSON {
	value, unit := f.Plain(quantity.SI)
	return moneyJSON{value, unit}
}

func limitsJSON(all []study.Limit) []limitJSON {
	out := []limitJSON{}
	for _, l := range all {
		out = append(out, limitJSON{l.Constraint, float64(l.Used), l.Says})
	}
	return out
}

func sizedJSON(s *study.Sized) sizeJSON {
	out := sizeJSON{
		Schema: "rinsewright.size/1", Site: s.Site, Years: s.Years, Discount: float64(s.Discount), Target: plain(s.Target), Picks: []pickJSON{},
		Frontier: []pointJSON{}, Turns: []turnJSON{}, Relax: []wayJSON{}, Cut: s.Cut, Assumed: s.Assumed, Cautions: s.Cautions, Working: []working.Step{}, Errors: []sitefile.Problem{},
	}
	if s.Now != nil {
		out.Now = &nowJSON{moneyOf(s.Now.Yearly), limitsJSON(s.Now.Breaks)}
	}
	for _, p := range s.Picks {
		out.Picks = append(out.Picks, picksJSON(p))
	}
	for _, f := range s.Frontier {
		out.Frontier = append(out.Frontier, pointJSON{f.Short, f.Pick, moneyOf(f.First), moneyOf(f.Yearly), moneyOf(f.Over), float64(f.Headroom), plain(f.Risk), plain(f.Drain)})
	}
	for _, x := range s.Turns {
		out.Turns = append(out.Turns, turnJSON{x.Price, x.Times, x.Short, x.Pick})
	}
	for _, w := range s.Ways {
		out.Relax = append(out.Relax, wayJSON{w.Constraint, w.Says, w.Short, moneyOf(w.First), moneyOf(w.Over)})
	}
	return out
}

func picksJSON(p study.Pick) pickJSON {
	out := pickJSON{
		Name: p.Name, SameAs: p.SameAs, Says: p.Says, System: p.Short, FirstCost: moneyOf(p.First), Yearly: moneyOf(p.Yearly), Over: moneyOf(p.Over),
		Headroom: float64(p.Headroom), Binds: []bindJSON{}, Limits: limitsJSON(p.Limits), Working: p.Working,
		Drain: drainJSON{plainOf(p.Drain.PerDay), plainOf(p.Drain.Recovery), plainOf(p.Drain.Strength), p.Drain.First, p.Drain.Index},
	}
	for _, b := range p.Binds {
		out.Binds = append(out.Binds, bindJSON{b.Constraint, b.Says})
	}
	if f := p.Fails; f != nil {
		out.Cheaper = &neighbourJSON{f.Instead, moneyOf(f.Saves), limitJSON{f.Fails.Constraint, float64(f.Fails.Used), f.Fails.Says}}
	}
	for _, x := range p.Parts {
		out.Parts = append(out.Parts, partJSON{x.Name, x.Kind, x.Count, x.Kept, moneyOf(x.Amount)})
	}
	for _, s := range p.Path {
		out.Path = append(out.Path, stationsJSON(s))
	}
	for _, x := range p.Promises {
		out.Promises = append(out.Promises, promisesJSON(x))
	}
	for _, c := range p.Costs {
		m := moneyOf(c.Amount)
		out.Costs = append(out.Costs, costJSON{c.Name, m.Amount, m.Currency})
	}
	return out
}
