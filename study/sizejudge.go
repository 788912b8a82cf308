package study

import (
	"fmt"
	"math"
	"slices"

	"rinsewright/cost"
	"rinsewright/demand"
	"rinsewright/hydraulics"
	"rinsewright/membrane"
	"rinsewright/quantity"
	"rinsewright/site"
	"rinsewright/sizing"
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

	softs   memo[int, look] // what is softened, by softener
	feeds   memo[feedKey, sizing.Verdict]
	trains  memo[int, trained]
	enough  memo[enoughKey, sizing.Verdict]
	tight   memo[tightKey, sizing.Doom]
	ends    memo[endKey, end]
	windows memo[core, int] // places of the smallest restrictors that are not sure to be too small
	leans   memo[core, lean]
	colds   memo[pathKey, pathLook] // settled in the coldest month alone
	paths   memo[pathKey, pathLook]
	shares  memo[storeKey, simulated[quantity.Ratio]]
	// customers are those of so many years.
	customers memo[int, simulated[*demand.Customers]]
	years     memo[yearKey, simulated[demand.Year]]
	guns      memo[gunKey, gunLook]
	bills     memo[[stageCount]int, cost.Year] // of whole systems

	plain                 []int // outlets into the same tank without resin on the way
	bySize                []int // restrictors of known size, the smallest first
	heavyFeed, heavyResin hydraulics.Resistance
	most                  float64 // what any train may recover
	allow                 int     // limits that a system worth a look may break
	pumps                 int     // deliveries that the catalogue allows, of which few are tried
}

// pathKey is what decides the path from the tap to the tank.
type pathKey struct{ softener, outlet, train, booster, restrictor, bottle, feed int }

func (z *sizer) keyOf(chosen []int) pathKey {
	key := pathKey{chosen[softenerStage], chosen[outletStage], chosen[trainStage], chosen[boosterStage], chosen[restrictorStage], 0, chosen[feedStage]}
	if z.choices[outletStage][key.outlet].before {
		key.bottle = chosen[resinStage]
	}
	return key
}

// feedKey is what decides what reaches the membrane.
type feedKey struct{ softener, feed int }

// trained is a train's element solved.
type trained struct {
	rig rig
	err error
}

// simulated is what a simulation gave.
type simulated[T any] struct {
	value T
	err   error
}

// storeKey is a tank and its make-up by month, on a grid.
type storeKey struct {
	tank   demand.Tank
	months [12]int
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
	site       *site.Site // with pump and line
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

func (v *verdict) broken() int { return brokenIn(mergeMargins(v.Margins)) }

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
	p := sizing.Problem{Years: z.options.Years, Discount: z.options.Discount, Within: z.options.Within, Reach: nearMiss, Allow: z.allow, Explain: mostExplaining, MostTrials: mostTrials}
	for i, choices := range z.choices {
		stage := sizing.Stage{Name: stageNames[i]}
		for _, c := range choices {
			stage.Options = append(stage.Options, c.option())
		}
		p.Stages = append(p.Stages, stage)
	}
	z.moveCost(p.Stages, deliveryStage, z.deliveryFits)
	z.moveCost(p.Stages, tankStage, z.tankFits)
	first := cost.Money(math.Round(startUp * float64(z.labour)))
	for i := range p.Stages[softenerStage].Options {
		p.Stages[softenerStage].Options[i].First += first
	}
	p.Stages[softenerStage].Judge = z.judgeSoftener
	p.Stages[deliveryStage].Judge, p.Stages[deliveryStage].Fits = z.judgeDelivery, z.deliveryFits
	p.Stages[trainStage].Judge = z.judgeTrain
	p.Stages[boosterStage].Judge, p.Stages[boosterStage].Fits = z.judgeBooster, z.boosterFits
	p.Stages[restrictorStage].Judge = z.judgeLean
	p.Stages[feedStage].Judge, p.Stages[yearStage].Judge = z.judgeColdest, z.judgePath
	p.Stages[tankStage].Judge, p.Stages[tankStage].Fits = z.judgeTank, z.tankFits
	p.Stages[resinStage].Judge, p.Stages[resinStage].Fits = z.judgeResin, z.resinFits
	return p
}

// moveCost charges the cheapest part of a stage that breaks no limit to the
// outlets that it goes with, so that the search sees early what an outlet leads
// to. Sums stay.
func (z *sizer) moveCost(stages []sizing.Stage, stage int, fits func(chosen []int) bool) {
	chosen := make([]int, stageCount)
	least := make([]cost.Money, len(z.choices[outletStage]))
	for outlet := range least {
		least[outlet] = none
		chosen[outletStage] = outlet
		for i, o := range stages[stage].Options {
			if chosen[stage] = i; fits(chosen[:stage+1]) && len(o.Doom.Among) == 0 {
				least[outlet] = min(least[outlet], o.First)
			}
		}
		if least[outlet] == none {
			least[outlet] = 0
		}
		stages[outletStage].Options[outlet].First += least[outlet]
	}
	for i := range stages[stage].Options {
		chosen[stage] = i
		at := slices.IndexFunc(z.choices[outletStage], func(c choice) bool {
			chosen[outletStage] = z.outletLike(c)
			return fits(chosen[:stage+1])
		})
		if at >= 0 {
			stages[stage].Options[i].First -= least[at]
		}
	}
}

// outletLike is the first outlet into the same kind of tank: the one without
// resin on the way.
func (z *sizer) outletLike(like choice) int {
	return slices.IndexFunc(z.choices[outletStage], func(c choice) bool {
		return c.pressurised == like.pressurised && c.standing == like.standing
	})
}

// nearMiss is how far over its limit a constraint is still told to bind.
const nearMiss = 10

// mostExplaining ends the search for what binds, for each limit, nearest misses
// first.
const mostExplaining = 400

// mostTrials ends a search; most of them look up a path that is settled already.
const mostTrials = 500_000

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

// resinFits allows one place for resin, the one that the outlet has for it.
func (z *sizer) resinFits(chosen []int) bool {
	return z.at(chosen, outletStage).before == z.at(chosen, resinStage).before
}

// afresh is the same search with other limits allowed; paths that were left half
// settled are not shared.
func (z *sizer) afresh(allow int) *sizer {
	return &sizer{
		site: z.site, options: z.options, choices: z.choices, base: z.base, target: z.target, cold: z.cold, warm: z.warm, temps: z.temps,
		quality: z.quality, labour: z.labour, osmotic: z.osmotic, rig: z.rig, plain: z.plain, bySize: z.bySize,
		heavyFeed: z.heavyFeed, heavyResin: z.heavyResin, most: z.most, pumps: z.pumps, allow: allow,
	}
}
