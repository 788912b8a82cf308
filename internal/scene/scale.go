package scene

import (
	"math"
	"strconv"
	"strings"
)

// thinnest is the least width of a line that carries water: polished water
// stays in sight beside a thirsty membrane.
const thinnest = 2.0

// litresPerGallon is the US liquid gallon, 231 cubic inches exactly.
const litresPerGallon = 3.785411784

// flowScale turns litres a day into line width. It is linear, so that what
// stays and what falls to drain add up to what came in, for the eye too.
type flowScale struct {
	full    float64 // litres a day at the widest
	widest  float64 // user units
	gallons bool
}

func (p Path) flowScale(style Style, widest float64) flowScale {
	full := style.FullWidthLitresPerDay
	if full == 0 {
		for _, s := range p.Stations {
			full = max(full, known(s.FlowLitresPerDay))
		}
		if p.Drain != nil {
			full = max(full, known(p.Drain.LitresPerDay))
		}
	}
	return flowScale{full: full, widest: widest, gallons: style.Gallons}
}

// known gives 0 for a number that is not known.
func known(v float64) float64 {
	if math.IsNaN(v) {
		return 0
	}
	return v
}

func (s flowScale) width(litresPerDay float64) float64 {
	if !(litresPerDay > 0 && s.full > 0) {
		return thinnest
	}
	return min(max(s.widest*litresPerDay/s.full, thinnest), s.widest)
}

// sample gives a round amount for the legend, between a fifth and all of full.
func (s flowScale) sample() (litresPerDay float64, words string) {
	unit := 1.0
	if s.gallons {
		unit = litresPerGallon
	}
	round := roundDown(s.full / unit)
	return round * unit, grouped(round) + s.unit()
}

func (s flowScale) unit() string {
	if s.gallons {
		return " gal a day"
	}
	return " L a day"
}

// words prints a flow to three figures or to the unit.
func (s flowScale) words(litresPerDay float64) string {
	if math.IsNaN(litresPerDay) {
		return "flow not known"
	}
	v := litresPerDay
	if s.gallons {
		v /= litresPerGallon
	}
	return grouped(v) + s.unit()
}

// roundDown gives the 1, 2 or 5 times a power of ten at or below v.
func roundDown(v float64) float64 {
	if !(v > 0) {
		return 0
	}
	power := math.Pow(10, math.Floor(math.Log10(v)))
	for _, step := range []float64{5, 2} {
		if step*power <= v {
			return step * power
		}
	}
	return power
}

// grouped prints a number with thousands set apart, and to two figures below ten.
func grouped(v float64) string {
	if v != 0 && math.Abs(v) < 10 {
		return strings.Replace(strconv.FormatFloat(v, 'g', 2, 64), "-", "−", 1)
	}
	digits := strconv.FormatFloat(math.Abs(math.Round(v)), 'f', 0, 64)
	for i := len(digits) - 3; i > 0; i -= 3 {
		digits = digits[:i] + "," + digits[i:]
	}
	if v < 0 {
		return "−" + digits
	}
	return digits
}

// tint gives the role of water by strength: half a decade a step, palest up
// below 0.3 µS/cm, darkest from 1,000 up.
func tint(microsiemens float64) Role {
	if !(microsiemens > 0) {
		return Water(1)
	}
	return Water(int(math.Floor(2*math.Log10(microsiemens)+1e-9)) + 3)
}
