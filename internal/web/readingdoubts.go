package web

import (
	"slices"
	"strings"
	"time"

	"rinsewright/internal/door"
	"rinsewright/internal/store"
	"rinsewright/plant"
	"rinsewright/quantity"
	"rinsewright/site"
	"rinsewright/study"
)

// mostOfAYear is how many logged samples of the last year a new reading is held
// against.
const mostOfAYear = 1000

// yearOf is what was logged at a site in the last twelve months, the latest
// first: a phone takes it along.
func (v *visit) yearOf(site string) ([]store.Sample, error) {
	samples, err := v.store.Samples(v.r.Context(), site, mostOfAYear)
	if err != nil {
		return nil, err
	}
	since := v.options.Now().AddDate(-1, 0, 0)
	return slices.DeleteFunc(samples, func(x store.Sample) bool { return x.Taken.Before(since) }), nil
}

// strengthGauges are the gauges that the reading page's strengths are.
var strengthGauges = map[string]plant.Gauge{"raw": plant.FeedStrength, "permeate": plant.PermeateStrength, "polished": plant.PolishStrength}

// doubtful says what looks odd about samples before they are kept.
func (r readingView) doubtful(samples []store.Sample) []door.Doubt {
	var lines []string
	for _, x := range samples {
		lines = append(lines, linesOf(x)...)
	}
	day := time.UnixMilli(r.Taken).Add(time.Duration(r.Offset) * time.Minute).UTC()
	return door.Doubts(r.record, day.Format(time.DateOnly), lines, study.Options{Units: r.units, Locale: r.locale})
}

// linesOf is a sample as lines of a log, numbers written as it was typed.
func linesOf(x store.Sample) (lines []string) {
	scale, after := "", ""
	for _, r := range x.Readings {
		switch r.Name {
		case "scale":
			scale = r.Typed
		case sinceStart:
			after = r.Typed
		}
	}
	for _, r := range x.Readings {
		name := r.Name
		switch {
		case r.Skipped != "" || r.Name == "scale" || r.Name == sinceStart || r == commaTyped:
			continue
		case x.Place == ofTheRig:
		case r.Name == "strength" || r.Name == "conductivity":
			name = string(strengthGauges[x.Place])
			if scale != "" && strings.HasSuffix(r.Typed, "ppm") {
				r.Typed += " " + scaleWords(scale)
			}
			if after != "" {
				r.Typed += ", after " + after
			}
		default:
			name = "feed_" + r.Name
		}
		if name != "" {
			lines = append(lines, name+" = "+r.Typed)
		}
	}
	return lines
}

// withLines is a record with what was logged as visits, the oldest first, so
// that a phone holds a reading against the same past as the office does.
func withLines(record *site.Site, samples []store.Sample, file quantity.Locale) *site.Site {
	corrected := map[string]bool{}
	for _, x := range samples {
		corrected[x.Corrects] = true
	}
	for i := len(samples) - 1; i >= 0; i-- {
		x := rewritten(samples[i], file)
		visit := site.Visit{Date: local(x).Format(time.DateOnly), At: local(x).Format("15:04")}
		for _, line := range linesOf(x) {
			if r, err := site.ParseReading(line, file); err == nil && !corrected[x.ID] {
				visit.Read = append(visit.Read, r)
			}
		}
		if len(visit.Read) > 0 {
			record.Log = append(record.Log, visit)
		}
	}
	return record
}
