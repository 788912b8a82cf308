package commissioning

import (
	"fmt"
	"math"

	"rinsewright/plant"
)

// Promise is one number that a rig is held to.
type Promise struct {
	Name   string // as the contract names it
	Says   string // in words
	Of     plant.Gauge
	Number int
	Limits Limits // in the SI unit of the gauge
}

// Judged is a promise with what was read of it.
type Judged struct {
	Promise  Promise
	Read     *Measured // nil where nobody read it
	Verdict  Verdict   // can't tell where nobody read it
	Chance   float64   // probability that it is kept, 0 where nobody read it
	Why      string    // of can't tell
	Decisive float64   // number in the unit of the gauge: the standard uncertainty that would decide, 0 where none does
	Better   []Method  // that read so well, the quickest first
	Again    bool      // the same meter, read more often, would do
}

// Judge returns the verdict on a promise by one reading, or by none (nil).
// Balances that do not close question the meters that could mend them; of such
// a meter no verdict is made. The error wraps [ErrRange] for a reading that is not
// finite or has no doubt.
func Judge(p Promise, read *Measured, balances []Balance) (Judged, error) {
	j := Judged{Promise: p, Read: read, Verdict: CannotTell}
	if read == nil {
		j.Why = "not read"
		return j, nil
	}
	verdict, chance, err := p.Limits.Judge(read.Y, read.U)
	if err != nil {
		return j, fmt.Errorf("%s: %w", p.Name, err)
	}
	j.Verdict, j.Chance = verdict, chance
	for _, b := range balances {
		if b.questions(read.Of, read.Number) {
			j.Verdict, j.Why = CannotTell, "the "+b.Name+" balance does not close, and this reading is one of those that may be why: read it with another meter first"
			return j, nil
		}
	}
	if j.Verdict == CannotTell {
		j.decide()
	}
	return j, nil
}

// decide tells what would settle a reading that settles nothing.
func (j *Judged) decide() {
	y := j.Read.Y
	j.Decisive = j.Promise.Limits.Decisive(y)
	if width := j.Promise.Limits.High - j.Promise.Limits.Low; !j.Promise.Limits.oneSided() && j.Promise.Limits.holds(y) {
		// A reading inside needs two guard bands between the limits.
		j.Decisive = min(max(j.Decisive, 0), width/(2*guardFactor))
	}
	j.Better, _ = Better(plant.Reading{Of: j.Read.Of, SI: y}, j.Decisive)
	switch {
	case len(j.Better) > 0:
		j.Why = "the reading is closer to the limit than the meter can tell"
	default:
		j.Why = "it lies on the limit: no usual meter is good enough to say"
	}
}

// questions tells whether a reading is among those that may be why a balance
// does not close: the likeliest, and those that need no more than half as many
// doubts again.
func (b Balance) questions(of plant.Gauge, number int) bool {
	if b.Closes || len(b.Suspects) == 0 {
		return false
	}
	for _, s := range b.Suspects {
		if s.Of == of && s.Number == number && s.Sigmas <= 1.5*b.Suspects[0].Sigmas {
			return true
		}
	}
	return false
}

// Together makes one measurement of several readings of one gauge by one
// instrument: their mean, with the spread between them beside what the
// instrument is good for,
//
//	u² = u_B² + Σ (y−ȳ)²/(n(n−1))
//
// where u_B, the largest of the readings' own doubts, does not shrink with n: the
// meter's own error is in all of them. Source: [GUM] 4.2.3 and 4.3. agree tells
// whether they lie within three doubts of each other. The error wraps [ErrRange]
// for none or for a reading that is not finite.
func Together(readings []Measured) (m Measured, agree bool, err error) {
	if len(readings) == 0 {
		return m, false, fmt.Errorf("no readings: %w", ErrRange)
	}
	m = readings[0]
	n := float64(len(readings))
	m.Y, m.U = 0, 0
	for _, r := range readings {
		if !r.ok() {
			return m, false, fmt.Errorf("%s = %g ± %g: %w", r.Of, r.Y, r.U, ErrRange)
		}
		m.Y += r.Y / n
		m.U = max(m.U, r.U)
	}
	spread, widest := 0.0, 0.0
	for _, r := range readings {
		spread += square(r.Y - m.Y)
		widest = max(widest, math.Abs(r.Y-m.Y))
	}
	agree = widest <= closes*m.U
	if n > 1 {
		m.U = math.Sqrt(square(m.U) + spread/(n*(n-1)))
	}
	return m, agree, nil
}

// Worst returns the worst of the verdicts that were read: what a rig is told
// as a whole. [CannotTell] where nothing was read.
func Worst(all []Judged) Verdict {
	rank := map[Verdict]int{Holds: 1, WithinDoubt: 2, CannotTell: 3, FallsShort: 4}
	worst := Verdict("")
	for _, j := range all {
		if j.Read != nil && rank[j.Verdict] > rank[worst] {
			worst = j.Verdict
		}
	}
	if worst == "" {
		return CannotTell
	}
	return worst
}
