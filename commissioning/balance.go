package commissioning

import (
	"fmt"
	"math"
	"slices"

	"rinsewright/plant"
)

// Measured is one number with its doubt: SI numbers in the unit of the gauge,
// U the standard uncertainty.
type Measured struct {
	Of     plant.Gauge
	Number int
	Y, U   float64 // numbers in the SI unit of the gauge
	By     string  // the instrument
}

func (m Measured) ok() bool {
	return !math.IsNaN(m.Y) && !math.IsInf(m.Y, 0) && m.U > 0 && !math.IsInf(m.U, 1)
}

// Balance is one law that readings must keep: what comes in, what goes out, and
// how far apart they are.
type Balance struct {
	Name     string // "water", "salt", "recovery", "pressure"
	In, Out  Measured
	Off      float64 // factor: out over in, less 1
	Sigmas   float64 // number of standard uncertainties between the two
	Closes   bool
	Suspects []Suspect // likeliest first; none where it closes
	Says     string
}

// Suspect is a reading that would mend a balance alone, were it wrong.
type Suspect struct {
	Of     plant.Gauge
	Number int
	By     string
	Factor float64 // what it would have to be multiplied by
	Sigmas float64 // number of its own standard uncertainties that this is
}

// closes is how many standard uncertainties a balance may be off: beyond three,
// one reading in four hundred, the meters are questioned. Source: common
// practice, no source.
const closes = 3.0

// term is one reading's part in a balance: the side it stands on and what it
// adds there.
type term struct {
	reading Measured
	out     bool
	adds    float64 // to its side
	pulls   float64 // d(out − in)/d(ln reading)
}

// balanceOf sums both sides with their doubt, and asks which single reading
// could mend it. model is a standard uncertainty of the law itself, in the unit
// of the sum.
func balanceOf(name string, model float64, terms []term) (Balance, error) {
	b := Balance{Name: name}
	var in, out, variance float64
	for _, t := range terms {
		if !t.reading.ok() {
			return b, fmt.Errorf("%s balance: %s = %g ± %g: %w", name, t.reading.Of, t.reading.Y, t.reading.U, ErrRange)
		}
		if t.out {
			out += t.adds
		} else {
			in += t.adds
		}
		if t.reading.Y != 0 {
			variance += square(t.pulls * t.reading.U / t.reading.Y)
		}
	}
	sd := math.Sqrt(variance + model*model)
	if !(in > 0 && sd > 0) {
		return b, fmt.Errorf("%s balance: %g in, %g ± %g out: %w", name, in, out, sd, ErrRange)
	}
	b.In, b.Out = Measured{Y: in, U: sd}, Measured{Y: out, U: sd}
	b.Off, b.Sigmas = out/in-1, (out-in)/sd
	b.Closes = math.Abs(b.Sigmas) <= closes
	if !b.Closes {
		b.Suspects = suspects(terms, out-in)
	}
	return b, nil
}

func square(x float64) float64 { return x * x }

// suspects lists the readings that could mend a balance that is off by gap, by
// how few of their own doubts it takes.
func suspects(terms []term, gap float64) (all []Suspect) {
	byReading := map[string]*Suspect{}
	pulls := map[string]float64{}
	for _, t := range terms {
		key := plant.Reading{Of: t.reading.Of, Number: t.reading.Number}.Key()
		pulls[key] += t.pulls
		byReading[key] = &Suspect{Of: t.reading.Of, Number: t.reading.Number, By: t.reading.By}
	}
	for _, t := range terms {
		key := plant.Reading{Of: t.reading.Of, Number: t.reading.Number}.Key()
		s, fresh := byReading[key]
		if !fresh || pulls[key] == 0 || t.reading.Y == 0 {
			continue
		}
		delete(byReading, key)
		change := -gap / pulls[key] // of its logarithm, to first order
		if !(change > -1) {
			continue // no factor makes it small enough
		}
		s.Factor = 1 + change
		s.Sigmas = math.Abs(change) * math.Abs(t.reading.Y) / t.reading.U
		all = append(all, *s)
	}
	slices.SortStableFunc(all, func(a, b Suspect) int {
		switch {
		case a.Sigmas < b.Sigmas:
			return -1
		case a.Sigmas > b.Sigmas:
			return 1
		}
		return 0
	})
	return all
}

// Water holds a feed flow against what leaves:
//
//	Q_f = Q_p + Q_c
//
// Source: conservation of water. The error wraps [ErrRange] unless every flow is
// finite with a doubt above 0 and the feed flows.
func Water(feed, permeate, concentrate Measured) (Balance, error) {
	return balanceOf("water", 0, []term{
		{feed, false, feed.Y, -feed.Y},
		{permeate, true, permeate.Y, permeate.Y},
		{concentrate, true, concentrate.Y, concentrate.Y},
	})
}

// saltModel is how far conductivity is from telling salt, as a share: ions
// conduct less each the stronger the water, and what the membrane passes is
// another mixture than what it holds back. Source: from memory, unverified.
const saltModel = 0.03

// Salt holds what salt comes in against what leaves, told by conductivity:
//
//	Q_f k_f = Q_p k_p + Q_c k_c,  Q_f = Q_p + Q_c
//
// within 3 % that conductivity is no measure of salt. saltOf makes a number
// proportional to salt of a conductivity, where the water is known better; nil
// takes it as proportional. Source: conservation of salt. Errors as [Water].
func Salt(permeate, concentrate, feedStrength, permeateStrength, concentrateStrength Measured, saltOf func(conductivity float64) float64) (Balance, error) {
	if saltOf == nil {
		saltOf = func(k float64) float64 { return k }
	}
	qp, qc := permeate.Y, concentrate.Y
	kf, kp, kc := saltOf(feedStrength.Y), saltOf(permeateStrength.Y), saltOf(concentrateStrength.Y)
	in := (qp + qc) * kf
	return balanceOf("salt", saltModel*math.Abs(in), []term{
		{permeate, false, qp * kf, -qp * kf},
		{permeate, true, qp * kp, qp * kp},
		{concentrate, false, qc * kf, -qc * kf},
		{concentrate, true, qc * kc, qc * kc},
		{feedStrength, false, 0, -in},
		{permeateStrength, true, 0, qp * kp},
		{concentrateStrength, true, 0, qc * kc},
	})
}

// Recovery returns the share of the feed that becomes permeate, from flows:
//
//	Y = Q_p/(Q_p + Q_c)      u(Y) = Y (1 − Y) √(u_p²/Q_p² + u_c²/Q_c²)
//
// a ratio with its standard uncertainty. Source: [GUM] 5.1.2. Errors as [Water].
func Recovery(permeate, concentrate Measured) (Measured, error) {
	if !(permeate.ok() && concentrate.ok() && permeate.Y > 0 && concentrate.Y > 0) {
		return Measured{}, fmt.Errorf("recovery of %g and %g: %w", permeate.Y, concentrate.Y, ErrRange)
	}
	y := permeate.Y / (permeate.Y + concentrate.Y)
	u := y * (1 - y) * math.Hypot(permeate.U/permeate.Y, concentrate.U/concentrate.Y)
	return Measured{Y: y, U: u, By: "flows"}, nil
}

// RecoveryByStrength returns it from three strengths, no flow needed:
//
//	Y = (k_c − k_f)/(k_c − k_p)
//
// with its doubt by the law of propagation, [GUM] 5.1.2. It is weak where the
// concentrate is hardly stronger than the feed. Source: conservation of salt.
// The error wraps [ErrRange] unless k_c > k_f > k_p.
func RecoveryByStrength(feed, permeate, concentrate Measured) (Measured, error) {
	if !(feed.ok() && permeate.ok() && concentrate.ok() && concentrate.Y > feed.Y && feed.Y > permeate.Y) {
		return Measured{}, fmt.Errorf("recovery by strength of %g, %g, %g: %w", feed.Y, permeate.Y, concentrate.Y, ErrRange)
	}
	span := concentrate.Y - permeate.Y
	y := (concentrate.Y - feed.Y) / span
	u := math.Sqrt(square(feed.U)+square(y*permeate.U)+square((1-y)*concentrate.U)) / span
	return Measured{Y: y, U: math.Hypot(u, saltModel*y*(1-y)), By: "strengths"}, nil
}

// Rejection returns the share of the salt that stays behind, from strengths:
//
//	R = 1 − k_p/k_f      u(R) = (k_p/k_f) √(u_p²/k_p² + u_f²/k_f²)
//
// a ratio with its standard uncertainty. Source: [GUM] 5.1.2. The error wraps
// [ErrRange] unless 0 < k_f and 0 ≤ k_p.
func Rejection(feed, permeate Measured) (Measured, error) {
	if !(feed.ok() && permeate.ok() && feed.Y > 0 && permeate.Y >= 0) {
		return Measured{}, fmt.Errorf("rejection of %g and %g: %w", feed.Y, permeate.Y, ErrRange)
	}
	passage := permeate.Y / feed.Y
	return Measured{Y: 1 - passage, U: math.Hypot(permeate.U/feed.Y, passage*feed.U/feed.Y), By: "strengths"}, nil
}
