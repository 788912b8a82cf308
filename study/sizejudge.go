package study

import (
	"fmt"
	"math"
	"sync"

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
	sound   []bool      // feeds that break no limit of their own
	heavy   map[int]int // the sound feed that takes most pressure, by water
	longest float64     // what the longest row of elements may recover

	bySize  []int // restrictors of known size, the smallest first
	windows map[pathKey]window
	pumps   int // deliveries that the catalogue allows, of which few are tried
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
	p := sizing.Problem{Years: z.options.Years, Discount: z.options.Discount, Within: z.options.Within, Reach: nearMiss, Explain: mostExplaining, MostTrials: mostTrials}
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

// mostExplaining ends the search for what binds, nearest misses first.
const mostExplaining = 8000

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

// resinFits allows one place for resin.
func (z *sizer) resinFits(chosen []int) bool {
	return !z.at(chosen, outletStage).before || z.at(chosen, resinStage).put == nil
}
