package study

import (
	"fmt"
	"math"
	"slices"

	"rinsewright/quantity"
	"rinsewright/water"
	"rinsewright/working"
)

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
	for _, line := range append(w.meterLines(), w.ionLines()...) {
		value := line.of(w.base)
		low, high := w.span(line.of, value)
		rows = append(rows, SheetRow{line.name, Band{line.as(value), line.as(low), line.as(high)}, line.from})
	}
	return rows
}

func readOr(known bool, other working.Origin) working.Origin {
	if known {
		return working.Read
	}
	return other
}

func (w *sheet) meterLines() []sheetLine {
	s := w.sample
	ofIons := working.Assumed
	if s.Ions[water.Calcium].Known && s.Ions[water.Magnesium].Known {
		ofIons = working.Computed
	}
	return []sheetLine{
		{"conductivity at 25 °C", func(c water.Completion) float64 { return float64(c.Conductivity) }, func(x float64) Figure { return figure(quantity.Conductivity(x)) }, readOr(s.Strength.Known(), working.Computed)},
		{"dissolved solids, by sum", func(c water.Completion) float64 { return float64(c.Water.DissolvedSolids()) }, func(x float64) Figure { return figure(quantity.MassConc(x)) }, working.Computed},
		{"temperature", func(c water.Completion) float64 { return float64(c.Water.Temperature) }, func(x float64) Figure { return figure(quantity.Temperature(x)) }, readOr(s.Temperature.Known, working.Assumed)},
		{"pH", func(c water.Completion) float64 { return c.Solution.PH }, func(x float64) Figure { return figure(quantity.PH(x)) }, readOr(s.PH.Known, working.Assumed)},
		{"hardness", func(c water.Completion) float64 { return float64(c.Water.Hardness()) }, func(x float64) Figure { return figure(quantity.CaCO3Conc(x)) }, readOr(s.Hardness.Known, ofIons)},
		{"alkalinity", func(c water.Completion) float64 { return float64(c.Water.Alkalinity.AsCaCO3()) }, func(x float64) Figure { return figure(quantity.CaCO3Conc(x)) }, readOr(s.Alkalinity.Known, working.Assumed)},
		{"carbon dioxide", func(c water.Completion) float64 { return float64(water.CarbonDioxideMass(c.Solution.CO2())) }, func(x float64) Figure { return figure(quantity.MassConc(x)) }, working.Computed},
		{"osmotic pressure", func(c water.Completion) float64 { return float64(c.Solution.OsmoticPressure()) }, func(x float64) Figure { return figure(quantity.Pressure(x)) }, working.Computed},
	}
}

// ionLines: an ion that was not read is computed where a reading bears on it,
// and else assumed.
func (w *sheet) ionLines() (lines []sheetLine) {
	s := w.sample
	strong := s.Strength.Known()
	for _, i := range []struct {
		ion   water.Component
		bears bool
	}{
		{water.Calcium, s.Hardness.Known},
		{water.Magnesium, s.Hardness.Known},
		{water.Sodium, strong},
		{water.Potassium, false},
		{water.Chloride, strong},
		{water.Sulphate, strong},
		{water.Nitrate, false},
		{water.Silica, false},
	} {
		from := working.Assumed
		if i.bears {
			from = working.Computed
		}
		lines = append(lines, ionLine(w.ionName(i.ion), i.ion, readOr(s.Ions[i.ion].Known, from)))
	}
	for _, c := range []water.Component{water.Iron, water.Manganese, water.Barium, water.Strontium, water.Fluoride, water.Boron, water.Ammonia, water.Phosphate} {
		if _, below := s.Below[c]; below || s.Ions[c].Known {
			lines = append(lines, ionLine(w.ionName(c), c, working.Read))
		}
	}
	return lines
}

// ionName marks an ion that was looked for and not found.
func (w *sheet) ionName(c water.Component) string {
	if bound, below := w.sample.Below[c]; below {
		return fmt.Sprintf("%s, below %s", c, quantity.FormatLocale(bound, w.options.Units, w.options.Locale))
	}
	return c.String()
}

// hardness in every unit that reports and kits use.
func (w *sheet) hardness() []Fact {
	h := water.HardnessIn(w.base.Water.Hardness())
	return []Fact{
		{Label: "as CaCO3", Figure: count{h.AsCaCO3.MilligramsPerLitreCaCO3(), "mg/L"}},
		{Label: "grains per US gallon", Figure: count{h.AsCaCO3.GrainsPerGallon(), "gpg"}},
		{Label: "charge", Figure: count{float64(h.Charge), "meq/L"}},
		{Label: "amount", Figure: count{float64(h.Molar), "mmol/L"}},
		{Label: "German", Figure: count{h.German, "°dH"}},
		{Label: "French", Figure: count{h.French, "°fH"}},
		{Label: "English", Figure: count{h.English, "°e"}},
	}
}

// charges lists the main ions by equivalents.
func (w *sheet) charges() (rows []ChargeRow) {
	add := func(name string, cation bool, of func(water.Completion) float64) {
		value := of(w.base)
		low, high := w.span(of, value)
		as := func(x float64) Figure { return figure(quantity.EquivConc(math.Max(x, 0))) }
		rows = append(rows, ChargeRow{name, cation, Band{as(value), as(low), as(high)}})
	}
	ion := func(c water.Component) func(water.Completion) float64 {
		return func(x water.Completion) float64 { return float64(c.Equivalents(x.Water.Total[c])) }
	}
	for _, c := range []water.Component{water.Calcium, water.Magnesium, water.Sodium, water.Potassium} {
		add(c.String(), true, ion(c))
	}
	add("alkalinity", false, func(x water.Completion) float64 { return float64(x.Water.Alkalinity) })
	for _, c := range []water.Component{water.Sulphate, water.Chloride, water.Nitrate} {
		add(c.String(), false, ion(c))
	}
	return rows
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
