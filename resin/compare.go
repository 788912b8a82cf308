package resin

import (
	"fmt"

	"rinsewright/quantity"
)

// Alternative is a change to the water that reaches the bed, by name.
type Alternative struct {
	Name  string
	Inlet Inlet
}

// Choice is what an alternative would do for the bed.
type Choice struct {
	Name  string
	Life  Life
	Times float64 // its life over the life as it is, dimensionless
}

// Compare returns the life of the bed as it is, and under each alternative in
// the order given. Source: [Bed.Life]. Errors as there, naming the alternative.
func (b Bed) Compare(base Inlet, alternatives []Alternative) (Life, []Choice, error) {
	now, err := b.Life(base)
	if err != nil {
		return Life{}, nil, err
	}
	choices := make([]Choice, 0, len(alternatives))
	for _, a := range alternatives {
		life, err := b.Life(a.Inlet)
		if err != nil {
			return Life{}, nil, fmt.Errorf("compare %q: %w", a.Name, err)
		}
		choices = append(choices, Choice{a.Name, life, float64(life.Volume) / float64(now.Volume)})
	}
	return now, choices, nil
}

// FirstToDouble returns the first choice whose life is at least twice the life
// as it is. Given the alternatives cheapest first, it is the cheapest change
// that doubles the life of the bed; ok is false when none does.
func FirstToDouble(choices []Choice) (c Choice, ok bool) {
	for _, c := range choices {
		if c.Times >= 2 {
			return c, true
		}
	}
	return Choice{}, false
}

// Changes returns the usual alternatives that need no other water than the
// inlet itself: degas to airCO2, halve the salt passage, a quarter of the
// starts. Raising the pH ahead of the membrane changes what the membrane
// passes, so that inlet must come from the membrane.
func Changes(in Inlet, airCO2 quantity.MolarConc) []Alternative {
	return []Alternative{
		{"a quarter of the starts", in.StartsScaled(0.25)},
		{"degas in a vented, aerated tank ahead of the resin", in.Degassed(airCO2)},
		{"half the salt passage", in.SaltScaled(0.5)},
	}
}
