package quantity

import (
	"fmt"
	"strings"
)

// ParseError says what was read where a quantity was wanted, and what fits.
// It wraps [ErrNumber] or [ErrUnit].
type ParseError struct {
	Kind    Kind   // the kind that was wanted
	Read    string // the text as it was typed
	Wanted  string // what was wanted, as "a pressure"
	Example string // what would fit, as `"60 psi" or "4 bar"`
	// Found is the kind that the unit belongs to, empty if no kind knows it.
	Found Kind
	// Fault follows the text in the message, as ", a flow".
	Fault string
	cause error
}

// Error is one line such as
//
//	read "3 gpm", a flow; wanted a pressure such as "60 psi" or "4 bar"
func (e *ParseError) Error() string {
	return fmt.Sprintf("read %q%s; wanted %s such as %s", clip(e.Read), e.Fault, e.Wanted, e.Example)
}

// Unwrap returns [ErrNumber] or [ErrUnit].
func (e *ParseError) Unwrap() error { return e.cause }

// Parse reads a number with its unit, as people write it: "60 psi", "14 gpg",
// "77F", "1/2 in", "4.5 lpm", "3,8 bar" where the decimal mark is a comma. The
// number is read by [ParseNumber].
//
// Lengths and times may come in two parts, "5 ft 6 1/2 in" or "1 h 30 min".
//
// A unit is never guessed: a bare number is refused for every kind but [Ratio]
// and [PH], a gallon is the US one, and mg/L or ppm is read as CaCO3 only where
// the text says so. Case is free except where it tells M (mega) from m (milli).
// A nil error means a finite quantity; whether its size makes sense is for the
// caller to judge. The error is a [*ParseError] and wraps [ErrNumber] or [ErrUnit].
func Parse[Q Quantity](text string, loc Locale) (Q, error) {
	var q Q
	x, fault := parseKind(q.kind(), text, loc)
	if fault != nil {
		return 0, fault
	}
	return Q(x), nil
}

func parseKind(k Kind, text string, loc Locale) (si float64, fault *ParseError) {
	plain := strings.TrimSpace(plainText(text))
	if plain == "" {
		return 0, newParseError(k, text, ErrNumber, ", which is empty")
	}
	if k == KindPH && len(plain) > 2 && strings.EqualFold(plain[:2], "pH") {
		plain = strings.TrimSpace(plain[2:])
	}
	number, unitText := splitNumber(plain)
	if number == "" {
		return 0, newParseError(k, text, ErrNumber, ", which does not start with a number")
	}
	x, why := readNumber(number, loc)
	if why != "" {
		return 0, newParseError(k, text, ErrNumber, ", whose number cannot be read: "+why)
	}
	if si, ok := parseCompound(k, x, unitText, loc); ok {
		return si, nil
	}
	u, fault := unitOf(k, text, unitText)
	if fault != nil {
		return 0, fault
	}
	si = u.toSI(x)
	if !finite(si) {
		return 0, newParseError(k, text, ErrNumber, ", which is too large")
	}
	return si, nil
}

// unitOf finds the unit spelt by unitText, the tail of text.
func unitOf(k Kind, text, unitText string) (*unit, *ParseError) {
	if unitText == "" && !k.bare() {
		return nil, newParseError(k, text, ErrUnit, ", a number without a unit")
	}
	u, other := findUnit(k, unitText)
	if u != nil {
		return u, nil
	}
	if other == "" {
		why := fmt.Sprintf(", and no unit %q is known", clip(unitText))
		if near := indexes[k].find(swapM(unitKey(plainText(unitText)))); near != nil {
			why += fmt.Sprintf(" (M and m differ: %q is)", near.plain)
		}
		return nil, newParseError(k, text, ErrUnit, why)
	}
	fault := newParseError(k, text, ErrUnit, ", "+other.withArticle())
	fault.Found = other
	return nil, fault
}

// bare says that a number of kind k stands without a unit.
func (k Kind) bare() bool { return k == KindRatio || k == KindPH }

// swapM swaps M (mega) for m (milli) at the start of a unit.
func swapM(key string) string {
	switch {
	case strings.HasPrefix(key, "m"):
		return "M" + key[1:]
	case strings.HasPrefix(key, "M"):
		return "m" + key[1:]
	}
	return ""
}

func newParseError(k Kind, read string, cause error, fault string) *ParseError {
	return &ParseError{Kind: k, Read: read, Wanted: k.withArticle(), Example: examples[k], Fault: fault, cause: cause}
}

func (k Kind) withArticle() string {
	if k != "" && strings.ContainsRune("aeiou", rune(k[0])) {
		return "an " + string(k)
	}
	return "a " + string(k)
}

// examples are what an error offers for each kind.
var examples = map[Kind]string{
	KindPressure:              `"60 psi" or "4 bar"`,
	KindFlow:                  `"5 gpm" or "20 L/min"`,
	KindVolume:                `"50 gal" or "200 L"`,
	KindLength:                `"1/2 in" or "15 mm"`,
	KindArea:                  `"80 ft2" or "7.4 m2"`,
	KindMass:                  `"10 lb" or "4.5 kg"`,
	KindTemperature:           `"77 F" or "25 C"`,
	KindTemperatureDifference: `"9 F" or "5 C"`,
	KindTime:                  `"90 s" or "4 min"`,
	KindPower:                 `"1/2 hp" or "0.4 kW"`,
	KindEnergy:                `"3 kWh" or "10 MJ"`,
	KindRatio:                 `"45 %" or "0.45"`,
	KindPH:                    `"7.2" or "pH 7.2"`,
	KindSpeed:                 `"5 ft/s" or "1.5 m/s"`,
	KindFlux:                  `"15 gfd" or "25 LMH"`,
	KindConductivity:          `"580 uS/cm" or "1.2 mS/cm"`,
	KindResistivity:           `"18 MOhm.cm" or "200 kOhm.cm"`,
	KindDensity:               `"62.3 lb/ft3" or "998 kg/m3"`,
	KindViscosity:             `"0.89 mPa.s" or "0.89 cP"`,
	KindDiffusivity:           `"1.6e-9 m2/s" or "1.6e-5 cm2/s"`,
	KindMassConc:              `"400 ppm" or "400 mg/L"`,
	KindCaCO3Conc:             `"14 gpg" or "240 mg/L as CaCO3"`,
	KindMolarConc:             `"2.5 mmol/L" or "0.1 mol/L"`,
	KindEquivConc:             `"5 meq/L" or "1.9 eq/L"`,
	KindWaterPermeability:     `"3.2 LMH/bar" or "0.13 gfd/psi"`,
	KindSaltPermeability:      `"0.1 LMH" or "3e-8 m/s"`,
	KindExposure:              `"1000 ppm-hours" or "1000 mg.h/L"`,
}
