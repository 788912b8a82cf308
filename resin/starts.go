package resin

import (
	"fmt"

	"rinsewright/quantity"
)

// Starts is the creep that a membrane sends on at each start: while it stands,
// salt diffuses to the permeate side, and the first litres carry it.
type Starts struct {
	Slug   quantity.Volume    // permeate that carries the creep at one start
	Excess quantity.EquivConc // its mean strength above the steady permeate
	Count  float64            // starts ...
	Water  quantity.Volume    // ... while this much water passes the bed
}

// Creep returns the mean extra load of the starts, for [Inlet.Creep]:
//
//	L = n V_slug c_excess / V_water
//
// so that a day's starts go with a day's water. Source: mass balance; exact.
// The error wraps [ErrRange] for negative figures, a day without water, or
// slugs that add up to more than the water.
func (s Starts) Creep() (quantity.EquivConc, error) {
	const operation = "creep of starts"
	if err := firstError(
		within(operation, "slug", float64(s.Slug), 0, 10, "m³"),
		within(operation, "excess strength", float64(s.Excess), 0, mostConcentration, "eq/m³"),
		within(operation, "count of starts", s.Count, 0, 1e6, ""),
		above(operation, "water", float64(s.Water), 1e6, "m³"),
	); err != nil {
		return 0, err
	}
	slugs := s.Count * float64(s.Slug) // m³
	if slugs > float64(s.Water) {
		return 0, fmt.Errorf("%s: slugs add up to %.4g m³, more than the %.4g m³ of water: %w", operation, slugs, float64(s.Water), ErrRange)
	}
	return quantity.EquivConc(slugs / float64(s.Water) * float64(s.Excess)), nil
}
