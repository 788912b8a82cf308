package resin

import (
	"fmt"

	"rinsewright/quantity"
	"rinsewright/water"
)

// Place is one way to put the bed: ahead of the tank at the membrane's flow, or
// after it at the gun's.
type Place struct {
	Name  string
	Water water.Water   // that meets the bed
	Flow  quantity.Flow // while it runs
	// Creep is the mean extra load of the membrane's starts, for a bed that meets
	// them as they come; behind a tank they are part of Water.
	Creep quantity.EquivConc
	// Slug is the water of the first minutes of a start, when it meets the bed
	// undiluted; no slug when its Temperature is 0.
	Slug water.Water
}

// Placed is how a bed does in a place.
type Placed struct {
	Name          string
	FlowPerVolume float64       // bed volumes per hour
	Contact       quantity.Time // empty-bed
	Verdict       FlowVerdict
	Reach         Reach
	// SlugPast is how far past the endpoint a start's slug leaves a fresh bed; the
	// bed holds when it is at most 1. 0 without a slug; dimensionless.
	SlugPast float64
}

// ComparePlaces returns how the same bed does in each place, in their order.
//
// Source: [Bed.Reach], [Bed.InService]. Creep lengthens the load of strong ions on
// both sides alike. Errors as there, naming the place.
func (b Bed) ComparePlaces(places []Place, d Duty, e Endpoint) ([]Placed, error) {
	all := make([]Placed, 0, len(places))
	for _, p := range places {
		placed, err := b.place(p, d, e)
		if err != nil {
			return nil, fmt.Errorf("place %q: %w", p.Name, err)
		}
		all = append(all, placed)
	}
	return all, nil
}

func (b Bed) place(p Place, d Duty, e Endpoint) (Placed, error) {
	d.Flow = p.Flow
	out := Placed{Name: p.Name}
	if err := firstError(
		within("place", "flow", float64(p.Flow), 1e-9, 10, "m³/s"),
		within("place", "creep", float64(p.Creep), 0, mostConcentration, "eq/m³"),
		b.check("place"),
	); err != nil {
		return Placed{}, err
	}
	out.FlowPerVolume = float64(p.Flow) * 3600 / float64(b.Volume)
	out.Contact = quantity.Time(float64(b.Volume) / float64(p.Flow))
	var err error
	if out.Verdict, err = b.FlowVerdict(p.Flow); err != nil {
		return Placed{}, err
	}
	w := p.Water
	w.Total[water.Sodium] += quantity.MolarConc(p.Creep)
	w.Total[water.Chloride] += quantity.MolarConc(p.Creep)
	if out.Reach, err = b.Reach(w, d, e, Doubts{}); err != nil {
		return Placed{}, err
	}
	if p.Slug.Temperature == 0 {
		return out, nil
	}
	passed, err := b.InService(p.Slug, d)
	if err != nil {
		return Placed{}, err
	}
	out.SlugPast, err = e.Past(passed)
	return out, err
}
