package study

import (
	"fmt"
	"math"

	"rinsewright/carbon"
	"rinsewright/quantity"
	"rinsewright/resin"
	"rinsewright/water"
)

// BedSoftener is the softener by its column beside the trade's table, and how it
// fails.
type BedSoftener struct {
	Table, Column      Figure // water from regeneration to regeneration, no reserve
	Leak               Figure
	Sodium, Efficiency quantity.Ratio
	// HardAfter is the water without a regeneration at which hardness comes
	// through, and Bypassed the hardness with a tenth going past.
	HardAfter, Bypassed Figure
}

// softenerDiameterFlow is used where the softener's flow is not known: the feed's.
func (c *checking) bedSoftener() (*BedSoftener, error) {
	l := c.base
	if l.softening == nil {
		return nil, nil
	}
	cycle := l.softening.cycle
	volume := c.site.Rig.Softener.Resin.Or(quantity.CubicFeet(1))
	column := resin.SoftenerBed{
		Resin: volume, Duty: resin.Duty{Flow: l.supplied()},
		Brine: resin.Brine{Salt: cycle.Salt}, Cells: 20,
	}
	run, err := column.Cycle(l.raw.Solution)
	if err != nil {
		return nil, fmt.Errorf("softener by the column: %w", err)
	}
	hardness, err := resin.CompensatedHardness(l.raw.Water.Hardness(), water.Iron.Mass(l.raw.Water.Total[water.Iron]))
	if err != nil {
		return nil, fmt.Errorf("softener: %w", err)
	}
	softener := resin.Softener{Resin: volume, Salt: cycle.Salt, Reserve: softenerReserve, Diameter: vesselFor(volume)}
	never, err := softener.Outlet(cycle, hardness, resin.SoftenerFault{})
	if err != nil {
		return nil, fmt.Errorf("softener without salt: %w", err)
	}
	leaky, err := softener.Outlet(cycle, hardness, resin.SoftenerFault{Bypassed: 0.1})
	if err != nil {
		return nil, fmt.Errorf("softener with a bypass: %w", err)
	}
	return &BedSoftener{
		Table: figure(cycle.Water / (1 - softenerReserve)), Column: figure(run.Water), Leak: figure(run.Leak),
		Sodium: run.Sodium, Efficiency: run.Efficiency, HardAfter: figure(never.HardFrom), Bypassed: figure(leaky.Hardness),
	}, nil
}

// BedCarbon is the carbon watched week by week through two years.
type BedCarbon struct {
	Weeks         []BedWeek
	PerCharge     Figure // feed per charge; nil when none was renewed
	WithLag       Figure // the same with a second bed behind, swapped at the middle port
	WorstAlone    Figure
	WorstWithLag  Figure
	FlushLitres   Figure
	FlushMinutes  Figure
	ExposureAlone quantity.Exposure
}

// BedWeek is one week of the carbon as it hangs.
type BedWeek struct {
	Event   string
	Leak    quantity.MassConc // total chlorine on its worst day
	Used    quantity.Ratio
	Renewed bool
}

const bedCarbonWeeks = 104

func (c *checking) bedCarbon() (*BedCarbon, error) {
	l := c.base
	if l.rig.carbon == nil || !l.chlorine {
		return nil, nil
	}
	s := carbon.Series{
		Bed: *l.rig.carbon, Calendar: carbon.Calendar{Usual: l.challenge}, Flow: l.supplied(),
		RunPerDay: l.runPerDay(), Used: l.rig.carbonUsed, Weeks: bedCarbonWeeks,
	}
	s.Calendar.Events = c.switchWeeks()
	alone, err := s.Weekly()
	if err != nil {
		return nil, fmt.Errorf("carbon by weeks: %w", err)
	}
	s.Lag = true
	s.SwapAt = max(carbon.LeakLimit, (l.challenge.FreeChlorine+l.challenge.Chloramine)/4)
	lag, err := s.Weekly()
	if err != nil {
		return nil, fmt.Errorf("carbon with a lag: %w", err)
	}
	a := &BedCarbon{ExposureAlone: alone.Exposure, WorstAlone: figure(alone.Worst.Total()), WorstWithLag: figure(lag.Worst.Total())}
	if alone.Charges > 0 {
		a.PerCharge = figure(alone.PerCharge)
	}
	if lag.Charges > 0 {
		a.WithLag = figure(lag.PerCharge)
	}
	for _, w := range alone.Weeks {
		a.Weeks = append(a.Weeks, BedWeek{w.Event, w.Outlet.Total(), w.Used, w.Swapped})
	}
	// A tank as tall as four of its diameters, where nobody measured it.
	diameter := quantity.Length(math.Cbrt(float64(l.rig.carbon.Volume) / math.Pi))
	flush, err := l.rig.carbon.Flush(s.Flow, diameter)
	if err != nil {
		return nil, fmt.Errorf("flush of new carbon: %w", err)
	}
	a.FlushLitres, a.FlushMinutes = figure(flush.ToDrain), figure(flush.Time)
	return a, nil
}

// switchWeeks is the utility's yearly weeks of free chlorine, as the chlorine
// clock takes them.
func (c *checking) switchWeeks() []carbon.Event {
	weeks := c.site.Supply.SwitchWeeks
	if weeks <= 0 {
		return nil
	}
	free := c.base.challenge
	free.FreeChlorine, free.Chloramine = free.FreeChlorine+free.Chloramine, 0
	return []carbon.Event{{Name: "free-chlorine weeks", Start: quantity.Days(60), Length: quantity.Days(7 * float64(weeks)), Challenge: free}}
}
