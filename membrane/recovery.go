package membrane

import (
	"math"

	"rinsewright/quantity"
)

// AverageConcentration returns the mean strength along a channel over its
// feed's, for perfect rejection at recovery y:
//
//	C_fb/C_f = ln(1/(1 − Y)) / Y
//
// Source: [D4516], by exact integration of steady withdrawal. Valid 0 ≤ y < 1;
// the error wraps [ErrRange]. Accurate to the float.
func AverageConcentration(y quantity.Ratio) (float64, error) {
	if err := within("membrane: average concentration", bound{"recovery", float64(y), 0, 0.999, ""}); err != nil {
		return 0, err
	}
	if y == 0 {
		return 1, nil
	}
	return -math.Log1p(-float64(y)) / float64(y), nil
}

// EndConcentration returns the concentrate's strength over the feed's at
// recovery y when every bit of membrane rejects the share r of what is local:
//
//	C_c/C_f = (1 − Y)^−r
//
// Source: exact integration of the salt balance. Valid 0 ≤ y < 1, 0 ≤ r ≤ 1;
// the error wraps [ErrRange].
func EndConcentration(y, r quantity.Ratio) (float64, error) {
	if err := plug("membrane: end concentration", y, r); err != nil {
		return 0, err
	}
	return math.Exp(-float64(r) * math.Log1p(-float64(y))), nil
}

// MeanPassage returns the permeate's strength over the feed's at recovery y
// when every bit of membrane rejects the share r of what is local:
//
//	C_p/C_f = (1 − (1 − Y)^(1 − r)) / Y
//
// Source: exact integration of the salt balance. Valid 0 ≤ y < 1, 0 ≤ r ≤ 1;
// the error wraps [ErrRange].
func MeanPassage(y, r quantity.Ratio) (quantity.Ratio, error) {
	if err := plug("membrane: mean passage", y, r); err != nil {
		return 0, err
	}
	if y == 0 {
		return 1 - r, nil
	}
	return quantity.Ratio(-math.Expm1((1-float64(r))*math.Log1p(-float64(y))) / float64(y)), nil
}

func plug(operation string, y, r quantity.Ratio) error {
	return within(operation,
		bound{"recovery", float64(y), 0, 0.999, ""},
		bound{"rejection", float64(r), 0, 1, ""})
}

// ConcentrateStrength returns a concentrate's strength from the feed's, by
// balance at recovery y with the share sp of the feed's strength passing:
//
//	C_c = C_f (1 − Y SP) / (1 − Y)
//
// Source: [D4582] section 7. Valid 0 ≤ y < 1, 0 ≤ sp ≤ 1; the error wraps
// [ErrRange].
func ConcentrateStrength(feed quantity.MassConc, y, sp quantity.Ratio) (quantity.MassConc, error) {
	err := within("membrane: concentrate strength",
		bound{"feed strength", float64(feed), 0, 300, "kg/m3"},
		bound{"recovery", float64(y), 0, 0.999, ""},
		bound{"salt passage", float64(sp), 0, 1, ""})
	if err != nil {
		return 0, err
	}
	return quantity.MassConc(float64(feed) * (1 - float64(y)*float64(sp)) / (1 - float64(y))), nil
}

// RecoveryFromStrengths returns recovery from three readings of strength, for
// a rig without flow meters:
//
//	Y = (C_c − C_f) / (C_c − C_p)
//
// Source: salt balance. It is weak when concentrate and feed are near: its
// error grows as 1/(C_c/C_f − 1). The error wraps [ErrRange] unless
// 0 ≤ C_p < C_f ≤ C_c.
func RecoveryFromStrengths(feed, permeate, concentrate quantity.MassConc) (quantity.Ratio, error) {
	err := within("membrane: recovery from strengths",
		bound{"permeate strength", float64(permeate), 0, float64(feed), "kg/m3"},
		bound{"feed strength", float64(feed), 1e-9, float64(concentrate), "kg/m3"},
		bound{"concentrate strength", float64(concentrate), 1e-9, 300, "kg/m3"})
	if err != nil {
		return 0, err
	}
	if !(concentrate > permeate) {
		return 0, within("membrane: recovery from strengths", bound{"permeate strength", math.NaN(), 0, float64(concentrate), "kg/m3"})
	}
	return quantity.Ratio(float64(concentrate-feed) / float64(concentrate-permeate)), nil
}

// PolarisationRule returns the rule of thumb for the film's strength over the
// bulk's in an element at recovery y:
//
//	β = exp(0.7 Y)
//
// Source: [Memory], a rule of thumb; [Train.Run] computes β from the film.
// Valid 0 ≤ y ≤ 1; the error wraps [ErrRange].
func PolarisationRule(y quantity.Ratio) (float64, error) {
	if err := within("membrane: polarisation rule", bound{"recovery", float64(y), 0, 1, ""}); err != nil {
		return 0, err
	}
	return math.Exp(0.7 * float64(y)), nil
}
