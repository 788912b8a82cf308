package study

import (
	"context"
	"errors"
	"fmt"
	"math"
	"time"

	"rinsewright/carbon"
	"rinsewright/demand"
	"rinsewright/hydraulics"
	"rinsewright/plant"
	"rinsewright/quantity"
	"rinsewright/resin"
	"rinsewright/site"
	"rinsewright/water"
)

// look is one run of the whole chain: the base look, or one drawn within the
// doubts of everything that was read or assumed.
type look struct {
	drawn   drawn
	raw     water.Completion
	feed    water.Water // raw water, softened where a softener hangs
	rig     rig
	store   store
	profile demand.Profile
	demand  demand.Demand

	today   plant.Point // at the temperature of the raw sample
	coldest plant.Point // at the coldest feed; its Membrane is zero when nothing flows
	cold    error       // why the coldest feed makes nothing, if so
	monthly [12]quantity.Flow

	permeate strength
	tank     strength
	polished strength
	gun      strength

	year   *demand.Year // nil before it ran
	creep  quantity.EquivConc
	inlet  resin.Inlet
	life   resin.Life
	label  quantity.Volume
	unused bool // nothing loads the resin, or there is none

	challenge carbon.Challenge
	chlorine  bool
	contact   []carbon.Contact
	clock     carbon.Account

	softening *softening
	dried     dried

	delivery hydraulics.DeliveryPoint
	alone    hydraulics.DeliveryPoint
}

// strength is one water of the path with what a meter makes of it.
type strength struct {
	water    water.Water
	solution water.Solution
	at25     quantity.Conductivity
}

func strengthOf(w water.Water) (strength, error) {
	solution, err := water.Equilibrate(w)
	if err != nil {
		return strength{}, err
	}
	at25, err := w.Conductivity25()
	return strength{w, solution, at25}, err
}

// change is a what-if on the chain, beyond what a site can say.
type change struct {
	raw func(water.Water) (water.Water, error)
}

// lookAt runs the chain once.
func lookAt(ctx context.Context, s *site.Site, d drawn, n *notes, seed uint64, c change) (*look, error) {
	l := &look{drawn: d}
	steps := []struct {
		name string
		do   func() error
	}{
		{"raw water", func() error { return l.takeWater(s, d, n, c) }},
		{"softener", func() error { return l.soften(s, n) }},
		{"demand", func() error { return l.takeDemand(s, d, n) }},
		{"rig", func() (err error) { l.rig, err = rigOf(s, d, n); return err }},
		{"tank", func() (err error) { l.store, err = storeOf(s, l, n); return err }},
		{"operating point", func() error { return l.operate(s, d, n) }},
		{"strengths", func() error { return l.strengths(s) }},
		{"busy year", func() error { return l.run(ctx, seed) }},
		{"resin", func() error { return l.resinLife(s) }},
		{"chlorine", func() error {
			if d.raw != nil { // a draw: no promise rests on it
				return nil
			}
			return l.chlorineClock(s, n)
		}},
		{"delivery", func() error { return l.deliver(s, n) }},
		{"rinse", func() error { return l.residue(s) }},
	}
	for _, step := range steps {
		if err := step.do(); err != nil {
			return nil, fmt.Errorf("%s: %w", step.name, err)
		}
	}
	return l, nil
}

// sampleAt returns the latest sample of a place.
func sampleAt(s *site.Site, place string) (water.Sample, bool) {
	var found water.Sample
	ok := false
	for _, w := range s.Samples {
		if w.Place == place && (!ok || w.Date >= found.Date) {
			found, ok = w, true
		}
	}
	return found, ok
}

// rawSample is the latest reading of the water that comes in, and what is
// taken where nobody measured.
func rawSample(s *site.Site) (water.Sample, water.Prior, error) {
	sample, ok := sampleAt(s, "raw")
	if !ok {
		if sample, ok = sampleAt(s, "feed"); !ok {
			return sample, water.Prior{}, ErrNoSample
		}
	}
	if s.Supply.Source == site.Well {
		return sample, water.WellPrior(), nil
	}
	return sample, water.CityPrior(), nil
}

// rawWaters draws the waters that the readings allow, one for each look.
func rawWaters(s *site.Site, seed uint64, n int) ([]water.Completion, error) {
	sample, prior, err := rawSample(s)
	if err != nil {
		return nil, err
	}
	return water.Ensemble(sample, prior, seed, n)
}

func (l *look) takeWater(s *site.Site, d drawn, n *notes, c change) (err error) {
	sample, prior, err := rawSample(s)
	if err != nil {
		return err
	}
	if d.raw != nil {
		l.raw = *d.raw
	} else if l.raw, err = water.Complete(sample, prior); err != nil {
		return err
	}
	for _, a := range l.raw.Assumed {
		n.assume(a.What, a.Value, a.Why)
	}
	if l.raw.Full {
		n.assume("charge balance of the analysis", fmt.Sprintf("off by %+.1f %%", 100*float64(l.raw.Imbalance)),
			"a plant can only be fed a neutral water: each ion was moved within its accuracy")
		if l.raw, err = l.raw.Neutralised(); err != nil {
			return err
		}
	}
	if c.raw == nil {
		return nil
	}
	if l.raw.Water, err = c.raw(l.raw.Water); err != nil {
		return err
	}
	l.raw.Solution, err = water.Equilibrate(l.raw.Water)
	return err
}

func (l *look) takeDemand(s *site.Site, d drawn, n *notes) (err error) {
	answers, err := answersOf(s.Demand)
	if err != nil {
		return err
	}
	scale := d.factor(demandDoubt)
	answers.VehiclesPerDay *= scale
	answers.VehiclesBusiest *= scale
	gun := d.factor(gunFlowDoubt)
	answers.GunFlow *= quantity.Flow(gun)
	answers.LitresPerVehicle *= quantity.Volume(gun)
	profile, assumed, err := demand.FromAnswers(answers)
	if err != nil {
		return err
	}
	for _, a := range assumed {
		n.assume(a, "", "nobody said")
	}
	l.profile = profile
	l.demand, err = profile.Demand()
	return err
}

// maybeDemand lets a site say nothing of its demand.
func (l *look) maybeDemand(s *site.Site, d drawn, n *notes) error {
	if err := l.takeDemand(s, d, n); err != nil && !errors.Is(err, ErrNoDemand) {
		return err
	}
	return nil
}

func answersOf(d site.Demand) (demand.Answers, error) {
	if d.NormalDay == 0 && d.BusiestDay == 0 {
		return demand.Answers{}, ErrNoDemand
	}
	a := demand.Answers{
		Bays: d.Bays, VehiclesPerDay: float64(d.NormalDay), VehiclesBusiest: float64(d.BusiestDay),
		SpotFreeTime: d.VendTime.Or(0), GunFlow: d.GunFlow.Or(0), LitresPerVehicle: d.PerVehicle.Or(0),
		FirstMonth: time.Month(d.FirstMonth), LastMonth: time.Month(d.LastMonth),
	}
	if d.VendTime.Known {
		a.VendLength = max(d.VendTime.Value, quantity.Minutes(4))
	}
	var err error
	if a.Opens, err = clockTime(d.Opens); err != nil {
		return a, err
	}
	if a.Closes, err = clockTime(d.Closes); err != nil {
		return a, err
	}
	for day := time.Sunday; day <= time.Saturday; day++ {
		if day.String() == d.BusiestWeekday {
			a.BusiestWeekdays = []time.Weekday{day}
		}
	}
	return a, nil
}

func clockTime(text string) (quantity.Time, error) {
	if text == "" {
		return 0, nil
	}
	t, err := time.Parse("15:04", text)
	if err != nil {
		return 0, fmt.Errorf("time of day %q: wanted such as 08:00", text)
	}
	return quantity.Hours(float64(t.Hour()) + float64(t.Minute())/60), nil
}

// coldAndWarm are the feed's temperatures through the year.
func (l *look) coldAndWarm(s *site.Site, n *notes) (cold, warm quantity.Temperature) {
	now := l.raw.Water.Temperature
	swing := quantity.Temperature(7)
	if s.Supply.Source == site.Well {
		swing = 2
	}
	cold = or(n, s.Supply.Coldest, max(now-swing, quantity.Celsius(3)), "feed temperature in the coldest month", "the utility knows; cold feed makes least")
	warm = or(n, s.Supply.Warmest, max(now, cold)+1, "feed temperature in the warmest month", "the utility knows; warm feed passes most salt")
	return min(cold, warm), max(cold, warm)
}

// northernFebruary is the feed's coldest month where nobody said, January as 0.
const northernFebruary = 1

// coldestMonth is that of the feed, January as 0. Half a year later it is warmest.
func coldestMonth(s *site.Site) int {
	if m := s.Supply.ColdestMonth; m > 0 {
		return m - 1
	}
	return northernFebruary
}

// monthTemperature is a cosine through the year.
func monthTemperature(month, coldest int, cold, warm quantity.Temperature) quantity.Temperature {
	phase := 2 * math.Pi * float64(month-coldest-6) / 12
	return (cold+warm)/2 + (warm-cold)/2*quantity.Temperature(math.Cos(phase))
}

// operate finds the flows of the year. Its temperatures are the same going up
// as coming down, so that seven points tell twelve months.
func (l *look) operate(s *site.Site, d drawn, n *notes) (err error) {
	if l.today, err = l.settle(l.feed.Temperature); err != nil {
		return err
	}
	cold, warm := l.coldAndWarm(s, n)
	cold = max(min(cold+d.kelvin(coldestDoubt), warm), quantity.Celsius(0.5))
	coldest := coldestMonth(s)
	for k := range 7 {
		point, err := l.settle(monthTemperature(coldest+k, coldest, cold, warm))
		if k == 0 {
			l.coldest, l.cold = point, err
		}
		if err == nil { // a month too cold to make anything makes nothing
			flow := point.Product().Flow
			l.monthly[(coldest+k)%12], l.monthly[(coldest-k+12)%12] = flow, flow
		}
	}
	return nil
}

// makeUp is the permeate flow on a day of the year, a straight line between
// the middles of months.
func (l *look) makeUp(day int) quantity.Flow {
	at := float64(day)/365*12 - 0.5
	month := int(math.Floor(at))
	share := quantity.Flow(at - float64(month))
	return l.monthly[(month+12)%12]*(1-share) + l.monthly[(month+13)%12]*share
}

func (l *look) run(ctx context.Context, seed uint64) (err error) {
	tank := l.store.tank
	year, err := demand.SimulateYear(ctx, l.profile, tank, l.makeUp, seed)
	l.year = &year
	return err
}
