package water

import (
	"cmp"
	"math"
	"slices"

	"rinsewright/quantity"
)

// Answer is something a reader wants to know of a water: its figure is a number
// whose band should be narrow, with a weight beside other answers.
type Answer struct {
	Name   string
	Of     func(Completion) float64 // a number, of whatever the answer is counted in
	Weight float64                  // a number; 0 is 1
}

// NextReading is a reading that nobody took, what it costs, and how much it
// would narrow the answers.
type NextReading struct {
	Name    string
	Why     string
	Minutes quantity.Time  // hands on
	Price   quantity.Time  // what it costs to buy, told as work: reagents, postage, a laboratory's fee
	Narrows quantity.Ratio // by which share the bands of all answers shrink, weighed
	ByFar   Shrink         // the answer it helps most
	PerHour float64        // share of the doubt that an hour's work or its price would take away, a number
}

// Shrink is an answer and the share by which its band shrinks.
type Shrink struct {
	Answer string
	By     quantity.Ratio
}

// candidate is a reading that could be taken.
type candidate struct {
	name, why      string
	minutes, price float64 // minutes
	known          func(*Sample) bool
	sees           []sight
}

// sight is one number that a reading would give, and its standard deviation.
type sight struct {
	of func(*Completion) float64
	sd func(float64) float64
}

func relative(share float64) func(float64) float64 {
	return func(float64) float64 { return deviation(share) } // of a logarithm
}

func fixed(limit float64) func(float64) float64 {
	return func(float64) float64 { return deviation(limit) }
}

func lnOf(c Component) func(*Completion) float64 {
	return func(x *Completion) float64 { return math.Log(float64(c.Mass(x.Water.Total[c])) + 1e-4) }
}

func pHOf(x *Completion) float64           { return x.Solution.PH }
func alkalinityOf(x *Completion) float64   { return float64(x.Water.Alkalinity) }
func completeHard(x *Completion) float64   { return hardnessOf(&x.Water) }
func celsiusOf(x *Completion) float64      { return x.Water.Temperature.Celsius() }
func lnConductivity(x *Completion) float64 { return math.Log(float64(x.Conductivity)) }

// candidates: minutes and prices are common practice, no source; a price is in
// minutes of a technician's work.
var candidates = []candidate{
	{
		"the scale on the pen's back", "its ppm may be NaCl, KCl or 442", 0.5, 0,
		func(s *Sample) bool {
			return s.Strength.Conductivity.Known || !s.Strength.PPM.Known || s.Strength.Scale != ""
		},
		[]sight{{lnConductivity, func(float64) float64 { return math.Hypot(deviation(0.11), conductivityModelSD) }}},
	},
	{
		"conductivity", "sets how much is dissolved", 1, 0, func(s *Sample) bool { return s.Strength.Known() },
		[]sight{{lnConductivity, func(float64) float64 { return math.Hypot(deviation(0.11), conductivityModelSD) }}},
	},
	{"temperature", "moves solubility and flow", 0.5, 0, func(s *Sample) bool { return s.Temperature.Known }, []sight{{celsiusOf, fixed(0.75)}}},
	{"pH", "sets the carbon dioxide, which loads resin unseen", 2, 1, func(s *Sample) bool { return s.PH.Known }, []sight{{pHOf, fixed(0.1)}}},
	{
		"alkalinity", "sets the carbon dioxide and the scale", 5, 2, func(s *Sample) bool { return s.Alkalinity.Known },
		[]sight{{alkalinityOf, func(x float64) float64 { return math.Max(deviation(0.30), 0.06*x/1.732) }}},
	}, // eq/m³: 15 mg/L
	{
		"hardness", "sets the scale", 3, 2, func(s *Sample) bool { return s.Hardness.Known || s.looked(Calcium) && s.looked(Magnesium) },
		[]sight{{completeHard, func(x float64) float64 { return math.Max(deviation(0.342), 0.06*x/1.732) }}},
	}, // eq/m³: 1 grain
	{
		"calcium hardness", "tells calcium, which scales, from magnesium", 4, 2, func(s *Sample) bool { return s.looked(Calcium) || s.looked(Magnesium) },
		[]sight{{func(x *Completion) float64 { return 2 * float64(x.Water.Total[Calcium]) }, func(x float64) float64 { return math.Max(deviation(0.342), 0.06*x/1.732) }}},
	},
	{"chloride", "tells chloride from sulphate", 4, 2, func(s *Sample) bool { return s.looked(Chloride) }, []sight{{lnOf(Chloride), relative(0.15)}}},
	{"sulphate", "sets gypsum and tells chloride", 6, 3, func(s *Sample) bool { return s.looked(Sulphate) }, []sight{{lnOf(Sulphate), relative(0.20)}}},
	{"silica", "limits recovery and leaves the resin first", 8, 4, func(s *Sample) bool { return s.looked(Silica) }, []sight{{lnOf(Silica), relative(0.15)}}},
	{"nitrate", "passes a membrane more than the rest", 3, 2, func(s *Sample) bool { return s.looked(Nitrate) }, []sight{{lnOf(Nitrate), relative(0.3)}}},
	{
		"a laboratory's full analysis", "tells everything at once, in a week or two", 15, 120, func(s *Sample) bool { return s.full() && s.looked(Silica) },
		[]sight{
			{lnOf(Calcium), relative(0.08)},
			{lnOf(Magnesium), relative(0.08)},
			{lnOf(Sodium), relative(0.08)},
			{lnOf(Chloride), relative(0.08)},
			{lnOf(Sulphate), relative(0.08)},
			{lnOf(Silica), relative(0.08)},
			{alkalinityOf, func(x float64) float64 { return math.Max(0.05*x, 0.04) / 1.732 }},
			{pHOf, fixed(0.1)},
		},
	},
}

// NextReadings ranks the readings that nobody took of s by how much each would
// shrink the bands of the answers over the waters of an ensemble, for its
// minutes and price; the first is the one that would help most:
//
//	after = before √(1 − cᵀ (V + R)⁻¹ c / v)
//
// v the variance of an answer, c its covariance with what the reading sees, V
// the variance of that, R the reading's own. Readings that would narrow less
// than 3 % are left out.
//
// Source: conditioning of normal variables, [JCGM100]; minutes and prices
// [Practice]. An ensemble of less than 16 gives none.
func NextReadings(s Sample, ensemble []Completion, answers ...Answer) (all []NextReading) {
	if len(ensemble) < 16 {
		return nil
	}
	for _, c := range candidates {
		if c.known(&s) {
			continue
		}
		if r := c.taken(ensemble, answers); r.Narrows > 0.03 {
			all = append(all, r)
		}
	}
	slices.SortStableFunc(all, func(a, b NextReading) int { return cmp.Compare(b.PerHour, a.PerHour) })
	return all
}

// taken tells what a reading would do.
func (c *candidate) taken(ensemble []Completion, answers []Answer) NextReading {
	r := NextReading{Name: c.name, Why: c.why, Minutes: quantity.Minutes(c.minutes), Price: quantity.Minutes(c.price)}
	seen := make([][]float64, len(c.sees))
	for i, s := range c.sees {
		seen[i] = figures(ensemble, func(x Completion) float64 { return s.of(&x) })
	}
	var sum, weights float64
	for _, a := range answers {
		weight := a.Weight
		if !(weight > 0) {
			weight = 1
		}
		by := c.shrinks(seen, figures(ensemble, a.Of))
		sum, weights = sum+weight*by, weights+weight
		if quantity.Ratio(by) > r.ByFar.By {
			r.ByFar = Shrink{a.Name, quantity.Ratio(by)}
		}
	}
	if weights > 0 {
		r.Narrows = quantity.Ratio(sum / weights)
	}
	r.PerHour = float64(r.Narrows) * 60 / (c.minutes + c.price)
	return r
}

// figures are finite numbers over an ensemble; a figure that is none takes the
// mean of the others, and so tells nothing.
func figures(ensemble []Completion, of func(Completion) float64) []float64 {
	xs, sum, n := make([]float64, len(ensemble)), 0.0, 0.0
	for i, c := range ensemble {
		if xs[i] = of(c); !math.IsNaN(xs[i]) && !math.IsInf(xs[i], 0) {
			sum, n = sum+xs[i], n+1
		}
	}
	for i, x := range xs {
		if math.IsNaN(x) || math.IsInf(x, 0) {
			xs[i] = sum / math.Max(n, 1)
		}
	}
	return xs
}

// shrinks is the share by which the band of answer y shrinks.
func (c *candidate) shrinks(seen [][]float64, y []float64) float64 {
	variance := covariance(y, y)
	if !(variance > 1e-18) {
		return 0
	}
	// A reading sees few numbers, so that elimination by hand is enough.
	n := len(seen)
	a := make([][]float64, n)
	for i := range a {
		a[i] = make([]float64, n+1)
		for j := range n {
			a[i][j] = covariance(seen[i], seen[j])
		}
		sd := c.sees[i].sd(mean(seen[i]))
		a[i][i] += sd*sd + 1e-12
		a[i][n] = covariance(seen[i], y)
	}
	right := make([]float64, n)
	for i := range n {
		right[i] = a[i][n]
	}
	explained := 0.0
	for i, x := range eliminated(a) {
		explained += x * right[i]
	}
	return 1 - math.Sqrt(1-math.Min(math.Max(explained/variance, 0), 1))
}

// eliminated solves a system given with its right side as the last column; its
// matrix is positive definite.
func eliminated(a [][]float64) []float64 {
	n := len(a)
	for i := range n {
		for k := i + 1; k < n; k++ {
			f := a[k][i] / a[i][i]
			for j := i; j <= n; j++ {
				a[k][j] -= f * a[i][j]
			}
		}
	}
	x := make([]float64, n)
	for i := n - 1; i >= 0; i-- {
		x[i] = a[i][n]
		for j := i + 1; j < n; j++ {
			x[i] -= a[i][j] * x[j]
		}
		x[i] /= a[i][i]
	}
	return x
}

func mean(xs []float64) (m float64) {
	for _, x := range xs {
		m += x / float64(len(xs))
	}
	return m
}

func covariance(xs, ys []float64) (sum float64) {
	mx, my := mean(xs), mean(ys)
	for i := range xs {
		sum += (xs[i] - mx) * (ys[i] - my)
	}
	return sum / math.Max(float64(len(xs)-1), 1)
}
