package water

import "math"

// weakAcids are the protonations that settle pH before metals are counted.
var weakAcids = [...]formed{sHCO3, sCO2, sH3SiO4, sH2SiO4, sH2BO3, sNH3, sHPO4, sH2PO4, sH3PO4}

// guess starts from a water without pairs and activities.
func (q *search) guess() {
	for c := range NComponents {
		q.lnFree[c] = math.Log(math.Max(q.m.total[c], lowestFree))
	}
	q.strength = math.Max(1e-7, stoichiometricStrength(&q.m.total, q.m.alkalinity))
	var k [len(weakAcids)]float64
	for i, f := range weakAcids {
		k[i] = math.Exp(q.lnK[f])
	}
	h := q.plainHydrogen(&k)
	q.lnFree[hydrogen] = math.Log(h)
	switch q.ask {
	case pHAlkalinity:
		q.lnFree[Carbon] = math.Log(math.Max(q.m.alkalinity, 1e-5))
	case openAir:
		q.lnFree[Carbon] = q.given + q.lnHenry - q.lnK[sCO2] - 2*math.Log(h)
	}
	parts, _ := plainSplit(&k, h)
	for c := range NComponents {
		if parts[c] > 1 && !(c == Carbon && q.ask == openAir) {
			q.lnFree[c] -= math.Log(parts[c])
		}
	}
}

// plainHydrogen is H+ (mol/kg) of that water, by halving between pH 1 and 13.
func (q *search) plainHydrogen(k *[len(weakAcids)]float64) float64 {
	if q.ask == pHAlkalinity || q.ask == pHCarbon {
		return math.Pow(10, -q.given)
	}
	kw, carbonate := math.Exp(q.lnK[sOH]), math.Exp(q.given+q.lnHenry-q.lnK[sCO2]) // CO3 h² in an open water
	low, high := 1e-13, 1e-1
	for range 10 {
		h := math.Sqrt(low * high)
		parts, held := plainSplit(k, h)
		alkalinity := kw/h - h
		for _, c := range [...]Component{Carbon, Silica, Boron, Ammonia, Phosphate} {
			amount := q.m.total[c]
			if c == Carbon && q.ask == openAir {
				amount = carbonate / (h * h) * parts[c]
			}
			alkalinity += amount * held[c] / parts[c]
		}
		if alkalinity > q.m.alkalinity {
			low = h
		} else {
			high = h
		}
	}
	return math.Sqrt(low * high)
}

// plainSplit returns, per free ion of each weak acid, the sum of its forms and
// the alkalinity they hold.
func plainSplit(k *[len(weakAcids)]float64, h float64) (parts, held [NComponents]float64) {
	for c := range parts {
		parts[c] = 1
	}
	held[Carbon], held[Phosphate] = 2, 2
	powers := [...]float64{1 / (h * h), 1 / h, 1, h, h * h, h * h * h}
	for i, f := range weakAcids {
		r := &reactions[f]
		m := k[i] * powers[r.nHydrogen+2]
		parts[r.one] += m
		held[r.one] += alkalinityPer[f] * m
	}
	return parts, held
}
