package faults

import (
	"math"

	"rinsewright/plant"
	"rinsewright/quantity"
)

// instrument is how far a kind of reading is off, beside what one pen or gauge
// has in common in all its readings, and the scale on which that is about
// constant: y = asinh(x/2c) where c is the strength below which only the
// instrument's floor counts, y = x where c is 0.
type instrument struct {
	knee  float64 // c, SI
	share float64 // one standard deviation, of the reading
	floor float64 // one standard deviation, SI
	digit float64 // last digit, SI
	model float64 // of y: how far the model itself may be off
}

// Accuracy of field readings, one standard deviation. Source: [TradeFaults]
// section on readings that a technician can take: pen ±1 to 2 ppm below 20 and
// ±2 %, bucket ±3 to 5 %, gauge ±3 % in its middle, thermometer ±0.5 to 1 °C,
// drop kits ±1 grain and ±10 to 20 mg/L, colour kits ±10 to 20 %, DPD ±0.05 to
// 0.2, pH ±0.1, tape ±0.5 in: limits, taken as two standard deviations. What the
// model may be off is common practice.
func (e *Evidence) instrument() instrument {
	in := e.usual()
	if e.Digit > 0 {
		in.digit = e.Digit
	}
	return in
}

func (e *Evidence) usual() instrument {
	const ppm = 2 * microsiemens // half of µS/cm
	switch e.Of {
	case plant.FeedStrength, plant.ConcentrateStrength:
		return instrument{1.5 * microsiemens, 0.01, 0.3 * ppm, ppm, 0.01}
	case plant.PermeateStrength:
		return instrument{1.5 * microsiemens, 0.01, 0.3 * ppm, ppm, 0.03}
	case plant.HousingStrength: // no two elements pass the same
		return instrument{1.5 * microsiemens, 0.01, 0.3 * ppm, ppm, 0.2}
	case plant.PermeateFirst, plant.GunFirst, plant.PolishFirst, plant.DripStrength:
		return instrument{1.5 * microsiemens, 0.03, 0.4 * ppm, ppm, 0.15}
	case plant.LeadStrength, plant.PolishStrength, plant.TankStrength, plant.GunStrength:
		return instrument{1.5 * microsiemens, 0.01, 0.3 * ppm, ppm, 0.06}
	case plant.StaticPressure, plant.TapPressure, plant.FeedPressure, plant.ConcentratePressure, plant.PermeatePressure, plant.GunPressure:
		return instrument{0, 0.006, float64(quantity.PSI(0.8)), float64(quantity.PSI(1)), 0}
	case plant.PermeateFlow, plant.ConcentrateFlow, plant.GunFlow, plant.GunFlowAll:
		return instrument{float64(quantity.GallonsPerMinute(0.01)), 0.022, 0, float64(quantity.GallonsPerMinute(0.01)), 0.015}
	case plant.ConcentrateFlowFull:
		return instrument{float64(quantity.GallonsPerMinute(0.02)), 0.05, float64(quantity.GallonsPerMinute(0.01)), float64(quantity.GallonsPerMinute(0.01)), 0.3}
	}
	return e.kit()
}

func (e *Evidence) kit() instrument {
	const grain = 17.1 * milligram
	switch e.Of {
	case plant.FeedTemperature:
		return instrument{0, 0, 0.4, 0.5, 0}
	case plant.FeedHardness, plant.MembraneHardness:
		return instrument{grain, 0, 0.5 * grain, grain, 0.03}
	case plant.FeedPH, plant.PermeatePH:
		return instrument{0, 0, 0.07, 0.1, 0.05}
	case plant.FeedAlkalinity:
		return instrument{10 * milligram, 0, 8 * milligram, 10 * milligram, 0.03}
	case plant.FeedSilica, plant.LeadSilica, plant.PolishSilica:
		return instrument{0.1 * milligram, 0.09, 0.04 * milligram, 0.1 * milligram, 0.1}
	case plant.FeedIron:
		return instrument{0.03 * milligram, 0.08, 0.025 * milligram, 0.05 * milligram, 0.1}
	case plant.FeedFreeChlorine, plant.FeedChlorine, plant.MembraneFreeChlorine, plant.MembraneChlorine:
		return instrument{0.05 * milligram, 0.05, 0.06 * milligram, 0.05 * milligram, 0.05}
	case plant.HoursPerDay:
		return instrument{0.01, 0.03, 0.004, 0.004, 0.1}
	case plant.StartsPerHour:
		return instrument{0.05, 0.08, 0.05, 0.1, 0.15}
	case plant.TankLevel:
		return instrument{0, 0, 0.02, 0.02, 0}
	case plant.TankDrop:
		return instrument{0.004, 0.05, 0.004, 0.002, 0.2}
	case ResinWater, ResinTime:
		return instrument{1e-6, 0.05, 0, 0, 0.05}
	}
	return instrument{1, 0.05, 0.01, 0, 0.1}
}

// onScale is y, the scale on which the error is about constant.
func (in instrument) onScale(x float64) float64 {
	if in.knee == 0 {
		return x
	}
	return math.Asinh(x / (2 * in.knee))
}

// spread is the standard deviation of y at x.
func (in instrument) spread(x float64) float64 {
	sd := math.Sqrt(in.share*in.share*x*x + in.floor*in.floor + in.digit*in.digit/12)
	if in.knee > 0 {
		sd /= math.Sqrt(x*x + 4*in.knee*in.knee)
	}
	return math.Hypot(sd, in.model)
}

// gaugePlaces are where panel gauges hang, each with its own error.
var gaugePlaces = [...]plant.Gauge{plant.StaticPressure, plant.TapPressure, plant.FeedPressure, plant.ConcentratePressure, plant.PermeatePressure}

// shown is what an instrument that is off shows of a true value.
func (e *Evidence) shown(x float64, m *meters) float64 {
	switch e.Of.Kind() {
	case quantity.KindConductivity:
		return max(x*math.Exp(m.penGain)+m.penOffset, 0)
	case quantity.KindPressure:
		for i, of := range gaugePlaces {
			if of == e.Of {
				x += m.gauges[i]
			}
		}
		return max(x, 0)
	}
	return x
}
