package water

import "math"

// balance is the linear system of one Newton step: residuals and derivatives
// of the mass balances in the logarithms of the free ions. Metals are diagonal
// among themselves.
type balance struct {
	metal         [nMetals]float64           // diagonal
	metalToLigand [nMetals][nLigands]float64 // derivative of metal rows
	ligandToMetal [nLigands][nMetals]float64 // derivative of ligand rows
	ligand        [nLigands][nLigands]float64
	missMetal     [nMetals]float64 // wanted less found
	missLigand    [nLigands]float64
}

// step moves the free ions once and returns the largest move of a logarithm;
// false when the system has no answer.
func (q *search) step() (float64, bool) {
	var b balance
	q.fill(&b)
	q.alkalinityRow(&b)
	q.special(&b)
	b.eliminateMetals()
	if !solveDense(&b.ligand, &b.missLigand) {
		return math.Inf(1), false
	}
	return q.move(&b)
}

// fill puts in the mass balances of components.
func (q *search) fill(b *balance) {
	for i := range nMetals {
		b.metal[i], b.missMetal[i] = 1, 0
		if q.present[i] {
			b.metal[i] = q.s.free[i]
			b.missMetal[i] = q.m.total[i] - q.s.free[i]
		}
	}
	for j := range rowH {
		b.ligand[j][j] = 1
		if i := j + nMetals; q.present[i] {
			b.ligand[j][j] = q.s.free[i]
			b.missLigand[j] = q.m.total[i] - q.s.free[i]
		}
	}
	for _, f := range q.active[:q.nActive] {
		r, m := &reactions[f], q.s.species[f]
		q.addSpecies(b, r, m)
	}
}

func (q *search) addSpecies(b *balance, r *reaction, m float64) {
	if r.one == absent {
		return
	}
	one, h := float64(r.nOne)*m, float64(r.nHydrogen)
	if r.one < nMetals {
		i := r.one // always one metal
		b.metal[i] += one
		b.missMetal[i] -= one
		b.metalToLigand[i][rowH] += one * h
		if r.two == absent {
			return
		}
		j, two := r.two-nMetals, float64(r.nTwo)
		b.metalToLigand[i][j] += one * two
		b.ligandToMetal[j][i] += one * two
		b.ligand[j][j] += two * two * m
		b.ligand[j][rowH] += two * m * h
		b.missLigand[j] -= two * m
		return
	}
	j := r.one - nMetals
	b.ligand[j][j] += float64(r.nOne) * one
	b.ligand[j][rowH] += one * h
	b.missLigand[j] -= one
	if r.two == absent {
		return
	}
	k, two := r.two-nMetals, float64(r.nTwo)*m
	b.ligand[k][k] += float64(r.nTwo) * two
	b.ligand[k][rowH] += two * h
	b.ligand[j][k] += float64(r.nOne) * two
	b.ligand[k][j] += float64(r.nOne) * two
	b.missLigand[k] -= two
}

// alkalinityRow writes the alkalinity balance in place of H+, or of carbon when
// pH is given.
func (q *search) alkalinityRow(b *balance) {
	row := rowH
	switch q.ask {
	case pHCarbon:
		return
	case pHAlkalinity:
		row = rowC
	}
	h := q.s.free[hydrogen]
	var ligand [nLigands]float64
	var metal [nMetals]float64
	ligand[rowC], ligand[rowH] = 2*q.s.free[Carbon], -h
	ligand[int(Phosphate)-nMetals] = 2 * q.s.free[Phosphate]
	miss := q.m.alkalinity - 2*q.s.free[Carbon] - 2*q.s.free[Phosphate] + h
	for _, f := range q.active[:q.nActive] {
		r := &reactions[f]
		x := alkalinityPer[f] * q.s.species[f]
		if x == 0 {
			continue
		}
		miss -= x
		ligand[rowH] += x * float64(r.nHydrogen)
		for _, part := range [2][2]int{{r.one, r.nOne}, {r.two, r.nTwo}} {
			switch {
			case part[0] == absent:
			case part[0] < nMetals:
				metal[part[0]] += x * float64(part[1])
			default:
				ligand[part[0]-nMetals] += x * float64(part[1])
			}
		}
	}
	b.ligand[row], b.ligandToMetal[row], b.missLigand[row] = ligand, metal, miss
}

// special writes the rows of a given pH and of an open gas.
func (q *search) special(b *balance) {
	switch q.ask {
	case pHAlkalinity, pHCarbon:
		b.ligand[rowH] = [nLigands]float64{rowH: 1}
		b.ligandToMetal[rowH] = [nMetals]float64{}
		b.missLigand[rowH] = 0
	case openAir:
		// ln a(CO2) = ln K_H + ln p
		r := &reactions[sCO2]
		gamma := math.Ln10 * q.slopes.log10Gamma(&r.activity, 0, q.strength, 0)
		found := q.lnConst[sCO2] + q.lnFree[Carbon] + 2*q.lnFree[hydrogen] + gamma
		b.ligand[rowC] = [nLigands]float64{rowC: 1, rowH: 2}
		b.ligandToMetal[rowC] = [nMetals]float64{}
		b.missLigand[rowC] = q.lnHenry + q.given - found
	}
}

// eliminateMetals takes the metals out of the ligand rows.
func (b *balance) eliminateMetals() {
	for i := range nMetals {
		inverse := 1 / b.metal[i]
		for j := range nLigands {
			x := b.ligandToMetal[j][i] * inverse
			if x == 0 {
				continue
			}
			for k := range nLigands {
				b.ligand[j][k] -= x * b.metalToLigand[i][k]
			}
			b.missLigand[j] -= x * b.missMetal[i]
		}
	}
}

// move applies the step, cut short where it is long.
func (q *search) move(b *balance) (float64, bool) {
	var d [hydrogen + 1]float64
	worst := 0.0
	for j := range nLigands {
		d[nMetals+j] = b.missLigand[j]
	}
	for i := range nMetals {
		x := b.missMetal[i]
		for j := range nLigands {
			x -= b.metalToLigand[i][j] * b.missLigand[j]
		}
		d[i] = x / b.metal[i]
	}
	for _, x := range d {
		worst = math.Max(worst, math.Abs(x)) // NaN stays NaN
	}
	if !(worst < math.MaxFloat64) {
		return worst, false
	}
	limit := longestStep
	if q.s.steps > patience {
		limit = longestStep / 4 // it may be swinging about the answer
	}
	for i := range d {
		if q.present[i] {
			q.moved[i] = math.Max(-limit, math.Min(limit, d[i]))
			q.lnFree[i] += q.moved[i]
		}
	}
	return worst, true
}

// solveDense solves a x = x by elimination with row exchange; false when a is
// singular.
func solveDense(a *[nLigands][nLigands]float64, x *[nLigands]float64) bool {
	for i := range nLigands {
		p := i
		for k := i + 1; k < nLigands; k++ {
			if math.Abs(a[k][i]) > math.Abs(a[p][i]) {
				p = k
			}
		}
		if !(math.Abs(a[p][i]) > 0) {
			return false
		}
		if p != i {
			a[i], a[p] = a[p], a[i]
			x[i], x[p] = x[p], x[i]
		}
		inverse := 1 / a[i][i]
		for k := i + 1; k < nLigands; k++ {
			f := a[k][i] * inverse
			if f == 0 {
				continue
			}
			for j := i; j < nLigands; j++ {
				a[k][j] -= f * a[i][j]
			}
			x[k] -= f * x[i]
		}
	}
	for i := nLigands - 1; i >= 0; i-- {
		for j := i + 1; j < nLigands; j++ {
			x[i] -= a[i][j] * x[j]
		}
		x[i] /= a[i][i]
	}
	return true
}
