package water

import (
	"math"
)

// fit finds the inside that agrees best with readings and prior: the least sum
// of squares of what each is off, counted in its own doubt. With normal doubts
// that is the most probable water, and the curvature there its first estimate
// of how sure it is.
type fit struct {
	prior             priorFit
	readings          []reading
	minor             [NComponents]float64 // mol/m³
	needsConductivity bool
}

const (
	maxFitSteps  = 40
	fitSettled   = 1e-7 // of the sum of squares
	derivativeBy = 1e-4 // step of the numerical derivatives
)

// residuals returns what prior and readings are off; false when x makes no
// water.
func (f *fit) residuals(x *inside, out []float64) bool {
	m, ok := f.make(x)
	if !ok {
		return false
	}
	f.prior.off(x, out[:nPrior])
	for i := range f.readings {
		out[nPrior+i] = f.readings[i].off(&m)
	}
	for _, r := range out {
		if math.IsNaN(r) || math.IsInf(r, 0) {
			return false
		}
	}
	return true
}

// squares returns the sum of squares at x, +Inf where there is no water.
func (f *fit) squares(x *inside, scratch []float64) float64 {
	if !f.residuals(x, scratch) {
		return math.Inf(1)
	}
	return sumSquares(scratch)
}

func sumSquares(r []float64) (sum float64) {
	for _, x := range r {
		sum += x * x
	}
	return sum
}

// normal is a symmetric matrix of the fit's size.
type normal [nInside][nInside]float64

// fitted is where the search ended.
type fitted struct {
	x         inside
	squares   float64
	residuals []float64
	jacobian  [][nInside]float64
	precision normal // JᵀJ, the inverse of the covariance
}

// best searches from start by Levenberg and Marquardt's damped steps. False
// when start itself makes no water.
//
// Source: [Nocedal2006] section 10.3.
func (f *fit) best(start inside) (fitted, bool) {
	n := nPrior + len(f.readings)
	now := fitted{x: start, residuals: make([]float64, n), jacobian: make([][nInside]float64, n)}
	if !f.residuals(&now.x, now.residuals) {
		return now, false
	}
	now.squares = sumSquares(now.residuals)
	damping, next := 1e-3, make([]float64, n)
	for range maxFitSteps {
		f.linearise(&now, next)
		gained := false
		for range 12 {
			if x, ok := now.step(damping); ok {
				if squares := f.squares(&x, next); squares < now.squares {
					gained = now.squares-squares > fitSettled*(1+now.squares)
					now.x, now.squares = x, squares
					copy(now.residuals, next)
					damping = math.Max(damping/5, 1e-9)
					break
				}
			}
			damping *= 5
		}
		if !gained {
			break
		}
	}
	f.linearise(&now, next)
	return now, true
}

// linearise fills in the derivatives at the present place.
func (f *fit) linearise(now *fitted, scratch []float64) {
	for i := range nInside {
		x := now.x
		x[i] += derivativeBy
		by := derivativeBy
		if !f.residuals(&x, scratch) { // at an edge, look the other way
			x[i] -= 2 * derivativeBy
			by = -derivativeBy
			if !f.residuals(&x, scratch) {
				copy(scratch, now.residuals)
			}
		}
		for k := range scratch {
			now.jacobian[k][i] = (scratch[k] - now.residuals[k]) / by
		}
	}
	now.precision = normal{}
	for k := range now.jacobian {
		row := &now.jacobian[k]
		for i := range nInside {
			for j := range i + 1 {
				now.precision[i][j] += row[i] * row[j]
			}
		}
	}
}

// step solves (JᵀJ + damping·diag) d = -Jᵀr.
func (now *fitted) step(damping float64) (inside, bool) {
	a := now.precision
	var right inside
	for i := range nInside {
		a[i][i] *= 1 + damping
		for k := range now.jacobian {
			right[i] -= now.jacobian[k][i] * now.residuals[k]
		}
	}
	if !a.cholesky() {
		return now.x, false
	}
	d := a.solve(right)
	x := now.x
	for i := range x {
		x[i] += math.Min(math.Max(d[i], -longestStep), longestStep)
	}
	return x, true
}

// cholesky turns the lower half of a into its factor L, a = L Lᵀ.
func (a *normal) cholesky() bool {
	for i := range nInside {
		for j := range i + 1 {
			sum := a[i][j]
			for k := range j {
				sum -= a[i][k] * a[j][k]
			}
			if i != j {
				a[i][j] = sum / a[j][j]
				continue
			}
			if !(sum > 0) {
				return false
			}
			a[i][i] = math.Sqrt(sum)
		}
	}
	return true
}

// solve returns a⁻¹ b, a being a factor.
func (a *normal) solve(b inside) inside {
	for i := range nInside {
		for k := range i {
			b[i] -= a[i][k] * b[k]
		}
		b[i] /= a[i][i]
	}
	return a.back(b)
}

// back returns L⁻ᵀ b: for b of unit normals, a draw of covariance a⁻¹.
func (a *normal) back(b inside) inside {
	for i := nInside - 1; i >= 0; i-- {
		for k := i + 1; k < nInside; k++ {
			b[i] -= a[k][i] * b[k]
		}
		b[i] /= a[i][i]
	}
	return b
}
