package study

import "rinsewright/quantity"

// Sanitising a tank and its lines. Source: [TradeDefaults]: 50 mg/L of free
// chlorine for an hour from plain household bleach of 5.25 % by weight and
// volume, rinsed until a test shows less than 0.1 mg/L. From memory,
// unverified; the label of the bleach and the local code have the last word.
const (
	SanitiseChlorine = quantity.MassConc(0.050) // kg/m³
	SanitiseContact  = quantity.Time(3600)
	SanitiseResidual = quantity.MassConc(1e-4) // kg/m³, before membrane and resin come back
	bleachStrength   = 52.5                    // kg/m³ of free chlorine
)

// SanitiseDose returns the household bleach that brings a tank to
// [SanitiseChlorine]:
//
//	V_bleach = V c / c_bleach
//
// Source: mass balance, with the strengths of [TradeDefaults]; bleach loses a
// fifth of its strength in a year on the shelf, so a test strip confirms it.
func SanitiseDose(tank quantity.Volume) quantity.Volume {
	return quantity.Volume(float64(tank) * float64(SanitiseChlorine) / bleachStrength)
}
