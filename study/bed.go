package study

import (
	"context"
	"errors"
	"fmt"

	"rinsewright/quantity"
	"rinsewright/resin"
	"rinsewright/site"
	"rinsewright/water"
)

// BedAnswer is when each bed of a site is spent, to which endpoint, and what
// would change that. Nil parts do not apply.
type BedAnswer struct {
	Ends     []BedEnd   // the first bottle, endpoint by endpoint
	Series   *BedSeries // lead and lag by the column, where two bottles hang
	Places   []BedPlace // the same bottle ahead of the tank and behind it
	Changes  []BedChange
	Doubles  *BedChange // the cheapest of them that doubles the life
	Softener *BedSoftener
	Carbon   *BedCarbon
	Assumed  []Assumption
}

// BedEnd is the life of the first bottle to one endpoint.
type BedEnd struct {
	Name        string // "the target at the gun", "1 MΩ·cm", "silica 1 mg/L"
	Never       bool   // the water that meets the bottle is within it
	Volume      Band   // by the fast form
	Days        Figure // of open days at the mean
	Full        Figure // the same volume by the column, to compare
	Utilisation quantity.Ratio
	Front       string // what ends it
}

// BedSeries is two bottles in series against one.
type BedSeries struct {
	Single, Early, Lead Figure // volume per charge
	Gain, GainOnEarly   quantity.Ratio
	WorstProduct        float64 // over the endpoint, dimensionless
	// ChargesAlone and ChargesInSeries are charges a year, the lone bottle stopped
	// early; dimensionless.
	ChargesAlone, ChargesInSeries float64
}

// BedPlace is the bottle in one place.
type BedPlace struct {
	Name    string
	Flow    Figure
	PerHour float64 // bed volumes, dimensionless
	Verdict string
	Volume  Figure
	Never   bool
}

// Beds looks at the beds of a site as they hang and tells when each is spent,
// by the endpoint rather than by the label. The error wraps what [Check]'s
// does, [ErrNoRig] where no bed hangs.
func Beds(ctx context.Context, s *site.Site, o Options) (*BedAnswer, error) {
	if len(s.Rig.Resin) == 0 && s.Rig.Softener == nil && s.Rig.Carbon == nil {
		return nil, fmt.Errorf("beds of %s: %w", s.Name, ErrNoRig)
	}
	n := notes{units: o.Units, locale: o.Locale}
	base, err := lookAt(ctx, s, drawn{}, &n, o.Seed, change{})
	if err != nil {
		return nil, fmt.Errorf("beds of %s: %w", s.Name, err)
	}
	c := checking{site: s, base: base, notes: &n, options: o}
	a, err := c.beds(ctx)
	if err != nil {
		return nil, fmt.Errorf("beds of %s: %w", s.Name, err)
	}
	a.Assumed = n.assumed
	return a, nil
}

// beds answers from a look that is there already.
func (c *checking) beds(ctx context.Context) (*BedAnswer, error) {
	a := &BedAnswer{}
	var err error
	if len(c.base.rig.beds) > 0 && !c.base.unused {
		if a.Ends, err = c.bedEnds(); err != nil {
			return nil, err
		}
		if a.Series, err = c.bedSeries(); err != nil {
			return nil, err
		}
		if a.Places, err = c.bedPlaces(); err != nil {
			return nil, err
		}
		if a.Changes, err = c.bedChanges(ctx); err != nil {
			return nil, err
		}
		a.Doubles = firstToDouble(a.Changes)
	}
	if a.Softener, err = c.bedSoftener(); err != nil {
		return nil, err
	}
	a.Carbon, err = c.bedCarbon()
	return a, err
}

// bedWater is what meets the first bottle, the creep of starts in it as salt.
func (l *look) bedWater() water.Water {
	w := l.toResin().water
	w.Total[water.Sodium] += quantity.MolarConc(l.creep)
	w.Total[water.Chloride] += quantity.MolarConc(l.creep)
	return w
}

// bedFlow is the flow through the bottle: the membrane's ahead of the tank, the
// guns' behind it.
func (c *checking) bedFlow() quantity.Flow {
	if !c.base.rig.afterTank {
		if made := c.base.today.Product().Flow; made > 0 {
			return made
		}
	}
	return c.base.gunFlow(c.site)
}

// namedEnd is an endpoint with a name.
type namedEnd struct {
	name string
	end  resin.Endpoint
}

// bedEndpoints are the target at the gun, silica where it shows, and what the
// trade calls spent.
func (c *checking) bedEndpoints() []namedEnd {
	var all []namedEnd
	if target, ok := c.target(); ok {
		if k, err := water.ScaleNaCl.Conductivity(target); err == nil {
			all = append(all, namedEnd{"the target at the gun", resin.Endpoint{Conductivity: k}})
		}
	}
	surface := map[site.Use]resin.Surface{site.Solar: resin.Solar, site.Glass: resin.Glass, site.Vehicles: resin.Glass, site.Boats: resin.Glass, site.Buses: resin.Glass}[c.site.Use]
	if e, err := resin.EndpointFor(surface); err == nil && e.Silica > 0 {
		all = append(all, namedEnd{fmt.Sprintf("silica at %.0f mg/L", e.Silica.MilligramsPerLitre()), resin.Endpoint{Silica: e.Silica}})
	}
	if e, err := resin.AtResistivity(quantity.MegohmCm(1)); err == nil {
		all = append(all, namedEnd{"1 MΩ·cm", e})
	}
	return all
}

// bedWaterDoubt is the 5 to 95 % half-width of the load, relative, where one
// sample stands for the year. Source: [TradeDefaults].
const bedWaterDoubt, bedFlowDoubt = 0.2, 0.15

func (c *checking) bedEnds() ([]BedEnd, error) {
	bed, w := c.base.rig.beds[0], c.base.bedWater()
	duty := resin.Duty{Flow: c.bedFlow()}
	var all []BedEnd
	for _, e := range c.bedEndpoints() {
		reach, err := bed.Reach(w, duty, e.end, resin.Doubts{Water: bedWaterDoubt, Flow: bedFlowDoubt})
		if errors.Is(err, resin.ErrNoLoad) {
			return nil, nil
		} else if err != nil {
			return nil, fmt.Errorf("resin to %s: %w", e.name, err)
		}
		if reach.Never {
			all = append(all, BedEnd{Name: e.name, Never: true})
			continue
		}
		end := BedEnd{
			Name: e.name, Utilisation: reach.Utilisation, Front: reach.Front.String(),
			Volume: Band{figure(reach.Volume), figure(reach.Low), figure(reach.High)},
		}
		if day := c.base.demand.OpenDay; day > 0 {
			end.Days = life{quantity.Days(float64(reach.Volume) / float64(day))}
		}
		p := resin.NewPolisher(bed.Working())
		p.Duty, p.SodiumLeft, p.ChlorideLeft = duty, 0, 0
		full, reached, err := p.ToEndpoint(w, e.end, 3*float64(reach.Volume)/float64(bed.Volume))
		if err != nil {
			return nil, fmt.Errorf("resin to %s by the column: %w", e.name, err)
		}
		if reached {
			end.Full = figure(full)
		}
		all = append(all, end)
	}
	return all, nil
}

// bedSeries runs lead and lag through the column where two bottles hang alike.
func (c *checking) bedSeries() (*BedSeries, error) {
	ends := c.bedEndpoints()
	if len(c.base.rig.beds) < 2 || len(ends) == 0 {
		return nil, nil
	}
	p := resin.NewPolisher(c.base.rig.beds[0].Working())
	p.Duty, p.SodiumLeft, p.ChlorideLeft = resin.Duty{Flow: c.bedFlow()}, 0, 0
	w := c.base.bedWater()
	past, err := ends[0].end.Past(w)
	if err != nil || past <= 1 {
		return nil, err
	}
	action := ends[0].end
	action.Conductivity *= quantity.Conductivity(max(1, past/2)) // the lead runs to half of what comes in
	run, err := resin.Series{Vessel: p, Policy: resin.AtMiddlePort, Product: ends[0].end, Action: action}.Run(w)
	if err != nil {
		return nil, fmt.Errorf("lead and lag: %w", err)
	}
	alone, err := p.Bed.Upkeep(resin.Exchange, run.Early, c.base.demand.Year, 1)
	if err != nil {
		return nil, fmt.Errorf("a lone bottle's year: %w", err)
	}
	both, err := p.Bed.Upkeep(resin.Exchange, run.Lead, c.base.demand.Year, 1)
	if err != nil {
		return nil, fmt.Errorf("lead and lag's year: %w", err)
	}
	return &BedSeries{
		Single: figure(run.Single), Early: figure(run.Early), Lead: figure(run.Lead),
		Gain: run.Gain, GainOnEarly: run.GainOnEarly, WorstProduct: run.WorstProduct,
		ChargesAlone: alone.Changes, ChargesInSeries: both.Changes,
	}, nil
}

// bedPlaces puts the same bottle ahead of the tank and behind it.
func (c *checking) bedPlaces() ([]BedPlace, error) {
	ends := c.bedEndpoints()
	made := c.base.today.Product().Flow
	if c.site.Rig.Tank == nil || !(made > 0) || len(ends) == 0 {
		return nil, nil
	}
	behind := c.base.tank.water
	if !c.base.rig.afterTank {
		stood, err := c.base.stand(c.base.permeate.water)
		if err != nil {
			return nil, err
		}
		behind = stood.water
	}
	strictest := ends[len(ends)-1].end
	placed, err := c.base.rig.beds[0].ComparePlaces([]resin.Place{
		{Name: "before the tank", Water: c.base.permeate.water, Flow: made, Creep: c.base.creep},
		{Name: "after the tank", Water: behind, Flow: c.base.gunFlow(c.site), Creep: c.base.creep},
	}, resin.Duty{}, strictest)
	if errors.Is(err, resin.ErrNoLoad) {
		return nil, nil
	} else if err != nil {
		return nil, err
	}
	var all []BedPlace
	for i, p := range placed {
		flow := made
		if i == 1 {
			flow = c.base.gunFlow(c.site)
		}
		all = append(all, BedPlace{p.Name, figure(flow), p.FlowPerVolume, string(p.Verdict), figure(p.Reach.Volume), p.Reach.Never})
	}
	return all, nil
}
