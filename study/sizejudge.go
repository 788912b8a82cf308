package study

import (
	"context"
	"fmt"
	"math"
	"slices"
	"sync"

	"rinsewright/carbon"
	"rinsewright/cost"
	"rinsewright/demand"
	"rinsewright/hydraulics"
	"rinsewright/membrane"
	"rinsewright/plant"
	"rinsewright/quantity"
	"rinsewright/resin"
	"rinsewright/site"
	"rinsewright/sizing"
	"rinsewright/water"
)

// sizer judges candidate systems by the chain that check runs: each stage
// takes the look of the stages before it a few steps on.
type sizer struct {
	site    *site.Site // without its rig
	options SizeOptions
	choices [stageCount][]choice
	base    look // water, demand, chlorine: what no choice changes
	target  quantity.MassConc
	cold    quantity.Temperature // coldest feed in a month that is open
	warm    quantity.Temperature
	temps   [12]quantity.Temperature
	quality membrane.FeedQuality
	labour  cost.Money        // an hour
	osmotic quantity.Pressure // of the feed, coldest
	rig     site.Rig          // what hangs there now

	mutex  sync.Mutex
	trains map[int]rig
	paths  map[pathKey]*pathLook
	failed map[pathKey]sizing.Verdict // of paths that nothing follows
	shares map[storeKey]*demand.Replication
	years  map[yearKey]*demand.Year
	guns   map[gunKey]gunLook

	softs   map[int]*look // what is softened, by feed
	enough  map[enoughKey]sizing.Verdict
	leans   map[pathKey]*lean
	longest float64 // what the longest row of elements may recover

	bySize  []int // restrictors of known size, the smallest first
	windows map[pathKey]window
	pumps   int // deliveries that the catalogue allows, of which few are tried
}

// pathLook is a path from tap to tank, settled.
type pathLook struct {
	look look
	warm plant.Point
	cold plant.Point

	verdict sizing.Verdict
	settled bool              // false when the chain has no answer
	least   quantity.MassConc // on the pen at the gun without resin
	load    load
}

// pathKey is what decides the path from the tap to the tank.
type pathKey struct{ feed, outlet, train, booster, restrictor int }

func keyOf(chosen []int) pathKey {
	return pathKey{chosen[feedStage], chosen[outletStage], chosen[trainStage], chosen[boosterStage], chosen[restrictorStage]}
}

type storeKey struct {
	tank       int
	cold, warm int // make-up, on a grid
}

type yearKey struct {
	path pathKey
	tank int
}

type gunKey struct {
	delivery              int
	pressurised, standing bool
}

type gunLook struct {
	alone, all hydraulics.DeliveryPoint
	err        error
}

type margin = sizing.Margin

// verdict collects margins.
type verdict struct {
	sizing.Verdict
	z *sizer
}

func (v *verdict) add(constraint string, used float64, says string, args ...any) {
	if !(used >= 0) {
		used = impossible
	}
	v.Margins = append(v.Margins, sizing.Margin{Constraint: constraint, Used: min(used, impossible), Says: fmt.Sprintf(says, args...)})
}

// impossible is the share used of a limit by what cannot work at all: the
// share itself has no meaning then.
const impossible = 100

func (v *verdict) broken() (n int) {
	for _, m := range v.Margins {
		if m.Used > 1 {
			n++
		}
	}
	return n
}

// cannot is the verdict on a path that the chain has no answer for.
func (v *verdict) cannot(constraint string, err error) (sizing.Verdict, error) {
	v.add(constraint, impossible, "%v", err)
	return v.Verdict, nil
}

// text prints a quantity in the units of the question.
func sizeText[Q quantity.Quantity](z *sizer, q Q) string {
	return quantity.FormatLocale(q, z.options.Units, z.options.Locale)
}

// problem lists the stages for the search.
func (z *sizer) problem() sizing.Problem {
	p := sizing.Problem{Years: z.options.Years, Discount: z.options.Discount, Within: z.options.Within, Reach: nearMiss, MostTrials: mostTrials}
	for i, choices := range z.choices {
		stage := sizing.Stage{Name: stageNames[i]}
		for _, c := range choices {
			stage.Options = append(stage.Options, c.option())
		}
		p.Stages = append(p.Stages, stage)
	}
	z.moveTankCost(p.Stages)
	first := cost.Money(math.Round(startUp * float64(z.labour)))
	for i := range p.Stages[feedStage].Options {
		p.Stages[feedStage].Options[i].First += first
	}
	p.Stages[feedStage].Judge = z.judgeFeed
	p.Stages[deliveryStage].Judge, p.Stages[deliveryStage].Fits = z.judgeDelivery, z.deliveryFits
	p.Stages[boosterStage].Judge = z.judgeBooster
	p.Stages[restrictorStage].Judge, p.Stages[restrictorStage].Fits = z.judgeLean, z.restrictorFits
	p.Stages[pathStage].Judge = z.judgePath
	p.Stages[tankStage].Judge, p.Stages[tankStage].Fits = z.judgeTank, z.tankFits
	p.Stages[resinStage].Judge, p.Stages[resinStage].Fits = z.judgeResin, z.resinFits
	return p
}

// moveTankCost charges the cheapest tank of its kind to the outlet that needs
// it, so that the search sees early what an outlet leads to. Sums stay.
func (z *sizer) moveTankCost(stages []sizing.Stage) {
	least := func(like choice) cost.Money {
		found := cost.Money(math.MaxInt64)
		for _, c := range z.choices[tankStage] {
			if like.pressurised == c.pressurised && like.standing == c.standing {
				found = min(found, c.option().First)
			}
		}
		return found
	}
	for i, outlet := range z.choices[outletStage] {
		if first := least(outlet); first < math.MaxInt64 {
			stages[outletStage].Options[i].First += first
		}
	}
	for i, tank := range z.choices[tankStage] {
		stages[tankStage].Options[i].First -= least(tank)
	}
}

// nearMiss is how far over its limit a constraint is still told to bind.
const nearMiss = 10

// mostTrials ends a search; most of them look up a path that is settled already.
const mostTrials = 2_000_000

func (z *sizer) at(chosen []int, stage int) choice { return z.choices[stage][chosen[stage]] }

// siteOf is the site with what is chosen so far on its wall.
func (z *sizer) siteOf(chosen []int) *site.Site {
	s := *z.site
	for stage := range chosen {
		if put := z.at(chosen, stage).put; put != nil {
			put(&s)
		}
	}
	return &s
}

func (z *sizer) tankFits(chosen []int) bool {
	outlet, tank := z.at(chosen, outletStage), z.at(chosen, tankStage)
	return outlet.pressurised == tank.pressurised && outlet.standing == tank.standing
}

func (z *sizer) deliveryFits(chosen []int) bool {
	return z.at(chosen, outletStage).pressurised == z.at(chosen, deliveryStage).pressurised
}

// resinFits allows one place for resin.
func (z *sizer) resinFits(chosen []int) bool {
	return !z.at(chosen, outletStage).before || z.at(chosen, resinStage).put == nil
}

// judgeFeed looks at what reaches the membrane, before any flow is known.
func (z *sizer) judgeFeed(_ context.Context, chosen []int) (sizing.Verdict, error) {
	v := verdict{z: z}
	feed := z.at(chosen, feedStage)
	s := z.siteOf(chosen)
	l := z.base
	if err := l.soften(s, &notes{}); err != nil {
		return v.cannot("softener", err)
	}
	iron := ironOf(z.site)
	switch {
	case feed.iron != nil:
		iron = 0
	case l.softening != nil:
		iron = min(iron, water.Iron.Mass(l.feed.Total[water.Iron])+water.Manganese.Mass(l.feed.Total[water.Manganese]))
	}
	if ironOf(z.site) > 0 {
		v.add("iron at the membrane", float64(iron)/float64(ironLimit), "%s of iron and manganese, at most %s", sizeText(z, iron), sizeText(z, ironLimit))
	}
	if l.chlorine && s.Rig.Carbon == nil {
		total := l.challenge.FreeChlorine + l.challenge.Chloramine
		v.add("chlorine at the membrane", float64(total)/float64(carbon.LeakLimit), "%s of chlorine, at most %s", sizeText(z, total), sizeText(z, carbon.LeakLimit))
	}
	v.leastFeed(s, &l, feed)
	return v.Verdict, nil
}

// leastFeed holds what stands ahead of the membrane to the least feed of any
// system that makes the busiest day's water within the elements' recovery.
func (v *verdict) leastFeed(s *site.Site, l *look, feed choice) {
	z := v.z
	flow := quantity.Flow(float64(l.demand.BusyDay) / 86400 / z.mostRecovery()) // m³/s
	if feed.flow > 0 {
		v.add("filter flow", float64(flow)/float64(feed.flow), "at least %s of feed through what is made for %s", sizeText(z, flow), sizeText(z, feed.flow))
	}
	if l.softening != nil {
		day := flow.Over(quantity.Days(1))
		v.add("softener", float64(day)/float64(l.softening.cycle.Water), "at least %s of feed on the busiest day, %s between regenerations", sizeText(z, day), sizeText(z, l.softening.cycle.Water))
	}
	bed, err := carbonOf(s.Rig.Carbon, &notes{})
	if err != nil || bed == nil || !l.chlorine {
		return
	}
	l.rig.carbon = bed
	if err := v.contact(l, flow); err != nil {
		v.add("carbon contact", impossible, "%v", err)
	}
}

// mostRecovery is what the longest row of elements recovers, each at the most
// that data sheets allow.
func (z *sizer) mostRecovery() float64 {
	if z.longest > 0 {
		return z.longest
	}
	longest := 1
	for _, c := range z.choices[trainStage] {
		var s site.Site
		if c.put(&s); !s.Rig.Membrane.Parallel {
			longest = max(longest, s.Rig.Membrane.Count)
		}
	}
	return 1 - math.Pow(1-mostElementRecovery, float64(longest))
}

// mostElementRecovery is above what any data sheet allows one element. Source:
// [TradeDefaults].
const mostElementRecovery = 0.2

// rigFor is the rig of a site with the train's element solved once for all.
func (z *sizer) rigFor(s *site.Site, train int) (rig, error) {
	made, err := z.trainFor(s, train)
	if err != nil {
		return made, err
	}
	bare := *s
	bare.Rig.Membrane = nil
	r, err := rigOf(&bare, drawn{}, &notes{})
	if err != nil {
		return r, err
	}
	r.plant.Train, r.element = made.plant.Train, made.element
	r.plant.Restrictor, err = restrictorOf(s, r, drawn{}, &notes{})
	return r, err
}

func (z *sizer) trainFor(s *site.Site, train int) (rig, error) {
	z.mutex.Lock()
	made, ok := z.trains[train]
	z.mutex.Unlock()
	if ok {
		return made, nil
	}
	if err := made.membrane(s.Rig.Membrane, drawn{}, &notes{}); err != nil {
		return made, err
	}
	z.mutex.Lock()
	z.trains[train] = made
	z.mutex.Unlock()
	return made, nil
}

// judgePath settles the path from the tap to the tank at the coldest and the
// warmest feed of the open months and at today's, once for every delivery.
func (z *sizer) judgePath(_ context.Context, chosen []int) (sizing.Verdict, error) {
	p, failed := z.settled(chosen)
	if p == nil {
		return failed, nil
	}
	v := verdict{Verdict: sizing.Verdict{Margins: slices.Clip(p.verdict.Margins), Yearly: p.verdict.Yearly}, z: z}
	if z.at(chosen, resinStage).put != nil {
		yearly, err := z.pathYearly(z.siteOf(chosen), p.look.softening, p.load, chosen)
		if err != nil {
			return v.cannot("yearly cost", err)
		}
		v.Yearly = yearly
	}
	if !z.polished(chosen) {
		v.add("strength at the gun", float64(p.least)/float64(z.target), "at least %s on the pen without resin, at most %s", tenth(p.least), tenth(z.target))
	}
	return v.Verdict, nil
}

// settled returns the path that the parts up to the restrictor make, or nil and
// a verdict where the chain has no answer or two limits are broken.
func (z *sizer) settled(chosen []int) (*pathLook, sizing.Verdict) {
	key := keyOf(chosen)
	z.mutex.Lock()
	p := z.paths[key]
	failed, ok := z.failed[key]
	z.mutex.Unlock()
	if p != nil || ok {
		return p, failed
	}
	p = &pathLook{look: z.base}
	v := verdict{z: z}
	z.settlePath(&v, p, chosen, false)
	z.mutex.Lock()
	defer z.mutex.Unlock()
	if !p.settled || v.broken() > 1 {
		z.failed[key] = v.Verdict
		return nil, v.Verdict
	}
	p.verdict = v.Verdict
	z.paths[key] = p
	return p, v.Verdict
}

// polished says whether resin hangs anywhere.
func (z *sizer) polished(chosen []int) bool {
	return z.at(chosen, outletStage).before || z.at(chosen, resinStage).put != nil
}

// freed is the least that the gun could give without resin: the permeate of the
// warmest feed with all its carbon dioxide gone to the air.
func (p *pathLook) freed() error {
	open, err := water.Standing(p.warm.Membrane.Permeate.Water, 1, quantity.Days(3650))
	if err != nil {
		return err
	}
	aired, err := open.Conductivity25()
	if err != nil {
		return err
	}
	closed, err := p.warm.Membrane.Permeate.Water.Conductivity25()
	if err != nil {
		return err
	}
	p.least, err = penNaCl(min(aired, closed))
	return err
}

// settlePath settles a path; unless thorough it stops where two limits are
// broken.
func (z *sizer) settlePath(v *verdict, p *pathLook, chosen []int, thorough bool) {
	s := z.siteOf(chosen)
	l := &p.look
	steps := []struct {
		constraint string
		do         func() error
	}{
		{"softener", func() error { return l.soften(s, &notes{}) }},
		{"tank", func() (err error) { l.store.back, err = z.backOf(z.at(chosen, outletStage), s); return err }},
		{"parts", func() (err error) { l.rig, err = z.rigFor(s, chosen[trainStage]); return err }},
		{"coldest month", func() (err error) { p.cold, err = l.settle(z.cold); return err }},
		{"limits of the membrane", func() error { v.capacity(p.cold); return v.membrane(p.cold) }},
		{"warmest month", func() (err error) { p.warm, err = l.settle(z.warm); return err }},
		{"operating point", func() (err error) { l.today, err = l.settle(l.feed.Temperature); return err }},
		{"limits of the membrane", func() error { z.interpolate(p); return v.membrane(p.warm) }},
		{"supply", func() error { return v.supply(s, z.at(chosen, feedStage), p) }},
		{"strength at the gun", p.freed},
		{"resin", func() (err error) { p.load, err = loadOf(&l.today); return err }},
		{"yearly cost", func() error { v.merge(); return v.pathCost(s, p, chosen) }},
	}
	for _, step := range steps {
		if err := step.do(); err != nil {
			v.add(step.constraint, impossible, "%v", err)
			return
		}
		if !thorough && v.broken() > 1 {
			return
		}
	}
	p.settled = true
}

// backOf is the pressure that the outlet pushes back with, whatever the size
// of its tank.
func (z *sizer) backOf(outlet choice, s *site.Site) (quantity.Pressure, error) {
	if !outlet.pressurised {
		s.Rig.Tank = &site.Tank{Kind: "vented"}
		if hang := z.rig.Tank; hang != nil {
			s.Rig.Tank.Height = hang.Height
		}
		return 0, nil
	}
	t := &site.Tank{Kind: "pressurised", Volume: quantity.Told(quantity.Gallons(40)), Precharge: quantity.Told(newPrecharge), StartAt: quantity.Told(newStartAt), StopAt: quantity.Told(newStopAt)}
	if outlet.standing {
		t = z.rig.Tank
	}
	s.Rig.Tank = t
	st, err := pressurised(t, &notes{})
	return st.back, err
}

// judgeBooster holds the most that elements could ever make of the pressure
// there is against the busiest day: what is far too small needs no closer look.
//
//	Q < A S (p_tap + p_pump − p_back − π), nothing lost on the way
func (z *sizer) judgeBooster(_ context.Context, chosen []int) (sizing.Verdict, error) {
	outlet := z.at(chosen, outletStage)
	key := enoughKey{outlet.pressurised, outlet.standing, chosen[trainStage], chosen[boosterStage]}
	z.mutex.Lock()
	found, ok := z.enough[key]
	z.mutex.Unlock()
	if !ok {
		found = z.enoughOf(chosen)
		z.mutex.Lock()
		z.enough[key] = found
		z.mutex.Unlock()
	}
	v := verdict{Verdict: found, z: z}
	v.Margins = slices.Clip(v.Margins)
	v.circuit(chosen)
	return v.Verdict, nil
}

// enoughKey is what decides how much elements could make at most.
type enoughKey struct {
	pressurised, standing bool
	train, booster        int
}

func (z *sizer) enoughOf(chosen []int) sizing.Verdict {
	v := verdict{z: z}
	most, err := z.mostMade(chosen)
	need := quantity.Flow(float64(z.base.demand.BusyDay) / 86400)
	switch {
	case err != nil:
		v.add("supply", impossible, "%v", err)
	case most < need:
		v.capacityOf(max(most, need/impossible))
	}
	return v.Verdict
}

// mostMade is the most that the elements could make of the pressure there is.
// At the flow that is needed there is at most the supply's pressure there.
func (z *sizer) mostMade(chosen []int) (quantity.Flow, error) {
	s := z.siteOf(chosen)
	supply, err := supplyOf(s, drawn{}, &notes{})
	if err != nil {
		return 0, err
	}
	static, err := supply.Pressure(0)
	if err != nil {
		return 0, err
	}
	train, err := z.trainFor(s, chosen[trainStage])
	if err != nil {
		return 0, err
	}
	count := float64(len(train.plant.Train.Housings) * max(train.plant.Train.Parallel, 1))
	sheet := train.element.Sheet
	energy := sheet.WaterEnergies.Below
	if z.cold > 298.15 {
		energy = sheet.WaterEnergies.Above
	}
	cold := math.Exp(float64(energy) * (1/298.15 - 1/float64(z.cold)))
	passes := count * float64(train.element.WaterPermeability) * cold * float64(sheet.Area) // m³/(s·Pa)
	back, err := z.backOf(z.at(chosen, outletStage), s)
	if err != nil {
		return 0, err
	}
	at, err := supply.Pressure(quantity.Flow(float64(z.base.demand.BusyDay) / 86400 / z.mostRecovery()))
	if err != nil {
		at = static
	}
	return quantity.Flow(passes * max(float64(at-back-z.osmotic), 0)), nil
}

// capacity holds the coldest month against the busiest day.
func (v *verdict) capacity(cold plant.Point) {
	v.capacityOf(cold.Membrane.Permeate.Flow)
}

func (v *verdict) capacityOf(f quantity.Flow) {
	z := v.z
	makes := f.Over(quantity.Days(1))
	v.add("coldest month", float64(z.base.demand.BusyDay)/float64(makes), "the busiest day asks for %s, the coldest open month makes %s a day", sizeText(z, z.base.demand.BusyDay), sizeText(z, makes))
}

// membrane adds scaling and the limits of the element at a point. Temperature
// and pH are the feed's and no choice of parts changes them.
func (v *verdict) membrane(p plant.Point) error {
	concentrate, err := water.Equilibrate(p.Membrane.Concentrate.Water)
	if err != nil {
		return err
	}
	worst, index := water.Calcite, math.Inf(-1)
	for _, m := range minerals {
		if i := concentrate.SaturationIndex(m); i > index {
			worst, index = m, i
		}
	}
	v.add("scaling", math.Pow(10, index), "%s in the concentrate at a saturation index of %.2f, at most 0", worst, index)
	margins, err := p.Membrane.Margins(v.z.quality)
	if err != nil {
		return err
	}
	for _, m := range margins {
		v.add(string(m.Limit), float64(m.Used), "%s", m.Says)
		switch m.Limit {
		case membrane.LimitTemperature, membrane.LimitLowPH, membrane.LimitHighPH:
			v.Margins[len(v.Margins)-1].Fixed = true
		}
	}
	return nil
}

// supply adds what the path asks of the main, the filters, the carbon, the
// softener and the drain, with the most flow: when the feed is warmest.
func (v *verdict) supply(s *site.Site, feed choice, p *pathLook) error {
	z, l := v.z, &p.look
	flow := max(p.warm.Feed.Flow, p.cold.Feed.Flow)
	bare := *s
	bare.Rig.Booster = nil
	main, err := supplyOf(&bare, drawn{}, &notes{})
	if err != nil {
		return err
	}
	static, err := main.Pressure(0)
	if err != nil {
		return err
	}
	left, err := main.Pressure(flow)
	if err != nil {
		return err
	}
	v.add("city pressure", float64(static-left)/float64(static-leastMain), "%s left at the tap, at least %s", sizeText(z, left), sizeText(z, leastMain))
	if feed.flow > 0 {
		v.add("filter flow", float64(flow)/float64(feed.flow), "%s of feed through what is made for %s", sizeText(z, flow), sizeText(z, feed.flow))
	}
	if l.chlorine && l.rig.carbon != nil {
		if err := v.contact(l, flow); err != nil {
			return err
		}
	}
	if l.softening != nil {
		v.softener(l, flow, p)
	}
	concentrate := p.warm.Membrane.Concentrate.Flow
	if most := z.site.Limits.DrainFlow; most.Known {
		v.add("drain flow", float64(concentrate)/float64(most.Value), "%s to a drain that takes %s", sizeText(z, concentrate), sizeText(z, most.Value))
	}
	for i, bed := range l.rig.beds {
		if i == 0 {
			v.resinFlow(bed, p.warm.Membrane.Permeate.Flow)
		}
	}
	return nil
}

func (v *verdict) contact(l *look, flow quantity.Flow) error {
	all, err := l.rig.carbon.Contact(l.challenge, flow)
	for _, c := range all {
		v.add("carbon contact", float64(c.Asked)/float64(c.Have), "%s with %s, at least %s", sizeText(v.z, c.Have), c.Of, sizeText(v.z, c.Asked))
	}
	return err
}

// softener adds its flow and how often it regenerates on the busiest day.
func (v *verdict) softener(l *look, flow quantity.Flow, p *pathLook) {
	z, cycle := v.z, l.softening.cycle
	v.add("softener flow", float64(flow)/float64(cycle.MostFlow), "%s of feed, at most %s", sizeText(z, flow), sizeText(z, cycle.MostFlow))
	feed := float64(z.base.demand.BusyDay) / max(float64(p.cold.Recovery()), 1e-6)
	v.add("softener", feed/float64(cycle.Water), "%s of feed on the busiest day, %s between regenerations", sizeText(z, quantity.Volume(feed)), sizeText(z, cycle.Water))
}

func (v *verdict) resinFlow(bed resin.Bed, flow quantity.Flow) {
	if bed.MostFlow > 0 {
		v.add("resin flow", float64(flow)/float64(bed.MostFlow), "%s through a bed made for %s", sizeText(v.z, flow), sizeText(v.z, bed.MostFlow))
	}
}

// merge keeps the worst margin of each constraint.
func (v *verdict) merge() {
	var kept []sizing.Margin
	at := map[string]int{}
	for _, m := range v.Margins {
		i, ok := at[m.Constraint]
		switch {
		case !ok:
			at[m.Constraint] = len(kept)
			kept = append(kept, m)
		case m.Used > kept[i].Used:
			kept[i] = m
		}
	}
	v.Margins = kept
}

// pathCost is the yearly cost without resin behind the tank and pump.
func (v *verdict) pathCost(s *site.Site, p *pathLook, chosen []int) (err error) {
	bare := *s
	if !v.z.at(chosen, outletStage).before {
		bare.Rig.Resin = nil // paths are shared by all bottles behind the tank
	}
	v.Yearly, err = v.z.pathYearly(&bare, p.look.softening, p.load, chosen)
	return err
}

func (z *sizer) yearly(s *site.Site, l *look, extra cost.Money) (cost.Money, error) {
	c := checking{site: s, base: l, notes: &notes{}}
	year, err := c.costOf(l)
	return year.Total + extra, err
}

// interpolate gives every month its make-up: the parabola in temperature
// through the three points that were settled.
func (z *sizer) interpolate(p *pathLook) {
	l := &p.look
	x := [3]float64{float64(z.cold), float64(l.feed.Temperature), float64(z.warm)} // K
	y := [3]float64{float64(p.cold.Membrane.Permeate.Flow), float64(l.today.Membrane.Permeate.Flow), float64(p.warm.Membrane.Permeate.Flow)}
	for month, at := range z.temps {
		l.monthly[month] = quantity.Flow(max(through(x, y, float64(at)), 0))
	}
}

// through is the parabola through three points, or the line through the outer
// two where points fall together.
func through(x, y [3]float64, at float64) float64 {
	const near = 0.3 // K
	line := func(i, j int) float64 {
		if math.Abs(x[j]-x[i]) < 1e-6 {
			return y[i]
		}
		return y[i] + (y[j]-y[i])*(at-x[i])/(x[j]-x[i])
	}
	if math.Abs(x[1]-x[0]) < near || math.Abs(x[2]-x[1]) < near || math.Abs(x[2]-x[0]) < near {
		return line(0, 2)
	}
	sum := 0.0
	for i := range 3 {
		term := y[i]
		for j := range 3 {
			if j != i {
				term *= (at - x[j]) / (x[i] - x[j])
			}
		}
		sum += term
	}
	return sum
}
