package service

import (
	"fmt"
	"math"

	"rinsewright/hydraulics"
	"rinsewright/plant"
	"rinsewright/quantity"
	"rinsewright/resin"
	"rinsewright/water"
)

// What sets how a plant works, and what its gauges then say.
const (
	inWarmth   = iota // K
	inStrength        // ln S/m
	inA
	inB
	inLeak
	inMain
	inFilters
	inRestrictor
	inBooster
	inDrop
	nIn
)

const (
	outPermeate    = iota // ln m³/s
	outConcentrate        // ln m³/s
	outFeed               // ln Pa at the membrane
	outTap                // ln Pa ahead of the filters
	outEnd                // ln Pa of the concentrate
	outStrength           // ln S/m of the permeate
	outBrine              // ln S/m of the concentrate
	outIons               // ln eq/m³ that the permeate brings to the anion resin, carbon dioxide and silica aside
	outSilica             // ln mol/m³ in the permeate
	nOut
)

// inputs of the plant: how far each is moved to feel the slope, how far it may
// move before the plant is run again, and its bounds.
var inputs = [nIn]struct{ feel, trust, low, high float64 }{
	inWarmth:     {1, 4, 274, 318},
	inStrength:   {0.05, 0.3, math.Log(5e-4), math.Log(2)},
	inA:          {0.03, 0.12, math.Log(0.05), math.Log(5)},
	inB:          {0.05, 0.3, math.Log(0.1), math.Log(50)},
	inLeak:       {0.3, 0.8, math.Log(1e-7), math.Log(0.3)},
	inMain:       {0.03, 0.15, math.Log(0.25), math.Log(3)},
	inFilters:    {0.1, 0.4, -2, 2.5},
	inRestrictor: {0.03, 0.15, math.Log(0.03), math.Log(10)},
	inBooster:    {0.03, 0.15, math.Log(0.1), math.Log(1.4)},
	inDrop:       {0.1, 0.5, math.Log(0.2), math.Log(50)},
}

// rig is the plant linearised at a point: y = y₀ + J (u − u₀). Its error is
// within 2 % of flow and 4 % of strength inside the trust of [inputs]; it is
// run anew beyond.
type rig struct {
	plant  plant.Plant
	feed   water.Water
	back   quantity.Pressure // of the tank
	ec     float64           // ln S/m of feed
	pH     float64           // of the feed at 20 °C
	carbon float64           // ln CO2 − ln alkalinity + pH ln 10, of feed
	at     [nIn]float64
	out    [nOut]float64
	slope  [nOut][nIn]float64
	runs   int
}

// pressed is a supply at a share of its pressure.
type pressed struct {
	of    hydraulics.Supply
	share float64
}

// Pressure returns the share of the supply's.
func (p pressed) Pressure(q quantity.Flow) (quantity.Pressure, error) {
	at, err := p.of.Pressure(q)
	return at * quantity.Pressure(p.share), err
}

func newRig(p plant.Plant, feed water.Water, back quantity.Pressure) (rig, error) {
	k, err := feed.Conductivity25()
	if err != nil {
		return rig{}, err
	}
	s, err := water.Equilibrate(feed.At(quantity.Celsius(20)))
	if err != nil {
		return rig{}, err
	}
	r := rig{plant: p, feed: feed, back: back, ec: math.Log(float64(k))}
	co2, alkalinity := max(float64(s.CO2()), 1e-6), max(float64(feed.Alkalinity), 1e-6)
	r.pH = s.PH
	r.carbon = math.Log(co2) - math.Log(alkalinity) + s.PH*math.Ln10
	return r, nil
}

// run is the plant at u.
func (r *rig) run(u [nIn]float64) (y [nOut]float64, err error) {
	w := plant.Unworn()
	w.Membrane.WaterPermeability, w.Membrane.SaltPermeability = math.Exp(u[inA]), math.Exp(u[inB])
	w.Membrane.Drop, w.Membrane.Bypass = math.Exp(u[inDrop]), quantity.Ratio(math.Exp(u[inLeak]))
	w.Filters, w.Restrictor, w.Booster = quantity.Ratio(u[inFilters]), math.Exp(u[inRestrictor]), quantity.Ratio(math.Exp(u[inBooster]))
	p, err := r.plant.Worn(w)
	if err != nil {
		return y, err
	}
	p.Supply = pressed{p.Supply, math.Exp(u[inMain])}
	if len(p.Train.Housings) == 0 {
		return r.straight(p, &u)
	}
	point, err := p.Operate(plant.Conditions{Feed: r.feedAt(u), TankPressure: r.back})
	if err != nil {
		return y, err
	}
	made := point.Product()
	k, err := made.Water.Conductivity25()
	if err != nil {
		return y, err
	}
	brine, err := point.Drain.Water.Conductivity25()
	if err != nil {
		return y, err
	}
	s, err := water.Equilibrate(made.Water)
	if err != nil {
		return y, err
	}
	in := resin.InletOf(made.Water, s)
	for i, x := range [nOut]float64{
		outPermeate: float64(made.Flow), outConcentrate: float64(point.ToDrain()),
		outFeed: float64(point.Feed.Pressure), outTap: float64(point.Tap), outEnd: float64(point.Drain.Pressure),
		outStrength: float64(k), outBrine: float64(brine),
		outIons: float64(in.StrongAnions + in.Bicarbonate), outSilica: float64(in.Silica),
	} {
		y[i] = math.Log(max(x, 1e-12))
	}
	return y, nil
}

// feedAt is the feed diluted or strengthened to u.
func (r *rig) feedAt(u [nIn]float64) water.Water {
	w := r.feed.Concentrate(math.Exp(u[inStrength] - r.ec))
	w.Temperature = quantity.Temperature(u[inWarmth])
	return w
}

// linearise runs the plant at u and around it.
func (r *rig) linearise(u [nIn]float64) error {
	for i := range u {
		u[i] = min(max(u[i], inputs[i].low), inputs[i].high)
	}
	y, err := r.run(u)
	if err != nil {
		return fmt.Errorf("plant at the state: %w", err)
	}
	next := *r
	next.at, next.out = u, y
	for j := range u {
		if j == inBooster && r.plant.Booster == nil {
			continue
		}
		moved := u
		moved[j] += inputs[j].feel
		there, err := r.run(moved)
		if err != nil {
			return fmt.Errorf("plant beside the state: %w", err)
		}
		for i := range y {
			next.slope[i][j] = (there[i] - y[i]) / inputs[j].feel
		}
	}
	next.runs++
	*r = next
	return nil
}

// far says whether u is beyond the trust of the linear plant.
func (r *rig) far(u [nIn]float64) bool {
	for i := range u {
		x := min(max(u[i], inputs[i].low), inputs[i].high)
		if math.Abs(x-r.at[i]) > inputs[i].trust {
			return true
		}
	}
	return false
}
