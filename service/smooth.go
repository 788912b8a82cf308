package service

import "math"

// Keep makes a watch remember what [Watch.Story] needs. It costs memory, some
// 40 kB a visit, so a forecast alone does without.
func (w *Watch) Keep() { w.t.keep = true }

// smoothed returns every recorded state as all of the log makes it: the past in
// the light of what came after.
//
// Source: [RauchTungStriebel1965].
func (t *tracker) smoothed() []belief {
	out := make([]belief, len(t.record))
	if len(out) == 0 {
		return nil
	}
	last := len(out) - 1
	out[last] = t.record[last].after
	for i := last - 1; i >= 0; i-- {
		out[i] = t.record[i].after
		next := &t.record[i+1]
		out[i].back(&next.before, &out[i+1], &next.moved)
	}
	return out
}

// back corrects a belief by what is now known of the one after it:
//
//	m ← m + G (m⁺ − m⁻)   P ← P + G (P⁺ − P⁻) Gᵀ   G = P Fᵀ (P⁻)⁻¹
func (b *belief) back(predicted, known *belief, moved *[nState]vector) {
	l := predicted.jittered()
	// cross = F P, solved against P⁻ column by column: rows of Gᵀ.
	var gain [nState]vector // G transposed
	for i := range moved {
		for j, w := range moved[i] {
			if w != 0 {
				for k := range gain[i] {
					gain[i][k] += w * b.p[j][k]
				}
			}
		}
	}
	solve(&l, &gain)
	var diff [nState]vector
	for i := range diff {
		for j := range diff {
			diff[i][j] = known.p[i][j] - predicted.p[i][j]
		}
	}
	for i := range gain {
		shift := known.m[i] - predicted.m[i]
		for k, g := range gain[i] {
			b.m[k] += g * shift
		}
	}
	var half [nState]vector // (P⁺ − P⁻) Gᵀ
	for i := range diff {
		for j, d := range diff[i] {
			if d != 0 {
				for k := range half[i] {
					half[i][k] += d * gain[j][k]
				}
			}
		}
	}
	for i := range gain {
		for r, g := range gain[i] {
			if g != 0 {
				for k := range half[i] {
					b.p[r][k] += g * half[i][k]
				}
			}
		}
	}
	for i := range b.p {
		b.p[i][i] = math.Max(b.p[i][i], 0)
	}
}

// jittered is the Cholesky factor with a little doubt added to every number,
// so that one that follows exactly from others does no harm.
func (b *belief) jittered() (l [nState]vector) {
	for i := range l {
		for j := 0; j <= i; j++ {
			s := b.p[i][j]
			if i == j {
				s = s*(1+1e-7) + 1e-10
			}
			for k := range j {
				s -= l[i][k] * l[j][k]
			}
			if i == j {
				l[i][i] = math.Sqrt(math.Max(s, 1e-11))
			} else {
				l[i][j] = s / l[j][j]
			}
		}
	}
	return l
}

// solve replaces every column of x by (L Lᵀ)⁻¹ of it.
func solve(l, x *[nState]vector) {
	for i := range l {
		for j := range i {
			if w := l[i][j]; w != 0 {
				for k := range x[i] {
					x[i][k] -= w * x[j][k]
				}
			}
		}
		for k := range x[i] {
			x[i][k] /= l[i][i]
		}
	}
	for i := nState - 1; i >= 0; i-- {
		for j := i + 1; j < nState; j++ {
			if w := l[j][i]; w != 0 {
				for k := range x[i] {
					x[i][k] -= w * x[j][k]
				}
			}
		}
		for k := range x[i] {
			x[i][k] /= l[i][i]
		}
	}
}
