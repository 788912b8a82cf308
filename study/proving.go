package study

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"runtime"
	"slices"
	"sync"

	"rinsewright/commissioning"
	"rinsewright/plant"
	"rinsewright/quantity"
	"rinsewright/site"
	"rinsewright/water"
)

// Proving holds a site's promises at the water of one day, so that readings can
// be judged as they are typed: [Prepare] once, [Proving.Judge] at every key.
type Proving struct {
	site    *site.Site
	base    *Expected
	looks   []*Expected
	under   Under
	saltOf  func(float64) float64
	options Options
	heard   []site.Instrument
	frozen  []site.Promised
}

// DayOf is the water of the day that readings were taken in: its temperature and
// strength, where they were read, each the mean of what was read.
func DayOf(readings []site.Reading) (u Under) {
	mean := func(of plant.Gauge) (float64, bool) {
		sum, n := 0.0, 0.0
		for _, r := range readings {
			if r.Of == of && r.Skipped == "" {
				sum, n = sum+r.SI, n+1
			}
		}
		return sum / max(n, 1), n > 0
	}
	if t, ok := mean(plant.FeedTemperature); ok {
		u.Temperature = quantity.Told(quantity.Temperature(t))
	}
	if k, ok := mean(plant.FeedStrength); ok && k > 0 {
		u.Strength = quantity.Told(quantity.Conductivity(k))
	}
	return u
}

// Doubt of the day's own water, one standard deviation.
const (
	dayTemperatureSD = 0.3                // K
	dayStrengthSD    = 0.012              // of the logarithm: a pen's
	dayStream        = 0x6461790000000000 // keeps its draws apart from those of the rig
)

// Prepare runs the site's chain for the water of one day, under the doubt of
// every data sheet and assumption ([JCGM101]): the promises as brackets. Errors
// as [Expect] and [Check].
func Prepare(ctx context.Context, s *site.Site, u Under, o Options) (*Proving, error) {
	base, err := Expect(s, u)
	if err != nil {
		return nil, err
	}
	p := &Proving{site: s, base: base, under: u, options: o}
	if p.looks, err = expectLooks(ctx, s, u, o); err != nil {
		return nil, fmt.Errorf("promises of %s: %w", s.Name, err)
	}
	p.saltOf = saltBehind(base.look.raw.Water)
	return p, nil
}

// expectLooks predicts the gauges under doubt, on all cores, as [looksAt] does
// the whole chain.
func expectLooks(ctx context.Context, s *site.Site, u Under, o Options) ([]*Expected, error) {
	n := o.Looks
	if n <= 0 {
		n = defaultLooks
	}
	waters, err := rawWaters(s, o.Seed, n)
	if err != nil {
		return nil, err
	}
	found := make([]*Expected, n)
	var wait sync.WaitGroup
	workers := max(runtime.GOMAXPROCS(0), 1)
	for w := range workers {
		wait.Go(func() {
			for i := w; i < n && ctx.Err() == nil; i += workers {
				if e, err := expect(s, u.drawn(o.Seed, uint64(i)+1), draw(o.Seed, uint64(i)+1, &waters[i]), &notes{}); err == nil {
					found[i] = e
				}
			}
		})
	}
	wait.Wait()
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	found = slices.DeleteFunc(found, func(e *Expected) bool { return e == nil })
	if len(found) < n/2 {
		return nil, fmt.Errorf("%w: under the doubt of what was read, fewer than half of the looks have any water", ErrFragile)
	}
	return found, nil
}

// drawn moves the day's water within its own doubt.
func (u Under) drawn(seed, look uint64) Under {
	rng := rand.New(rand.NewPCG(seed^dayStream, look))
	if u.Temperature.Known {
		u.Temperature.Value += quantity.Temperature(dayTemperatureSD * rng.NormFloat64())
	}
	if u.Strength.Known {
		u.Strength.Value *= quantity.Conductivity(math.Exp(dayStrengthSD * rng.NormFloat64()))
	}
	return u
}

// saltBehind makes salt of a conductivity by thinning and thickening this
// site's own water: ions conduct less each the stronger it is.
func saltBehind(raw water.Water) func(float64) float64 {
	var ks, salts []float64
	for _, factor := range []float64{0.001, 0.01, 0.05, 0.2, 0.5, 1, 1.5, 2, 3, 5, 8} {
		k, err := raw.Concentrate(factor).Conductivity25()
		if err == nil && (len(ks) == 0 || float64(k) > ks[len(ks)-1]) {
			ks, salts = append(ks, float64(k)), append(salts, factor)
		}
	}
	return func(k float64) float64 {
		if len(ks) < 2 || !(k > 0) {
			return max(k, 0)
		}
		i, _ := slices.BinarySearch(ks, k)
		i = min(max(i, 1), len(ks)-1)
		share := (k - ks[i-1]) / (ks[i] - ks[i-1])
		return max(salts[i-1]+share*(salts[i]-salts[i-1]), 0)
	}
}

// band is the 5 to 95 % range of one number over the looks, the base's value
// inside it.
func (p *Proving) band(of func(*Expected) float64) (value, low, high float64) {
	value = of(p.base)
	low, high = spread(p.looks, of, value)
	return value, low, high
}

// proof is one promise that can be proven on the day: the gauge it is read at,
// what the model says of it after so long, which side is promised.
type proof struct {
	name, says string
	of         plant.Gauge
	needs      func(*Proving) bool
	model      func(e *Expected, running quantity.Time) float64
	limits     func(p *Proving, low, high float64) commissioning.Limits
}

func atLeastBand(_ *Proving, low, _ float64) commissioning.Limits { return commissioning.AtLeast(low) }

func atMostBand(_ *Proving, _, high float64) commissioning.Limits { return commissioning.AtMost(high) }

func bothEnds(_ *Proving, low, high float64) commissioning.Limits {
	return commissioning.Limits{Low: low, High: high}
}

// weakest is what resin and any other weak water is held to: where a pen shows
// its first digit, the model's 0.06 µS/cm is no promise that a pen can prove.
// leakFree is the level that a shut tank may lose in a quarter of an hour.
// Source: [TradeDefaults].
const (
	weakest  = quantity.Conductivity(2e-4)
	leakFree = quantity.Ratio(0.01)
	softFeed = 1.5 // grains behind a softener
)

func hasMembrane(p *Proving) bool { return p.base.start != nil }

// proofs lists what can be proven on the day, in path order.
var proofs = []proof{
	{
		"membrane_total_chlorine", "total chlorine ahead of the membrane", plant.MembraneChlorine,
		func(p *Proving) bool { return hasMembrane(p) && p.base.look.chlorine },
		func(e *Expected, _ quantity.Time) float64 { return float64(e.leak.total) },
		func(*Proving, float64, float64) commissioning.Limits {
			return commissioning.AtMost(float64(commissioning.ChlorineBound))
		},
	},
	{
		"membrane_hardness", "hardness behind the softener", plant.MembraneHardness,
		func(p *Proving) bool { return p.base.look.softening != nil },
		func(e *Expected, _ quantity.Time) float64 { return float64(e.look.feed.Hardness()) },
		func(_ *Proving, _, high float64) commissioning.Limits {
			return commissioning.AtMost(max(high, float64(quantity.GrainsPerGallon(softFeed))))
		},
	},
	{
		"permeate_flow", "permeate flow at this temperature", plant.PermeateFlow, hasMembrane,
		func(e *Expected, _ quantity.Time) float64 { return float64(e.look.today.Product().Flow) }, atLeastBand,
	},
	{
		"recovery", "recovery", recoveryGauge, hasMembrane,
		func(e *Expected, _ quantity.Time) float64 { return float64(e.look.today.Recovery()) }, bothEnds,
	},
	{
		"strength_after_membrane", "strength after the membrane", plant.PermeateStrength, hasMembrane,
		func(e *Expected, running quantity.Time) float64 { return e.creeping(running) }, atMostBand,
	},
	{
		"strength_after_resin", "strength after the resin", plant.PolishStrength,
		func(p *Proving) bool { return len(p.base.look.rig.beds) > 0 },
		func(e *Expected, _ quantity.Time) float64 { return float64(e.look.polished.at25) },
		func(_ *Proving, _, high float64) commissioning.Limits {
			return commissioning.AtMost(max(high, float64(weakest)))
		},
	},
	{
		"tank_drop", "level lost by a shut tank", plant.TankDrop,
		func(p *Proving) bool { return p.base.look.store.vented },
		func(*Expected, quantity.Time) float64 { return 0 },
		func(*Proving, float64, float64) commissioning.Limits {
			return commissioning.AtMost(float64(leakFree))
		},
	},
	{
		"gun_strength", "strength at the gun", plant.GunStrength,
		func(p *Proving) bool { return p.site.Target.Known },
		func(e *Expected, _ quantity.Time) float64 { return float64(e.look.gun.at25) },
		func(p *Proving, _, high float64) commissioning.Limits {
			target, err := water.ScaleNaCl.Conductivity(p.site.Target.Value)
			if err != nil {
				return commissioning.AtMost(high)
			}
			return commissioning.AtMost(float64(target))
		},
	},
	{
		"gun_flow_all_open", "flow of each gun, all open", plant.GunFlowAll,
		func(p *Proving) bool { return p.base.all.GunFlow > 0 && p.base.bays > 1 },
		func(e *Expected, _ quantity.Time) float64 { return float64(e.all.GunFlow) },
		func(_ *Proving, low, _ float64) commissioning.Limits { return commissioning.AtLeast(0.9 * low) },
	},
}

// recoveryGauge stands for a number that is worked out of two gauges.
const recoveryGauge plant.Gauge = "recovery"

// later lists the promises that only time shows, with what will show it.
var later = map[string]string{
	"permeate_flow_coldest": "the log of the coldest month",
	"resin_volume":          "the totaliser at the next change of resin",
	"resin_days":            "the date of the next change of resin",
	"refill_time":           "the permeate flow, already proven above",
	"starts_per_day":        "the hour meter and the starts of a week",
	"run_dry_risk":          "the vend counter of a season",
	"cost_per_rinse":        "the bills of a year",
	"drain_per_rinse":       "the recovery, already proven above",
}

// promise is one proof as a bracket, after so long of running.
func (p *Proving) promise(f proof, running quantity.Time) (commissioning.Promise, float64) {
	value, low, high := p.band(func(e *Expected) float64 { return f.model(e, running) })
	promise := commissioning.Promise{Name: f.name, Says: f.says, Of: f.of, Limits: f.limits(p, low, high)}
	for _, frozen := range p.frozen {
		if frozen.Name == f.name {
			promise.Limits = frozen.Limits
		}
	}
	if math.IsNaN(value) {
		value = 0
	}
	return promise, value
}
