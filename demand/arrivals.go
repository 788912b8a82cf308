package demand

import "math/rand/v2"

// arrivals is the stream of customers, which depends on nothing else.
type arrivals struct {
	random *rand.Rand
	toGo   float64 // expected vends until the next one
	kinds  []kind
	upTo   []float64 // cumulative shares of the kinds
}

// kind is a Vend in SI numbers.
type kind struct {
	length, draws, flow float64
	spread              Spread
	within              float64
}

func newArrivals(p Profile, seed uint64) arrivals {
	a := arrivals{random: rand.New(rand.NewPCG(seed, stream))}
	upTo := 0.0
	for i, share := range p.vendShares() {
		v := p.Vends[i]
		upTo += share
		a.upTo = append(a.upTo, upTo)
		a.kinds = append(a.kinds, kind{float64(v.Length), float64(v.SpotFree) * float64(v.Length),
			float64(v.Flow), v.Spread, float64(v.Within)})
	}
	a.toGo = a.random.ExpFloat64()
	return a
}

// stream keeps a seed of this package apart from the same seed used elsewhere.
const stream = 0x7269_6e73_6564_656d

// nextVehicle draws the vehicle that arrives now, and the wait for the one after.
func (a *arrivals) nextVehicle(v *visit) {
	a.toGo = a.random.ExpFloat64()
	k := 0
	if len(a.kinds) > 1 {
		u := a.random.Float64()
		for k < len(a.kinds)-1 && u >= a.upTo[k] {
			k++
		}
	}
	a.kinds[k].draw(v, a.random)
}

// draw sets v to one customer's vend of the kind.
func (k *kind) draw(v *visit, random *rand.Rand) {
	*v = visit{length: k.length, draws: k.draws, flow: k.flow}
	factor := 1.0
	switch k.spread {
	case Fixed:
		return
	case Uniform:
		factor = 1 + k.within*(2*random.Float64()-1)
	case Exponential:
		factor = random.ExpFloat64()
	}
	v.length *= factor
	v.draws *= factor
}
