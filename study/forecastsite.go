package study

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"rinsewright/hydraulics"
	"rinsewright/plant"
	"rinsewright/quantity"
	"rinsewright/service"
	"rinsewright/site"
)

// ErrNoLog marks a site of which nobody has logged a dated visit.
var ErrNoLog = errors.New("nothing is logged")

// newWithin is the age, in days, up to which a membrane counts as new, and its
// rig with it.
const newWithin = 60

// outsetOf is what is believed of a site before its log is read.
func outsetOf(s *site.Site, n *notes) (service.Outset, error) {
	if s.Rig.Membrane == nil && len(s.Rig.Resin) == 0 {
		return service.Outset{}, ErrNoRig
	}
	l, err := rigLook(s, n)
	if err != nil {
		return service.Outset{}, err
	}
	o := service.Outset{
		Plant: l.rig.plant, Feed: l.feed, Back: l.store.back, AfterTank: l.rig.afterTank, AirKept: 1, ActAt: actAt(s),
		VendFlow: s.Demand.GunFlow.Or(quantity.GallonsPerMinute(1.5)), ChlorineUse: 1,
		PerRun: l.store.tank.Stop - l.store.tank.Start, Told: toldOf(s),
	}
	if b, ok := o.Plant.Supply.(hydraulics.Boosted); ok {
		o.Plant.Supply, o.Plant.Booster = b.From, b.Pump
	}
	o.Plant.FeedSide = changedInTime(o.Plant.FeedSide)
	if m := s.Rig.Membrane; m != nil {
		o.Age = m.Age.Or(0)
		o.New = m.Age.Known && o.Age.Days() <= newWithin
	}
	outsetDemand(&o, s, l, n)
	for i, bed := range l.rig.beds[:min(len(l.rig.beds), 2)] {
		anion, _ := bed.OperatingCapacity()
		v := &service.Vessel{Volume: bed.Volume, Holds: anion}
		if i == 0 {
			o.Lead = v
		} else {
			o.Lag = v
		}
	}
	if l.store.vented && o.AfterTank {
		o.AirKept = airKept(l.store.volume, o.PerDay)
		if l.store.aerated {
			o.AirKept = airedKept
		}
	}
	if c, ok := challengeOf(s, l.raw, n); ok && l.rig.carbon != nil {
		o.Carbon, o.Chlorine = l.rig.carbon, c.FreeChlorine+chloraminesUse*c.Chloramine
		if c.Chloramine > c.FreeChlorine {
			o.ChlorineUse = chloraminesUse
		}
	}
	if o.Creep = 0; s.Rig.Membrane != nil {
		o.Creep = creepOf(&o)
	}
	return o, nil
}

// filterChange is the drop over a clean cartridge's at which one is changed.
// Source: [TradeDefaults].
const filterChange = quantity.Pressure(0.7e5) // 10 psi

// changedInTime are the feed side's parts with cartridges that are due at the
// usual drop, so that a loading of 1 means due.
func changedInTime(parts []plant.Part) []plant.Part {
	out := slices.Clone(parts)
	for i, p := range out {
		if f, ok := p.Resistance.(hydraulics.Filter); ok {
			f.ChangeDrop = min(f.ChangeDrop, f.CleanDrop+filterChange)
			out[i].Resistance = f
		}
	}
	return out
}

const airedKept = 0.1 // of the carbon dioxide, behind an aerator. Source: [TradeDefaults]

func toldOf(s *site.Site) service.Told {
	_, sampled := sampleAt(s, "raw")
	r := s.Rig.Restrictor
	return service.Told{
		Feed: sampled, Main: s.Supply.StaticPressure.Known, Restrictor: r != nil && (r.Flow.Known || r.Bore.Known),
		Booster: s.Rig.Booster != nil && s.Rig.Booster.Pressure.Known,
	}
}

// outsetDemand is how much is drawn, and when in the year.
func outsetDemand(o *service.Outset, s *site.Site, l *look, n *notes) {
	o.MidSummer = midSummer(s)
	o.FirstMonth, o.LastMonth = time.Month(s.Demand.FirstMonth), time.Month(s.Demand.LastMonth)
	o.PerDay, o.Told.PerDay = l.demand.OpenDay, l.demand.OpenDay > 0
	if o.PerDay <= 0 {
		o.PerDay = quantity.Gallons(200)
		n.assume("water drawn on an open day", quantity.FormatLocale(o.PerDay, n.units, n.locale), "a totaliser read twice tells")
	}
	switch {
	case o.FirstMonth != 0: // its season is told
		o.SummerDoubt = 0.2
	case s.Use == site.Boats:
		o.Summer, o.SummerDoubt = summerOf("marina wash")
	case s.Use == site.Glass, s.Use == site.Solar:
		o.Summer, o.SummerDoubt = summerOf("window/solar fill")
	}
}

// midSummer is the day of the year five months after the feed's coldest month
// began its second half: 15 July for February.
func midSummer(s *site.Site) int {
	return (15+(coldestMonth(s)+5)*365/12-1)%365 + 1
}

// actAt is the strength at which a lead bottle is changed: the target's, where
// it is finer than the usual limit. Source: [TradeDefaults], 2 ppm on the NaCl
// scale.
func actAt(s *site.Site) quantity.Conductivity {
	usual := quantity.MicrosiemensPerCm(4)
	if s.Target.Known {
		return min(quantity.MicrosiemensPerCm(s.Target.Value.MilligramsPerLitre()*2.1), usual)
	}
	return usual
}

// changesOf are the words of a log in the parts that a tracker knows.
var changesOf = map[site.Change]service.Part{
	site.LeadResin: service.FirstBottle, site.LagResin: service.LagBottle, site.ResinRotated: service.LeadResin, site.BothResins: service.AllResin,
	site.CarbonChanged: service.CarbonPart, site.SedimentFilter: service.Filters, site.MembraneChanged: service.Membrane, site.OneMembrane: service.Membrane,
	site.Seals: service.Seals, site.RestrictorNew: service.Restrictor, site.RestrictorSet: service.Restrictor,
	site.AcidClean: service.Cleaning, site.AlkalineClean: service.Cleaning, site.BoosterChanged: service.Booster, site.FloatFixed: service.Float,
}

// logOf is the site's dated visits as entries, in order of time.
func logOf(s *site.Site) ([]service.Entry, error) {
	visits := slices.Clone(s.Log)
	slices.SortStableFunc(visits, func(a, b site.Visit) int { return strings.Compare(a.Date, b.Date) })
	var all []service.Entry
	var vends vendCounter
	for _, v := range visits {
		date, err := time.Parse(time.DateOnly, v.Date)
		if err != nil {
			continue // a visit without a date tells no time
		}
		e := service.Entry{Day: service.DayOf(date), Readings: readingsOf(v), Notices: noticesOf(v.Notice, service.DayOf(date))}
		for _, c := range v.Changed {
			if part, ok := changesOf[c]; ok {
				change := service.Change{Part: part}
				if c == site.OneMembrane && s.Rig.Membrane != nil {
					change.Share = quantity.Ratio(1 / math.Max(float64(s.Rig.Membrane.Count), 1))
				}
				e.Changes = append(e.Changes, change)
			}
		}
		vends.read(v.Vends, s.Demand.VendTime.Or(0), &e)
		all = append(all, e)
	}
	if len(all) == 0 {
		return nil, fmt.Errorf("forecast of %s: %w", s.Name, ErrNoLog)
	}
	return all, nil
}

// vendCounter turns a counter's readings into the time that guns ran.
type vendCounter struct {
	last  int
	known bool
}

func (c *vendCounter) read(n int, each quantity.Time, e *service.Entry) {
	if n <= 0 || !(each > 0) {
		return
	}
	e.Counted = true
	if c.known && n >= c.last {
		e.Vended = quantity.Time(float64(n-c.last) * float64(each))
	}
	c.last, c.known = n, true
}

// readingsOf are a visit's readings, those of a pen whose scale nobody knew
// under a name of their own.
func readingsOf(v site.Visit) []plant.Reading {
	all := v.Gauged()
	for i := range all {
		unknown := slices.ContainsFunc(v.Read, func(x site.Reading) bool { return x.Key() == all[i].Key() && x.SI == all[i].SI && x.ScaleUnknown() })
		if unknown {
			all[i].Instrument = service.UnknownScale
		}
	}
	return all
}
