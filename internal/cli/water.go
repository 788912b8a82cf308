package cli

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"rinsewright/internal/sitefile"
	"rinsewright/quantity"
	"rinsewright/study"
	"rinsewright/working"
)

// WaterCommand shows the water sheet.
type WaterCommand struct {
	Site    string `arg:"" help:"Site file." type:"path"`
	JSON    bool   `name:"json" help:"Print one JSON object instead."`
	Working bool   `help:"Print how every number came about."`
	Seed    uint64 `default:"1" help:"Seed of the bands: the same seed gives the same answer."`
	Units
}

// Help is the long help with examples.
func (WaterCommand) Help() string {
	return `Examples:
  rinsewright water site.toml
  rinsewright water site.toml --units si --json`
}

// Run shows the sheet.
func (c WaterCommand) Run(desk Desk) error {
	asked := CheckCommand{JSON: c.JSON}
	data, err := os.ReadFile(c.Site)
	if err != nil {
		return asked.refuse(desk, bad(fmt.Errorf("read site file: %w", err), "rinsewright survey "+filepath.Base(c.Site)+" makes one"))
	}
	name := filepath.Base(c.Site)
	s, err := sitefile.Read(name, data)
	if err != nil {
		return asked.refuse(desk, bad(err, ""))
	}
	options := study.Options{Seed: c.Seed, Units: c.System(), Locale: sitefile.Locale(data)}
	sheet, err := study.Water(desk.Context, s, options)
	if err != nil {
		return asked.refuse(desk, unanswered(err, name))
	}
	if c.JSON {
		return printJSON(desk.Out, sheetJSON(sheet))
	}
	t := newTerminal(desk.Out, options)
	t.sheet(sheet)
	if c.Working {
		t.working(sheet.Working)
	}
	return t.err
}

func (t *terminal) sheet(w *study.WaterSheet) {
	t.heading(w.Site)
	t.head("Water sheet: " + strings.TrimSpace(w.Place+" water "+w.Date))
	for _, r := range w.Rows {
		t.wrap(pad(r.Name, 28), pad(r.Band.Text(t.units, t.locale), 40)+" "+string(r.From))
	}
	for _, c := range w.Contradictions {
		t.wrap("!  ", c)
	}
	t.head("What it does at the membrane's end, by recovery")
	for _, s := range w.Scaling {
		verdict := "holds"
		if s.High > 0 {
			verdict = "scales within doubt"
		}
		if s.Low > 0 {
			verdict = "scales"
		}
		t.line(pad(quantity.FormatLocale(s.Recovery, t.units, t.locale), 8) + pad(s.First, 20) + pad(fmt.Sprintf("%+.1f (%+.1f to %+.1f)", s.Index, s.Low, s.High), 26) + verdict)
	}
	t.head("What it would load on resin without a membrane")
	for _, s := range w.Eats {
		t.line(pad(s.Name, 28) + quantity.FormatLocale(s.Share, t.units, t.locale))
	}
	t.head("The trade's indices, raw water")
	for _, r := range w.Indices {
		t.wrap(pad(r.Name, 28), fmt.Sprintf("%+.2f  %s", r.Value, r.Says))
	}
	t.assumed(w.Assumed)
	if len(w.Next) > 0 {
		t.head("What to read next")
		for _, n := range w.Next {
			t.wrap("- ", fmt.Sprintf("%s: %.0f min, narrows the doubt by %s; it %s", n.Name, n.Minutes, quantity.FormatLocale(n.Narrows, t.units, t.locale), n.Why))
		}
	}
}

type sheetRowJSON struct {
	Name  string         `json:"name"`
	Value float64        `json:"value"`
	Low   float64        `json:"low"`
	High  float64        `json:"high"`
	Unit  string         `json:"unit"`
	From  working.Origin `json:"from"`
}

type scalingJSON struct {
	Recovery float64 `json:"recovery"`
	Mineral  string  `json:"mineral"`
	Index    float64 `json:"saturation_index"`
	Low      float64 `json:"low"`
	High     float64 `json:"high"`
}

type nextJSON struct {
	Name    string  `json:"name"`
	Minutes float64 `json:"minutes"`
	Narrows float64 `json:"narrows"`
}

type waterJSON struct {
	Schema         string             `json:"schema"`
	Site           study.Heading      `json:"site"`
	Water          []sheetRowJSON     `json:"water"`
	Scaling        []scalingJSON      `json:"scaling"`
	Resin          []shareJSON        `json:"resin_load"`
	Contradictions []string           `json:"contradictions"`
	Next           []nextJSON         `json:"next"`
	Assumed        []study.Assumption `json:"assumed"`
	Working        []working.Step     `json:"working"`
	Errors         []sitefile.Problem `json:"errors"`
}

func sheetJSON(w *study.WaterSheet) waterJSON {
	out := waterJSON{Schema: "rinsewright.water/1", Site: w.Site, Assumed: w.Assumed, Working: w.Working, Errors: []sitefile.Problem{},
		Contradictions: append([]string{}, w.Contradictions...), Next: []nextJSON{}}
	for _, r := range w.Rows {
		value, low, high := plain(r.Band.Value), plain(r.Band.Low), plain(r.Band.High)
		out.Water = append(out.Water, sheetRowJSON{r.Name, value.Value, low.Value, high.Value, value.Unit, r.From})
	}
	for _, s := range w.Scaling {
		out.Scaling = append(out.Scaling, scalingJSON{float64(s.Recovery), s.First, s.Index, s.Low, s.High})
	}
	for _, s := range w.Eats {
		out.Resin = append(out.Resin, shareJSON{s.Name, float64(s.Share)})
	}
	for _, n := range w.Next {
		out.Next = append(out.Next, nextJSON{n.Name, n.Minutes, float64(n.Narrows)})
	}
	return out
}
