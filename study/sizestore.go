package study

import (
	"context"
	"errors"
	"fmt"
	"math"

	"rinsewright/cost"
	"rinsewright/demand"
	"rinsewright/quantity"
	"rinsewright/site"
	"rinsewright/sizing"
)

// pathOf returns the path that judgePath settled, nil when it did not.
func (z *sizer) pathOf(chosen []int) *pathLook {
	if p := z.settled(chosen); p.settled {
		return p
	}
	return nil
}

// errNoPath ends what follows on a path that the chain has no answer for.
var errNoPath = errors.New("the path gives no water")

// floats sets an open tank's levels by the trade's rule, for the most make-up.
func floats(t *site.Tank, most quantity.Flow) {
	if t == nil || t.Kind != "vented" || t.Stop.Known || !t.Volume.Known {
		return
	}
	levels, err := demand.VentedTank(t.Volume.Value, most)
	if err != nil {
		return // told by the float gap
	}
	t.Stop, t.Start, t.LowCut = quantity.Told(levels.Stop), quantity.Told(levels.Start), quantity.Told(levels.CutOff)
}

// stored is the site with its tank's floats set, and the tank as the chain
// sees it.
func (z *sizer) stored(chosen []int, p *pathLook) (*site.Site, look, error) {
	s := z.siteOf(chosen)
	if s.Rig.Tank != nil {
		t := *s.Rig.Tank
		floats(&t, p.warm.Product().Flow)
		s.Rig.Tank = &t
	}
	l := p.look
	var err error
	l.store, err = storeOf(s, &l, &notes{})
	return s, l, err
}

// judgeTank runs the busy years against a tank.
func (z *sizer) judgeTank(ctx context.Context, chosen []int) (sizing.Verdict, error) {
	v := verdict{z: z}
	p := z.pathOf(chosen)
	if p == nil {
		return v.cannot("no water", errNoPath)
	}
	_, l, err := z.stored(chosen, p)
	if err != nil {
		return v.cannot("float gap", err)
	}
	v.levels(&l, p.warm.Product().Flow)
	v.sulphide(chosen, l.store.aerated)
	v.circuit(chosen)
	if tank := z.at(chosen, tankStage); tank.diameter > 0 && z.site.Limits.Door.Known {
		v.add("door", float64(tank.diameter)/float64(z.site.Limits.Door.Value), "a tank of %s through a door of %s", sizeText(z, tank.diameter), sizeText(z, z.site.Limits.Door.Value))
	}
	if v.broken() > z.allow {
		return v.Verdict, nil
	}
	share, err := z.shortShare(ctx, &l)
	if err != nil {
		return sizing.Verdict{}, err
	}
	v.add("short rinses", float64(share)/float64(z.options.Short), "%s of the rinses run short, at most %s", sizeText(z, share), sizeText(z, z.options.Short))
	v.Levels = z.levelsOf(share, p.look.today.Recovery())
	if v.broken() > z.allow {
		return v.Verdict, nil
	}
	return z.finish(ctx, &v, chosen, p)
}

// Steps of the further objectives. Nobody chooses a system for less than a
// four-hundredth of its rinses, or a quarter of its water to the drain.
const (
	riskStep  = 0.0025
	drainStep = 0.25
)

// levelsOf are the rinses that run short and the water that goes to the drain,
// in steps.
func (z *sizer) levelsOf(short, recovery quantity.Ratio) (levels [sizing.Objectives]int) {
	levels[0] = int(math.Ceil(float64(short) / riskStep))
	if drain := 1/float64(recovery) - 1; drain > 0 && !math.IsInf(drain, 0) { // litres for each litre made
		levels[1] = max(int(math.Ceil(math.Log(drain/leastDrain)/math.Log1p(drainStep))), 0)
	}
	return levels
}

// leastDrain is what nobody would choose by: litres for each litre made.
const leastDrain = 0.02

// levels adds the gap between the floats, against starts that load the resin,
// and how long the water stands.
func (v *verdict) levels(l *look, most quantity.Flow) {
	z, t := v.z, l.store.tank
	half := most.Over(leastRun)
	room := t.FloatDifferential()
	if l.store.vented {
		room = max(room, t.Stop-t.Restart) // the start float can be set as low as the pump's restart
	}
	v.add("float gap", float64(half)/float64(room), "half an hour of make-up is %s, the floats have room for %s", sizeText(z, half), sizeText(z, room))
	if day := float64(l.demand.OpenDay); day > 0 {
		stands := quantity.Days(float64(t.Usable()) / day)
		v.add("standing water", float64(stands)/float64(mostStanding), "the water stands for %s, at most %s", life{stands}.Text(z.options.Units, z.options.Locale), life{mostStanding}.Text(z.options.Units, z.options.Locale))
	}
}

// grid puts a make-up on a ladder of steps of 1 %, downwards: paths that make
// nearly the same share one simulation, and each is judged by no more than it
// makes.
const grid = 0.01

func rung(f quantity.Flow) int {
	if !(f > 0) {
		return math.MinInt32
	}
	return int(math.Floor(math.Log(float64(f)) / math.Log1p(grid)))
}

func flowAt(rung int) quantity.Flow {
	if rung == math.MinInt32 {
		return 0
	}
	return quantity.Flow(math.Exp(float64(rung) * math.Log1p(grid)))
}

// stepUp puts a volume on the same ladder, upwards: floats that are nearly as far
// apart share a simulation too, and each starts no later than it does.
func stepUp(v quantity.Volume) quantity.Volume {
	return quantity.Volume(math.Exp(math.Ceil(math.Log(float64(v))/math.Log1p(grid)) * math.Log1p(grid)))
}

// shortShare is the rinses that run short in the years that the promise of
// run-dry risk is made from. What it tells depends on its key alone, whichever
// system asks first.
func (z *sizer) shortShare(ctx context.Context, l *look) (quantity.Ratio, error) {
	key := storeKey{tank: l.store.tank}
	if gap := key.tank.FloatDifferential(); gap > 0 {
		key.tank.Start = max(key.tank.Stop-stepUp(gap), min(key.tank.Start, key.tank.Restart))
	}
	for month, f := range l.monthly {
		key.months[month] = rung(f)
	}
	found := z.shares.of(key, func() *simulated[quantity.Ratio] {
		var down look
		for month, at := range key.months {
			down.monthly[month] = flowAt(at)
		}
		var share simulated[quantity.Ratio]
		met := z.customers.of(baseYears, func() *simulated[*demand.Customers] {
			var c simulated[*demand.Customers]
			c.value, c.err = demand.Meet(ctx, z.base.profile, baseYears, z.options.Seed)
			return &c
		})
		if share.err = met.err; share.err == nil {
			share.value, share.err = met.value.ShortShare(ctx, key.tank, down.makeUp)
		}
		return &share
	})
	return found.value, found.err
}

// judgeDelivery finds what the guns get of a pump and line, whatever makes the
// water.
func (z *sizer) judgeDelivery(_ context.Context, chosen []int) (sizing.Verdict, error) {
	v := verdict{z: z}
	g := z.gunsOf(chosen)
	if g.err != nil {
		return v.cannot("pressure at the gun", g.err)
	}
	if !(g.alone.GunFlow > 0) {
		v.add("pressure at the gun", impossible, "what pushes the water cannot give one gun its %s", sizeText(z, z.base.gunFlow(g.site)))
		return v.Verdict, nil
	}
	v.add("pressure at the gun", float64(leastGun)/float64(max(g.all.GunPressure, 1)), "%s with every gun open, at least %s", sizeText(z, g.all.GunPressure), sizeText(z, leastGun))
	share := float64(g.all.GunFlow) / float64(g.alone.GunFlow)
	v.add("guns together", max(1-share, 0)/(1-leastTogether), "with every gun open each gets %.0f %% of what one alone gets, at least %.0f %%", 100*share, 100*leastTogether)
	v.circuit(chosen)
	if !z.at(chosen, outletStage).pressurised {
		pump := cost.Use{Vends: z.base.demand.Vends, Energy: quantity.Energy(float64(z.base.demand.Year) * float64(g.all.SupplyPressure) / pumpEfficiency)}
		year, err := cost.Yearly(pump, pricesOf(z.site.Prices, &notes{}))
		if err != nil {
			return v.cannot("yearly cost", err)
		}
		v.Yearly = year.Total
	}
	return v.Verdict, nil
}

// sulphide holds the smell at the gun: hydrogen sulphide passes a membrane as
// a gas; an aerated tank lets it go, an iron filter oxidises it.
func (v *verdict) sulphide(chosen []int, aerated bool) {
	z := v.z
	sample, _ := sampleAt(z.site, "raw")
	left := sample.Sulphide.Or(0)
	if !(left > 0) {
		return
	}
	says := fmt.Sprintf("%s passes the membrane as a gas, at most %s at the gun", milligrams(left), milligrams(mostSulphide))
	if aerated || z.at(chosen, feedStage).iron != nil {
		left, says = 0, "taken out by air"
	}
	v.add("hydrogen sulphide", float64(left)/float64(mostSulphide), "%s", says)
}

// circuit holds the pumps chosen so far against what the circuit gives.
func (v *verdict) circuit(chosen []int) {
	z := v.z
	most := z.site.Limits.Circuit
	if !most.Known {
		return
	}
	power := quantity.Power(0)
	for stage := range chosen {
		power += z.at(chosen, stage).power
	}
	v.add("circuit", float64(power)/float64(most.Value), "pumps take %s of a circuit of %s", sizeText(z, power), sizeText(z, most.Value))
}

// gunsOf is the delivery of a pump and line, the same for every path that
// stores its water alike.
func (z *sizer) gunsOf(chosen []int) *gunLook {
	outlet := z.at(chosen, outletStage)
	return z.guns.of(gunKey{chosen[deliveryStage], outlet.pressurised, outlet.standing}, func() *gunLook {
		s := z.siteOf(chosen[:deliveryStage+1])
		s.Rig.Booster = nil
		g := gunLook{site: s}
		l := z.base
		l.store.vented = !outlet.pressurised
		if l.store.back, g.err = z.backOf(outlet, s); g.err == nil {
			g.err = l.deliver(s, &notes{})
		}
		g.alone, g.all = l.alone, l.delivery
		return &g
	})
}

// yearOf is one simulated year of a path with a tank, for its starts.
func (z *sizer) yearOf(ctx context.Context, chosen []int, l *look) (*demand.Year, error) {
	found := z.years.of(yearKey{z.keyOf(chosen), chosen[tankStage]}, func() *simulated[demand.Year] {
		var year simulated[demand.Year]
		year.value, year.err = demand.SimulateYear(ctx, l.profile, l.store.tank, l.makeUp, z.options.Seed)
		return &year
	})
	return &found.value, found.err
}

// bottle holds a bottle behind the tank to the flow of all the guns.
func (v *verdict) bottle(chosen []int) {
	z := v.z
	if c := z.at(chosen, resinStage); c.put == nil || c.before {
		return // ahead of the tank the path tells
	}
	if beds := bedsOf(z.siteOf(chosen)); len(beds) > 0 {
		g := z.gunsOf(chosen)
		v.resinFlow(beds[0], g.all.TotalFlow)
	}
}

// finish follows the water to the gun, and completes the cost of a year.
func (z *sizer) finish(ctx context.Context, v *verdict, chosen []int, p *pathLook) (sizing.Verdict, error) {
	s, l, err := z.stored(chosen, p)
	if err != nil {
		return v.cannot("tank", err)
	}
	g := z.gunsOf(chosen)
	l.alone, l.delivery = g.alone, g.all
	if z.at(chosen, resinStage).put != nil {
		l.rig.beds = nil
		if err := l.rig.resin(s, drawn{}, &notes{}); err != nil {
			return v.cannot("resin", err)
		}
	}
	warm := l
	warm.today = p.warm
	if err := warm.strengths(s); err != nil {
		return v.cannot("strength at the gun", err)
	}
	pen, err := penNaCl(warm.gun.at25)
	if err != nil {
		return v.cannot("strength at the gun", err)
	}
	v.add("strength at the gun", float64(pen)/float64(z.target), "%s on the pen with the warmest feed, at most %s", tenth(pen), tenth(z.target))
	if err := l.strengths(s); err != nil {
		return v.cannot("strength at the gun", err)
	}
	if len(l.rig.beds) > 0 { // starts only load resin
		year, err := z.yearOf(ctx, chosen, &l)
		if err != nil {
			return sizing.Verdict{}, err
		}
		l.year = year
	}
	if err := l.resinLife(s); err != nil {
		return v.cannot("resin", err)
	}
	c := checking{site: s, base: &l, notes: &notes{}}
	year, err := c.costOf(&l)
	if err != nil {
		return v.cannot("yearly cost", err)
	}
	z.bills.of([stageCount]int(chosen), func() *cost.Year { return &year })
	v.Whole, v.Yearly = true, year.Total
	return v.Verdict, nil
}

// tenth prints a pen's reading to a tenth where a limit is near.
func tenth(c quantity.MassConc) string { return fmt.Sprintf("%.3g ppm", c.MilligramsPerLitre()) }
