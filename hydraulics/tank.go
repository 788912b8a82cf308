package hydraulics

import (
	"fmt"
	"math"

	"rinsewright/quantity"
)

// PressurisedTank is a vessel with a cushion of air behind a bladder. Its
// pressures are gauge.
//
// Caution: depressurise before opening, and never set the precharge above the
// vessel's rating. Its back-pressure costs a membrane on tap pressure a large
// part of its flow; an open tank with a delivery pump does not.
type PressurisedTank struct {
	Volume     quantity.Volume   // of the empty vessel
	Precharge  quantity.Pressure // of the air, with no water in
	Start      quantity.Pressure // filling starts
	Stop       quantity.Pressure // filling stops
	Atmosphere quantity.Pressure // absolute; 0 means sea level
}

// SeaLevel is the standard atmosphere in Pa, absolute.
//
// Source: [ISA1976].
const SeaLevel quantity.Pressure = 101325

// Usable returns the water between stop and start:
//
//	V (p₀ + p_a) (1/(p_start + p_a) − 1/(p_stop + p_a))
//
// with the precharge for p_start where that is higher, since the bladder is
// then empty.
//
// Source: Boyle's law, slow filling. The error wraps [ErrRange] unless
// 0 < V ≤ 1000 m³, 0 ≤ start < stop ≤ 10 MPa, 0 ≤ precharge < stop and
// 10 kPa ≤ atmosphere ≤ 200 kPa.
func (t PressurisedTank) Usable() (quantity.Volume, error) {
	if err := t.check(); err != nil {
		return 0, fmt.Errorf("usable volume: %w", err)
	}
	most, least := t.air()
	return quantity.Volume(most - least), nil
}

// MeanBackPressure returns the gauge pressure met on average, by volume, while
// the tank fills from start to stop:
//
//	(p₀ + p_a) V ln(V₁/V₂)/(V₁ − V₂) − p_a      V₁, V₂ air at start and stop
//
// Source: Boyle's law. Errors are those of [PressurisedTank.Usable].
func (t PressurisedTank) MeanBackPressure() (quantity.Pressure, error) {
	if err := t.check(); err != nil {
		return 0, fmt.Errorf("mean back-pressure: %w", err)
	}
	most, least := t.air()
	pa := float64(t.atmosphere())
	constant := (float64(t.Precharge) + pa) * float64(t.Volume) // Pa·m³
	x := (most - least) / least
	return quantity.Pressure(constant*math.Log1p(x)/(least*x) - pa), nil
}

// air returns the air's volume at start and at stop, in m³.
func (t PressurisedTank) air() (most, least float64) {
	pa := float64(t.atmosphere())
	constant := (float64(t.Precharge) + pa) * float64(t.Volume)
	start := math.Max(float64(t.Start), float64(t.Precharge))
	return constant / (start + pa), constant / (float64(t.Stop) + pa)
}

func (t PressurisedTank) atmosphere() quantity.Pressure {
	if t.Atmosphere == 0 {
		return SeaLevel
	}
	return t.Atmosphere
}

func (t PressurisedTank) check() error {
	return first(
		within("tank volume", t.Volume, 1e-6, 1e3, "m³"), within("stop pressure", t.Stop, 1, 1e7, "Pa"),
		within("start pressure", t.Start, 0, t.Stop-1, "Pa"), within("precharge", t.Precharge, 0, t.Stop-1, "Pa"),
		within("atmosphere", t.atmosphere(), 1e4, 2e5, "Pa"),
	)
}
