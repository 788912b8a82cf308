package study

import (
	"fmt"
	"math"
	"slices"
	"time"

	"rinsewright/carbon"
	"rinsewright/hydraulics"
	"rinsewright/membrane"
	"rinsewright/plant"
	"rinsewright/quantity"
	"rinsewright/resin"
	"rinsewright/service"
	"rinsewright/site"
	"rinsewright/water"
)

// LoggedSite is one site of a folder of logs, as its nameplates say. Zero is
// not known, or not there.
type LoggedSite struct {
	ID           string
	Use          string // "self-serve bays", "marina wash", "window/solar fill" and the like
	Source       site.Source
	Disinfectant site.Disinfectant
	Size         string
	Elements     int
	RatedFlow    quantity.Flow // of one element
	RatedAt      quantity.Pressure
	RatedSalt    quantity.MassConc
	Booster      bool
	Softener     bool
	Carbon       carbon.Kind
	CarbonVolume quantity.Volume
	AfterTank    bool
	Lead, Lag    quantity.Volume
	Label        quantity.CaCO3Conc
	ActAt        quantity.Conductivity
	Tank         quantity.Volume
	FloatGap     quantity.Volume
	GunFlow      quantity.Flow
	PerDay       quantity.Volume
	New          bool
	Age          quantity.Time
	From         service.Day
}

// What stands in for what a nameplate leaves out. Source: [TradeDefaults].
const (
	usualRecovery   = 0.45
	tapFlux         = 1.27e-5 // m/s: 27 gal per ft² and day at an element's test
	labelReached    = 0.97    // of a label's charge, to the limit, over many bottles
	usualGap        = 0.2     // of a tank between stop and start
	chloraminesUse  = 3.0     // capacity against chlorine of the same Cl2, as package carbon counts
	usualChloramine = 2.0e-3  // kg/m³
	usualChlorine   = 0.9e-3  // kg/m³
)

// WithUsual fills what no site can be without and nobody wrote down.
func (s LoggedSite) WithUsual() LoggedSite {
	put := func(x *float64, usual float64) {
		if !(*x > 0) {
			*x = usual
		}
	}
	put((*float64)(&s.RatedFlow), float64(quantity.GallonsPerDay(750)))
	put((*float64)(&s.RatedAt), float64(quantity.PSI(100)))
	put((*float64)(&s.RatedSalt), 0.5)
	put((*float64)(&s.Label), float64(resin.GrainsPerCubicFoot(9000)))
	put((*float64)(&s.ActAt), float64(quantity.MicrosiemensPerCm(4)))
	put((*float64)(&s.GunFlow), float64(quantity.GallonsPerMinute(1.5)))
	put((*float64)(&s.PerDay), float64(quantity.Gallons(200)))
	return s
}

// Outset is what is believed of the site before its log is read. The error
// says which nameplate cannot be.
func (s LoggedSite) Outset() (service.Outset, error) {
	o := service.Outset{
		AfterTank: s.AfterTank, ActAt: s.ActAt, PerDay: s.PerDay, From: s.From, New: s.New, Age: s.Age,
		VendFlow: s.GunFlow, ChlorineUse: 1,
	}
	var err error
	if o.Plant, err = s.plant(); err != nil {
		return o, fmt.Errorf("site %s: %w", s.ID, err)
	}
	if o.Feed, err = usualFeed(s.Source, s.Softener); err != nil {
		return o, fmt.Errorf("site %s: %w", s.ID, err)
	}
	o.Lead, o.Lag = s.vessel(s.Lead), s.vessel(s.Lag)
	switch s.Disinfectant {
	case site.Chloramine:
		o.Chlorine, o.ChlorineUse = usualChloramine*chloraminesUse, chloraminesUse
	case site.Chlorine:
		o.Chlorine = usualChlorine
	}
	if s.CarbonVolume > 0 {
		bed, err := carbon.NewBed(s.Carbon, s.CarbonVolume)
		if err != nil {
			return o, fmt.Errorf("site %s: %w", s.ID, err)
		}
		o.Carbon = &bed
	}
	o.Summer, o.SummerDoubt = summerOf(s.Use)
	o.PerRun = s.FloatGap
	if o.PerRun == 0 {
		o.PerRun = s.Tank * usualGap
	}
	o.Creep, o.AirKept = creepOf(&o), airKept(s.Tank, s.PerDay)
	return o, nil
}

// summerOf is how much busier high summer is, ln over the year's mean. Source:
// [TradeDefaults]: boats are a summer trade, glass and panels half one.
func summerOf(use string) (mean, doubt quantity.Ratio) {
	switch use {
	case "marina wash":
		return 0.6, 0.3
	case "window/solar fill":
		return 0.2, 0.2
	}
	return 0, 0.15
}

func (s LoggedSite) vessel(v quantity.Volume) *service.Vessel {
	if !(v > 0) {
		return nil
	}
	return &service.Vessel{Volume: v, Holds: s.Label.Equivalents() * labelReached}
}

func (s LoggedSite) plant() (plant.Plant, error) {
	var p plant.Plant
	element, _, err := membrane.FromSheet(membrane.Sheet{
		Name: s.Size, Area: quantity.Area(float64(s.RatedFlow) / tapFlux), PermeateFlow: s.RatedFlow, Rejection: 0.99,
		TestPressure: s.RatedAt, TestSalt: s.RatedSalt,
	})
	if err != nil {
		return p, err
	}
	p.Train.Parallel = 1
	for range max(s.Elements, 1) {
		p.Train.Housings = append(p.Train.Housings, membrane.Housing{Element: element, Wear: membrane.New()})
	}
	p.Supply = hydraulics.CityCurve{Static: quantity.PSI(60)}
	count := float64(max(s.Elements, 1))
	made := float64(s.RatedFlow) * count
	feed := quantity.Flow(made / usualRecovery)
	p.FeedSide = []plant.Part{{Name: "filter", Resistance: hydraulics.Filter{CleanDrop: quantity.PSI(2), RatedFlow: feed, ChangeDrop: quantity.PSI(15)}}}
	at := quantity.PSI(45)
	if s.Booster {
		pump, err := hydraulics.DutyPump(quantity.PSI(95), hydraulics.PumpPoint{Flow: feed, Pressure: quantity.PSI(70)})
		if err != nil {
			return p, err
		}
		p.Booster, at = pump, quantity.PSI(115)
	}
	made *= min(float64(at)/float64(s.RatedAt), 1.2) * 0.75 // cooler than the test
	p.Restrictor = hydraulics.RatedRestrictor{Rated: quantity.Flow(made * (1/usualRecovery - 1)), At: at}
	if !s.AfterTank {
		for _, v := range []quantity.Volume{s.Lead, s.Lag} {
			if v > 0 {
				p.PermeateOut = append(p.PermeateOut, plant.Part{Name: "resin", Resistance: bedLoss(v, resinDropAt)})
			}
		}
	}
	return p, nil
}

// usualFeed is the middle of the waters of a source; a softener changes its
// hardness for sodium.
func usualFeed(source site.Source, softened bool) (water.Water, error) {
	prior, strength := water.CityPrior(), quantity.Conductivity(0.048)
	if source == site.Well {
		prior, strength = water.WellPrior(), 0.056
	}
	var sample water.Sample
	sample.Strength.Conductivity = quantity.Told(strength)
	done, err := water.Complete(sample, prior)
	if err != nil {
		return water.Water{}, err
	}
	w := done.Water
	if softened {
		w.Total[water.Sodium] += 2 * (w.Total[water.Calcium] + w.Total[water.Magnesium]) * 0.98
		w.Total[water.Calcium] *= 0.02
		w.Total[water.Magnesium] *= 0.02
	}
	return w, nil
}

// creepOf is what starts add to the salt of a run of the float.
func creepOf(o *service.Outset) quantity.Ratio {
	if !(o.PerRun > 0) {
		return 0.15
	}
	idle := quantity.Days(min(max(float64(o.PerRun)/max(float64(o.PerDay), 1e-3), 0.02), 2))
	start, err := o.Plant.Start(plant.Conditions{Feed: o.Feed}, plant.Standstill{Idle: idle})
	if err != nil || !(start.Creep.Steady > 0) {
		return 0.15
	}
	share := float64(start.Extra) / (float64(o.PerRun) * float64(start.Creep.Steady))
	return quantity.Ratio(math.Min(math.Max(share, 0.01), 2))
}

// ExhaustionsOf returns when the lead bottle is spent, as believed on each of
// the days from what the log says up to and on that day, and why not.
func ExhaustionsOf(s LoggedSite, log []service.Entry, days []service.Day) ([]service.When, []error) {
	whens, errs := make([]service.When, len(days)), make([]error, len(days))
	fail := func(err error) ([]service.When, []error) {
		for i := range errs {
			errs[i] = err
		}
		return whens, errs
	}
	o, err := s.Outset()
	if err != nil {
		return fail(err)
	}
	w, err := service.Follow(o)
	if err != nil {
		return fail(err)
	}
	order := make([]int, len(days))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return int(days[a] - days[b]) })
	next := 0
	for _, i := range order {
		for ; next < len(log) && log[next].Day <= days[i]; next++ {
			if err := w.Add(log[next]); err != nil {
				return fail(err)
			}
		}
		var ok bool
		whens[i], ok, errs[i] = w.Exhaustion(max(days[i], s.From))
		if errs[i] == nil && !ok {
			errs[i] = fmt.Errorf("site %s: no resin", s.ID)
		}
	}
	return whens, errs
}

// StatesOf returns the state of a site on its log's first day and on every first
// of a month until a day, the past in the light of all of it.
func StatesOf(s LoggedSite, log []service.Entry, until service.Day) ([]service.State, error) {
	o, err := s.Outset()
	if err != nil {
		return nil, err
	}
	w, err := service.Follow(o)
	if err != nil {
		return nil, err
	}
	w.Keep()
	marks := map[service.Day]bool{}
	mark := func(d service.Day) error { marks[d] = true; return w.Add(service.Entry{Day: d}) }
	if err := mark(s.From); err != nil {
		return nil, err
	}
	month := firstAfter(s.From)
	for _, e := range log {
		for ; month <= e.Day; month = firstAfter(month) {
			if err := mark(month); err != nil {
				return nil, err
			}
		}
		if err := w.Add(e); err != nil {
			return nil, err
		}
	}
	for ; month <= until; month = firstAfter(month) {
		if err := mark(month); err != nil {
			return nil, err
		}
	}
	var out []service.State
	for _, state := range w.Story() {
		if marks[state.Day] && (len(out) == 0 || out[len(out)-1].Day != state.Day) {
			out = append(out, state)
		}
	}
	return out, nil
}

// firstAfter is the first of the month after a day.
func firstAfter(d service.Day) service.Day {
	t := time.Unix(int64(d)*86400, 0).UTC()
	return service.Day(time.Date(t.Year(), t.Month()+1, 1, 0, 0, 0, 0, time.UTC).Unix() / 86400)
}

// airKept is the share of the permeate's carbon dioxide that a vented tank
// leaves in it: what stands loses it through its surface, what falls in loses
// some on the way.
//
// Source: the still water's constant of [water.Standing] on a mixed tank a metre
// deep; three tenths lost at the inlet are [TradeDefaults].
func airKept(tank, perDay quantity.Volume) quantity.Ratio {
	const (
		exchange = 2e-6 * 86400 // m a day
		inlet    = 0.7
		level    = 0.6 // of the tank, on average
	)
	stands := level * float64(tank) / max(float64(perDay), 1e-3) // days
	return quantity.Ratio(inlet / (1 + exchange*min(stands, 30)))
}
