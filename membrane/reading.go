package membrane

import (
	"fmt"

	"rinsewright/quantity"
	"rinsewright/water"
)

// Reading is what gauges and pens of a running rig say.
type Reading struct {
	PermeateFlow     quantity.Flow
	ConcentrateFlow  quantity.Flow
	FeedPressure     quantity.Pressure
	Drop             quantity.Pressure // feed to concentrate
	PermeatePressure quantity.Pressure
	Feed, Permeate   water.Water // strengths, and the temperature
}

// Normalised is a reading brought to the conditions of another.
type Normalised struct {
	Flow                  quantity.Flow
	FlowShare             quantity.Ratio // of the standard's own flow: 1 when nothing changed
	Passage, PassageShare quantity.Ratio
	Drop                  quantity.Pressure
	DropShare             quantity.Ratio
	NetDriving            quantity.Pressure // of the reading
	TemperatureFactor     quantity.Ratio    // of water, at the standard over at the reading
	Doubts                []string          // why the standard's arithmetic misleads here
}

// Where the standard's arithmetic misleads: found by running the element model
// on both sides of each, see the test beside.
const (
	doubtfulSwing    = 15.0 // K between reading and standard
	doubtfulRecovery = 0.6
	doubtfulOsmotic  = 0.35 // osmotic pressure over net driving pressure
)

// Normalise returns the reading brought to the conditions of a standard, often
// the rig's own first reading, with e the temperature constants of water and s
// those of salt ([WaterEnergies], [SaltEnergies] when nothing better is known).
//
// Source: [D4516]: [NormalisedFlow], [NormalisedPassage] and [NormalisedDrop],
// with the mean feed-brine strength by [AverageConcentration] and osmotic
// pressures from the waters. Where both hold it agrees with the element model to
// 4 % in flow and 15 % in passage; Doubts says where it does not. The error
// wraps [ErrRange] or is the water package's.
func Normalise(r, standard Reading, e, s Energies) (Normalised, error) {
	from, err := r.moment()
	if err != nil {
		return Normalised{}, fmt.Errorf("normalise reading: %w", err)
	}
	to, err := standard.moment()
	if err != nil {
		return Normalised{}, fmt.Errorf("normalise to standard: %w", err)
	}
	var out Normalised
	if out.NetDriving, err = from.condition.NetDrivingPressure(); err != nil {
		return out, err
	}
	if out.Flow, err = NormalisedFlow(r.PermeateFlow, from.condition, to.condition, e); err != nil {
		return out, err
	}
	if out.Passage, err = NormalisedPassage(from.passage, from.salt, to.salt, s); err != nil {
		return out, err
	}
	if out.Drop, err = r.dropAt(&standard); err != nil {
		return out, err
	}
	factor, err := e.ratio(standard.Feed.Temperature, r.Feed.Temperature)
	out.TemperatureFactor = quantity.Ratio(factor)
	out.FlowShare = quantity.Ratio(out.Flow / standard.PermeateFlow)
	out.PassageShare = out.Passage / to.passage
	if standard.Drop > 0 {
		out.DropShare = quantity.Ratio(out.Drop / standard.Drop)
	}
	out.Doubts = doubts(&r, &standard, from, out.NetDriving)
	return out, err
}

// moment is what the standard's arithmetic asks of a reading.
type moment struct {
	condition Condition
	salt      SaltCondition
	passage   quantity.Ratio
	recovery  quantity.Ratio
}

func (r *Reading) moment() (m moment, err error) {
	if err := within("membrane: reading", bound{"permeate flow", float64(r.PermeateFlow), 1e-12, 10, "m3/s"},
		bound{"concentrate flow", float64(r.ConcentrateFlow), 1e-12, 10, "m3/s"}); err != nil {
		return m, err
	}
	m.recovery = quantity.Ratio(r.PermeateFlow / (r.PermeateFlow + r.ConcentrateFlow))
	average, err := AverageConcentration(m.recovery)
	if err != nil {
		return m, err
	}
	feed, err := speciate(&r.Feed)
	if err != nil {
		return m, err
	}
	permeate, err := speciate(&r.Permeate)
	if err != nil {
		return m, err
	}
	if c := float64(r.Feed.DissolvedSolids()); c > 0 {
		m.passage = quantity.Ratio(min(float64(r.Permeate.DissolvedSolids())/c, 1))
	}
	m.salt = SaltCondition{r.PermeateFlow, average, r.Feed.Temperature}
	m.condition = Condition{
		FeedPressure: r.FeedPressure, Drop: r.Drop, PermeatePressure: r.PermeatePressure, Temperature: r.Feed.Temperature,
		FeedOsmotic: quantity.Pressure(feed.osmotic * average), PermeateOsmotic: quantity.Pressure(permeate.osmotic),
	}
	return m, nil
}

// dropAt is the reading's drop at the standard's mean flow and temperature.
func (r *Reading) dropAt(standard *Reading) (quantity.Pressure, error) {
	mean := func(x *Reading) quantity.Flow { return x.ConcentrateFlow + x.PermeateFlow/2 }
	warm, err := NormalisedDrop(r.Drop, mean(r), mean(standard), r.Feed.Temperature)
	if err != nil {
		return 0, err
	}
	one, err := NormalisedDrop(1, 1e-3, 1e-3, standard.Feed.Temperature)
	if err != nil {
		return 0, err
	}
	return quantity.Pressure(float64(warm) / float64(one)), nil
}

func doubts(r, standard *Reading, from moment, driving quantity.Pressure) (all []string) {
	if swing := float64(r.Feed.Temperature - standard.Feed.Temperature); swing > doubtfulSwing || swing < -doubtfulSwing {
		all = append(all, fmt.Sprintf("%.0f °C lie between the two: the temperature factor is the membrane's own, and a usual one may be 10 %% off", swing))
	}
	if from.recovery > doubtfulRecovery {
		all = append(all, "recovery above 60 %: the standard's mean knows no film, which then takes a good part of the pressure")
	}
	if osmotic := from.condition.FeedOsmotic; float64(osmotic) > doubtfulOsmotic*float64(driving) {
		all = append(all, "osmotic pressure is over a third of what drives: an error in strength is an error in flow")
	}
	return all
}
