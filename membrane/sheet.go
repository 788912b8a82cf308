package membrane

import (
	"fmt"

	"rinsewright/quantity"
)

// Sheet is what an element's data sheet states. Area, PermeateFlow, Rejection
// and TestPressure must be there; any other zero field is assumed and told.
type Sheet struct {
	Name         string
	Area         quantity.Area
	PermeateFlow quantity.Flow  // at the test
	Rejection    quantity.Ratio // of NaCl at the test, usually the stabilised one

	TestPressure    quantity.Pressure // at the feed end
	TestSalt        quantity.MassConc // NaCl in the feed
	TestTemperature quantity.Temperature
	TestRecovery    quantity.Ratio
	TestPH          float64

	Length       quantity.Length // of the feed channel, glue lines off
	SpacerHeight quantity.Length
	Tolerance    quantity.Ratio // of permeate flow, either way

	WaterEnergies Energies
	SaltEnergies  Energies
	Limits        Limits
}

// Limits is what the maker allows an element. A zero field is assumed.
type Limits struct {
	Pressure    quantity.Pressure
	Temperature quantity.Temperature
	FeedFlow    quantity.Flow
	Drop        quantity.Pressure // over one element
	MinPH       float64           // continuous running
	MaxPH       float64
	Recovery    quantity.Ratio // of one element
}

// Defaults for what a sheet leaves out. Source: [Practice], typical of spiral
// elements 40 in long; the split of test strength is by [Memory].
const (
	assumedTemperature  = quantity.Temperature(reference)
	assumedRecovery     = quantity.Ratio(0.15)
	assumedPH           = 7.5
	assumedLength       = quantity.Length(0.965)
	assumedSpacer       = quantity.Length(0.71e-3) // 28 mil
	assumedTolerance    = quantity.Ratio(0.15)
	tapTestPressure     = quantity.Pressure(1e6) // tests at or below it are low-energy ones
	assumedTapSalt      = quantity.MassConc(0.5)
	assumedBrackishSalt = quantity.MassConc(2.0)
	assumedMaxPressure  = quantity.Pressure(41.4e5)
	assumedMaxTemp      = quantity.Temperature(318.15) // 45 °C
	assumedMaxDrop      = quantity.Pressure(1.0e5)     // 15 psi
	assumedMinPH        = 2.0
	assumedMaxPH        = 11.0
	assumedMaxRecovery  = quantity.Ratio(0.19)
	assumedFeedPerArea  = 1e-3 / 7.9 // m/s: 60 L/min on an element of 7.9 m²
)

// missing names the fields no default can stand for.
func (s Sheet) missing() []string {
	var fields []string
	for _, f := range []struct {
		name string
		x    float64
	}{
		{"area", float64(s.Area)},
		{"permeate flow", float64(s.PermeateFlow)},
		{"rejection", float64(s.Rejection)},
		{"test pressure", float64(s.TestPressure)},
	} {
		if f.x == 0 {
			fields = append(fields, f.name)
		}
	}
	return fields
}

// fill returns the sheet with every zero field assumed, and what was assumed.
func (s Sheet) fill() (Sheet, []string) {
	var told []string
	salt := assumedBrackishSalt
	if s.TestPressure <= tapTestPressure {
		salt = assumedTapSalt
	}
	assume(&s.TestSalt, salt, &told, "test strength %.0f mg/L NaCl", 1e3)
	assume(&s.TestTemperature, assumedTemperature, &told, "test temperature %.2f K (25 °C)", 1)
	assume(&s.TestRecovery, assumedRecovery, &told, "test recovery %.0f %%", 100)
	assume(&s.TestPH, assumedPH, &told, "test pH %.1f", 1)
	assume(&s.Length, assumedLength, &told, "channel length %.3f m", 1)
	assume(&s.SpacerHeight, assumedSpacer, &told, "spacer height %.2f mm", 1e3)
	assume(&s.Tolerance, assumedTolerance, &told, "permeate flow tolerance ± %.0f %%", 100)
	assume(&s.WaterEnergies.Below, waterEnergies.Below, &told, "water permeability Arrhenius constant below 25 °C %.0f K", 1)
	assume(&s.WaterEnergies.Above, waterEnergies.Above, &told, "water permeability Arrhenius constant above 25 °C %.0f K", 1)
	assume(&s.SaltEnergies.Below, saltEnergies.Below, &told, "salt permeability Arrhenius constant below 25 °C %.0f K", 1)
	assume(&s.SaltEnergies.Above, saltEnergies.Above, &told, "salt permeability Arrhenius constant above 25 °C %.0f K", 1)
	s.Limits.fill(s.Area, &told)
	return s, told
}

func (l *Limits) fill(area quantity.Area, told *[]string) {
	assume(&l.Pressure, assumedMaxPressure, told, "highest pressure %.1f bar", 1e-5)
	assume(&l.Temperature, assumedMaxTemp, told, "highest temperature %.2f K (45 °C)", 1)
	assume(&l.FeedFlow, quantity.Flow(float64(area)*assumedFeedPerArea), told, "highest feed flow %.1f L/min", 6e4)
	assume(&l.Drop, assumedMaxDrop, told, "highest pressure drop of one element %.2f bar", 1e-5)
	assume(&l.MinPH, assumedMinPH, told, "lowest pH %.0f", 1)
	assume(&l.MaxPH, assumedMaxPH, told, "highest pH %.0f", 1)
	assume(&l.Recovery, assumedMaxRecovery, told, "highest recovery of one element %.0f %%", 100)
}

// assume sets *field to value when it is zero and tells so; scale turns the SI
// value into the unit that the sentence names.
func assume[T ~float64](field *T, value T, told *[]string, sentence string, scale float64) {
	if *field != 0 {
		return
	}
	*field = value
	*told = append(*told, "assumed "+fmt.Sprintf(sentence, float64(value)*scale))
}

// check says what in a filled sheet cannot be.
func (s Sheet) check() error {
	return within("membrane: read data sheet",
		bound{"area", float64(s.Area), 0.05, 100, "m2"},
		bound{"permeate flow", float64(s.PermeateFlow), 1e-8, 1e-2, "m3/s"},
		bound{"rejection", float64(s.Rejection), 0.3, 0.99999, ""},
		bound{"test pressure", float64(s.TestPressure), 1e4, 1e7, "Pa"},
		bound{"test strength", float64(s.TestSalt), 1e-3, 50, "kg/m3"},
		bound{"test temperature", float64(s.TestTemperature), 273.15, 323.15, "K"},
		bound{"test recovery", float64(s.TestRecovery), 0.005, 0.9, ""},
		bound{"test pH", s.TestPH, 2, 12, ""},
		bound{"channel length", float64(s.Length), 0.05, 5, "m"},
		bound{"spacer height", float64(s.SpacerHeight), 2e-4, 5e-3, "m"},
		bound{"flow tolerance", float64(s.Tolerance), 0, 0.5, ""},
		bound{"water Arrhenius constant below", float64(s.WaterEnergies.Below), 0, 2e4, "K"},
		bound{"water Arrhenius constant above", float64(s.WaterEnergies.Above), 0, 2e4, "K"},
		bound{"salt Arrhenius constant below", float64(s.SaltEnergies.Below), 0, 2e4, "K"},
		bound{"salt Arrhenius constant above", float64(s.SaltEnergies.Above), 0, 2e4, "K"},
		bound{"highest pressure", float64(s.Limits.Pressure), 1e4, 1e8, "Pa"},
		bound{"highest temperature", float64(s.Limits.Temperature), 278.15, 400, "K"},
		bound{"highest feed flow", float64(s.Limits.FeedFlow), 1e-8, 1, "m3/s"},
		bound{"highest drop", float64(s.Limits.Drop), 1e2, 1e7, "Pa"},
		bound{"lowest pH", s.Limits.MinPH, 0, 14, ""},
		bound{"highest pH", s.Limits.MaxPH, 0, 14, ""},
		bound{"highest element recovery", float64(s.Limits.Recovery), 0.01, 1, ""})
}
