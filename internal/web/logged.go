package web

import (
	"cmp"
	"fmt"
	"slices"
	"time"

	"rinsewright/internal/store"
	"rinsewright/plant"
	"rinsewright/quantity"
	"rinsewright/site"
	"rinsewright/water"
)

// withSamples adds what was logged to the record, so that the model sees what
// was read last: every sample as a visit of the log, waters behind the membrane
// as samples, and raw water where it was read in full. A raw strength alone
// does not join: it would hide the survey's analysis. It tells whether anything
// joined that a check looks at. Corrected samples stay out. What was typed is
// written as the file of the record is.
func withSamples(record *site.Site, samples []store.Sample, file quantity.Locale) (joined bool) {
	corrected := map[string]bool{}
	for _, x := range samples {
		corrected[x.Corrects] = true
	}
	for i := len(samples) - 1; i >= 0; i-- { // the oldest first, as a file has them
		x := rewritten(samples[i], file)
		if corrected[x.ID] {
			continue
		}
		record.Log = append(record.Log, visitOf(x, file))
		for _, w := range watersOf(x) {
			if joins(w) {
				record.Samples, joined = append(record.Samples, w), true
			}
		}
	}
	return joined
}

// joins tells whether a logged water is one that a check looks at.
func joins(w water.Sample) bool {
	return w.Strength.Known() && (w.Place != "raw" || w.Hardness.Known && w.Alkalinity.Known)
}

// joined names the samples that a check looks at, "" for none: how many there
// are, and the latest. What does not join asks for no new check.
func joined(samples []store.Sample) string {
	corrected, n, latest := map[string]bool{}, 0, ""
	for _, x := range samples {
		corrected[x.Corrects] = true
	}
	for _, x := range samples {
		if !corrected[x.ID] && slices.ContainsFunc(watersOf(x), joins) {
			n++
			latest = cmp.Or(latest, x.ID)
		}
	}
	if n == 0 {
		return ""
	}
	return fmt.Sprint(n, " ", latest)
}

// commaTyped marks a sample whose numbers were typed with a decimal comma.
var commaTyped = store.Reading{Name: "decimal", Typed: "comma"}

// rewritten is a sample with its numbers written as a file is.
func rewritten(x store.Sample, file quantity.Locale) store.Sample {
	typed := quantity.Locale{DecimalComma: slices.Contains(x.Readings, commaTyped)}
	out := x
	out.Readings = nil
	for _, r := range x.Readings {
		if r != commaTyped {
			r.Typed = quantity.Rewrite(r.Typed, typed, file)
			out.Readings = append(out.Readings, r)
		}
	}
	return out
}

// local is when a sample was taken, by the clock of whoever took it.
func local(x store.Sample) time.Time {
	return x.Taken.Add(time.Duration(x.OffsetMinutes) * time.Minute).UTC()
}

// visitOf is a logged sample as an entry of the site's log.
func visitOf(x store.Sample, file quantity.Locale) site.Visit {
	visit := site.Visit{Date: local(x).Format(time.DateOnly), At: local(x).Format("15:04"), Words: x.Note}
	if x.Place == ofTheRig {
		for _, r := range x.Readings {
			visit.Read = append(visit.Read, gaugeRead(r, file))
		}
		return visit
	}
	for _, w := range watersOf(x) {
		visit.Sample = &w
	}
	return visit
}

// gaugeRead is a kept reading of a gauge, read from its line as a file does, so
// that its last digit and its pen's scale are known too.
func gaugeRead(r store.Reading, file quantity.Locale) site.Reading {
	if out, err := site.ParseReading(r.Name+" = "+r.Typed, file); err == nil {
		return out
	}
	out := site.Reading{Typed: r.Typed, Skipped: r.Skipped} // the grammar was another when it was typed
	out.Of, out.SI = plant.Gauge(r.Name), r.SI
	return out
}

// gaugeWaters are the places of waters that a gauge of the rig reads.
var gaugeWaters = map[string]string{string(plant.TankStrength): "tank", string(plant.GunStrength): "gun", string(plant.ConcentrateStrength): "concentrate"}

// watersOf are the waters that a logged sample tells of.
func watersOf(x store.Sample) (waters []water.Sample) {
	date := local(x).Format(time.DateOnly)
	if x.Place == ofTheRig {
		for _, r := range x.Readings {
			if place := gaugeWaters[r.Name]; place != "" && r.Skipped == "" {
				w := water.Sample{Place: place, Date: date}
				w.Strength.Conductivity = quantity.Told(quantity.Conductivity(r.SI)) // typed on a pen's scale, perhaps
				waters = append(waters, w)
			}
		}
		return waters
	}
	w := water.Sample{Place: x.Place, Date: date, Ions: map[water.Component]quantity.Entry[quantity.MassConc]{}}
	for _, r := range x.Readings {
		if r.Skipped != "" {
			continue
		}
		switch r.Name {
		case "strength":
			w.Strength.PPM = kept[quantity.MassConc](r)
		case "conductivity":
			w.Strength.Conductivity = kept[quantity.Conductivity](r)
		case "scale":
			w.Strength.Scale = r.Typed
		case "temperature":
			w.Temperature = kept[quantity.Temperature](r)
		case "pH":
			w.PH = kept[quantity.PH](r)
		case "hardness":
			w.Hardness = kept[quantity.CaCO3Conc](r)
		case "alkalinity":
			w.Alkalinity = kept[quantity.CaCO3Conc](r)
		case "free_chlorine":
			w.FreeChlorine = kept[quantity.MassConc](r)
		case "total_chlorine":
			w.TotalChlorine = kept[quantity.MassConc](r)
		case "iron":
			w.Ions[water.Iron] = kept[quantity.MassConc](r)
		case "silica":
			w.Ions[water.Silica] = kept[quantity.MassConc](r)
		}
	}
	return []water.Sample{w}
}

// kept is a stored reading as an entry.
func kept[Q quantity.Quantity](r store.Reading) quantity.Entry[Q] {
	return quantity.Entry[Q]{Value: Q(r.SI), Typed: r.Typed, Known: true}
}
