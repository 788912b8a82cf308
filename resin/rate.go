package resin

import (
	"math"

	"rinsewright/quantity"
	"rinsewright/water"
)

// Rate figures of gel beads.
const (
	cationParticle = 9.4e-11 // m²/s at 25 °C, sodium in strong acid resin of 8.6 % cross-linking [BoydSoldano1953]
	anionParticle  = 3.5e-11 // m²/s at 25 °C, chloride in strong base resin of 8.6 % cross-linking [BoydSoldano1953]
	softenParticle = 2.0e-11 // m²/s at 25 °C, calcium against sodium, between 9e-11 and 3e-12 [Memory]
	particleWarmth = 1.03    // per °C, an activation of about 22 kJ/mol [Memory]
	usualDepth     = 0.9     // m
)

// Duty is how water meets a bed. Its zero value asks for no rates: cells at
// equilibrium, as if the water waited as long as it takes.
type Duty struct {
	Flow  quantity.Flow   // through the bed while it runs
	Depth quantity.Length // of the bed; 0 for 0.9 m
	Bead  quantity.Length // mean diameter; 0 for 0.6 mm
	// CationParticle and AnionParticle are the diffusivities inside the beads at 25
	// °C; 0 for those of gel resins.
	CationParticle, AnionParticle quantity.Diffusivity
}

func (d Duty) filled() Duty {
	if d.Depth == 0 {
		d.Depth = usualDepth
	}
	if d.Bead == 0 {
		d.Bead = beadDiameter
	}
	if d.CationParticle == 0 {
		d.CationParticle = cationParticle
	}
	if d.AnionParticle == 0 {
		d.AnionParticle = anionParticle
	}
	return d
}

func (d Duty) check(operation string) error {
	if d == (Duty{}) {
		return nil
	}
	d = d.filled()
	return firstError(
		within(operation, "flow", float64(d.Flow), 1e-9, 10, "m³/s"),
		within(operation, "bed depth", float64(d.Depth), 0.01, 5, "m"),
		within(operation, "bead", float64(d.Bead), 5e-5, 3e-3, "m"),
		within(operation, "diffusivity in cation beads", float64(d.CationParticle), 1e-14, 1e-8, "m²/s"),
		within(operation, "diffusivity in anion beads", float64(d.AnionParticle), 1e-14, 1e-8, "m²/s"),
	)
}

// FilmWilson returns the speed at which a solute crosses the film of water round
// the beads:
//
//	k = Sh D / d,  Sh = (1.09 / ε) (u d / D)^(1/3)
//
// u is flow over the empty vessel's area. Source: [WilsonGeankoplis1966], for
// Reynolds numbers of 0.0016 to 55, read in public code that quotes it. See
// [FilmKataoka] for another. The error wraps [ErrRange] unless u is 1e-7 to 1
// m/s, d 0.05 to 3 mm and D 1e-11 to 1e-8 m²/s.
func FilmWilson(u quantity.Speed, bead quantity.Length, d quantity.Diffusivity) (quantity.Speed, error) {
	if err := checkFilm("film of Wilson and Geankoplis", u, bead, d); err != nil {
		return 0, err
	}
	return quantity.Speed(filmWilson(float64(u), float64(bead), float64(d))), nil
}

// FilmKataoka is [FilmWilson] by another measurement, on ion-exchange columns:
//
//	Sh = 1.85 ((1-ε) / ε)^(1/3) (u d / D)^(1/3)
//
// Source: [Kataoka1972], for Reynolds numbers below about 40, read in public code
// that quotes it. It lies 24 % below [FilmWilson] at a void of 0.38, which is what
// films are known to.
func FilmKataoka(u quantity.Speed, bead quantity.Length, d quantity.Diffusivity) (quantity.Speed, error) {
	if err := checkFilm("film of Kataoka", u, bead, d); err != nil {
		return 0, err
	}
	peclet := float64(u) * float64(bead) / float64(d)
	sherwood := 1.85 * math.Cbrt((1-bedVoid)/bedVoid) * math.Cbrt(peclet)
	return quantity.Speed(sherwood * float64(d) / float64(bead)), nil
}

func filmWilson(u, bead, d float64) float64 { return 1.09 / bedVoid * math.Cbrt(u*bead/d) * d / bead }

func checkFilm(operation string, u quantity.Speed, bead quantity.Length, d quantity.Diffusivity) error {
	return firstError(
		within(operation, "speed", float64(u), 1e-7, 1, "m/s"),
		within(operation, "bead", float64(bead), 5e-5, 3e-3, "m"),
		within(operation, "diffusivity", float64(d), 1e-11, 1e-8, "m²/s"),
	)
}

// TransferUnits returns how often over a component's film could empty the water
// on its way through the bed:
//
//	N = k a V / Q,  a = 6 (1-ε) x / d
//
// x is the share of the bed that is the component's own resin. A fresh bed lets
// exp(-N) of what enters through. Source: film [WilsonGeankoplis1966]; good to
// 25 %, the distance to [Kataoka1972]. The error wraps [ErrRange].
func (b Bed) TransferUnits(c water.Component, d Duty, t quantity.Temperature) (float64, error) {
	const operation = "transfer units"
	if d.Flow == 0 {
		d.Flow = -1 // a bed without flow has no number
	}
	if err := firstError(
		above(operation, "bed volume", float64(b.Volume), mostBedVolume, "m³"),
		d.check(operation),
		within(operation, "component", float64(c), 0, float64(water.NComponents)-1, ""),
		within(operation, "temperature", t.Celsius(), -0.01, 60, "°C"),
	); err != nil {
		return 0, err
	}
	share := anionShare
	if c.Charge() > 0 {
		share = cationShare
	}
	return d.filled().units(b.Volume, c, share, t), nil
}

// units is TransferUnits of inputs already checked and filled.
func (d Duty) units(v quantity.Volume, c water.Component, share float64, t quantity.Temperature) float64 {
	speed := float64(d.Flow) * float64(d.Depth) / float64(v) // m/s over the empty vessel
	surface := 6 * (1 - bedVoid) * share / float64(d.Bead)   // m²/m³
	k := filmWilson(speed, float64(d.Bead), diffusivityOf(c, t))
	return k * surface * float64(v) / float64(d.Flow)
}

// particle is the rate constant of the linear driving force inside beads, 1/s:
//
//	dq/dt = k (q* - q),  k = 60 D / d²
//
// q* is what would be in equilibrium with the water at the bead. Source:
// [Glueckauf1955].
func (d Duty) particle(diffusivity quantity.Diffusivity, t quantity.Temperature) float64 {
	return 60 * float64(diffusivity) * math.Pow(particleWarmth, t.Celsius()-25) / (float64(d.Bead) * float64(d.Bead))
}

// reachedBy is the share of the way to the surface that water gets in so many
// transfer units.
func reachedBy(units float64) float64 { return -math.Expm1(-units) }

// hypot is the root of the sum of squares.
func hypot(xs ...float64) float64 {
	sum := 0.0
	for _, x := range xs {
		sum += x * x
	}
	return math.Sqrt(sum)
}
