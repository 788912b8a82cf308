package site

import (
	"rinsewright/plant"
	"rinsewright/quantity"
	"rinsewright/water"
)

// Visit is one entry of the log: someone was there, or called. Every part of it
// may be missing.
type Visit struct {
	Date    string // ISO 8601 day
	At      string // time of day, "14:30"
	By      string // who was there
	Words   string // what was seen and done
	Said    string // in the customer's words
	Notice  string // what the utility announced
	From    string // the file that it was imported from
	Changed []Change
	Sample  *water.Sample                   // one water read in full
	Meter   quantity.Entry[quantity.Volume] // totaliser on the permeate
	Hours   quantity.Entry[quantity.Time]   // hour meter of the membrane
	Vends   int                             // vend counter, 0 when not read
	Read    []Reading                       // by gauge
}

// Gauged returns all that a visit read as readings of gauges: its sample, its
// totaliser and hour meter, and what was read by gauge. What was skipped is
// left out.
func (v Visit) Gauged() (all []plant.Reading) {
	if v.Sample != nil {
		all = SampleReadings(*v.Sample)
	}
	if v.Meter.Known {
		all = append(all, plant.Reading{Of: plant.PermeateVolume, SI: float64(v.Meter.Value), Digit: digitOf(v.Meter)})
	}
	if v.Hours.Known {
		all = append(all, plant.Reading{Of: plant.RunTime, SI: float64(v.Hours.Value), Digit: digitOf(v.Hours)})
	}
	for _, r := range v.Read {
		if r.Skipped == "" {
			all = append(all, r.Reading)
		}
	}
	return all
}

// SampleReadings returns what one sample says of gauges. A pen whose scale
// nobody knows is taken to be on the NaCl scale.
func SampleReadings(w water.Sample) (all []plant.Reading) {
	place, ok := samplePlaces[w.Place]
	if !ok {
		return nil
	}
	add := func(of plant.Gauge, si, digit float64, scale water.Scale) {
		if of != "" {
			all = append(all, plant.Reading{Of: of, SI: si, Digit: digit, Scale: scale, Instrument: w.Instrument, Running: w.Running.Value, Timed: w.Running.Known})
		}
	}
	if c := w.Strength.Conductivity; c.Known {
		add(place.strength, float64(c.Value), digitOf(c), water.Scale{})
	}
	if p := w.Strength.PPM; p.Known {
		if si, digit, scale, err := penReading(p.Value, digitOf(p), w.Strength.Scale); err == nil {
			add(place.strength, si, digit, scale)
		}
	}
	none := water.Scale{}
	if w.Temperature.Known {
		add(place.temperature, float64(w.Temperature.Value), digitOf(w.Temperature), none)
	}
	if w.PH.Known {
		add(place.pH, float64(w.PH.Value), digitOf(w.PH), none)
	}
	if w.Hardness.Known {
		add(place.hardness, float64(w.Hardness.Value), digitOf(w.Hardness), none)
	}
	if w.Alkalinity.Known {
		add(place.alkalinity, float64(w.Alkalinity.Value), digitOf(w.Alkalinity), none)
	}
	if w.FreeChlorine.Known {
		add(place.free, float64(w.FreeChlorine.Value), digitOf(w.FreeChlorine), none)
	}
	if w.TotalChlorine.Known {
		add(place.total, float64(w.TotalChlorine.Value), digitOf(w.TotalChlorine), none)
	}
	if silica, ok := w.Ions[water.Silica]; ok {
		add(place.silica, float64(silica.Value), digitOf(silica), none)
	}
	if iron, ok := w.Ions[water.Iron]; ok {
		add(place.iron, float64(iron.Value), digitOf(iron), none)
	}
	return all
}

// digitOf is one step of an entry's last digit as it was typed, 0 when nobody
// typed it.
func digitOf[Q quantity.Quantity](e quantity.Entry[Q]) float64 {
	if e.Typed == "" {
		return 0
	}
	_, step, err := quantity.ParseKind(quantity.KindFor[Q](), e.Typed, quantity.Locale{})
	if err != nil {
		_, step, err = quantity.ParseKind(quantity.KindFor[Q](), e.Typed, quantity.Locale{DecimalComma: true})
	}
	if err != nil {
		return 0
	}
	return step
}

// spot is the gauges of one place where a sample can be taken.
type spot struct {
	strength, temperature, pH, hardness, alkalinity, free, total, silica, iron plant.Gauge
}

var samplePlaces = map[string]spot{
	"raw": {
		plant.FeedStrength, plant.FeedTemperature, plant.FeedPH, plant.FeedHardness, plant.FeedAlkalinity,
		plant.FeedFreeChlorine, plant.FeedChlorine, plant.FeedSilica, plant.FeedIron,
	},
	"feed":        {temperature: plant.FeedTemperature, hardness: plant.MembraneHardness, free: plant.MembraneFreeChlorine, total: plant.MembraneChlorine},
	"permeate":    {strength: plant.PermeateStrength, pH: plant.PermeatePH},
	"concentrate": {strength: plant.ConcentrateStrength},
	"polished":    {strength: plant.PolishStrength, silica: plant.PolishSilica},
	"tank":        {strength: plant.TankStrength},
	"gun":         {strength: plant.GunStrength},
}
