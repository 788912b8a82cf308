package water

import "rinsewright/quantity"

// Strength is how strong a water was read: a conductivity, or the "ppm" of a
// pen, which is a conductivity times a factor that depends on the pen's scale.
// It is kept as read; conductivity at 25 °C is derived.
type Strength struct {
	Conductivity quantity.Entry[quantity.Conductivity] // compensated to 25 °C
	PPM          quantity.Entry[quantity.MassConc]     // a pen's display
	Scale        string                                // "NaCl", "KCl", "442", a factor such as "0.5", or "" when nobody knows
}

// Known reports whether anything was read.
func (s Strength) Known() bool { return s.Conductivity.Known || s.PPM.Known }

// Sample is one set of readings of one water: where and when, with which
// instrument, after how many minutes of running. Every reading may be missing.
type Sample struct {
	Place      string // "raw", "feed", "permeate", "concentrate", "polished", "tank", "gun"
	Date       string // ISO 8601 day, "" when not noted
	Instrument string
	Running    quantity.Entry[quantity.Time] // since the last start

	Strength    Strength
	Temperature quantity.Entry[quantity.Temperature]
	PH          quantity.Entry[quantity.PH]
	Hardness    quantity.Entry[quantity.CaCO3Conc]
	Alkalinity  quantity.Entry[quantity.CaCO3Conc]

	Ions  map[Component]quantity.Entry[quantity.MassConc] // as the ion; silica as SiO2, nitrate as NO3, ammonia as NH4
	Below map[Component]quantity.MassConc                 // what was looked for and not found: below this bound

	Accuracy Accuracy // of the readings above; zero is the usual of the method

	Sulphide      quantity.Entry[quantity.MassConc]
	FreeChlorine  quantity.Entry[quantity.MassConc]
	TotalChlorine quantity.Entry[quantity.MassConc]
}
