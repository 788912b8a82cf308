package commissioning

import (
	"math"
	"slices"
	"strings"

	"rinsewright/plant"
	"rinsewright/quantity"
)

// Method is a way to read a gauge in the field.
type Method string

// The methods of a meter bag.
const (
	Pen           Method = "pen"
	Conductivity  Method = "conductivity meter" // with its own calibration for weak water
	Bucket        Method = "bucket"             // and a clock, a minute at least
	FlowTube      Method = "flow tube"          // a float in a tapered tube
	Totaliser     Method = "totaliser"
	PressureGauge Method = "pressure gauge"
	TestGauge     Method = "test gauge" // calibrated, one for all ports
	Thermometer   Method = "thermometer"
	DropKit       Method = "drop kit"
	Photometer    Method = "photometer"
	Strip         Method = "strip"
	Tape          Method = "tape"
	Counter       Method = "counter"
	Laboratory    Method = "laboratory"
)

// Methods lists every method.
var Methods = []Method{Pen, Conductivity, Bucket, FlowTube, Totaliser, PressureGauge, TestGauge, Thermometer, DropKit, Photometer, Strip, Tape, Counter, Laboratory}

// Instrument is what reads, as its owner knows it. A zero part is the usual of
// its method.
type Instrument struct {
	Name       string
	Method     Method
	Calibrated string         // ISO 8601 day, "" when nobody knows
	Share      quantity.Ratio // accuracy, ± of the reading
	FullScale  float64        // number in the SI unit of the gauge, of its scale's end
}

// accuracy is how well a method reads one kind: ± of the reading, ± of its full
// scale and ± in the unit, each the half-width of what is usual.
type accuracy struct {
	kind    quantity.Kind
	share   float64
	ofScale float64
	scale   float64 // usual full scale
	least   float64
	minutes float64 // that the reading takes
}

// How well usual field instruments read: pens ±2 % and a digit, worst in weak
// water; a bucket ±3 %; a flow tube ±4 % of its scale; a grade B gauge ±2.5 % of
// its scale, a test gauge ±1 %; thermometer ±0.5 K; drop kit ±1 grain; DPD ±0.1
// by eye, ±0.05 by photometer. Source: [FieldPractice].
var usual = map[Method][]accuracy{
	Pen:           {{quantity.KindConductivity, 0.02, 0, 0, microsiemens, 1}, {quantity.KindTemperature, 0, 0, 0, 1, 1}, {quantity.KindPH, 0, 0, 0, 0.1, 3}},
	Conductivity:  {{quantity.KindConductivity, 0.01, 0, 0, 0.1 * microsiemens, 2}, {quantity.KindTemperature, 0, 0, 0, 0.5, 1}},
	Bucket:        {{quantity.KindFlow, 0.03, 0, 0, 0, 2}},
	FlowTube:      {{quantity.KindFlow, 0, 0.04, litrePerMinute * 20, 0, 0}},
	Totaliser:     {{quantity.KindFlow, 0.02, 0, 0, 0, 10}, {quantity.KindVolume, 0.02, 0, 0, 0, 0}},
	PressureGauge: {{quantity.KindPressure, 0, 0.025, 10 * bar, 0, 1}},
	TestGauge:     {{quantity.KindPressure, 0, 0.01, 10 * bar, 0, 2}},
	Thermometer:   {{quantity.KindTemperature, 0, 0, 0, 0.5, 1}},
	DropKit:       {{quantity.KindCaCO3Conc, 0, 0, 0, grain, 3}, {quantity.KindMassConc, 0.05, 0, 0, 0.1 * milligram, 3}},
	Photometer:    {{quantity.KindMassConc, 0.05, 0, 0, 0.05 * milligram, 4}},
	Strip:         {{quantity.KindMassConc, 0.3, 0, 0, 0.3 * milligram, 1}, {quantity.KindCaCO3Conc, 0.3, 0, 0, 3 * grain, 1}, {quantity.KindPH, 0, 0, 0, 0.5, 1}},
	Tape:          {{quantity.KindRatio, 0, 0, 0, 0.01, 1}, {quantity.KindLength, 0, 0, 0, 0.01, 1}},
	Counter:       {{quantity.KindTime, 0.001, 0, 0, 3600, 0}, {"", 0, 0, 0, 0.5, 0}},
	Laboratory: {
		{quantity.KindConductivity, 0.005, 0, 0, 0.05 * microsiemens, 7200},
		{quantity.KindMassConc, 0.03, 0, 0, 0.01 * milligram, 7200},
		{quantity.KindCaCO3Conc, 0.02, 0, 0, 0.2 * grain, 7200},
		{quantity.KindPH, 0, 0, 0, 0.05, 7200},
	},
}

const (
	microsiemens   = 1e-4         // µS/cm in S/m
	litrePerMinute = 1e-3 / 60    // in m³/s
	bar            = 1e5          // in Pa
	grain          = 17.118061e-3 // grain of CaCO3 per US gallon in kg/m³
	milligram      = 1e-3         // mg/L in kg/m³
)

// usualMethod is what reads a kind where nobody said.
var usualMethod = map[quantity.Kind]Method{
	quantity.KindConductivity: Pen, quantity.KindFlow: Bucket, quantity.KindPressure: PressureGauge, quantity.KindTemperature: Thermometer,
	quantity.KindCaCO3Conc: DropKit, quantity.KindMassConc: DropKit, quantity.KindPH: Pen, quantity.KindRatio: Tape, quantity.KindVolume: Totaliser,
	quantity.KindTime: Counter, "": Counter,
}

// MethodMeant returns the method that an instrument's name tells of, "" when it
// tells none.
func MethodMeant(name string) Method {
	plain := strings.ToLower(name)
	for _, m := range []Method{TestGauge, PressureGauge, Conductivity, FlowTube, DropKit} { // two words first
		if strings.Contains(plain, string(m)) {
			return m
		}
	}
	for _, m := range Methods {
		if slices.Contains(strings.FieldsFunc(plain, func(r rune) bool { return r == ' ' || r == ',' }), string(m)) {
			return m
		}
	}
	if strings.Contains(plain, "gauge") {
		return PressureGauge
	}
	return ""
}

// Doubt returns the standard uncertainty of a reading: what its instrument is
// usually good for, half-widths taken as rectangular, and its last digit,
//
//	u² = (share·y)²/3 + (share_FS·FS)²/3 + least²/3 + digit²/12
//
// a number in the SI unit of the gauge. Source: [GUM] 4.3.7 for half-widths, F.2.2.1
// for the digit; widths by [FieldPractice]. A pen whose scale nobody knows
// adds 14 %: the scales are that far apart. The result is above 0 for every finite
// reading.
func (i Instrument) Doubt(r plant.Reading, scaleUnknown bool) float64 {
	a := i.accuracy(r.Of.Kind())
	share := a.share
	if i.Share > 0 {
		share = float64(i.Share)
	}
	scale := a.scale
	if i.FullScale > 0 {
		scale = i.FullScale
	}
	v := (square(share*r.SI)+square(a.ofScale*scale)+square(a.least))/3 + square(r.Digit)/12
	if scaleUnknown {
		v += square(0.14 * r.SI)
	}
	return max(math.Sqrt(v), 1e-9*math.Abs(r.SI), math.SmallestNonzeroFloat64)
}

func (i Instrument) accuracy(k quantity.Kind) accuracy {
	for _, m := range []Method{i.Method, MethodMeant(i.Name), usualMethod[k]} {
		for _, a := range usual[m] {
			if a.kind == k {
				return a
			}
		}
	}
	return accuracy{share: 0.05}
}

// Better lists the methods that read r well enough to have a standard
// uncertainty of at most u, a number in the SI unit of the gauge, the quickest
// first, and how many minutes each takes.
func Better(r plant.Reading, u float64) (methods []Method, minutes []quantity.Time) {
	type found struct {
		m Method
		t float64
	}
	var all []found
	for _, m := range Methods {
		for _, a := range usual[m] {
			if a.kind == r.Of.Kind() && (Instrument{Method: m}).Doubt(plant.Reading{Of: r.Of, SI: r.SI}, false) <= u {
				all = append(all, found{m, a.minutes})
			}
		}
	}
	slices.SortStableFunc(all, func(a, b found) int { return int(a.t*60) - int(b.t*60) })
	for _, f := range all {
		methods, minutes = append(methods, f.m), append(minutes, quantity.Minutes(f.t))
	}
	return methods, minutes
}
