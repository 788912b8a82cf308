package sitefile

import (
	"errors"
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/pelletier/go-toml/v2/unstable"

	"rinsewright/cost"
	"rinsewright/quantity"
	"rinsewright/water"
)

// field is one key of a section, bound to the place in a site where it lives.
type field struct {
	key     string
	says    string // what it means, one line
	example string // as a TOML value
	set     func(v value, loc quantity.Locale) error
	get     func() string // as a TOML value; "" when nobody said
	clear   func()
	hear    func(said string) string // what a person says as what set takes; nil when that is the same
	words   []string                 // the words it may be, empty when it is no choice
}

// refusal is why a value was not taken: what was wanted instead.
type refusal struct{ wanted string }

func (r refusal) Error() string { return "wanted " + r.wanted }

// quoted is s as a TOML string. Go's own quoting will not do: TOML knows no \x.
func quoted(s string) string {
	var b strings.Builder
	b.WriteByte('"')
	for _, r := range s {
		switch {
		case r == '"' || r == '\\':
			b.WriteByte('\\')
			b.WriteRune(r)
		case r == '\n':
			b.WriteString(`\n`)
		case r == '\t':
			b.WriteString(`\t`)
		case unicode.IsControl(r) || r == '\u2028' || r == '\u2029':
			fmt.Fprintf(&b, `\u%04X`, r)
		default:
			b.WriteRune(r)
		}
	}
	b.WriteByte('"')
	return b.String()
}

func wantString(v value) (string, error) {
	if v.kind != unstable.String {
		return "", refusal{"text in quotes"}
	}
	return strings.TrimSpace(v.text), nil
}

// entry binds a quantity that must lie within lo and hi, both included.
func entry[Q quantity.Quantity](key, says, example string, at *quantity.Entry[Q], lo, hi Q) field {
	set := func(v value, loc quantity.Locale) error {
		text, err := wantString(v)
		if err != nil {
			return refusal{"a number with its unit, in quotes"}
		}
		q, err := quantity.Parse[Q](text, loc)
		if err != nil {
			return err
		}
		if !(lo <= q && q <= hi) {
			return refusal{fmt.Sprintf("between %s and %s", quantity.FormatLocale(lo, quantity.US, loc)+" ("+quantity.FormatLocale(lo, quantity.SI, loc)+")",
				quantity.FormatLocale(hi, quantity.US, loc)+" ("+quantity.FormatLocale(hi, quantity.SI, loc)+")")}
		}
		*at = quantity.Entry[Q]{Value: q, Typed: text, Known: true}
		return nil
	}
	get := func() string {
		switch {
		case !at.Known:
			return ""
		case at.Typed != "":
			return quoted(at.Typed)
		}
		text, err := quantity.Exact(at.Value, quantity.PlainUnit[Q](quantity.SI))
		if err != nil {
			return ""
		}
		return quoted(text)
	}
	return field{key, says, quoted(example), set, get, func() { *at = quantity.Entry[Q]{} }, nil, nil}
}

// ph binds a pH, written as a bare number.
func ph(key, says string, at *quantity.Entry[quantity.PH]) field {
	set := func(v value, loc quantity.Locale) error {
		x, err := quantity.ParseNumber(v.text, numberLocale(v, loc))
		if err != nil || !(3 <= x && x <= 11) {
			return refusal{"a pH between 3 and 11"}
		}
		*at = quantity.Told(quantity.PH(x))
		return nil
	}
	get := func() string {
		if !at.Known {
			return ""
		}
		return decimal(float64(at.Value))
	}
	return field{key, says, "7.4", set, get, func() { *at = quantity.Entry[quantity.PH]{} }, nil, nil}
}

// numberLocale is the locale of a number: TOML's own numbers always have a
// point, whatever the file's quoted text uses.
func numberLocale(v value, loc quantity.Locale) quantity.Locale {
	if v.kind == unstable.String {
		return loc
	}
	return quantity.Locale{}
}

func decimal(x float64) string {
	s := strconv.FormatFloat(x, 'f', -1, 64)
	if !strings.Contains(s, ".") {
		s += ".0"
	}
	return s
}

// count binds a whole number; 0 means nobody said.
func count(key, says string, at *int, lo, hi int, example int) field {
	set := func(v value, _ quantity.Locale) error {
		n, err := strconv.Atoi(v.text)
		if err != nil || !(lo <= n && n <= hi) {
			return refusal{fmt.Sprintf("a whole number from %d to %d", lo, hi)}
		}
		*at = n
		return nil
	}
	get := func() string {
		if *at == 0 {
			return ""
		}
		return strconv.Itoa(*at)
	}
	return field{key, says, strconv.Itoa(example), set, get, func() { *at = 0 }, nil, nil}
}

// text binds free text.
func text(key, says, example string, at *string) field {
	set := func(v value, _ quantity.Locale) error {
		s, err := wantString(v)
		if err != nil {
			return err
		}
		if len(s) > 4000 || !utf8.ValidString(s) || strings.ContainsFunc(s, func(r rune) bool { return r < ' ' && r != '\n' && r != '\t' }) {
			return refusal{"at most 4000 characters of plain text"}
		}
		*at = s
		return nil
	}
	get := func() string {
		if *at == "" {
			return ""
		}
		return quoted(*at)
	}
	return field{key, says, quoted(example), set, get, func() { *at = "" }, nil, nil}
}

// choice binds text that must be one of a few words.
func choice[S ~string](key, says string, at *S, words ...S) field {
	set := func(v value, _ quantity.Locale) error {
		s, err := wantString(v)
		if err != nil || !slices.Contains(words, S(s)) {
			return refusal{"one of " + listed(words)}
		}
		*at = S(s)
		return nil
	}
	get := func() string {
		if *at == "" {
			return ""
		}
		return quoted(string(*at))
	}
	plain := plainWords(words)
	hear := func(said string) string { return wordMeant(said, plain) }
	return field{key, says + " (" + joined(words, " · ") + ")", quoted(string(words[0])), set, get, func() { *at = "" }, hear, plain}
}

func joined[S ~string](words []S, sep string) string { return strings.Join(plainWords(words), sep) }

func plainWords[S ~string](words []S) []string {
	plain := make([]string, len(words))
	for i, w := range words {
		plain[i] = string(w)
	}
	return plain
}

func listed[S ~string](words []S) string {
	plain := make([]S, len(words))
	for i, w := range words {
		plain[i] = S(quoted(string(w)))
	}
	return joined(plain, ", ")
}

// matched binds text of a fixed form, such as a day or a time.
func matched(key, says, example, wanted string, form *regexp.Regexp, at *string) field {
	f := text(key, says, example, at)
	f.set = func(v value, _ quantity.Locale) error {
		if v.kind == unstable.Array || !form.MatchString(v.text) {
			return refusal{wanted}
		}
		*at = v.text
		return nil
	}
	return f
}

// flag binds yes or no.
func flag(key, says string, at *bool) field {
	set := func(v value, _ quantity.Locale) error {
		if v.kind != unstable.Bool && v.text != "true" && v.text != "false" {
			return refusal{"true or false"}
		}
		*at = v.text == "true"
		return nil
	}
	get := func() string {
		if !*at {
			return ""
		}
		return "true"
	}
	return field{key, says, "true", set, get, func() { *at = false }, yesMeant, []string{"yes", "no"}}
}

// price binds an amount of money, with two decimals.
func price(key, says, example string, at *cost.Entry) field {
	return scaledPrice(key, says, example, at, 1)
}

// amount writes money with two decimals, or with as many more as it has.
func amount(x float64) string {
	text := strconv.FormatFloat(math.Round(x*1e8)/1e8, 'f', -1, 64)
	if fixed := strconv.FormatFloat(x, 'f', 2, 64); len(fixed) > len(text) {
		return fixed
	}
	return text
}

// scaledPrice binds a price told for another amount than cost.Prices keeps:
// stored = written · scale.
func scaledPrice(key, says, example string, at *cost.Entry, scale float64) field {
	set := func(v value, loc quantity.Locale) error {
		x, err := quantity.ParseNumber(v.text, numberLocale(v, loc))
		if err != nil || !(0 <= x && x <= 1e7) {
			return refusal{"an amount of money of at least 0, without a currency sign"}
		}
		*at = cost.Entry{Value: cost.Price(math.Round(x*100*scale*100) / 100), Known: true}
		return nil
	}
	get := func() string {
		if !at.Known {
			return ""
		}
		return amount(float64(at.Value) / 100 / scale)
	}
	return field{key, says, example, set, get, func() { *at = cost.Entry{} }, nil, nil}
}

// ion binds one ion of a sample's analysis. "<0.05 mg/L" is a bound: the ion was
// looked for and not found.
func ion(key, says string, s *water.Sample, c water.Component) field {
	var held quantity.Entry[quantity.MassConc]
	held = s.Ions[c]
	f := entry(key, says, "20 mg/L", &held, 0, quantity.MilligramsPerLitre(5000))
	inner, get := f.set, f.get
	f.set = func(v value, loc quantity.Locale) error {
		text, below := strings.CutPrefix(strings.TrimSpace(v.text), "<")
		if below {
			v.text = strings.TrimSpace(text)
		}
		if err := inner(v, loc); err != nil {
			return err
		}
		if below {
			bound := held.Value
			f.clear()
			if s.Below == nil {
				s.Below = map[water.Component]quantity.MassConc{}
			}
			s.Below[c] = bound
			return nil
		}
		forgetBound(s, c)
		if s.Ions == nil {
			s.Ions = map[water.Component]quantity.Entry[quantity.MassConc]{}
		}
		s.Ions[c] = held
		return nil
	}
	f.get = func() string {
		bound, below := s.Below[c]
		if !below {
			return get()
		}
		text, err := quantity.Exact(bound, quantity.PlainUnit[quantity.MassConc](quantity.SI))
		if err != nil {
			return ""
		}
		return quoted("<" + text)
	}
	f.clear = func() {
		held = quantity.Entry[quantity.MassConc]{}
		if delete(s.Ions, c); len(s.Ions) == 0 {
			s.Ions = nil
		}
		forgetBound(s, c)
	}
	return f
}

func forgetBound(s *water.Sample, c water.Component) {
	if delete(s.Below, c); len(s.Below) == 0 {
		s.Below = nil
	}
}

// wanted turns why a field refused a value into what was wanted.
func wanted(err error) string {
	var r refusal
	if errors.As(err, &r) {
		return r.wanted
	}
	var p *quantity.ParseError
	if errors.As(err, &p) {
		return p.Wanted
	}
	return err.Error()
}

// fault is what is wrong with a quantity that could not be read, such as
// ", a flow"; "" when wanted says it all.
func fault(err error) string {
	var p *quantity.ParseError
	if errors.As(err, &p) {
		return p.Fault
	}
	return ""
}

// scaleField binds a pen's scale: a name, or a custom factor.
func scaleField(key string, at *string) field {
	names := []string{"NaCl", "KCl", "442"}
	f := text(key, "of the pen: NaCl · KCl · 442 · a factor such as 0.5; leave out when nobody knows", "NaCl", at)
	f.words = names
	f.hear = func(said string) string { return wordMeant(said, names) }
	f.set = func(v value, loc quantity.Locale) error {
		for _, name := range names {
			if strings.EqualFold(v.text, name) {
				*at = name
				return nil
			}
		}
		// A factor is kept with a point, so a comma file may hold either.
		text := strings.TrimSpace(v.text)
		x, err := quantity.ParseNumber(text, quantity.Locale{})
		if err != nil {
			x, err = quantity.ParseNumber(text, loc)
			text = decimal(x)
		}
		if v.kind == unstable.Array || err != nil || !(0.3 <= x && x <= 1) {
			return refusal{`"NaCl", "KCl", "442" or a factor from 0.3 to 1`}
		}
		*at = text
		return nil
	}
	return f
}
