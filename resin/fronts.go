package resin

import (
	"math"
	"slices"

	"rinsewright/quantity"
	"rinsewright/water"
)

// The order in which components leave a mixed bed, weakest held first. Source:
// relative affinities [Memory]; weak acids by affinity times what is ionised.
var (
	cationOrder = []water.Component{water.Sodium, water.Ammonia, water.Potassium, water.Magnesium, water.Iron, water.Manganese, water.Calcium, water.Strontium, water.Barium}
	anionOrder  = []water.Component{water.Silica, water.Boron, water.Carbon, water.Fluoride, water.Phosphate, water.Chloride, water.Nitrate, water.Sulphate}
)

// front is the moment at which a component reaches the outlet.
type front struct {
	component water.Component
	at        float64 // m³ of water, were the front sharp
	strength  float64 // mol/m³ of the component behind it
	film      float64 // transfer units of the film ...
	bead      float64 // ... and of the beads: how sharp it is
}

// side is one resin with what loads it.
type side struct {
	order    []water.Component
	capacity float64 // eq
	share    float64 // of the bed that is this resin
	inside   quantity.Diffusivity
}

// fronts returns the fronts of one resin. A component's front emerges when all
// that is held as fast as it or faster has filled the bed, and behind it the
// component carries the charge of all of those:
//
//	V_k = Q V_bed / Σ_{j ≥ k} L_j,   c_k = Σ_{j ≥ k} L_j / z_k
//
// Silica, held least, fills only the share θ of the sites that its mass action
// with hydroxide allows, θ/(1-θ) = K (K_a/K_w) c, whatever the pH. Source: sharp
// fronts [DeVault1943].
func (s side) fronts(b Bed, feed water.Water, d Duty) []front {
	var all []front
	left := 0.0 // eq/m³ of this component and all held faster
	for _, c := range s.order {
		left += chargeOn(c) * float64(feed.Total[c])
	}
	for _, c := range s.order {
		load := chargeOn(c) * float64(feed.Total[c])
		if load < leastLoad || left < leastLoad {
			left -= load
			continue
		}
		f := front{component: c, at: s.capacity / left, strength: left / chargeOn(c), film: math.Inf(1), bead: math.Inf(1)}
		if c == water.Silica {
			filled := silicaShareOf(load, left, float64(feed.Temperature))
			f.at, f.strength = s.capacity*filled/(load+filled*(left-load)), load+filled*(left-load)
		}
		if d != (Duty{}) {
			f.film = d.units(b.Volume, c, s.share, feed.Temperature)
			f.bead = d.particle(s.inside, feed.Temperature) * s.capacity / (left * float64(d.Flow))
			if c == water.Silica || c == water.Boron {
				f.strength = f.blunted(load, left)
			}
		}
		all = append(all, f)
		left -= load
	}
	return all
}

// zoneWidths is how many of its fronts' widths fit into a zone that reaches all
// but 1/e of its full strength, inverted; fitted to the column over silica of 0.003
// to 0.03 mol/m³, where it holds the volume within 3 %.
const zoneWidths = 2.5

// blunted is the strength behind a front when the zone that the component fills
// is narrower than its fronts are wide, so that it never reaches its full
// strength there.
func (f front) blunted(load, left float64) float64 {
	fed := load / chargeOn(f.component)
	zone := load / left // share of the filled sites
	return fed + (f.strength-fed)*-math.Expm1(-zoneWidths*zone/(1/f.film+1/f.bead))
}

// silicaShareOf is the share of the sites that silica fills behind its front, by
// iteration between its strength there and mass action.
func silicaShareOf(silica, all, kelvin float64) float64 {
	a := acidityAt(kelvin)
	affinity := PolishingAffinities()[water.Silica] * a.silica / a.water / 1000 // m³/mol
	share := 1.0
	for range 30 {
		c := silica + share*(all-silica)
		share = affinity * c / (1 + affinity*c)
	}
	return share
}

// chargeOn is the charge a component takes on the resin.
func chargeOn(c water.Component) float64 { return math.Max(1, math.Abs(float64(c.Charge()))) }

// timeline is the water that leaves a bed as one front after another emerges.
type timeline struct {
	fronts []front
	after  []water.Water // after[i] leaves once fronts[i] is out
}

func newTimeline(b Bed, feed water.Water, d Duty) timeline {
	if d != (Duty{}) {
		d = d.filled()
	}
	anion, cation := b.OperatingCapacity()
	all := side{cationOrder, float64(cation) * float64(b.Volume), cationShare, d.CationParticle}.fronts(b, feed, d)
	all = append(all, side{anionOrder, float64(anion) * float64(b.Volume), anionShare, d.AnionParticle}.fronts(b, feed, d)...)
	slices.SortStableFunc(all, func(x, y front) int {
		if x.at < y.at {
			return -1
		}
		return 1
	})
	t := timeline{fronts: all}
	w := water.Water{Temperature: feed.Temperature}
	last := map[bool]water.Component{} // by sign, the component whose front came last
	for _, f := range all {
		positive := f.component.Charge() > 0
		if c, ok := last[positive]; ok {
			w.Total[c] = feed.Total[c] // what was pushed out is gone; it leaves as it comes
		}
		last[positive] = f.component
		w.Total[f.component] = quantity.MolarConc(f.strength)
		w.Alkalinity = water.ElectroneutralAlkalinity(w)
		t.after = append(t.after, w)
	}
	return t
}

// before is the water that leaves until front i is out.
func (t timeline) before(i int) water.Water {
	if i == 0 {
		return water.Water{Temperature: t.after[0].Temperature}
	}
	return t.after[i-1]
}

// rounded is when a front lets a share x of what is behind it through:
//
//	V = V_k (1 + (1 + ln x) / N_film - (1 + ln(1-x)) / N_bead)
//
// Source: the constant pattern of film and bead in series where beads give nothing
// back [Hall1966]; x is held to 0.98.
func (f front) rounded(x float64) float64 {
	x = math.Min(x, 0.98)
	return math.Max(0.02, 1+(1+math.Log(x))/f.film-(1+math.Log1p(-x))/f.bead) * f.at
}
