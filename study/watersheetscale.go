package study

import (
	"math"

	"rinsewright/quantity"
	"rinsewright/resin"
	"rinsewright/water"
)

// recoveries at which the concentrate is judged.
var recoveries = []quantity.Ratio{0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.75, 0.8}

func (w *sheet) scaling() (rows []ScalingRow) {
	for _, r := range recoveries {
		if row, ok := w.scalingAt(r); ok {
			rows = append(rows, row)
		}
	}
	return rows
}

// scalingAt judges one recovery; to the band of the readings comes how far
// compilations of constants differ for the mineral.
func (w *sheet) scalingAt(r quantity.Ratio) (ScalingRow, bool) {
	if row, done := w.judged[r]; done {
		return row, row.First != ""
	}
	row, ok := w.judge(r)
	w.judged[r] = row
	return row, ok
}

func (w *sheet) judge(r quantity.Ratio) (ScalingRow, bool) {
	mineral, index := nearest(w.base.Water, r)
	if math.IsNaN(index) {
		return ScalingRow{}, false
	}
	low, high := w.span(func(c water.Completion) float64 {
		_, x := nearest(c.Water, r)
		return x
	}, index)
	spread := mineral.DatabaseSpread()
	row := ScalingRow{r, mineral.String(), index, index - math.Hypot(index-low, spread), index + math.Hypot(high-index, spread), "holds"}
	switch {
	case row.Low > 0:
		row.Verdict = "scales"
	case row.Index > 0:
		row.Verdict = "scales within doubt"
	case row.High > 0:
		row.Verdict = "holds within doubt"
	}
	return row, true
}

// holds finds the recoveries that do not scale; an index rises with recovery,
// so the search may halve.
func (w *sheet) holds() (h Held) {
	last := func(holds func(ScalingRow) bool) quantity.Ratio {
		low, high := 0, 18 // steps of 5 %: 0 holds, 90 % is taken not to
		for high-low > 1 {
			middle := (low + high) / 2
			if row, ok := w.scalingAt(steps(middle)); ok && holds(row) {
				low = middle
			} else {
				high = middle
			}
		}
		return steps(low)
	}
	h.Surely = last(func(r ScalingRow) bool { return r.High <= 0 })
	h.Likely = max(last(func(r ScalingRow) bool { return r.Index <= 0 }), h.Surely)
	return h
}

// steps of 5 %, as the same numbers that recoveries are listed with.
func steps(n int) quantity.Ratio { return quantity.Ratio(float64(n*5) / 100) }

// nearest is the mineral nearest to scaling when a membrane that lets nothing
// pass but carbon dioxide has taken a recovery out of the water. The index is
// no number where there is no equilibrium.
func nearest(w water.Water, recovery quantity.Ratio) (mineral water.Mineral, index float64) {
	factor := 1 / (1 - float64(recovery))
	concentrate := w.Concentrate(factor)
	solution, err := water.Equilibrate(w)
	if err != nil {
		return water.NMinerals, math.NaN()
	}
	concentrate.Total[water.Carbon] -= quantity.MolarConc(float64(solution.CO2()) * (factor - 1))
	if solution, err = water.Equilibrate(concentrate); err != nil {
		return water.NMinerals, math.NaN()
	}
	index = -99
	for _, m := range minerals {
		if x := solution.SaturationIndex(m); x > index {
			mineral, index = m, x
		}
	}
	return mineral, index
}

// What a membrane commonly lets pass, where no rig is asked: 3 % of ions and
// silica, all carbon dioxide. Source: [TradeDefaults].
const commonPassage = 0.03

// behindMembrane is the water that such a membrane makes.
func behindMembrane(c water.Completion) (water.Water, error) {
	made := c.Neutral
	for i := range made.Total {
		made.Total[i] *= commonPassage
	}
	made.Alkalinity *= commonPassage
	made.Total[water.Carbon] = c.Solution.CO2() + commonPassage*max(0, c.Water.Total[water.Carbon]-c.Solution.CO2())
	_, err := water.Equilibrate(made)
	return made, err
}

// shares splits a load on resin by charge.
func shares(in resin.Inlet) []Share {
	total := float64(in.AnionLoad())
	if !(total > 0) {
		return nil
	}
	return []Share{
		{"dissolved salts", quantity.Ratio(float64(in.StrongAnions) / total)},
		{"bicarbonate", quantity.Ratio(float64(in.Bicarbonate) / total)},
		{"carbon dioxide", quantity.Ratio(float64(in.CO2) / total)},
		{"silica", quantity.Ratio(float64(in.Silica+in.Borate) / total)},
	}
}

// eats splits what this water would load on a mixed bed without a membrane.
func (w *sheet) eats() []Share { return shares(resin.InletOf(w.base.Water, w.base.Solution)) }

// behind splits what is left for a mixed bed behind a membrane.
func (w *sheet) behind() []Share {
	in, err := inletBehind(w.base)
	if err != nil {
		return nil
	}
	return shares(in)
}

func inletBehind(c water.Completion) (resin.Inlet, error) {
	made, err := behindMembrane(c)
	if err != nil {
		return resin.Inlet{}, err
	}
	solution, err := water.Equilibrate(made)
	if err != nil {
		return resin.Inlet{}, err
	}
	return resin.InletOf(made, solution), nil
}

// next ranks the readings that nobody took by how much each would narrow
// scaling at half recovery and the resin's load behind a membrane.
func (w *sheet) next() (all []NextReading) {
	scale := water.Answer{Name: "scaling at half recovery", Of: func(c water.Completion) float64 {
		_, x := nearest(c.Water, 0.5)
		return x
	}}
	load := water.Answer{Name: "resin load", Of: func(c water.Completion) float64 {
		in, err := inletBehind(c)
		if err != nil {
			return math.NaN()
		}
		return math.Log(float64(in.AnionLoad()))
	}}
	for _, n := range water.NextReadings(w.sample, w.draws, scale, load) {
		all = append(all, NextReading{n.Name, n.Minutes.Minutes(), n.Price.Minutes(), n.Narrows, n.ByFar.Answer, n.Why})
	}
	return all
}
