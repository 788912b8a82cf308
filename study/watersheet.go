package study

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"

	"rinsewright/quantity"
	"rinsewright/resin"
	"rinsewright/site"
	"rinsewright/water"
	"rinsewright/working"
)

// WaterSheet is what is known of a site's raw water, how surely, and what it
// will do.
type WaterSheet struct {
	Site           Heading
	Place, Date    string
	Rows           []SheetRow
	Indices        []IndexRow   // at the raw water
	Scaling        []ScalingRow // by recovery
	Eats           []Share      // what a mixed bed behind a membrane would hold, without the membrane: by charge
	Assumed        []Assumption
	Contradictions []string
	Next           []NextReading // which reading would narrow the answers most, first the best
	Working        []working.Step
	Looks          int
}

// SheetRow is one quantity of the sheet.
type SheetRow struct {
	Name string
	Band Band
	From working.Origin
}

// IndexRow is one of the trade's indices.
type IndexRow struct {
	Name  string
	Value float64 // a dimensionless number
	Says  string
}

// ScalingRow is the concentrate at one recovery.
type ScalingRow struct {
	Recovery quantity.Ratio
	First    string
	Index    float64 // saturation index, a dimensionless number
	Low      float64 // of its band, a dimensionless number
	High     float64 // of its band, a dimensionless number
}

// NextReading is a reading that nobody took, and how much it would narrow.
type NextReading struct {
	Name    string
	Minutes float64        // number of minutes it takes
	Narrows quantity.Ratio // the share by which it would shrink the doubt of CO2 and scaling
	Why     string
}

// Water makes the sheet of the site's latest raw water. Errors are those of
// [Check] for a site without a reading.
func Water(ctx context.Context, s *site.Site, o Options) (*WaterSheet, error) {
	sample, ok := sampleAt(s, "raw")
	if !ok {
		if sample, ok = sampleAt(s, "feed"); !ok {
			return nil, fmt.Errorf("water of %s: %w", s.Name, ErrNoSample)
		}
	}
	prior := water.CityPrior()
	if s.Supply.Source == site.Well {
		prior = water.WellPrior()
	}
	base, err := water.Complete(sample, prior)
	if err != nil {
		return nil, fmt.Errorf("water of %s: %w", s.Name, err)
	}
	w := sheet{options: o, sample: sample, prior: prior, base: base}
	if err := w.draw(ctx); err != nil {
		return nil, fmt.Errorf("water of %s: %w", s.Name, err)
	}
	out := &WaterSheet{
		Site: Heading{s.Name, s.About, s.Origin, string(s.Use)}, Place: sample.Place, Date: sample.Date,
		Rows: w.rows(), Indices: w.indices(), Scaling: w.scaling(), Eats: w.eats(), Contradictions: base.Contradictions,
		Looks: len(w.draws), Next: w.next(),
	}
	for _, a := range base.Assumed {
		out.Assumed = append(out.Assumed, Assumption(a))
	}
	c := checking{site: s, options: o, base: &look{raw: base}}
	c.writeRaw()
	out.Working = c.book.steps
	return out, nil
}

// sheet is a water sheet under way.
type sheet struct {
	options Options
	sample  water.Sample
	prior   water.Prior
	base    water.Completion
	draws   []water.Completion
}

func (w *sheet) draw(ctx context.Context) error {
	looks := w.options.Looks
	if looks <= 0 {
		looks = defaultLooks
	}
	w.draws = drawn64(w.sample, w.prior, w.options.Seed, looks)
	if len(w.draws) < looks/2 {
		return ErrFragile
	}
	return ctx.Err()
}

// drawn64 completes the sample under its doubts.
func drawn64(sample water.Sample, prior water.Prior, seed uint64, looks int) (kept []water.Completion) {
	for i := range looks {
		rng := rand.New(rand.NewPCG(seed, uint64(i)+1))
		c, err := water.Complete(sample.Drawn(rng.NormFloat64), prior.Drawn(rng.NormFloat64))
		if err == nil {
			kept = append(kept, c)
		}
	}
	return kept
}

type sheetLine struct {
	name string
	of   func(water.Completion) float64
	as   func(float64) Figure
	from working.Origin
}

func ionLine(name string, c water.Component, from working.Origin) sheetLine {
	return sheetLine{name, func(x water.Completion) float64 { return float64(c.Mass(x.Water.Total[c])) }, func(x float64) Figure { return figure(quantity.MassConc(x)) }, from}
}

func (w *sheet) rows() (rows []SheetRow) {
	s := w.sample
	was := func(known bool) working.Origin {
		if known {
			return working.Read
		}
		return working.Assumed
	}
	ion := func(name string, c water.Component, also bool) sheetLine {
		if s.Ions[c].Known {
			return ionLine(name, c, working.Read)
		}
		if also {
			return ionLine(name, c, working.Computed)
		}
		return ionLine(name, c, working.Assumed)
	}
	strong := s.Strength.Known()
	lines := []sheetLine{
		{"conductivity at 25 °C", func(c water.Completion) float64 { return float64(c.Conductivity) }, func(x float64) Figure { return figure(quantity.Conductivity(x)) }, was(strong)},
		{"dissolved solids, by sum", func(c water.Completion) float64 { return float64(c.Water.DissolvedSolids()) }, func(x float64) Figure { return figure(quantity.MassConc(x)) }, working.Computed},
		{"temperature", func(c water.Completion) float64 { return float64(c.Water.Temperature) }, func(x float64) Figure { return figure(quantity.Temperature(x)) }, was(s.Temperature.Known)},
		{"pH", func(c water.Completion) float64 { return c.Solution.PH }, func(x float64) Figure { return figure(quantity.PH(x)) }, was(s.PH.Known)},
		{"hardness", func(c water.Completion) float64 { return float64(c.Water.Hardness()) }, func(x float64) Figure { return figure(quantity.CaCO3Conc(x)) }, was(s.Hardness.Known)},
		{"alkalinity", func(c water.Completion) float64 { return float64(c.Water.Alkalinity.AsCaCO3()) }, func(x float64) Figure { return figure(quantity.CaCO3Conc(x)) }, was(s.Alkalinity.Known)},
		{"carbon dioxide", func(c water.Completion) float64 { return float64(water.CarbonDioxideMass(c.Solution.CO2())) }, func(x float64) Figure { return figure(quantity.MassConc(x)) }, working.Computed},
		ion("calcium", water.Calcium, s.Hardness.Known), ion("magnesium", water.Magnesium, s.Hardness.Known),
		ion("sodium", water.Sodium, strong), ion("potassium", water.Potassium, false),
		ion("chloride", water.Chloride, strong), ion("sulphate", water.Sulphate, strong), ion("nitrate", water.Nitrate, false),
		ion("silica", water.Silica, false),
	}
	for _, c := range []water.Component{water.Iron, water.Manganese, water.Barium, water.Strontium, water.Fluoride, water.Boron, water.Ammonia} {
		if s.Ions[c].Known {
			lines = append(lines, ionLine(c.String(), c, working.Read))
		}
	}
	for _, line := range lines {
		rows = append(rows, SheetRow{line.name, w.band(line), line.from})
	}
	return rows
}

func (w *sheet) band(line sheetLine) Band {
	value := line.of(w.base)
	low, high := spread(w.draws, line.of, value)
	return Band{line.as(value), line.as(low), line.as(high)}
}

// spread is the 5 to 95 % range of a figure over draws; it holds the value.
func spread[T any](draws []T, of func(T) float64, value float64) (low, high float64) {
	xs := make([]float64, 0, len(draws))
	for _, d := range draws {
		if x := of(d); !math.IsNaN(x) && !math.IsInf(x, 0) {
			xs = append(xs, x)
		}
	}
	if len(xs) == 0 {
		return value, value
	}
	slices.Sort(xs)
	return min(quantile(xs, 0.05), value), max(quantile(xs, 0.95), value)
}

func (w *sheet) indices() (rows []IndexRow) {
	raw, pH := w.base.Water, w.base.Solution.PH
	rows = append(rows, IndexRow{"calcite saturation index", w.base.Solution.SaturationIndex(water.Calcite), "by equilibrium, ion pairs counted"})
	for _, t := range []struct {
		name, says string
		of         func(water.Water, float64) (float64, error)
	}{
		{"Langelier index", "the trade's short form of the same; it leaves ion pairs out", water.Langelier},
		{"Stiff-Davis index", "for strong waters", water.StiffDavis},
		{"Ryznar index", "above 7 dissolves scale, below 6 forms it", water.Ryznar},
	} {
		if x, err := t.of(raw, pH); err == nil {
			rows = append(rows, IndexRow{t.name, x, t.says})
		}
	}
	return rows
}

// recoveries at which the concentrate is judged.
var recoveries = []quantity.Ratio{0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.75, 0.8}

func (w *sheet) scaling() (rows []ScalingRow) {
	for _, r := range recoveries {
		name, index := nearest(w.base.Water, r)
		if name == "" {
			continue
		}
		low, high := spread(w.draws, func(c water.Completion) float64 {
			_, x := nearest(c.Water, r)
			return x
		}, index)
		rows = append(rows, ScalingRow{r, name, index, low, high})
	}
	return rows
}

// nearest is the mineral nearest to scaling when a membrane that lets nothing
// pass but carbon dioxide has taken a recovery out of the water.
func nearest(w water.Water, recovery quantity.Ratio) (name string, index float64) {
	factor := 1 / (1 - float64(recovery))
	concentrate := w.Concentrate(factor)
	solution, err := water.Equilibrate(w)
	if err != nil {
		return "", math.NaN()
	}
	concentrate.Total[water.Carbon] -= quantity.MolarConc(float64(solution.CO2()) * (factor - 1))
	if solution, err = water.Equilibrate(concentrate); err != nil {
		return "", math.NaN()
	}
	index = -99
	for _, m := range minerals {
		if x := solution.SaturationIndex(m); x > index {
			name, index = m.String(), x
		}
	}
	return name, index
}

// eats splits what this water would load on a mixed bed without a membrane.
func (w *sheet) eats() []Share {
	in := resin.InletOf(w.base.Water, w.base.Solution)
	total := float64(in.AnionLoad())
	if !(total > 0) {
		return nil
	}
	return []Share{
		{"dissolved salts", quantity.Ratio(float64(in.StrongAnions) / total)}, {"bicarbonate", quantity.Ratio(float64(in.Bicarbonate) / total)},
		{"carbon dioxide", quantity.Ratio(float64(in.CO2) / total)}, {"silica", quantity.Ratio(float64(in.Silica) / total)},
	}
}

// next ranks the readings that nobody took by how much each would shrink the
// doubt of the carbon dioxide and of scaling at half recovery.
func (w *sheet) next() (all []NextReading) {
	now := w.doubt(w.draws)
	if !(now > 0) {
		return nil
	}
	for _, r := range w.missing() {
		left := w.doubt(drawn64(r.taken, w.prior, w.options.Seed, 32))
		narrows := 1 - left/now
		if narrows > 0.02 {
			all = append(all, NextReading{r.name, r.minutes, quantity.Ratio(narrows), r.why})
		}
	}
	slices.SortStableFunc(all, func(a, b NextReading) int {
		if float64(a.Narrows)/a.Minutes > float64(b.Narrows)/b.Minutes {
			return -1
		}
		return 1
	})
	return all
}

// doubt sums the standard deviations of what matters later: the logarithm of
// the load on resin and the scaling index at half recovery.
func (w *sheet) doubt(draws []water.Completion) float64 {
	load := deviation(draws, func(c water.Completion) float64 {
		return math.Log(float64(resin.InletOf(c.Water, c.Solution).CO2) + 0.1)
	})
	scale := deviation(draws, func(c water.Completion) float64 {
		_, x := nearest(c.Water, 0.5)
		return x
	})
	return load + scale
}

func deviation[T any](draws []T, of func(T) float64) float64 {
	n, mean, squares := 0.0, 0.0, 0.0
	for _, d := range draws {
		x := of(d)
		if math.IsNaN(x) {
			continue
		}
		n++
		delta := x - mean
		mean += delta / n
		squares += delta * (x - mean)
	}
	if n < 2 {
		return 0
	}
	return math.Sqrt(squares / (n - 1))
}

type possible struct {
	name, why string
	minutes   float64
	taken     water.Sample
}

// missing lists what could be read next, each as the sample with that reading
// taken at its present best guess. Minutes: common practice, no source.
func (w *sheet) missing() (all []possible) {
	base := w.base
	add := func(known bool, name, why string, minutes float64, set func(*water.Sample)) {
		if known {
			return
		}
		taken := w.sample
		taken.Ions = map[water.Component]quantity.Entry[quantity.MassConc]{}
		for c, e := range w.sample.Ions {
			taken.Ions[c] = e
		}
		set(&taken)
		all = append(all, possible{name, why, minutes, taken})
	}
	s := w.sample
	add(s.PH.Known, "pH", "sets the carbon dioxide", 2, func(t *water.Sample) { t.PH = quantity.Told(quantity.PH(base.Solution.PH)) })
	add(s.Alkalinity.Known, "alkalinity", "sets the carbon dioxide and the scale", 5, func(t *water.Sample) { t.Alkalinity = quantity.Told(base.Water.Alkalinity.AsCaCO3()) })
	add(s.Hardness.Known, "hardness", "sets the scale", 3, func(t *water.Sample) { t.Hardness = quantity.Told(base.Water.Hardness()) })
	add(s.Ions[water.Silica].Known, "silica", "limits recovery and leaves the resin first", 8, func(t *water.Sample) {
		t.Ions[water.Silica] = quantity.Told(water.Silica.Mass(base.Water.Total[water.Silica]))
	})
	add(s.Temperature.Known, "temperature", "moves everything a little", 1, func(t *water.Sample) { t.Temperature = quantity.Told(base.Water.Temperature) })
	return all
}
