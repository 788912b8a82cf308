package study

import (
	"context"
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"

	"rinsewright/commissioning"
	"rinsewright/membrane"
	"rinsewright/plant"
	"rinsewright/quantity"
	"rinsewright/site"
)

// Estimated is a baseline for a rig whose first day is on no record: rebuilt from
// nameplates, physics and what was read last. It is an estimate and says so;
// wear and a part that was never as its plate says look alike in it.
type Estimated struct {
	Site    Heading
	From    []string // what it was rebuilt from, in words
	Date    string   // of the readings, "" when nobody noted it
	Parts   []PartEstimate
	Gauges  []GaugeEstimate
	Assumed []Assumption
	Read    int // how many readings went in
}

// PartEstimate is one state of the rig over what its plate says.
type PartEstimate struct {
	Name, Says string
	Now        quantity.Ratio // best estimate, over the plate
	Low, High  quantity.Ratio // 5 to 95 % band
	Told       bool           // the readings narrowed it to half or less; otherwise it is the plate with its doubt
}

// GaugeEstimate is what a gauge should read: as the plates promise, and as the
// rig is now.
type GaugeEstimate struct {
	Key, Says string
	New, Now  Band   // as the plates promise, and as the readings have it
	Read      Figure // nil where nobody read it
}

// What a rig may have come to, one standard deviation of the logarithm about its
// plate; filters in shares of their change point. A membrane loses and passes
// more with age, a restrictor scales or wears. Source: [TradeDefaults].
var states = []struct {
	name, says string
	sd         float64
	of         func(*plant.Wear, float64)
}{
	{"water_permeability", "what the membrane lets through", 0.20, func(w *plant.Wear, x float64) { w.Membrane.WaterPermeability = math.Exp(x) }},
	{"salt_permeability", "what salt it lets through", 0.45, func(w *plant.Wear, x float64) { w.Membrane.SaltPermeability = math.Exp(x) }},
	{"restrictor", "what the restrictor lets through", 0.20, func(w *plant.Wear, x float64) { w.Restrictor = math.Exp(x) }},
	{"filters", "load of the filters, 1 to be changed", 0.30, func(w *plant.Wear, x float64) { w.Filters = quantity.Ratio(min(max(x, -0.9), 3)) }},
}

// fitted is the gauges that tell the states of a rig.
var fitted = []plant.Gauge{
	plant.TapPressure, plant.FeedPressure, plant.ConcentratePressure, plant.PermeateFlow, plant.ConcentrateFlow, plant.ConcentrateStrength, plant.PermeateStrength,
}

// modelSD is how far the model itself strays from a sound rig, of the logarithm.
// Source: [TradeDefaults].
const modelSD = 0.03

// Estimate rebuilds a baseline from nameplates and the latest readings of a
// site: the most probable wear given both, by Gauss-Newton on the model, and its
// covariance from the last linearisation,
//
//	min Σ (ln y − ln f(x))²/(u²/y² + s²) + Σ x²/σ²
//
// The error wraps [ErrNoRig] without a membrane, or is that of [Prepare].
func Estimate(ctx context.Context, s *site.Site, o Options) (*Estimated, error) {
	if s.Rig.Membrane == nil {
		return nil, fmt.Errorf("estimate a baseline of %s: %w", s.Name, ErrNoRig)
	}
	date, readings := latestReadings(s)
	var asSite []site.Reading
	for _, r := range readings {
		asSite = append(asSite, site.Reading{Reading: r})
	}
	under := DayOf(asSite)
	p, err := Prepare(ctx, s, under, o)
	if err != nil {
		return nil, fmt.Errorf("estimate a baseline of %s: %w", s.Name, err)
	}
	fit := wearFit{site: s, under: under, readings: measuredOf(readings)}
	if err := fit.run(); err != nil {
		return nil, fmt.Errorf("estimate a baseline of %s: %w", s.Name, err)
	}
	out := &Estimated{
		Site: Heading{s.Name, s.About, s.Origin, string(s.Use)}, Date: date, Read: len(fit.readings), Assumed: p.base.Assumed,
		From: []string{"the data sheets and plates of the survey", "the physics that every answer uses", readingsWords(len(fit.readings), date)},
	}
	out.Parts = fit.parts()
	out.Gauges, err = fit.gauges(p)
	return out, err
}

func readingsWords(n int, date string) string {
	words := fmt.Sprintf("%d readings", n)
	switch n {
	case 0:
		return "no reading that tells of the rig"
	case 1:
		words = "one reading"
	}
	if date != "" {
		words += " of " + date
	}
	return words
}

// latestReadings is what was read last of each gauge: the survey's samples and
// the log's visits, the later over the earlier. Only the last day's are taken
// together with what of the day before it does not have.
func latestReadings(s *site.Site) (date string, all []plant.Reading) {
	latest := map[string]plant.Reading{}
	day := map[string]string{}
	var order []string
	add := func(when string, rs []plant.Reading) {
		for _, r := range rs {
			key := r.Key()
			if _, met := latest[key]; !met {
				order = append(order, key)
			}
			if when >= day[key] {
				latest[key], day[key] = r, when
			}
		}
		date = max(date, when)
	}
	for _, w := range s.Samples {
		add(w.Date, site.SampleReadings(w))
	}
	for _, v := range s.Log {
		add(v.Date, v.Gauged())
	}
	for _, key := range order {
		all = append(all, latest[key])
	}
	return date, all
}

// measuredOf keeps the readings that tell a state of the rig, each with its doubt.
func measuredOf(readings []plant.Reading) (kept []commissioning.Measured) {
	for _, r := range readings {
		for _, g := range fitted {
			if r.Of == g && r.SI > 0 {
				kept = append(kept, commissioning.Measured{Of: r.Of, Number: r.Number, Y: r.SI, U: (commissioning.Instrument{Name: r.Instrument}).Doubt(r, false), By: r.Instrument})
			}
		}
	}
	return kept
}

// wearFit is an estimate under way.
type wearFit struct {
	site     *site.Site
	under    Under
	readings []commissioning.Measured
	at       []float64 // of each state
	cov      mat.SymDense
	narrowed []float64 // standard deviations, over the prior's
}

func (f *wearFit) wear(x []float64) *plant.Wear {
	w := plant.Unworn()
	w.Membrane = membrane.New()
	for i, s := range states {
		s.of(&w, x[i])
	}
	return &w
}

func (f *wearFit) expect(x []float64) (*Expected, error) {
	u := f.under
	u.Wear = f.wear(x)
	return Expect(f.site, u)
}

const (
	fitRounds = 6
	fitStep   = 0.02
)

func (f *wearFit) run() error {
	n := len(states)
	f.at = make([]float64, n)
	for range fitRounds {
		normal, right, err := f.linear()
		if err != nil {
			return err
		}
		var solved mat.VecDense
		var chol mat.Cholesky
		if !chol.Factorize(normal) {
			return fmt.Errorf("the readings leave no single answer: %w", ErrFragile)
		}
		if err := chol.SolveVecTo(&solved, right); err != nil {
			return fmt.Errorf("the readings leave no single answer: %w", err)
		}
		moved := 0.0
		for i := range f.at {
			step := min(max(solved.AtVec(i), -0.4), 0.4)
			f.at[i] = min(max(f.at[i]+step, -1.5), 1.5)
			moved = max(moved, math.Abs(step))
		}
		if err := chol.InverseTo(&f.cov); err != nil {
			return fmt.Errorf("the readings leave no single answer: %w", err)
		}
		if moved < 1e-4 {
			break
		}
	}
	for i, s := range states {
		f.narrowed = append(f.narrowed, math.Sqrt(f.cov.At(i, i))/s.sd)
	}
	return nil
}

// linear is the normal equations about where the fit stands.
func (f *wearFit) linear() (*mat.SymDense, *mat.VecDense, error) {
	n := len(states)
	normal, right := mat.NewSymDense(n, nil), mat.NewVecDense(n, nil)
	for i, s := range states {
		normal.SetSym(i, i, 1/(s.sd*s.sd))
		right.SetVec(i, -f.at[i]/(s.sd*s.sd))
	}
	base, slopes, err := f.slopes(f.modelled)
	if err != nil {
		return nil, nil, err
	}
	for k, r := range f.readings {
		if !(base[k] > 0) {
			continue
		}
		weight := 1 / (r.U*r.U/(r.Y*r.Y) + modelSD*modelSD)
		off := math.Log(r.Y / base[k])
		for i := range n {
			right.SetVec(i, right.AtVec(i)+weight*slopes[i][k]*off)
			for j := i; j < n; j++ {
				normal.SetSym(i, j, normal.At(i, j)+weight*slopes[i][k]*slopes[j][k])
			}
		}
	}
	return normal, right, nil
}

// slopes is d ln f/dx of what of makes of a prediction, one row a state.
func (f *wearFit) slopes(of func(*Expected) []float64) (base []float64, slopes [][]float64, err error) {
	e, err := f.expect(f.at)
	if err != nil {
		return nil, nil, err
	}
	base = of(e)
	for i := range states {
		x := append([]float64{}, f.at...)
		x[i] += fitStep
		moved, err := f.expect(x)
		if err != nil {
			return nil, nil, err
		}
		row := make([]float64, len(base))
		for k, y := range of(moved) {
			if y > 0 && base[k] > 0 {
				row[k] = math.Log(y/base[k]) / fitStep
			}
		}
		slopes = append(slopes, row)
	}
	return base, slopes, nil
}

func (f *wearFit) modelled(e *Expected) []float64 {
	out := make([]float64, len(f.readings))
	for k, r := range f.readings {
		if m, ok := e.Reading(r.Of, r.Number, quantity.Hours(1)); ok {
			out[k] = m.SI
		}
	}
	return out
}

func (f *wearFit) parts() (all []PartEstimate) {
	for i, s := range states {
		sd := math.Sqrt(f.cov.At(i, i))
		p := PartEstimate{Name: s.name, Says: s.says, Told: f.narrowed[i] <= 0.5}
		if s.name == "filters" {
			p.Now, p.Low, p.High = quantity.Ratio(f.at[i]), quantity.Ratio(f.at[i]-1.645*sd), quantity.Ratio(f.at[i]+1.645*sd)
		} else {
			p.Now = quantity.Ratio(math.Exp(f.at[i]))
			p.Low, p.High = quantity.Ratio(math.Exp(f.at[i]-1.645*sd)), quantity.Ratio(math.Exp(f.at[i]+1.645*sd))
		}
		all = append(all, p)
	}
	return all
}

// gauges says what each gauge should read: as new by the looks, as now by the
// fit.
func (f *wearFit) gauges(p *Proving) (all []GaugeEstimate, err error) {
	of := func(e *Expected) []float64 {
		out := make([]float64, len(fitted))
		for k, g := range fitted {
			if m, ok := e.Reading(g, 0, quantity.Hours(1)); ok {
				out[k] = m.SI
			}
		}
		return out
	}
	now, slopes, err := f.slopes(of)
	if err != nil {
		return nil, err
	}
	for k, g := range fitted {
		if !(now[k] > 0) {
			continue
		}
		value, low, high := p.band(func(e *Expected) float64 { return of(e)[k] })
		variance := modelSD * modelSD
		for i := range states {
			for j := range states {
				variance += slopes[i][k] * f.cov.At(i, j) * slopes[j][k]
			}
		}
		sd := math.Sqrt(variance)
		show := func(x float64) Figure { return kindFigure{g.Kind(), x, now[k]} }
		one := GaugeEstimate{
			Key: string(g), Says: g.Title(), New: Band{show(value), show(low), show(high)},
			Now: Band{show(now[k]), show(now[k] * math.Exp(-1.645*sd)), show(now[k] * math.Exp(1.645*sd))},
		}
		for _, r := range f.readings {
			if r.Of == g {
				one.Read = show(r.Y)
			}
		}
		all = append(all, one)
	}
	return all, nil
}
