// Package pathscene turns the path that study found into the one drawing of it,
// for pages, papers and the engine in the browser. It is a room of its own
// because the browser must carry it, and not what papers need.
package pathscene

import (
	"fmt"
	"math"

	"rinsewright/internal/scene"
	"rinsewright/quantity"
	"rinsewright/study"
)

// Reader is how the figures on the path are printed.
type Reader struct {
	Units  quantity.System
	Locale quantity.Locale
}

// kinds maps study's stations to the drawing's.
var kinds = map[string]scene.Kind{
	"tap": scene.SupplyTap, "well": scene.Well, "filter": scene.SedimentFilter, "iron filter": scene.IronFilter, "carbon": scene.Carbon, "softener": scene.Softener,
	"booster pump": scene.BoosterPump, "membrane": scene.Membrane, "resin": scene.ResinLead, "resin lag": scene.ResinLag,
	"vented tank": scene.VentedTank, "pressurised tank": scene.PressurisedTank, "delivery pump": scene.DeliveryPump, "gun": scene.Gun,
}

var states = map[study.State]scene.State{study.Fine: scene.Fine, study.Due: scene.Due, study.Today: scene.Today, study.NotKnown: scene.NotKnown}

// Of is the drawing of a path and its drain, for any layout.
func Of(stations []study.Station, drain study.Drain, r Reader) scene.Path {
	path := scene.Path{Title: "The path of the water", Subtitle: "from the supply to the guns: read and computed above, promised and due below"}
	for i, s := range stations {
		path.Stations = append(path.Stations, r.station(i, s))
	}
	if drain.First == "" { // no membrane, no concentrate
		return path
	}
	path.Drain = &scene.Drain{
		LitresPerDay: drain.PerDay.Litres(), StrengthMicrosiemens: drain.Strength.MicrosiemensPerCm(),
		Notes: []string{
			"recovery " + quantity.FormatLocale(drain.Recovery, r.Units, r.Locale),
			fmt.Sprintf("nearest to scaling: %s, %.1f", drain.First, drain.Index),
		},
	}
	return path
}

func (r Reader) station(i int, s study.Station) scene.Station {
	out := scene.Station{
		Kind: kinds[s.Kind], Name: s.Name, State: states[s.State], Word: s.Word, Fill: s.Left, Stop: s.Stop, Start: s.Start,
		Suspect: s.Suspect, Why: s.Why,
		FlowLitresPerDay: s.Entering.Litres(), StrengthMicrosiemens: s.Strength.MicrosiemensPerCm(), ID: fmt.Sprintf("station-%d", i+1),
	}
	if s.Left < 0 {
		out.Fill = math.NaN()
	}
	for _, f := range s.Above {
		out.Read = append(out.Read, r.fact(f))
	}
	for _, f := range s.Below {
		out.Due = append(out.Due, r.fact(f))
	}
	return out
}

func (r Reader) fact(f study.Fact) string {
	text := f.Figure.Text(r.Units, r.Locale)
	if f.Label == "" {
		return text
	}
	return f.Label + " " + text
}
