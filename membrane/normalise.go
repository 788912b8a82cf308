package membrane

import (
	"math"

	"rinsewright/quantity"
)

// Condition is what a normalisation needs to know of a moment of running.
type Condition struct {
	FeedPressure     quantity.Pressure
	Drop             quantity.Pressure // feed to concentrate
	PermeatePressure quantity.Pressure
	FeedOsmotic      quantity.Pressure // mean of feed and brine
	PermeateOsmotic  quantity.Pressure
	Temperature      quantity.Temperature
}

// NetDrivingPressure returns what drives the water:
//
//	NDP = p_f − Δp/2 − p_p − (π_fb − π_p)
//
// Source: [D4516]. The error wraps [ErrRange] for pressures beyond 0 to 12 MPa
// or when nothing is left to drive.
func (c Condition) NetDrivingPressure() (quantity.Pressure, error) {
	const op = "membrane: net driving pressure"
	err := within(op,
		bound{"feed pressure", float64(c.FeedPressure), 0, 1.2e7, "Pa"},
		bound{"pressure drop", float64(c.Drop), 0, 1.2e7, "Pa"},
		bound{"permeate pressure", float64(c.PermeatePressure), -1e5, 1.2e7, "Pa"},
		bound{"feed-brine osmotic pressure", float64(c.FeedOsmotic), 0, 1.2e7, "Pa"},
		bound{"permeate osmotic pressure", float64(c.PermeateOsmotic), 0, 1.2e7, "Pa"})
	if err != nil {
		return 0, err
	}
	net := c.FeedPressure - c.Drop/2 - c.PermeatePressure - (c.FeedOsmotic - c.PermeateOsmotic)
	return net, within(op, bound{"net driving pressure", float64(net), 1, 1.2e7, "Pa"})
}

// Condition returns the running train as gauges and the standard's arithmetic
// would have it: mean feed-brine osmotic pressure from [AverageConcentration],
// the permeate's as its share of salt.
//
// Source: [D4516]. It knows no film, so its net driving pressure is above
// the slices' own by some per cent, about 6 for a tap rig at half recovery. The error wraps [ErrRange].
func (r Result) Condition() (Condition, error) {
	factor, err := AverageConcentration(r.Recovery)
	if err != nil {
		return Condition{}, err
	}
	pi := float64(r.FeedOsmotic) // Pa
	return Condition{
		FeedPressure:     r.Concentrate.Pressure + r.Drop,
		Drop:             r.Drop,
		PermeatePressure: r.Permeate.Pressure,
		FeedOsmotic:      quantity.Pressure(pi * factor),
		PermeateOsmotic:  quantity.Pressure(pi * float64(r.Passage)),
		Temperature:      r.Permeate.Water.Temperature,
	}, nil
}

// NormalisedFlow returns the permeate flow that a membrane making q at the
// actual condition would make at the standard one:
//
//	Q_ps = Q_pa (NDP_s TCF_s) / (NDP_a TCF_a)
//
// with e the Arrhenius constants of water ([WaterEnergies]). Source: [D4516]
// section 6.1. Errors as [Condition.NetDrivingPressure] and [Energies.Factor].
func NormalisedFlow(q quantity.Flow, actual, standard Condition, e Energies) (quantity.Flow, error) {
	if err := within("membrane: normalised flow", bound{"permeate flow", float64(q), 0, 10, "m3/s"}); err != nil {
		return 0, err
	}
	na, err := actual.NetDrivingPressure()
	if err != nil {
		return 0, err
	}
	ns, err := standard.NetDrivingPressure()
	if err != nil {
		return 0, err
	}
	ratio, err := e.ratio(standard.Temperature, actual.Temperature)
	if err != nil {
		return 0, err
	}
	return quantity.Flow(float64(q) * float64(ns) / float64(na) * ratio), nil
}

// ratio is the factor at t over that at u, both against 25 °C.
func (e Energies) ratio(t, u quantity.Temperature) (float64, error) {
	ft, err := e.Factor(t, reference)
	if err != nil {
		return 0, err
	}
	fu, err := e.Factor(u, reference)
	if err != nil {
		return 0, err
	}
	return ft / fu, nil
}

// SaltCondition is what normalising salt passage needs to know.
type SaltCondition struct {
	PermeateFlow         quantity.Flow
	AverageConcentration float64 // feed-brine over feed, [AverageConcentration]
	Temperature          quantity.Temperature
}

// NormalisedPassage returns the salt passage (permeate over feed strength)
// that a membrane passing sp at the actual condition would show at the
// standard one:
//
//	SP_s = SP_a (Q_pa/Q_ps) (STCF_s/STCF_a) (CF_s/CF_a)
//
// with e the Arrhenius constants of salt. Source: [D4516], form from memory;
// it follows from SP = B C_fb/(J C_f). The error wraps [ErrRange].
func NormalisedPassage(sp quantity.Ratio, actual, standard SaltCondition, e Energies) (quantity.Ratio, error) {
	err := within("membrane: normalised salt passage",
		bound{"salt passage", float64(sp), 0, 1, ""},
		bound{"actual permeate flow", float64(actual.PermeateFlow), 1e-12, 10, "m3/s"},
		bound{"standard permeate flow", float64(standard.PermeateFlow), 1e-12, 10, "m3/s"},
		bound{"actual average concentration", actual.AverageConcentration, 1, 100, ""},
		bound{"standard average concentration", standard.AverageConcentration, 1, 100, ""})
	if err != nil {
		return 0, err
	}
	ratio, err := e.ratio(standard.Temperature, actual.Temperature)
	if err != nil {
		return 0, err
	}
	flow := float64(actual.PermeateFlow) / float64(standard.PermeateFlow)
	strength := standard.AverageConcentration / actual.AverageConcentration
	return quantity.Ratio(float64(sp) * flow * ratio * strength), nil
}

// NormalisedDrop returns the pressure drop that a channel losing dp at mean
// feed-brine flow q would lose at flow std and 25 °C:
//
//	Δp_s = Δp (Q_s/Q_a)^1.5 (1 + 0.017 (T − 25 °C))
//
// Source: [Practice] beside [D4516]; the exponent is the rule's, the element
// model's own is 1.7. The error wraps [ErrRange]; valid 0 to 60 °C.
func NormalisedDrop(dp quantity.Pressure, q, std quantity.Flow, t quantity.Temperature) (quantity.Pressure, error) {
	err := within("membrane: normalised drop",
		bound{"pressure drop", float64(dp), 0, 1.2e7, "Pa"},
		bound{"mean flow", float64(q), 1e-9, 10, "m3/s"},
		bound{"standard flow", float64(std), 1e-9, 10, "m3/s"},
		bound{"temperature", float64(t), 273.15, 333.15, "K"})
	if err != nil {
		return 0, err
	}
	return quantity.Pressure(float64(dp) * math.Pow(float64(std)/float64(q), 1.5) * (1 + 0.017*(float64(t)-reference))), nil
}

// OsmoticRule returns the normalisation practice's osmotic pressure of NaCl:
//
//	π/kPa = 0.2654 C (T/°C + 273.15) / (1000 − C/1000),  C in mg/L
//
// Source: [D4516] practice, from memory. Against tabulated NaCl it is 5 % low
// at 100 mg/L and 1.5 % low at 2000 mg/L: the element model does not use it.
// Valid to 50 g/L and 0 to 60 °C; the error wraps [ErrRange].
func OsmoticRule(c quantity.MassConc, t quantity.Temperature) (quantity.Pressure, error) {
	err := within("membrane: osmotic rule",
		bound{"strength", float64(c), 0, 50, "kg/m3"},
		bound{"temperature", float64(t), 273.15, 333.15, "K"})
	if err != nil {
		return 0, err
	}
	mg := c.MilligramsPerLitre()
	return quantity.Pressure(1e3 * 0.2654 * mg * float64(t) / (1000 - mg/1000)), nil
}
