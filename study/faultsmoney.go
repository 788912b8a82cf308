package study

import (
	"slices"

	"rinsewright/cost"
	"rinsewright/faults"
	"rinsewright/quantity"
	"rinsewright/site"
)

// elementIll are causes that new elements would do away with; what is wrong beside the
// elements stays wrong with new ones. The next are those that a cleaning helps, for
// about a year, and those that only new elements do; what is mended otherwise stays
// mended. No source: common practice.
var (
	elementIll  = []int{1, 2, 3, 4, 5, 6, 7, 15, 41, 46}
	cleanable   = []int{2, 3, 5, 6, 7}
	beyondMend  = []int{1, 4, 46}
	oxidisers   = []int{1, 46} // new elements need new carbon first
	fitElements = 1.5          // hours
)

// repairOrReplace sets leaving, mending and changing the elements side by side by the
// yearly cost model: the work, shared out over the years that it lasts, and the resin
// that the salt which passes costs. Nothing where the likeliest cause leaves no choice.
func repairOrReplace(s *site.Site, f *faults.Finding, n *notes) (all []Cost, err error) {
	first := &f.Ranked[0]
	if s.Rig.Membrane == nil || first.Cause.Station != "membrane" && first.Cause.Number != 46 {
		return nil, nil
	}
	p := pricesOn(&s.Rig, pricesOf(s.Prices, n))
	say := func(name string, amount cost.Money) { all = append(all, Cost{name, money(amount, p.Currency)}) }
	mend, replace := jobs(s, first, p)
	ill, err := resinYear(s, first.Life, p)
	if err != nil {
		return nil, err
	}
	sound, err := resinYear(s, first.Sound, p)
	if err != nil {
		return nil, err
	}
	told := ill > 0 && sound > 0
	annual := func(name string, job cost.Money, years int) {
		if each, wrong := (cost.Life{First: job, Yearly: sound, Years: years}).Annual(); told && wrong == nil {
			say(name, each)
		}
	}
	if told {
		say("left as it is, resin a year", ill)
	}
	if !slices.Contains(beyondMend, first.Cause.Number) {
		say("to mend it: the visit and its minutes", mend)
		lasts := membraneYears
		if slices.Contains(cleanable, first.Cause.Number) {
			lasts = 1
		}
		annual("mended, a year with its resin", mend, lasts)
	}
	if !slices.Contains(elementIll, first.Cause.Number) {
		return all, nil
	}
	say("new elements, with the visit", replace)
	annual("new elements, a year with their resin", replace, membraneYears)
	return all, nil
}

// jobs are what mending and new elements cost at once.
func jobs(s *site.Site, first *faults.Suspect, p cost.Prices) (mend, replace cost.Money) {
	hour, visit := float64(p.Labour.Value), float64(p.Visit.Value)
	mend = cost.Money(visit + hour*float64(first.Remedy.Minutes)/60)
	elements := float64(p.Membrane.Value) * float64(max(s.Rig.Membrane.Count, 1))
	if slices.Contains(oxidisers, first.Cause.Number) {
		elements += float64(p.Carbon.Value)
	}
	return mend, cost.Money(visit + hour*fitElements + elements)
}

// resinYear is what the resin of a year costs, its visits included, when the lead
// vessel lasts for so much water; 0 without resin, or where nobody knows how much is
// washed.
func resinYear(s *site.Site, life quantity.Volume, p cost.Prices) (cost.Money, error) {
	if !(life > 0) || !(s.Demand.NormalDay > 0) || len(s.Rig.Resin) == 0 {
		return 0, nil
	}
	changes := float64(yearly(s)) / float64(life)
	year, err := cost.Yearly(cost.Use{
		Vends: 365 * float64(s.Demand.NormalDay), ResinVolume: s.Rig.Resin[0].Volume.Or(quantity.CubicFeet(1)) * quantity.Volume(changes),
		ResinChanges: changes, MinutesPerStop: minutesPerChange,
	}, p)
	return year.Total, err
}

// yearly is what the guns use in a year of normal days.
func yearly(s *site.Site) quantity.Volume {
	each := s.Demand.PerVehicle.Or(s.Demand.GunFlow.Or(quantity.GallonsPerMinute(1.5)).Over(s.Demand.VendTime.Or(quantity.Minutes(1))))
	return each * quantity.Volume(365*s.Demand.NormalDay)
}

// Kit is what a test uses up, in money: its minutes of work that cost as much, at what
// an hour costs here. It is nil for a test that uses nothing up, or
// where an hour costs nothing.
func (f *Faulted) Kit(t faults.Test) Figure {
	usual := cost.Default()
	hour := float64(f.prices.Labour.Or(usual.Labour.Value))
	if !(t.Kit*hour > 0) {
		return nil
	}
	currency := f.prices.Currency
	if currency == "" {
		currency = usual.Currency
	}
	return money(wholeMoney(t.Kit/60*hour), currency)
}
