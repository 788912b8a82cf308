package study

import (
	"fmt"

	"rinsewright/membrane"
	"rinsewright/quantity"
	"rinsewright/water"
)

// Along is the membrane from its feed end to its concentrate end.
type Along struct {
	Places  []AlongPlace
	Ends    []quantity.Length // of the elements
	Mineral string            // that Index is of: the one nearest to scaling at the end
}

// AlongPlace is one place of the channel.
type AlongPlace struct {
	Position     quantity.Length
	Flux         quantity.Flux
	Pressure     quantity.Pressure
	Strength     quantity.MassConc // dissolved solids in the bulk
	Polarisation float64           // strength at the membrane over the bulk's, a ratio
	Index        float64           // saturation index at the membrane itself
}

// along follows the water of a result's first row in every stage. Between an
// element's ends its water is taken to strengthen as its flow shrinks.
func along(r *membrane.Result) (Along, error) {
	var out Along
	if len(r.Profile) == 0 {
		return out, nil
	}
	scaling := water.Calcite
	if solution, err := water.Equilibrate(r.Concentrate.Water); err == nil {
		name, _ := firstMineral(&solution)
		for _, m := range minerals {
			if m.String() == name {
				scaling = m
			}
		}
	}
	out.Mineral = scaling.String()
	per := len(r.Profile) / len(r.Elements)
	for e := range r.Elements {
		if r.Elements[e].Row > 0 {
			continue
		}
		slices := r.Profile[e*per : (e+1)*per]
		for i := range slices {
			place, err := placeAlong(&r.Elements[e], slices, i, scaling)
			if err != nil {
				return out, fmt.Errorf("water along the membrane: %w", err)
			}
			out.Places = append(out.Places, place)
		}
		step := slices[per-1].Position - slices[per-2].Position
		out.Ends = append(out.Ends, slices[per-1].Position+step/2)
	}
	return out, nil
}

func placeAlong(e *membrane.ElementResult, slices []membrane.Slice, i int, scaling water.Mineral) (AlongPlace, error) {
	s := slices[i]
	// Speed goes with flow; half a slice lies between the inlet and the first middle.
	inlet := float64(slices[0].Speed) + (float64(slices[0].Speed)-float64(slices[1].Speed))/2
	left := float64(s.Speed) / inlet // share of the element's feed that is still in the channel
	out := float64(e.Concentrate.Flow / e.Feed.Flow)
	part := 0.0
	if out < 1 {
		part = (1/left - 1) / (1/out - 1)
	}
	bulk := between(e.Feed.Water, e.Concentrate.Water, part)
	solution, err := water.Equilibrate(bulk)
	if err != nil {
		return AlongPlace{}, err
	}
	film, err := water.Equilibrate(atMembrane(bulk, solution.CO2(), s.Polarisation))
	if err != nil {
		return AlongPlace{}, err
	}
	return AlongPlace{
		Position: s.Position, Flux: s.Flux, Pressure: s.Pressure, Strength: bulk.DissolvedSolids(),
		Polarisation: s.Polarisation, Index: film.SaturationIndex(scaling),
	}, nil
}

// between is part of the way from one water to another.
func between(a, b water.Water, part float64) water.Water {
	for c := range a.Total {
		a.Total[c] += quantity.MolarConc(part) * (b.Total[c] - a.Total[c])
	}
	a.Alkalinity += quantity.EquivConc(part) * (b.Alkalinity - a.Alkalinity)
	return a
}

// atMembrane is the film's water: all but the gas is stronger there.
func atMembrane(w water.Water, gas quantity.MolarConc, polarisation float64) water.Water {
	ions := w.Total[water.Carbon] - gas
	w = strengthened(w, polarisation)
	w.Total[water.Carbon] = gas + quantity.MolarConc(polarisation)*ions
	return w
}
