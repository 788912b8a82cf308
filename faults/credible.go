package faults

import (
	"errors"
	"fmt"

	"rinsewright/plant"
	"rinsewright/quantity"
)

// ErrRange is wrapped by the error about a reading that no instrument shows,
// NaN and infinities included.
var ErrRange = errors.New("out of range")

// bounds are what any instrument of the trade can show, SI.
var bounds = map[quantity.Kind][2]float64{
	quantity.KindConductivity: {0, 20}, quantity.KindPressure: {0, 2e7}, quantity.KindFlow: {0, 1},
	quantity.KindTemperature: {268, 335}, quantity.KindMassConc: {0, 100}, quantity.KindCaCO3Conc: {0, 100},
	quantity.KindPH: {0, 14}, quantity.KindRatio: {0, 1.5}, quantity.KindVolume: {0, 1e7}, quantity.KindTime: {0, 1e11}, "": {0, 1e5},
}

// credible refuses readings that cannot be.
func credible(rows []Evidence) error {
	for i := range rows {
		e := &rows[i]
		kind := e.Of.Kind()
		if e.Of == plant.StartsPerHour {
			kind = ""
		}
		b, ok := bounds[kind]
		if !ok || !(b[0] <= e.SI && e.SI <= b[1]) || !(e.Digit >= 0 && e.Digit <= b[1]) || e.Timed && !(e.Running >= 0 && e.Running <= 1e8) {
			return fmt.Errorf("faults: %s reads %.4g (SI), want %.4g to %.4g: %w", e.Key(), e.SI, b[0], b[1], ErrRange)
		}
	}
	return nil
}
