package paper

import (
	"fmt"

	"rinsewright/internal/paper/layout"
	"rinsewright/study"
)

// partsList is what the van brings, one supplier under another, with a box to
// tick for each line.
func (p *setting) partsList() error {
	x, letter, ok := p.taken()
	if !ok {
		return ErrNothing
	}
	day := study.Install(p.Site, x, p.Parts)
	p.Lead(p.sayf("For option %s of the quote: %s", letter, p.described(x.Short)))
	p.Para(p.say("Parts are generic: nominal size and typical data. Put in what your supplier stocks, and check thread, voltage and connection."))
	var rows []layout.Row
	for _, supplier := range study.Suppliers {
		group := []layout.Row{}
		for _, k := range day.Kit {
			if k.Supplier == supplier {
				group = append(group, layout.Row{Cells: []string{"☐", p.pieces(k), upperFirst(p.part(k.Name)), p.sentence(k.Why), p.fig(k.Amount)}})
			}
		}
		if len(group) > 0 {
			rows = append(rows, layout.Row{Cells: []string{upperFirst(p.say(supplier))}, Group: true})
			rows = append(rows, group...)
		}
	}
	p.Table([]layout.Column{
		{Share: 0.3},
		{Head: p.say("how many"), Share: 0.9},
		{Head: p.say("what"), Share: 4},
		{Head: p.say("counted from"), Share: 3},
		{Head: p.say("price, with fitting"), Share: 1.5, Right: true},
	}, rows)
	p.stays(x)
	p.tools()
	return nil
}

func (p *setting) pieces(k study.KitLine) string {
	if k.Metres {
		return fmt.Sprintf("%g m", k.Count)
	}
	return fmt.Sprintf("%g", k.Count)
}

// stays lists what hangs there and is kept: it needs no van.
func (p *setting) stays(x study.Pick) {
	var all []string
	for _, line := range x.Parts {
		if line.Kept {
			all = append(all, upperFirst(p.part(line.Name)))
		}
	}
	if len(all) > 0 {
		p.Head(p.say("Stays on the wall"))
		p.Points(all)
	}
}

// toolList is what hands need. Common practice, no source.
var toolList = []string{
	"conductivity pen, checked this week", "thermometer", "pressure gauge that moves from port to port", "bucket with a mark, and a timer", "pH, hardness and chlorine tests",
	"tube cutter, spanners, strap wrench for housings", "drill, level, wall fixings for the load", "torch, towels, wet vacuum", "gloves and eye protection", "lock and tag for the power, labels and pen",
}

func (p *setting) tools() {
	p.Head(p.say("Tools"))
	var all []string
	for _, x := range toolList {
		all = append(all, upperFirst(p.say(x)))
	}
	p.Ticks(all)
}
