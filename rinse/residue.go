package rinse

import (
	"fmt"

	"rinsewright/quantity"
)

// Residue is the solids left on a panel when its film has dried. Its unit is
// kg/m².
type Residue float64

// MilligramsPerSquareMetre makes a residue from a number of mg/m².
func MilligramsPerSquareMetre(x float64) Residue { return Residue(x * 1e-6) }

// MilligramsPerSquareMetre returns r as a number of mg/m².
func (r Residue) MilligramsPerSquareMetre() float64 { return float64(r) * 1e6 }

// Left returns the residue of a film that dries where it stands:
//
//	m = h · C
//
// By conservation of mass: 50 µm of 100 mg/L leave 5 mg/m². Solids are all
// that stays when water leaves, silica included; part of the bicarbonate
// leaves as CO2, which this does not take off. The error wraps [ErrRange] unless
// 0 ≤ film ≤ 10 mm and 0 ≤ solids ≤ 100 g/L.
func Left(film quantity.Length, solids quantity.MassConc) (Residue, error) {
	err := firstError(
		within("film in m", float64(film), 0, 0.01),
		within("dissolved solids in kg/m³", float64(solids), 0, 100),
	)
	if err != nil {
		return 0, fmt.Errorf("residue: %w", err)
	}
	return Residue(float64(film) * float64(solids)), nil
}

// Solids returns all that a drop leaves: the dissolved solids that conduct and
// the silica that hardly does.
func Solids(ions, silica quantity.MassConc) quantity.MassConc { return ions + silica }

// InSpots returns the residue on the patches under drops, where it dries: the
// panel's residue over the share covered. The error is that of [Drops.Depth]
// or [Left].
func (d Drops) InSpots(solids quantity.MassConc) (Residue, error) {
	depth, err := d.Depth()
	if err != nil {
		return 0, err
	}
	return Left(depth, solids)
}

// FilmAllowed returns the strength at which a film leaves no more than a limit
// that the user has set:
//
//	C = m / h
//
// By conservation of mass. No published threshold for visible spots is known.
// The error wraps [ErrRange] unless 0 ≤ limit ≤ 1 kg/m² and 0.1 µm ≤ film ≤ 10 mm.
func FilmAllowed(limit Residue, film quantity.Length) (quantity.MassConc, error) {
	err := firstError(
		within("limit in kg/m²", float64(limit), 0, 1),
		within("film in m", float64(film), 1e-7, 0.01),
	)
	if err != nil {
		return 0, fmt.Errorf("strength allowed by a film: %w", err)
	}
	return quantity.MassConc(float64(limit) / float64(film)), nil
}
