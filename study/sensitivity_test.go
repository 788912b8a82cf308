package study

import (
	"math"
	"math/rand/v2"
	"testing"
)

// The share of variance that a cause explains is known without any run for a
// sum of independent normals: a_k²/Σa². Published: the variance of a sum of
// independent variables, any textbook. Ranks of normals correlate a little less
// than their values, 6/π asin(ρ/2) (published: Pearson 1907).
func TestSharesOfASumOfNormals(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	weights := []float64{3, 2, 1, 0}
	const n = 4000
	columns, y := make([][]float64, len(weights)), make([]float64, n)
	total := 0.0
	for k, a := range weights {
		total += a * a
		columns[k] = make([]float64, n)
		for i := range n {
			columns[k][i] = rng.NormFloat64()
			y[i] += a * columns[k][i]
		}
	}
	found := stepwise(y, columns, 0.02)
	if len(found) != 3 {
		t.Fatalf("found %d causes, wanted the three that count: %v", len(found), found)
	}
	for place, f := range found {
		rho := math.Sqrt(weights[place] * weights[place] / total)
		byRank := 6 / math.Pi * math.Asin(rho/2)
		if f.cause != place || math.Abs(f.share-byRank*byRank) > 0.03 {
			t.Errorf("place %d: cause %d explains %.3f, wanted cause %d and %.3f", place, f.cause, f.share, place, byRank*byRank)
		}
	}
}

// A curved but rising answer counts as a straight one does, and what goes along
// with a stronger cause is not counted twice.
func TestSharesByRankOfCurvesAndOfCausesThatGoTogether(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	const n = 500
	x, shadow, y := make([]float64, n), make([]float64, n), make([]float64, n)
	for i := range n {
		x[i] = rng.NormFloat64()
		shadow[i] = x[i] + 0.5*rng.NormFloat64()
		y[i] = math.Exp(3 * x[i])
	}
	found := stepwise(y, [][]float64{shadow, x}, 0.05)
	if len(found) != 1 || found[0].cause != 1 || math.Abs(found[0].share-1) > 1e-9 {
		t.Errorf("found %v, wanted the cause itself with all of it", found)
	}
}

// One more draw falls below the quantile with its probability, however few
// draws there are: for even chances on 0 to 1 the mean of the p quantile is p.
// Published: Hyndman and Fan 1996, definition 6; mean of order statistics k/(n+1).
func TestTheQuantileOfFewDrawsIsUnbiased(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	sum := 0.0
	const trials, draws = 4000, 24
	for range trials {
		xs := make([]float64, draws)
		for i := range xs {
			xs[i] = rng.Float64()
		}
		low, _ := spread(xs, func(x float64) float64 { return x }, 0.5)
		sum += low
	}
	if mean := sum / trials; math.Abs(mean-0.05) > 0.003 {
		t.Errorf("the 5 %% end of %d even chances lies at %.4f on average, wanted 0.05", draws, mean)
	}
}
