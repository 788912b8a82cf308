package paper

import (
	"fmt"
	"strings"

	"rinsewright/internal/paper/layout"
	"rinsewright/internal/scene"
	"rinsewright/quantity"
	"rinsewright/site"
	"rinsewright/study"
)

// wallPlan shows what hangs where, as the water meets it: the path, stations
// with tags, valves and sample points, tubes, and the levels of the tank.
func (p *setting) wallPlan() error {
	s, err := p.system()
	if err != nil {
		return err
	}
	p.Small(p.sayf("The path %s, in the order that water meets it. The line's width is water a day; lengths on the wall are not to scale.", s.name))
	tags := s.tags()
	p.tagPath(s, tags)
	p.stationTable(s, tags)
	p.lineTable(s)
	p.levels(s)
	p.valvePositions(s)
	p.cautions(s.cautions)
	return nil
}

// tagPath draws the path as it hangs: above the line each station's size, at it
// its tag's valve and sample point, below it the tube that leaves it and the
// levels of the tank.
func (p *setting) tagPath(s system, tags []tagged) {
	shown := page{checked: &study.Checked{Path: s.path, Drain: s.drain}, options: p.job.Options}.path()
	shown.Title, shown.Subtitle = "", ""
	filter := 0
	for i := range shown.Stations {
		x, t := &shown.Stations[i], tags[i]
		x.Name, x.ID, x.Word = t.tag+" "+upperFirst(p.part(t.Name)), "", ""
		x.Plain = strings.Join(some(t.valve, t.sample), " · ")
		if x.Plain == "" {
			x.Plain = "–"
		}
		x.Read = some(strings.Split(p.sizes(s, t, &filter), " · ")...)
		x.Due = p.leaves(s, t)
	}
	if shown.Drain != nil {
		shown.Drain.Notes = []string{p.say("air gap at the drain")}
	}
	d, err := shown.Draw(scene.Style{
		Width: max(1000, 140*float64(len(s.path))), Bare: true, Gallons: p.job.Units == quantity.US,
		Rows: [3]string{p.say("size"), p.say("tags"), p.say("tube")},
	})
	if err != nil {
		return // more stations than a drawing holds: the table below has them
	}
	p.Drawing(p.spoken(d))
}

// leaves is the tube that goes on from a station, and the levels of a tank.
func (p *setting) leaves(s system, t tagged) (all []string) {
	line, tank := s.site.Rig.Line, s.site.Rig.Tank
	switch t.Kind {
	case "membrane":
		if line != nil && line.PermeateTube != "" {
			all = some(p.inch(line.PermeateTube), told(p, line.PermeateLength))
		}
	case "delivery pump", "pressurised tank":
		if line != nil {
			all = some(p.inch(line.Tube), told(p, line.Length))
		}
	case "vented tank":
		if tank == nil || !tank.Volume.Known {
			return []string{p.say("levels not known")}
		}
		for _, mark := range []struct {
			name string
			at   quantity.Entry[quantity.Volume]
		}{{"stop %s", tank.Stop}, {"start %s", tank.Start}, {"cut-off %s", tank.LowCut}} {
			if mark.at.Known {
				at := p.height(*tank, mark.at.Value)
				if at == "" {
					at = told(p, mark.at)
				}
				all = append(all, p.sayf(mark.name, at))
			}
		}
		if len(all) == 0 {
			return []string{p.say("levels not known")}
		}
		if p.height(*tank, tank.Volume.Value) == "" {
			all = append(all, p.say("heights not known: measure"))
		}
	}
	return all
}

func (p *setting) stationTable(s system, tags []tagged) {
	p.Head(p.say("Stations, valves and sample points"))
	var rows []layout.Row
	filter := 0
	for _, t := range tags {
		rows = append(rows, layout.Row{Cells: []string{t.tag, upperFirst(p.part(t.Name)), p.sizes(s, t, &filter), t.valve, t.sample, inUnits(p, t.Entering)}})
	}
	p.Table([]layout.Column{
		{Head: p.say("tag"), Share: 0.8},
		{Head: p.say("station"), Share: 2},
		{Head: p.say("size and setting"), Share: 5},
		{Head: p.say("valve ahead of it"), Share: 1.2},
		{Head: p.say("sample point behind it"), Share: 1.4},
		{Head: p.say("water on a mean open day"), Share: 1.6, Right: true},
	}, rows)
	p.Points([]string{
		p.say("A check valve stands behind the membrane, a flush valve around the restrictor, an air gap at the drain."),
		p.say("Sample points are read in the order of their numbers, after at least ten minutes of running."),
	})
}

func (p *setting) lineTable(s system) {
	line := s.site.Rig.Line
	if line == nil {
		return
	}
	p.Head(p.say("Lines"))
	var rows []layout.Row
	if s.has("membrane") && line.PermeateTube != "" {
		rows = append(rows, layout.Row{Cells: []string{p.say("membrane to tank"), p.inch(line.PermeateTube), told(p, line.PermeateLength), "", p.flow(s, "permeate_flow")}})
	}
	rows = append(rows, layout.Row{Cells: []string{p.say("tank to guns"), p.inch(line.Tube), told(p, line.Length), told(p, line.Rise), told(p, s.site.Demand.GunFlow)}})
	p.Table([]layout.Column{
		{Head: p.say("from and to"), Share: 2.4},
		{Head: p.say("inside size"), Share: 1.4},
		{Head: p.say("length"), Share: 1.4},
		{Head: p.say("rises"), Share: 1.2},
		{Head: p.say("flow"), Share: 2.4, Right: true},
	}, rows)
	p.Small(p.say("Plastic or stainless behind the membrane: low-TDS water eats copper, brass and galvanised steel."))
}

func (p *setting) inch(size string) string {
	if size == "" {
		return ""
	}
	return size + " in"
}

func (p *setting) flow(s system, name string) string {
	x, ok := s.promise(name)
	if !ok {
		return ""
	}
	return p.band(x.Band)
}

// levels gives the marks of the float: as volume, as a share, and as a height
// where the tank's diameter is known. An empty height is for the tape.
func (p *setting) levels(s system) {
	tank := s.site.Rig.Tank
	if tank == nil || tank.Kind == "pressurised" || !tank.Volume.Known {
		return
	}
	p.Head(p.say("Levels of the tank"))
	var rows []layout.Row
	for _, mark := range []struct {
		name string
		at   quantity.Entry[quantity.Volume]
	}{{"float stops the membrane", tank.Stop}, {"float starts the membrane", tank.Start}, {"pump is cut off", tank.LowCut}} {
		cells := []string{p.say(mark.name), told(p, mark.at), "", ""}
		if mark.at.Known && tank.Volume.Value > 0 {
			cells[2] = fmt.Sprintf("%.0f %%", 100*float64(mark.at.Value)/float64(tank.Volume.Value))
			cells[3] = p.height(*tank, mark.at.Value)
		}
		rows = append(rows, layout.Row{Cells: cells, Tall: cells[3] == ""})
	}
	p.Table([]layout.Column{
		{Head: p.say("mark"), Share: 3},
		{Head: p.say("volume"), Share: 1.6, Right: true},
		{Head: p.say("share of full"), Share: 1.4, Right: true},
		{Head: p.say("height above the tank's floor"), Share: 2.4, Right: true, Blank: true},
	}, rows)
	if p.height(*tank, tank.Volume.Value) == "" {
		p.Small(p.say("Heights are not known: the catalogue has no tank of this size. Measure them, and write them in."))
		return
	}
	p.Small(p.say("Heights hold for an upright round tank of the catalogue's diameter; the tape on the wall has the last word."))
}

// height of a volume in a tank that the catalogue lists.
func (p *setting) height(t site.Tank, v quantity.Volume) string {
	if p.Parts == nil {
		return ""
	}
	h, ok := study.LevelHeight(p.Parts, t, v)
	if !ok {
		return ""
	}
	return inUnits(p, h)
}

// valvePositions tells how the valves stand for each kind of work.
func (p *setting) valvePositions(s system) {
	p.Head(p.say("How the valves stand"))
	open, shut := p.say("open"), p.say("shut")
	rows := [][]string{{p.say("feed valve"), open, open, shut, shut}}
	if s.has("membrane") {
		rows = append(rows, []string{p.say("flush valve around the restrictor"), shut, open, shut, open},
			[]string{p.say("permeate to the tank"), open, open, shut, open}, []string{p.say("permeate to the drain"), shut, open, open, open})
	}
	rows = append(rows, []string{p.say("tank outlet"), open, open, shut, shut}, []string{p.say("line to the guns"), open, shut, shut, open})
	p.Table([]layout.Column{
		{Head: p.say("valve"), Share: 3},
		{Head: p.say("service"), Share: 1.3},
		{Head: p.say("flush"), Share: 1.3},
		{Head: p.say("change filters or resin"), Share: 1.6},
		{Head: p.say("drained for winter"), Share: 1.6},
	}, layout.Rows(rows...))
	p.Caution(p.say("The permeate is never shut in"), p.say("With its outlet closed the membrane bursts its own glue lines. One way out stays open whenever the feed is."))
}
