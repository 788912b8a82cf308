package faults

import (
	"math"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"

	"rinsewright/plant"
	"rinsewright/quantity"
)

// Point is one reading beside what a cause has it read, in SI.
type Point struct {
	Of        plant.Gauge
	Number    int
	Read      float64 // SI
	Predicted float64 // SI, with the cause at work
	Sound     float64 // SI, with nothing wrong
	Sigmas    float64 // how far read lies from predicted, a number of standard deviations
	Speaks    Speaks
}

// Speaks is what a reading says of a cause.
type Speaks string

// What a reading may say.
const (
	For     Speaks = "for it"
	Neither Speaks = "neither way"
	Against Speaks = "against it"
)

// best is the severity node that fits best.
func (t *trial) best() int { return floats.MaxIdx(t.logs[:]) }

// explain puts each reading beside what the cause foresees of it from all the
// others, and what a rig with nothing wrong would have it read from the same:
//
//	y_i − e_i,   e = S⁻¹ r / diag S⁻¹   with standard deviation 1/√(S⁻¹)_ii
func (a *asked) explain(t *trial) (all []Point) {
	if t == nil || t.failed || t.slope == nil {
		return nil
	}
	node := t.best()
	ill, sd := a.leftOut(t.y[node], t.slope, t.at, a.noiseOf(t.y[node], t.sound), t.bend(node))
	sound, soundSD := a.leftOut(a.sound, a.soundSlope, a.at, a.noise, make([]float64, len(a.rows)))
	if ill == nil || sound == nil {
		return nil
	}
	for i := range a.rows {
		e := &a.rows[i]
		p := Point{
			Of: e.Of, Number: e.Number, Read: e.SI, Predicted: unscaled(e, a.observed[i]-ill[i]),
			Sound: unscaled(e, a.observed[i]-sound[i]), Sigmas: ill[i] / sd[i], Speaks: Neither,
		}
		if e.Of.Kind() != quantity.KindTemperature {
			p.Predicted, p.Sound = max(p.Predicted, 0), max(p.Sound, 0)
		}
		switch better := math.Abs(sound[i]/soundSD[i]) - math.Abs(p.Sigmas); {
		case math.Abs(p.Sigmas) > 2 || better < -0.8:
			p.Speaks = Against
		case better > 0.8:
			p.Speaks = For
		}
		all = append(all, p)
	}
	return all
}

// leftOut are the residuals of each reading from what all others foresee, with
// their standard deviations.
func (a *asked) leftOut(y []float64, j *mat.Dense, at, noise, bend []float64) (e, sd []float64) {
	n := len(y)
	r := residuals(a.observed, y, j, at, a.belief.mean)
	_, s := spreadBy(a.belief.cov, j, noise)
	for i := range n {
		for k := i; k < n; k++ {
			s.SetSym(i, k, s.At(i, k)+bend[i]*bend[k])
		}
	}
	var chol mat.Cholesky
	var inverse mat.SymDense
	if !chol.Factorize(s) || chol.InverseTo(&inverse) != nil {
		return nil, nil
	}
	for i := range n {
		sum := 0.0
		for k := range n {
			sum += inverse.At(i, k) * r[k]
		}
		e = append(e, sum/inverse.At(i, i))
		sd = append(sd, 1/math.Sqrt(inverse.At(i, i)))
	}
	return e, sd
}

// alike tells whether two causes foresee the same readings, so that none of
// those taken can part them: by less than one and a half deviations in all.
func (a *asked) alike(x, y *trial) bool {
	if x == nil || y == nil || x.slope == nil || y.slope == nil {
		return false
	}
	rx := residuals(a.observed, x.y[x.best()], x.slope, x.at, a.belief.mean)
	ry := residuals(a.observed, y.y[y.best()], y.slope, y.at, a.belief.mean)
	noise := a.noiseOf(x.y[x.best()], x.sound)
	_, s := spreadBy(a.belief.cov, x.slope, noise)
	sum := 0.0
	for i := range rx {
		sum += square(rx[i]-ry[i]) / s.At(i, i)
	}
	return sum < 1.5*1.5 && math.Abs(x.log-y.log) < 2
}
