package site

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode"

	"rinsewright/plant"
	"rinsewright/quantity"
	"rinsewright/water"
)

// Reading is one gauge's reading as a person logged it. It is one line,
//
//	gun_strength 3 = 63 ppm NaCl, after 1 min, by pen B
//
// on paper, at a prompt and in a file; [ParseReading] and [Reading.String] are
// the two ways.
type Reading struct {
	plant.Reading
	Typed   string // the value as read, with its unit: "63 ppm"
	On      string // the pen's scale as its user named it, "" when it shows conductivity or nobody knows
	After   string // minutes since the start as typed
	Skipped string // why it was not taken; the rest but gauge and number is then empty
}

// ScaleUnknown tells whether a pen showed ppm on a scale that nobody knows: SI
// then takes it as NaCl.
func (r Reading) ScaleUnknown() bool { return r.Scale.Valid() && r.On == "" }

// String writes the line that [ParseReading] reads.
func (r Reading) String() string {
	text := r.Key() + " = "
	if r.Skipped != "" {
		return text + "skipped: " + r.Skipped
	}
	text += r.Typed
	if r.On != "" {
		text += " " + scaleWord(r.On)
	}
	if r.Timed {
		text += ", after " + r.After
	}
	if r.Instrument != "" {
		text += ", by " + r.Instrument
	}
	return text
}

func scaleWord(on string) string {
	if on == "NaCl" || on == "KCl" || on == "442" {
		return on
	}
	return "scale " + on
}

// ParseReading reads one line of a log: a gauge by its name or by the word of
// its place, the bay or housing where there are several, the value with its
// unit, and then in any order after how long it was read and with what.
//
//	permeate_strength = 9 ppm NaCl, after 20 min, by pen B
//	gun 3 63 ppm
//	permeate 1.1 gpm, by bucket
//	tank_level = skipped: no ladder
//
// A unit is never guessed. "<0.1 mg/L" is a bound. The error is a [Problem].
func ParseReading(line string, loc quantity.Locale) (Reading, error) {
	bad := func(read, wanted, example string) (Reading, error) {
		return Reading{}, Problem{Read: read, Wanted: wanted, Example: example}
	}
	if len(line) > 400 || strings.ContainsFunc(line, unicode.IsControl) || strings.ContainsRune(line, unicode.ReplacementChar) {
		return bad("a reading of "+strconv.Itoa(len(line))+" characters", "one line of plain text", lineExample)
	}
	name, rest := firstWord(line)
	if name == "" {
		return bad("an empty reading", "a gauge and what it read", lineExample)
	}
	clauses := strings.Split(rest, ", ")
	number, value := numberAhead(clauses[0])
	var r Reading
	r.Number = number
	if reason, ok := cutWord(value, "skipped"); ok {
		return r.skip(name, strings.Join(append([]string{reason}, clauses[1:]...), ", "))
	}
	if err := r.value(name, value, loc); err != nil {
		return Reading{}, err
	}
	for _, c := range clauses[1:] {
		if err := r.clause(c, loc); err != nil {
			return Reading{}, err
		}
	}
	return r, nil
}

const lineExample = `"permeate_strength = 9 ppm NaCl, after 20 min, by pen B"`

// firstWord cuts the gauge's name from the rest of the line.
func firstWord(line string) (word, rest string) {
	line = strings.TrimSpace(line)
	i := strings.IndexFunc(line, func(r rune) bool { return r == ' ' || r == '=' || r == ':' })
	if i < 0 {
		return line, ""
	}
	return line[:i], strings.TrimSpace(line[i:])
}

// numberAhead cuts the bay or housing from what is left: "3 = 63 ppm", "3 63
// ppm", or none in "63 ppm" and "= 63 ppm".
func numberAhead(text string) (number int, value string) {
	if rest, ok := cutMark(text); ok {
		return 0, rest
	}
	word, rest, _ := strings.Cut(text, " ")
	word, glued, marked := strings.Cut(word, "=")
	n, err := strconv.Atoi(word)
	if err != nil || n < 1 || n > 999 {
		return 0, text
	}
	if marked {
		return n, strings.TrimSpace(glued + " " + rest)
	}
	rest = strings.TrimSpace(rest)
	if value, ok := cutMark(rest); ok {
		return n, value
	}
	if startsNumber(rest) || strings.HasPrefix(rest, "skipped") {
		return n, rest
	}
	return 0, text
}

func cutMark(text string) (rest string, ok bool) {
	if text == "" || text[0] != '=' && text[0] != ':' {
		return text, false
	}
	return strings.TrimSpace(text[1:]), true
}

func startsNumber(s string) bool {
	return s != "" && (s[0] >= '0' && s[0] <= '9' || s[0] == '<' || s[0] == '-' || s[0] == '.')
}

func cutWord(text, word string) (rest string, ok bool) {
	rest, ok = strings.CutPrefix(text, word)
	if !ok || rest != "" && rest[0] != ' ' && rest[0] != ':' {
		return text, false
	}
	return strings.TrimSpace(strings.TrimLeft(rest, " :")), true
}

func (r Reading) skip(name, reason string) (Reading, error) {
	if !plant.Gauge(name).Known() {
		return Reading{}, unknownGauge(name)
	}
	reason = strings.Join(strings.Fields(reason), " ")
	if reason == "" {
		return Reading{}, Problem{Read: name + " skipped", Wanted: "why it was skipped", Example: name + " = skipped: no port"}
	}
	out := Reading{Skipped: reason}
	out.Of, out.Number = plant.Gauge(name), r.Number
	return out, r.checkNumber(out.Of)
}

func (r Reading) checkNumber(of plant.Gauge) error {
	if r.Number != 0 && !of.Numbered() {
		return Problem{Read: fmt.Sprintf("%s %d", of, r.Number), Wanted: "no number: a site has one " + string(of), Example: exampleOf(of)}
	}
	return nil
}

// value reads the number, its unit and a pen's scale, and finds the gauge.
func (r *Reading) value(name, text string, loc quantity.Locale) error {
	typed, on, err := cutScale(text, loc)
	if err != nil {
		return err
	}
	bare, below := strings.CutPrefix(typed, "<")
	bare = strings.TrimSpace(bare)
	if r.Of = plant.Gauge(name); !r.Of.Known() {
		if r.Of = gaugeAt(name, bare); r.Of == "" {
			return unknownGauge(name)
		}
	}
	if err := r.checkNumber(r.Of); err != nil {
		return err
	}
	if err := r.measure(bare, on, loc); err != nil {
		return err
	}
	if below {
		r.SI, r.Digit = 0, 2*r.SI
	}
	r.Typed, r.On = typed, on
	return nil
}

// cutScale cuts a pen's scale from the end of a value: "63 ppm NaCl", "63 ppm
// scale 0.5".
func cutScale(text string, loc quantity.Locale) (typed, on string, err error) {
	words := strings.Fields(text)
	if len(words) < 2 {
		return strings.Join(words, " "), "", nil
	}
	last := words[len(words)-1]
	for _, name := range []string{"NaCl", "KCl", "442"} {
		if strings.EqualFold(last, name) && len(words) > 2 {
			kept := words[:len(words)-1]
			if kept[len(kept)-1] == "on" || kept[len(kept)-1] == "scale" {
				kept = kept[:len(kept)-1]
			}
			return strings.Join(kept, " "), name, nil
		}
	}
	if len(words) > 3 && words[len(words)-2] == "scale" {
		x, numErr := quantity.ParseNumber(last, loc)
		if numErr != nil {
			x, numErr = quantity.ParseNumber(last, quantity.Locale{})
		}
		if numErr != nil || !(0.3 <= x && x <= 1) {
			return "", "", Problem{Read: "scale " + last, Wanted: "NaCl, KCl, 442 or a factor from 0.3 to 1", Example: lineExample}
		}
		return strings.Join(words[:len(words)-2], " "), strconv.FormatFloat(x, 'f', -1, 64), nil
	}
	return strings.Join(words, " "), "", nil
}

// measure reads the value by the gauge's kind.
func (r *Reading) measure(text, on string, loc quantity.Locale) error {
	kind := r.Of.Kind()
	switch {
	case kind == quantity.KindConductivity && isPPM(text):
		ppm, digit, err := quantity.ParseKind(quantity.KindMassConc, text, loc)
		if err != nil {
			return r.refuse(text)
		}
		if r.SI, r.Digit, r.Scale, err = penReading(quantity.MassConc(ppm), digit, on); err != nil {
			return r.refuse(text)
		}
		return r.inRange(text)
	case on != "":
		return Problem{Read: text + " on scale " + on, Wanted: "a pen's scale only with a pen's ppm", Example: lineExample}
	case r.Of == plant.HoursPerDay:
		if t, err := quantity.Parse[quantity.Time](text, loc); err == nil {
			r.SI = float64(t) / 86400
			return r.inRange(text)
		}
	case kind == "":
		number, _, _ := strings.Cut(text, " ")
		x, err := quantity.ParseNumber(number, loc)
		if err != nil {
			return r.refuse(text)
		}
		r.SI, r.Digit = x, 1
		return r.inRange(text)
	}
	var err error
	if r.SI, r.Digit, err = quantity.ParseKind(kind, text, loc); err != nil {
		return r.refuse(text)
	}
	return r.inRange(text)
}

func isPPM(text string) bool {
	for _, k := range quantity.KindsOf(text) {
		if k == quantity.KindConductivity {
			return false
		}
		if k == quantity.KindMassConc {
			return true
		}
	}
	return false
}

// penReading is the conductivity behind a pen's ppm, with its step. A scale
// nobody knows is taken as NaCl.
func penReading(ppm quantity.MassConc, digit float64, on string) (si, step float64, scale water.Scale, err error) {
	if on == "" {
		on = "NaCl"
	}
	if scale, err = water.ScaleNamed(on); err != nil {
		return 0, 0, scale, err
	}
	c, err := scale.Conductivity(ppm)
	if err != nil {
		return 0, 0, scale, err
	}
	next, err := scale.Conductivity(ppm + quantity.MassConc(digit))
	if err != nil {
		return 0, 0, scale, err
	}
	if ppm == 0 {
		c = 0
	}
	return float64(c), float64(next) - float64(c), scale, nil
}

func (r *Reading) refuse(text string) error {
	what := string(r.Of.Kind())
	if what == "" {
		what = "number"
	}
	read := strconv.Quote(text)
	if kinds := quantity.KindsOf(text); len(kinds) > 0 && kinds[0] != r.Of.Kind() {
		read += ", a " + string(kinds[0])
	}
	return Problem{Key: string(r.Of), Read: read, Wanted: "a " + what + " with its unit for " + r.Of.Title(), Example: exampleOf(r.Of)}
}

func (r *Reading) inRange(text string) error {
	lo, hi := limits(r.Of)
	if lo <= r.SI && r.SI <= hi && !math.IsInf(r.Digit, 0) && r.Digit >= 0 {
		return nil
	}
	show := func(x float64) string {
		return quantity.FormatKind(r.Of.Kind(), x, quantity.US, quantity.Locale{}) + " (" + quantity.FormatKind(r.Of.Kind(), x, quantity.SI, quantity.Locale{}) + ")"
	}
	return Problem{Key: string(r.Of), Read: strconv.Quote(text), Wanted: fmt.Sprintf("between %s and %s for %s", show(lo), show(hi), r.Of.Title()), Example: exampleOf(r.Of)}
}

func (r *Reading) clause(text string, loc quantity.Locale) error {
	text = strings.TrimSpace(text)
	if said, ok := cutWord(text, "after"); ok {
		t, err := quantity.Parse[quantity.Time](said, loc)
		if err != nil || !(0 <= t && t <= quantity.Days(30)) {
			return Problem{Read: strconv.Quote(text), Wanted: "how long it had run, up to 30 days", Example: "after 20 min"}
		}
		r.Running, r.Timed, r.After = t, true, strings.Join(strings.Fields(said), " ")
		return nil
	}
	for _, word := range []string{"by", "with"} {
		if said, ok := cutWord(text, word); ok && said != "" {
			r.Instrument = strings.Join(strings.Fields(said), " ")
			return nil
		}
	}
	return Problem{Read: strconv.Quote(text), Wanted: "after how long, or by what", Example: lineExample}
}
