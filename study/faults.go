package study

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"time"

	"rinsewright/carbon"
	"rinsewright/cost"
	"rinsewright/faults"
	"rinsewright/plant"
	"rinsewright/quantity"
	"rinsewright/site"
	"rinsewright/water"
)

// FaultQuestion is what a site is asked for beside its log.
type FaultQuestion struct {
	Options
	Words []string        // remarks that no visit holds
	Read  []plant.Reading // readings that no visit holds, of today
	// Weights of causes before any reading, in place of the usual ones; nil for those.
	Weights faults.Weights
	Path    bool // also draw up the path with the suspect station, which takes the whole of a check
}

// Faulted is what may be wrong at a site and what to do next.
type Faulted struct {
	Site     Heading
	From     string   // where the readings come from: "visit of 2026-05-12"
	Baseline string   // the same of the readings they are held against, "" without
	Words    []string // that were weighed
	Finding  *faults.Finding
	Call     Call
	Money    []Cost // repair or replace, for the likeliest cause, where there is a choice
	Path     []Station
	Drain    Drain
	Assumed  []Assumption

	elements bool        // new ones are among what the money weighs
	prices   cost.Prices // what an hour costs, and in which money
}

// Faults asks what may be wrong with the rig of a site: its last visit that read
// anything against the first one, what people said, and what the service book
// tells of ages. Readings and words of the question are added. Without any
// reading it answers from words, ages and water alone. A rig without a membrane is
// judged by what it has. The error wraps [ErrNoRig] where nothing hangs; else it is that of [faults.Find] or of a station.
func Faults(ctx context.Context, s *site.Site, q FaultQuestion) (*Faulted, error) {
	if nothingHangs(&s.Rig) {
		return nil, fmt.Errorf("faults of %s: %w", s.Name, ErrNoRig)
	}
	n := notes{units: q.Units, locale: q.Locale}
	c, from, err := faultCase(s, &n)
	if err != nil {
		return nil, fmt.Errorf("faults of %s: %w", s.Name, err)
	}
	for _, r := range q.Read {
		c.Now = append(c.Now, faults.Evidence{Reading: r})
	}
	c.Words = append(c.Words, q.Words...)
	c.Weights = q.Weights
	out := &Faulted{
		Site: Heading{s.Name, s.About, s.Origin, string(s.Use)}, From: from.now, Baseline: from.baseline, Words: c.Words, Assumed: n.assumed,
	}
	if out.Finding, err = faults.Find(c); err != nil {
		return nil, fmt.Errorf("faults of %s: %w", s.Name, err)
	}
	out.prices, out.Call = s.Prices, callOf(out.Finding)
	if out.Money, err = repairOrReplace(s, out.Finding, &n); err != nil {
		return nil, fmt.Errorf("faults of %s: %w", s.Name, err)
	}
	out.Assumed = n.assumed
	out.elements = len(out.Money) > 0 && slices.Contains(elementIll, out.Finding.Ranked[0].Cause.Number)
	if q.Path {
		err = out.path(ctx, s, q.Options)
	}
	return out, err
}

// nothingHangs tells whether there is no part that could be at fault.
func nothingHangs(r *site.Rig) bool {
	return r.Membrane == nil && len(r.Resin) == 0 && len(r.Filters) == 0 && r.Carbon == nil && r.Softener == nil
}

// path takes the path of a check and marks the station of the likeliest cause.
// A site of which a check cannot be had is told without its path.
func (f *Faulted) path(ctx context.Context, s *site.Site, o Options) error {
	o.Looks = fewLooks
	checked, err := Check(ctx, s, o)
	if ctx.Err() != nil {
		return ctx.Err()
	}
	if err != nil {
		return nil //nolint:nilerr // the finding stands without its drawing
	}
	f.Path, f.Drain = checked.Path, checked.Drain
	first := f.Finding.Ranked[0]
	for i := range f.Path {
		if stationIs(f.Path[i].Kind, first.Cause.Station) {
			f.Path[i].Suspect = true
			f.Path[i].Why = fmt.Sprintf("%s, %.0f %%", first.Cause.Name, 100*first.Probability)
			break
		}
	}
	return nil
}

const fewLooks = 16

// stationIs tells whether a station of the path is the one that a cause names.
func stationIs(kind, named string) bool {
	switch named {
	case "tap":
		return kind == "tap" || kind == "well"
	case "tank":
		return kind == "vented tank" || kind == "pressurised tank"
	case "pump":
		return kind == "delivery pump"
	case "panel":
		return kind == "gun"
	}
	return kind == named
}

// visited says which visits a case was made of.
type visited struct{ now, baseline string }

// faultCase makes a case of a site's survey and log.
func faultCase(s *site.Site, n *notes) (faults.Case, visited, error) {
	var c faults.Case
	var from visited
	var err error
	if c.Facts, err = siteFacts(s, n); err != nil {
		return c, from, err
	}
	first, last := -1, -1
	for i := range s.Log {
		if len(s.Log[i].Gauged()) > 0 {
			if last = i; first < 0 {
				first = i
			}
		}
	}
	if last < 0 { // nobody has been there since the survey
		for i := range s.Samples {
			c.Now = append(c.Now, sampleEvidence(&s.Samples[i])...)
		}
		if from.now = "the survey"; len(c.Now) == 0 {
			from.now = ""
		}
	} else {
		c.Now, from.now = visitEvidence(&s.Log[last]), "the visit of "+s.Log[last].Date
	}
	if first >= 0 && first != last {
		c.Baseline, from.baseline = visitEvidence(&s.Log[first]), "the visit of "+s.Log[first].Date
	}
	if last >= 0 {
		surveyedTap(s, &c, s.Log[last].Date)
	}
	if len(c.Baseline) > 0 && from.baseline == "" {
		from.baseline = "the survey"
	}
	if len(s.Log) > 0 {
		v := s.Log[len(s.Log)-1]
		for _, w := range []string{v.Said, v.Words} {
			if w != "" {
				c.Words = append(c.Words, w)
			}
		}
		readBook(&c.Facts, s.Log, first)
	}
	return c, from, nil
}

// surveyedTap adds what the samples of the tap tell that the last visit did not read: a
// sample of its day or later to today's readings, an older one to the baseline. What the
// tap carries hardly moves in years, so one survey serves many visits; samples of the rig
// itself are those of a rig that may have been ill, and stay out.
func surveyedTap(s *site.Site, c *faults.Case, last string) {
	for i := range s.Samples {
		sample := &s.Samples[i]
		if sample.Place != "raw" {
			continue
		}
		to := &c.Baseline
		if sample.Date >= last {
			to = &c.Now
		}
		for _, e := range sampleEvidence(sample) {
			anotherDay := e.Of == plant.FeedTemperature && to == &c.Baseline
			if !anotherDay && !hasGauge(*to, e.Of) {
				*to = append(*to, e)
			}
		}
	}
}

func hasGauge(rows []faults.Evidence, of plant.Gauge) bool {
	return slices.ContainsFunc(rows, func(e faults.Evidence) bool { return e.Of == of })
}

func sampleEvidence(sample *water.Sample) (all []faults.Evidence) {
	for _, r := range site.SampleReadings(*sample) {
		all = append(all, faults.Evidence{Reading: r, ScaleDoubt: r.Scale.Valid() && sample.Strength.Scale == ""})
	}
	return all
}

func visitEvidence(v *site.Visit) (all []faults.Evidence) {
	unknown := map[string]bool{}
	for _, r := range v.Read {
		unknown[r.Key()] = r.ScaleUnknown()
	}
	for _, r := range v.Gauged() {
		all = append(all, faults.Evidence{Reading: r, ScaleDoubt: unknown[r.Key()]})
	}
	return all
}

// siteFacts is the rig of a site as the fault finder takes it.
func siteFacts(s *site.Site, n *notes) (faults.Facts, error) {
	r, err := rigOf(s, drawn{}, n)
	if err != nil {
		return faults.Facts{}, err
	}
	f := faults.Facts{
		Plant: &r.plant, Housings: len(r.plant.Train.Housings), Booster: s.Rig.Booster != nil, Softener: s.Rig.Softener != nil,
		Bays: s.Demand.Bays, Gun: s.Demand.GunFlow,
	}
	if s.Rig.Membrane != nil {
		f.ElementAge = s.Rig.Membrane.Age
	} else {
		f.Plant, f.Bare = nil, true
	}
	switch {
	case s.Supply.Source == site.Well:
		f.Source = faults.Well
	case s.Supply.Disinfectant == site.Chlorine:
		f.Source = faults.ChlorineCity
	case s.Supply.Disinfectant == site.Chloramine:
		f.Source = faults.ChloramineCity
	}
	f.Carbon, f.CarbonBed = carbonFacts(r.carbon)
	if len(r.beds) > 0 {
		f.ResinPlace, f.Lead = faults.BeforeTank, r.beds[0].Volume
		if r.afterTank {
			f.ResinPlace = faults.AfterTank
		}
		if len(r.beds) > 1 {
			f.Lag = r.beds[1].Volume
		}
	}
	if t := s.Rig.Tank; t != nil {
		f.Tank = t.Volume
		if t.Stop.Known && t.Start.Known && t.Stop.Value > t.Start.Value {
			f.FloatGap = quantity.Told(t.Stop.Value - t.Start.Value)
		}
		if t.Kind == "pressurised" {
			f.Back = (t.StartAt.Or(quantity.PSI(20)) + t.StopAt.Or(quantity.PSI(40))) / 2
		}
	}
	if day := s.Demand.NormalDay; day > 0 {
		if v := s.Demand.PerVehicle; v.Known {
			f.PerDay = quantity.Told(v.Value * quantity.Volume(day))
		} else if s.Demand.GunFlow.Known && s.Demand.VendTime.Known {
			f.PerDay = quantity.Told(s.Demand.GunFlow.Value.Over(s.Demand.VendTime.Value) * quantity.Volume(day))
		}
	}
	return f, nil
}

func carbonFacts(b *carbon.Bed) (carbon.Kind, quantity.Volume) {
	if b == nil {
		return "", 0
	}
	return b.Kind, b.Volume
}

// readBook fills in ages and events from a log in order of its dates.
func readBook(f *faults.Facts, log []site.Visit, first int) {
	now, ok := dayOf(log[len(log)-1].Date)
	if !ok {
		return
	}
	since := func(v *site.Visit) (quantity.Entry[quantity.Time], bool) {
		at, ok := dayOf(v.Date)
		if !ok || at.After(now) {
			return quantity.Entry[quantity.Time]{}, false
		}
		return quantity.Told(quantity.Days(now.Sub(at).Hours() / 24)), true
	}
	last := &log[len(log)-1]
	for i := range log {
		v := &log[i]
		age, ok := since(v)
		if !ok {
			continue
		}
		if i == first {
			f.BaselineAge = age
		}
		if i < len(log)-1 {
			f.Service, f.Opened = age, faults.No
		}
		if v.Notice != "" && age.Value < quantity.Days(70) {
			f.Notice = faults.Yes
		}
		for _, change := range v.Changed {
			booked(f, change, age, v, last, i < len(log)-1)
		}
	}
}

func booked(f *faults.Facts, change site.Change, age quantity.Entry[quantity.Time], v, last *site.Visit, before bool) {
	switch change {
	case site.CarbonChanged:
		f.CarbonAge = age
	case site.SedimentFilter:
		f.FilterAge = age
	case site.MembraneChanged:
		f.ElementAge = age
	case site.LeadResin, site.BothResins, site.ResinRotated:
		f.SinceTime, f.SinceChange = age, quantity.Entry[quantity.Volume]{}
		if v.Meter.Known && last.Meter.Known && last.Meter.Value > v.Meter.Value {
			f.SinceChange = quantity.Told(last.Meter.Value - v.Meter.Value)
		}
	}
	if before && (change == site.MembraneChanged || change == site.OneMembrane || change == site.Seals) {
		f.Opened = faults.Yes
	}
}

func dayOf(date string) (time.Time, bool) {
	t, err := time.Parse("2006-01-02", date)
	return t, err == nil
}

// GaugeText is a reading of a gauge in a person's units.
func GaugeText(of plant.Gauge, si float64, units quantity.System, loc quantity.Locale) string {
	switch of {
	case plant.StartsPerHour:
		return localised(fmt.Sprintf("%.2g an hour", si), loc)
	case plant.FeedPH, plant.PermeatePH:
		return localised(fmt.Sprintf("%.1f", si), loc)
	}
	return quantity.FormatKind(kindOf(of), si, units, loc)
}

// kindOf is the dimension of a gauge or of a figure of the service book.
func kindOf(of plant.Gauge) quantity.Kind {
	switch of {
	case faults.ResinWater:
		return quantity.KindVolume
	case faults.ResinTime:
		return quantity.KindTime
	}
	return of.Kind()
}

var errNoWords = errors.New("nothing was said")

// FaultsFromWords is the call: words alone against a usual rig, when no site is
// known, with weights in place of the usual ones or nil. The error is errNoWords'
// without any words.
func FaultsFromWords(words []string, weights faults.Weights) (*Faulted, error) {
	if len(words) == 0 {
		return nil, fmt.Errorf("faults from words: %w", errNoWords)
	}
	c := faults.Case{Words: words, Facts: usualFacts(), Weights: weights}
	f, err := faults.Find(c)
	if err != nil {
		return nil, err
	}
	return &Faulted{Words: words, Finding: f, Call: callOf(f)}, nil
}

// usualFacts is a rig as there are many: one element behind a booster, carbon,
// one bottle of resin ahead of a vented tank, two bays.
func usualFacts() faults.Facts {
	f := faults.Facts{
		Booster: true, Carbon: carbon.Block, CarbonBed: quantity.Litres(3), Housings: 1, Softener: true,
		ResinPlace: faults.BeforeTank, Lead: quantity.CubicFeet(1), Bays: 2,
	}
	f.Sheet.Area, f.Sheet.PermeateFlow, f.Sheet.Rejection = quantity.SquareFeet(28), quantity.GallonsPerDay(750), 0.985
	f.Sheet.TestPressure, f.Sheet.TestSalt = quantity.PSI(100), quantity.MilligramsPerLitre(500)
	return f
}

// GaugePlain is a reading of a gauge in the SI unit that programs get, and that
// unit.
func GaugePlain(of plant.Gauge, si float64) (value float64, unit string) { // in the unit beside it
	if of == plant.StartsPerHour {
		return si, "1/h"
	}
	return quantity.PlainKind(kindOf(of), si, quantity.SI)
}
