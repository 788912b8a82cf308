// Package carbon holds the carbon ahead of the membrane: what it takes out of
// the feed, what leaks on, how long it lasts, and how fast the leak uses up the
// membrane's tolerance of chlorine (its chlorine clock).
//
// Chlorine leaves water by reaction on the carbon's surface, so what leaks falls
// by half with each half-value time of contact, and contact is empty-bed contact
// time: bed volume over flow. Chloramine reacts several times slower than free
// chlorine. Carbon is used up by *feed* water, which is permeate over recovery.
//
// Rates here are [Practice] and [Memory], good to a factor of about 1.6 either
// way; real beds also foul and channel. Test total chlorine after the carbon.
//
// Symbols: τ empty-bed contact time, t½ half-value time, u share of capacity
// used, C concentration as Cl2.
//
// # Sources
//
//   - [Practice] trade practice without a citable source
//   - [Memory] from memory, unverified
//   - [SalePages] trade pages on carbon beds and cartridges
//   - [HalfLength] half-value length test of carbon for chlorine, from memory
//   - [PolyamideManual] a membrane manual's chlorine tolerance
//   - [DialysisGuidance] contact time for chloramine in dialysis water, from memory
//
// docs/sources/carbon.md gives them in full.
package carbon

import (
	"errors"
	"fmt"

	"rinsewright/quantity"
)

// ErrRange is wrapped by errors about an input outside the range that a function
// states, NaN and infinities included.
var ErrRange = errors.New("out of range")

// Kind is a form of carbon.
type Kind string

// The kinds of carbon.
const (
	Block     Kind = "cartridge block" // fine powder pressed to a block
	Granular  Kind = "granular"        // loose granules in a tank
	Catalytic Kind = "catalytic"       // granules treated to take chloramine faster
)

// properties are typical of a kind. The half-value times are those of new carbon
// at 20 °C and pH 7.25.
type properties struct {
	chlorineHalf   float64 // s [Memory]
	chloramineHalf float64 // s [Memory]
	density        float64 // kg of carbon per m³ of bed [Memory]
	capacity       float64 // kg of Cl2 taken up per kg of carbon until it is spent [Memory]
}

var kinds = map[Kind]properties{
	Block:     {chlorineHalf: 2.5, chloramineHalf: 8, density: 600, capacity: 0.10},
	Granular:  {chlorineHalf: 10, chloramineHalf: 80, density: 480, capacity: 0.25},
	Catalytic: {chlorineHalf: 10, chloramineHalf: 30, density: 480, capacity: 0.25},
}

// Bed is one carbon cartridge or tank, or several alike in series taken as one.
type Bed struct {
	Kind   Kind
	Volume quantity.Volume // of carbon, empty-bed
	// ChlorineHalf and ChloramineHalf are the contact times that halve either,
	// for new carbon at 20 °C and pH 7.25.
	ChlorineHalf, ChloramineHalf quantity.Time
	// Capacity is the chlorine, as Cl2, that the whole bed takes up until it is
	// spent. Chloramine counts threefold against it.
	Capacity quantity.Mass
	Carbon   quantity.Mass // dry mass of carbon
}

// NewBed returns a generic bed of carbon.
//
//	kind             t½ chlorine   t½ chloramine   Cl2 per carbon
//	cartridge block      2.5 s          8 s           0.10 g/g
//	granular            10 s           80 s           0.25 g/g
//	catalytic           10 s           30 s           0.25 g/g
//
// Source: [Memory], unverified, chosen so that guidance contact holds a new bed
// under 0.1 mg/L; block capacity is what cartridges claim [SalePages]. The
// error wraps [ErrRange] for an unknown kind, or unless 0 < v ≤ 20 m³.
func NewBed(k Kind, v quantity.Volume) (Bed, error) {
	const operation = "carbon bed"
	p, ok := kinds[k]
	if !ok {
		return Bed{}, fmt.Errorf("%s: kind %q, want %q, %q or %q: %w", operation, k, Block, Granular, Catalytic, ErrRange)
	}
	if err := above(operation, "volume", float64(v), mostVolume, "m³"); err != nil {
		return Bed{}, err
	}
	mass := p.density * float64(v) // kg
	return Bed{
		Kind:           k,
		Volume:         v,
		ChlorineHalf:   quantity.Time(p.chlorineHalf),
		ChloramineHalf: quantity.Time(p.chloramineHalf),
		Capacity:       quantity.Mass(p.capacity * mass),
		Carbon:         quantity.Mass(mass),
	}, nil
}

// StoichiometricLimit returns the most chlorine that a mass of carbon could ever
// take up, if all of it burnt:
//
//	C + 2 Cl2 + 2 H2O → CO2 + 4 HCl:  141.8 g Cl2 per 12.01 g C
//
// Source: stoichiometry. An upper bound only: beds foul and channel at a few per
// cent of it. The error wraps [ErrRange] unless 0 < carbon ≤ 20,000 kg.
func StoichiometricLimit(carbon quantity.Mass) (quantity.Mass, error) {
	if err := above("stoichiometric limit", "carbon", float64(carbon), 2e4, "kg"); err != nil {
		return 0, err
	}
	const chlorinePerCarbon = 4 * 35.453 / 12.011 // kg/kg
	return carbon * chlorinePerCarbon, nil
}

// mostVolume and mostFlow bound a bed and its flow, m³ and m³/s.
const (
	mostVolume = 20.0
	mostFlow   = 1.0
)

// ContactTime returns the empty-bed contact time:
//
//	τ = V / Q     (min = 7.48 ft³ / gpm)
//
// Source: definition. The error wraps [ErrRange] unless 0 < V ≤ 20 m³ and
// 1e-9 ≤ Q ≤ 1 m³/s.
func (b Bed) ContactTime(f quantity.Flow) (quantity.Time, error) {
	const operation = "contact time"
	if err := firstError(
		above(operation, "volume", float64(b.Volume), mostVolume, "m³"),
		within(operation, "flow", float64(f), 1e-9, mostFlow, "m³/s"),
	); err != nil {
		return 0, err
	}
	return quantity.Time(float64(b.Volume) / float64(f)), nil
}

func (b Bed) check(operation string) error {
	return firstError(
		above(operation, "volume", float64(b.Volume), mostVolume, "m³"),
		above(operation, "chlorine half-value time", float64(b.ChlorineHalf), 3600, "s"),
		above(operation, "chloramine half-value time", float64(b.ChloramineHalf), 3600, "s"),
		above(operation, "capacity", float64(b.Capacity), 2e5, "kg"),
	)
}

// within reports x outside lo..hi, in words that name the quantity; NaN is
// outside every range.
func within(operation, name string, x, lo, hi float64, unit string) error {
	if lo <= x && x <= hi {
		return nil
	}
	return fmt.Errorf("%s: %s is %.4g %s, want %.4g to %.4g: %w", operation, name, x, unit, lo, hi, ErrRange)
}

// above is within for quantities that must exceed zero; what is nearer zero than
// any real rig is refused too, so that no quotient overflows.
func above(operation, name string, x, hi float64, unit string) error {
	if 1e-12 <= x && x <= hi {
		return nil
	}
	return fmt.Errorf("%s: %s is %.4g %s, want more than 0 and at most %.4g: %w", operation, name, x, unit, hi, ErrRange)
}

// firstError returns the first of several checks that failed.
func firstError(checks ...error) error {
	for _, err := range checks {
		if err != nil {
			return err
		}
	}
	return nil
}
