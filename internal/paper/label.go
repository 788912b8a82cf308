package paper

import (
	"fmt"

	"github.com/skip2/go-qrcode"

	"rinsewright/internal/paper/layout"
	"rinsewright/internal/scene"
)

// label hangs at the skid: what is usual, when to act, what not to do, whom to
// call, and a code that opens the site's page for readings.
func (p *setting) label() error {
	s, err := p.system()
	if err != nil {
		return err
	}
	reach := 0.0
	if p.job.Address != "" {
		code, err := qr(p.job.Address)
		if err != nil {
			return fmt.Errorf("code for %s: %w", p.job.Address, err)
		}
		reach = p.Aside(code, 74)
		p.Narrow(84)
		p.Small(p.say("Scan to write down a reading."))
		p.Small(p.job.Address)
	}
	p.Tight(p.keyPairs(s))
	p.Narrow(0)
	p.Below(reach + 4)
	p.usualLabel(s)
	if s.has("membrane") {
		p.Small(p.say("Valves in service: flush and permeate drain shut, all others open."))
	}
	if s.has("resin lag") {
		p.Small(p.say("Resin: when the lead reads above its mark, the lag becomes the lead and the new bottle comes behind it."))
	}
	p.Warn(p.say("Never: bleach or hot water into membrane or resin · permeate shut in · drinking"))
	p.Small(p.say("Before opening a housing: shut the feed, stop the pumps, let the pressure off."))
	p.Tight([]layout.Pair{{Name: p.say("call"), Value: p.job.From}, {Name: p.say("next visit"), Value: ""}})
	return nil
}

// keyPairs are the sizes that a person needs to bring the right part.
func (p *setting) keyPairs(s system) []layout.Pair {
	var all []layout.Pair
	filter := 0
	for _, t := range s.tags() {
		switch t.Kind {
		case "filter", "carbon", "resin", "membrane":
			all = append(all, layout.Pair{Name: t.tag + " " + upperFirst(p.part(t.Name)), Value: p.sizes(s, t, &filter)})
		}
	}
	return all
}

func (p *setting) usualLabel(s system) {
	var rows []layout.Row
	for _, name := range []string{"permeate_flow", "strength_after_membrane", "strength_after_resin"} {
		if x, ok := s.promise(name); ok {
			rows = append(rows, layout.Row{Cells: []string{p.say(x.Says), p.fig(x.Band.Value), p.callAt(x)}})
		}
	}
	rows = append(rows, layout.Row{Cells: []string{p.say("strength at the gun"), p.gunStrength(s), p.aboveWanted()}})
	p.Table([]layout.Column{{Share: 2.4}, {Head: p.say("usual"), Share: 1.5}, {Head: p.say("act when"), Share: 2}}, rows)
}

// qr draws a code of squares, four squares of air around it.
func qr(text string) (scene.Drawing, error) {
	code, err := qrcode.New(text, qrcode.Medium)
	if err != nil {
		return scene.Drawing{}, err
	}
	bits := code.Bitmap()
	d := scene.Drawing{Width: float64(len(bits)), Height: float64(len(bits)), Title: text}
	for y, line := range bits {
		for x := 0; x < len(line); x++ {
			run := x
			for run < len(line) && line[run] {
				run++
			}
			if run > x {
				d.Shapes = append(d.Shapes, scene.Rect{X: float64(x), Y: float64(y), W: float64(run - x), H: 1, Paint: scene.Paint{Fill: scene.Ink}})
				x = run
			}
		}
	}
	return d, nil
}
