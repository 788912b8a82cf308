package site

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"math"
	"strconv"
	"strings"

	"rinsewright/commissioning"
	"rinsewright/quantity"
)

// Commissioning is what was read, promised and signed on the day a rig started.
// It is the baseline of everything after, and is not changed: a correction is a
// record of its own that names the day it corrects and why.
type Commissioning struct {
	Date        string
	By          string // who read
	Signed      string // the owner, or whoever signed for them
	Corrects    string // the day of the record that this one takes the place of
	Reason      string
	Words       string
	Instruments []Instrument
	Done        []string // steps of the sheet, as "flush, 12 min"
	Read        []Reading
	Promised    []Promised // as they stood when it was signed
	Drawn       []Stroke   // what was signed on glass, beside the name
	Photos      []Pictured // taken that day
	Seal        string     // over all of the above, so that a change shows
}

// Instrument is one of the bag, as its owner describes it.
type Instrument struct {
	commissioning.Instrument
	Typed string // the line
}

// Promised is one promise frozen in a record.
type Promised struct {
	Name   string
	Limits commissioning.Limits // SI numbers
	Typed  string
}

// Mark returns what a record's seal must be: a digest of everything else in it.
func (c Commissioning) Mark() string {
	lines := []string{"date " + c.Date, "by " + c.By, "signed " + c.Signed, "corrects " + c.Corrects, "reason " + c.Reason, "words " + c.Words}
	for _, i := range c.Instruments {
		lines = append(lines, "instrument "+i.Typed)
	}
	for _, d := range c.Done {
		lines = append(lines, "done "+d)
	}
	for _, r := range c.Read {
		lines = append(lines, "read "+r.String())
	}
	for _, p := range c.Promised {
		lines = append(lines, "promised "+p.Typed)
	}
	for _, s := range c.Drawn {
		lines = append(lines, "drawn "+s.String())
	}
	for _, p := range c.Photos {
		lines = append(lines, "photo "+p.String())
	}
	sum := sha256.Sum256([]byte(strings.Join(lines, "\n")))
	return hex.EncodeToString(sum[:8])
}

// Intact tells whether a record stands as it was sealed. A record without a seal
// is not signed yet.
func (c Commissioning) Intact() bool { return c.Seal == c.Mark() }

// Baseline returns the record that stands: the last that no other corrects.
func (s *Site) Baseline() (Commissioning, bool) {
	corrected := map[string]bool{}
	for _, c := range s.Commissioned {
		if c.Corrects != "" && c.Corrects != c.Date {
			corrected[c.Corrects] = true
		}
	}
	var found Commissioning
	ok := false
	for _, c := range s.Commissioned {
		if !corrected[c.Date] && (!ok || c.Date >= found.Date) {
			found, ok = c, true
		}
	}
	return found, ok
}

// commissioningProblems holds records to their rules: a day each, and a
// correction of a record that is there, with a reason.
func (s *Site) commissioningProblems() (ps []Problem) {
	days := map[string]bool{}
	for i, c := range s.Commissioned {
		key := func(k string) string { return fmt.Sprintf("commissioning.%d.%s", i+1, k) }
		switch {
		case c.Date == "":
			ps = append(ps, Problem{fmt.Sprintf("commissioning.%d", i+1), "a record without a day", "the day it was read", `date = "2026-06-13"`})
		case c.Corrects != "" && !days[c.Corrects]:
			ps = append(ps, Problem{key("corrects"), strconv.Quote(c.Corrects), "the day of an earlier record", `corrects = "2026-06-13"`})
		case c.Corrects != "" && c.Reason == "":
			ps = append(ps, Problem{key("corrects"), "a correction without a reason", "why", `reason = "the pen was on another scale"`})
		case len(c.Drawn) > MostStrokes:
			ps = append(ps, Problem{key("drawn"), fmt.Sprintf("%d strokes", len(c.Drawn)), fmt.Sprintf("at most %d", MostStrokes), `drawn = ["120,40 131,44 150,60"]`})
		case c.Date != "" && days[c.Date] && c.Corrects != c.Date:
			ps = append(ps, Problem{key("date"), "a second record of " + c.Date, "another day, or which record it corrects and why", `corrects = "` + c.Date + `"`})
		}
		days[c.Date] = true
	}
	return ps
}

// ParseInstrument reads one line of the meter bag,
//
//	pen B = pen, ±2 %, calibrated 2026-05-01
//	panel gauge = pressure gauge, full scale 150 psi
//
// its name, its method, and in any order what is known of it. The error is a
// [Problem].
func ParseInstrument(line string, loc quantity.Locale) (Instrument, error) {
	const example = `"pen B = pen, ±2 %, calibrated 2026-05-01"`
	bad := func(read, wanted string) (Instrument, error) {
		return Instrument{}, Problem{Read: strconv.Quote(read), Wanted: wanted, Example: example}
	}
	if len(line) > 300 {
		return bad(line[:20]+"…", "a line of at most 300 characters")
	}
	line = strings.Join(strings.Fields(line), " ")
	name, rest, ok := strings.Cut(line, "=")
	name = strings.TrimSpace(name)
	if !ok || name == "" {
		return bad(line, "a name, = and a method")
	}
	i := Instrument{Typed: line}
	i.Name = name
	for n, part := range strings.Split(rest, ", ") {
		part = strings.TrimSpace(part)
		if n == 0 {
			if i.Method = commissioning.MethodMeant(part); i.Method == "" {
				return bad(part, "one of "+joinedMethods())
			}
			continue
		}
		if err := i.known(part, loc); err != nil {
			return bad(part, err.Error())
		}
	}
	return i, nil
}

func (i *Instrument) known(part string, loc quantity.Locale) error {
	if day, ok := strings.CutPrefix(part, "calibrated "); ok {
		if len(day) != 10 || day[4] != '-' || day[7] != '-' {
			return fmt.Errorf("a day such as calibrated 2026-05-01")
		}
		i.Calibrated = day
		return nil
	}
	if end, ok := strings.CutPrefix(part, "full scale "); ok {
		for _, k := range quantity.KindsOf(end) {
			if si, _, err := quantity.ParseKind(k, end, loc); err == nil && si > 0 && !math.IsInf(si, 0) {
				i.FullScale = si
				return nil
			}
		}
		return fmt.Errorf("the end of its scale such as full scale 150 psi")
	}
	share, ok := strings.CutPrefix(part, "±")
	if !ok {
		share, ok = strings.CutPrefix(part, "+-")
	}
	if r, err := quantity.Parse[quantity.Ratio](strings.TrimSpace(share), loc); ok && err == nil && 0 < r && r <= 0.5 {
		i.Share = r
		return nil
	}
	return fmt.Errorf("±2 %%, full scale 150 psi or calibrated 2026-05-01")
}

func joinedMethods() string {
	words := make([]string, len(commissioning.Methods))
	for i, m := range commissioning.Methods {
		words[i] = string(m)
	}
	return strings.Join(words, ", ")
}

// promisedKinds is what each promise that a record may freeze is told in.
var promisedKinds = map[string]quantity.Kind{
	"permeate_flow": quantity.KindFlow, "recovery": quantity.KindRatio, "strength_after_membrane": quantity.KindConductivity,
	"strength_after_resin": quantity.KindConductivity, "gun_strength": quantity.KindConductivity, "gun_flow": quantity.KindFlow,
	"gun_flow_all_open": quantity.KindFlow, "membrane_total_chlorine": quantity.KindMassConc, "membrane_hardness": quantity.KindCaCO3Conc, "tank_drop": quantity.KindRatio,
}

// PromisedKind is the dimension of a promise that can be proven on the day, and
// whether there is such a promise.
func PromisedKind(name string) (quantity.Kind, bool) {
	k, ok := promisedKinds[name]
	return k, ok
}

// ParsePromised reads one frozen promise,
//
//	permeate_flow = at least 0.95 gpm
//	strength_after_membrane = at most 22 uS/cm
//	recovery = 35 % to 45 %
//
// The error is a [Problem].
func ParsePromised(line string, loc quantity.Locale) (Promised, error) {
	line = strings.Join(strings.Fields(line), " ")
	bad := func(wanted string) (Promised, error) {
		return Promised{}, Problem{Read: strconv.Quote(clipped(line)), Wanted: wanted, Example: `"permeate_flow = at least 0.95 gpm"`}
	}
	name, rest, ok := strings.Cut(line, " = ")
	kind, known := promisedKinds[name]
	if !ok || !known || len(line) > 200 {
		return bad("a promise that can be proven on the day, = and its limits")
	}
	p := Promised{Name: name, Typed: line}
	number := func(text string) (float64, bool) {
		si, _, err := quantity.ParseKind(kind, text, loc)
		return si, err == nil
	}
	var ok1, ok2 bool
	if low, found := strings.CutPrefix(rest, "at least "); found {
		var x float64
		x, ok1 = number(low)
		p.Limits, ok2 = commissioning.AtLeast(x), true
	} else if high, found := strings.CutPrefix(rest, "at most "); found {
		var x float64
		x, ok1 = number(high)
		p.Limits, ok2 = commissioning.AtMost(x), true
	} else if low, high, found := strings.Cut(rest, " to "); found {
		p.Limits.Low, ok1 = number(low)
		p.Limits.High, ok2 = number(high)
		ok2 = ok2 && p.Limits.Low < p.Limits.High
	}
	if !ok1 || !ok2 {
		return bad("at least, at most, or low to high, each with its unit")
	}
	return p, nil
}

func clipped(s string) string {
	if r := []rune(s); len(r) > 60 {
		return string(r[:60]) + "…"
	}
	return s
}

// Freeze makes the line of a promise from its limits, in SI units to four
// digits, rounded outwards so that nothing is asked that was not promised.
func Freeze(name string, limits commissioning.Limits, loc quantity.Locale) (Promised, error) {
	kind := promisedKinds[name]
	show := func(x float64, up bool) string {
		value, unit := quantity.PlainKind(kind, x, quantity.SI)
		if unit == "1" {
			value, unit = 100*value, "%"
		}
		text := strconv.FormatFloat(outwards(value, up), 'f', -1, 64)
		if loc.DecimalComma {
			text = strings.Replace(text, ".", ",", 1)
		}
		return text + " " + unit
	}
	text := ""
	switch {
	case math.IsInf(limits.High, 1):
		text = "at least " + show(limits.Low, false)
	case math.IsInf(limits.Low, -1):
		text = "at most " + show(limits.High, true)
	default:
		text = show(limits.Low, false) + " to " + show(limits.High, true)
	}
	return ParsePromised(name+" = "+text, loc)
}

// outwards rounds to four digits, up or down.
func outwards(x float64, up bool) float64 {
	if x == 0 || math.IsNaN(x) || math.IsInf(x, 0) {
		return x
	}
	step := math.Pow(10, math.Floor(math.Log10(math.Abs(x)))-3)
	rounded := math.Floor(x / step)
	if up {
		rounded = math.Ceil(x / step)
	}
	clean, err := strconv.ParseFloat(strconv.FormatFloat(rounded*step, 'g', 6, 64), 64)
	if err != nil {
		return x
	}
	return clean
}
