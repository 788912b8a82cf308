package water

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
)

const (
	tails        = 5.0 // degrees of freedom of the first draws: wider than the curvature says
	drawsPer     = 4   // first draws per member
	leastDraws   = 256
	moves        = 14 // steps of every member afterwards
	minorSD      = 0.05
	tooWideSteps = 0.45 // length of a step, of the curvature's own
)

// Ensemble returns n waters that the readings of s and the prior p allow, each
// as likely as the others: what [Complete] returns is their middle, and a
// figure's band is its 5 to 95 % range over them, [Band]. The same seed gives
// the same waters, in an order without meaning.
//
// Draws from a wide bell around the best water (Student's, 5 degrees of freedom, with the
// curvature there) are weighed by readings and prior through the real speciation and conductivity model,
// drawn again by weight, and each then walks 14 Metropolis steps of the same
// density. A full analysis is taken within its laboratory's accuracy, and
// every member is electroneutral.
//
// Source: sampling importance resampling with moves, [Gilks2001]. The error is
// that of [Complete], or wraps [ErrRange] unless 1 ≤ n ≤ 4096.
func Ensemble(s Sample, p Prior, seed uint64, n int) ([]Completion, error) {
	if !(1 <= n && n <= 4096) {
		return nil, fmt.Errorf("draw waters: %w: %d waters, wanted 1 to 4096", ErrRange, n)
	}
	_, f, err := completed(s, p)
	if err != nil {
		return nil, fmt.Errorf("draw waters: %w", err)
	}
	d := drawing{
		settledFit: f, rng: rand.New(rand.NewPCG(seed, 0x9e3779b97f4a7c15)), factor: f.at.precision,
		scratch: make([]float64, nPrior+len(f.readings)),
	}
	if !d.factor.cholesky() {
		return nil, fmt.Errorf("draw waters: %w: the readings leave the water open", ErrImpossible)
	}
	all := make([]Completion, 0, n)
	for _, x := range d.first(n) {
		all = append(all, d.member(x))
	}
	return all, nil
}

// drawing is an ensemble under way.
type drawing struct {
	*settledFit
	rng     *rand.Rand
	factor  normal // L of the precision, L Lᵀ
	scratch []float64
}

// bell draws a step of the curvature's size.
func (d *drawing) bell() (step inside, squares float64) {
	for i := range step {
		step[i] = d.rng.NormFloat64()
		squares += step[i] * step[i]
	}
	return d.factor.back(step), squares
}

// first draws n insides by importance.
func (d *drawing) first(n int) []inside {
	draws := max(drawsPer*n, leastDraws)
	xs, weights := make([]inside, draws), make([]float64, draws)
	best := math.Inf(-1)
	for i := range xs {
		step, squares := d.bell()
		stretch := tails / chiSquare(d.rng, tails)
		xs[i] = d.at.x
		for k := range step {
			xs[i][k] += math.Sqrt(stretch) * step[k]
		}
		bell := -(tails + nInside) / 2 * math.Log1p(stretch*squares/tails)
		weights[i] = -d.squares(&xs[i], d.scratch)/2 - bell
		best = math.Max(best, weights[i])
	}
	sum := 0.0
	for i, w := range weights {
		weights[i] = math.Exp(w - best)
		sum += weights[i]
	}
	return d.resample(xs, weights, sum, n)
}

// resample draws n by weight with even steps, and shuffles them. Without any
// weight the best water stands for all.
func (d *drawing) resample(xs []inside, weights []float64, sum float64, n int) []inside {
	kept := make([]inside, 0, n)
	at, cumulated, i := d.rng.Float64(), 0.0, 0
	for k := range n {
		mark := (float64(k) + at) / float64(n) * sum
		for i < len(xs)-1 && cumulated+weights[i] < mark {
			cumulated += weights[i]
			i++
		}
		if !(sum > 0) {
			kept = append(kept, d.at.x)
			continue
		}
		kept = append(kept, xs[i])
	}
	d.rng.Shuffle(n, func(a, b int) { kept[a], kept[b] = kept[b], kept[a] })
	return kept
}

// member walks x on and completes it; the best water where none comes of it.
func (d *drawing) member(x inside) Completion {
	now := d.squares(&x, d.scratch)
	for move := range moves {
		length := tooWideSteps
		if move%3 == 2 {
			length /= 3
		}
		step, _ := d.bell()
		next := x
		for k := range step {
			next[k] += length * step[k]
		}
		if squares := d.squares(&next, d.scratch); math.Log(1-d.rng.Float64()) < (now-squares)/2 {
			x, now = next, squares
		}
	}
	read := d.minor
	for _, c := range minors {
		d.minor[c] *= math.Exp(minorSD * d.rng.NormFloat64())
	}
	c, err := d.completion(&x)
	d.minor = read
	if err != nil {
		c, _ = d.completion(&d.at.x) // it was completed before
	}
	return c
}

// chiSquare draws a sum of n squared unit normals.
func chiSquare(rng *rand.Rand, n float64) (sum float64) {
	for range int(n) {
		x := rng.NormFloat64()
		sum += x * x
	}
	return math.Max(sum, 1e-12)
}

// Band returns the 5 to 95 % range of a figure over an ensemble, as numbers in
// the figure's own unit: order statistics at p(n+1), so that the next water of the kind
// falls inside nine times in ten. Figures that are not finite are left out;
// without any the band is 0, 0.
func Band(all []Completion, of func(Completion) float64) (low, high float64) {
	xs := make([]float64, 0, len(all))
	for _, c := range all {
		if x := of(c); !math.IsNaN(x) && !math.IsInf(x, 0) {
			xs = append(xs, x)
		}
	}
	slices.Sort(xs)
	return orderStatistic(xs, 0.05), orderStatistic(xs, 0.95)
}

func orderStatistic(sorted []float64, p float64) float64 {
	n := len(sorted)
	if n == 0 {
		return 0
	}
	at := p*float64(n+1) - 1
	below := min(max(int(math.Floor(at)), 0), n-1)
	above := min(below+1, n-1)
	share := math.Min(math.Max(at-float64(below), 0), 1)
	return sorted[below] + share*(sorted[above]-sorted[below])
}
