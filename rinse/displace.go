package rinse

import (
	"fmt"
	"math"

	"rinsewright/quantity"
)

// Displacement is a film of one strength being pushed off by rinse of another.
type Displacement struct {
	Film  quantity.Length   // that stands while rinsing, h0; 0.1 mm is 0.1 L/m²
	Wash  quantity.MassConc // dissolved solids of the film before
	Rinse quantity.MassConc // of the rinse
}

// After returns the strength of the film after some rinse per area:
//
//	C = C_rinse + (C_film - C_rinse) exp(-V/h0)
//
// Source: [TradeTable] (derived there; a film mixed through as it is replaced,
// the slow end: rinse that runs in under the film needs less). The error wraps
// [ErrRange] unless 0 ≤ V ≤ 1 m, 1 µm ≤ h0 ≤ 10 mm and strengths are 0 to 100 g/L.
func (d Displacement) After(rinse quantity.Length) (quantity.MassConc, error) {
	err := firstError(d.check(), within("rinse per area in m", float64(rinse), 0, 1))
	if err != nil {
		return 0, fmt.Errorf("displacement: %w", err)
	}
	kept := math.Exp(-float64(rinse) / float64(d.Film))
	return quantity.MassConc(float64(d.Rinse) + float64(d.Wash-d.Rinse)*kept), nil
}

// Needed returns the rinse per area that brings the film to a strength:
//
//	V = h0 ln((C_film - C_rinse) / (C - C_rinse))
//
// It is 0 when the film is there already. Source: [TradeTable], [Displacement.After]
// backwards. The error wraps [ErrRange] for a strength that is not above the
// rinse's own, which no amount reaches, or as for After.
func (d Displacement) Needed(strength quantity.MassConc) (quantity.Length, error) {
	err := firstError(d.check(), within("strength wanted in kg/m³", float64(strength), 0, 100))
	if err == nil && strength >= d.Wash {
		return 0, nil
	}
	if err == nil && !(strength > d.Rinse) {
		err = fmt.Errorf("rinse of %.4g mg/L never brings a film to %.4g mg/L: %w",
			d.Rinse.MilligramsPerLitre(), strength.MilligramsPerLitre(), ErrRange)
	}
	if err != nil {
		return 0, fmt.Errorf("rinse needed: %w", err)
	}
	ratio := float64(d.Wash-d.Rinse) / float64(strength-d.Rinse)
	return quantity.Length(float64(d.Film) * math.Log(ratio)), nil
}

func (d Displacement) check() error {
	return firstError(
		within("film in m", float64(d.Film), 1e-6, 0.01),
		within("film strength in kg/m³", float64(d.Wash), 0, 100),
		within("rinse strength in kg/m³", float64(d.Rinse), 0, 100),
	)
}

// Gun is how rinse gets onto one side of a vehicle.
type Gun struct {
	Flow    quantity.Flow
	OnPanel quantity.Ratio // share of the flow that lands on the side
	Side    quantity.Area
}

// Seconds returns how long a side is rinsed to lay down an amount per area:
//
//	t = V A / (q f)
//
// By definition. The error wraps [ErrRange] unless 0 ≤ V ≤ 1 m, area is 0.01
// to 1000 m², flow 0.01 to 1000 L/min and the share on the panel 0.01 to 1.
func (g Gun) Seconds(rinse quantity.Length) (quantity.Time, error) {
	err := firstError(g.check(), within("rinse per area in m", float64(rinse), 0, 1))
	if err != nil {
		return 0, fmt.Errorf("seconds per side: %w", err)
	}
	return quantity.Time(float64(rinse) * float64(g.Side) / (float64(g.Flow) * float64(g.OnPanel))), nil
}

// Rinse returns the amount per area that a time lays down, [Gun.Seconds]
// backwards:
//
//	V = q f t / A
//
// By definition. The error wraps [ErrRange] unless 0 ≤ t ≤ 1 h, or as for Seconds.
func (g Gun) Rinse(t quantity.Time) (quantity.Length, error) {
	err := firstError(g.check(), within("rinse time in s", float64(t), 0, 3600))
	if err != nil {
		return 0, fmt.Errorf("rinse per area: %w", err)
	}
	return quantity.Length(float64(g.Flow) * float64(g.OnPanel) * float64(t) / float64(g.Side)), nil
}

func (g Gun) check() error {
	return firstError(
		within("side in m²", float64(g.Side), 0.01, 1000),
		within("flow in m³/s", float64(g.Flow), 0.01/60e3*(1-1e-12), 1000/60e3*(1+1e-12)),
		within("share on the panel", float64(g.OnPanel), 0.01, 1),
	)
}
