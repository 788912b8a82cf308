package scene

import (
	"reflect"
	"regexp"
	"strings"
)

// Words put what a drawing says into the reader's language. Find tells whether
// a phrase is known, which people's own words are not; Say gives one that should
// be.
type Words interface {
	Plain() bool
	Comma() bool
	Say(phrase string) string
	Find(phrase string) (said string, ok bool)
}

// In puts a path's words into the reader's language before it is drawn, so that
// there is room for them.
func (p Path) In(w Words) Path {
	if w.Plain() {
		return p
	}
	all := func(words []string) []string {
		out := make([]string, len(words))
		for i, x := range words {
			out[i] = w.Say(x)
		}
		return out
	}
	p.Subtitle = w.Say(p.Subtitle)
	stations := make([]Station, len(p.Stations))
	for i, x := range p.Stations {
		x.Name, x.Word, x.Why, x.Read, x.Due = w.Say(x.Name), w.Say(x.Word), w.Say(x.Why), all(x.Read), all(x.Due)
		stations[i] = x
	}
	p.Stations = stations
	if p.Drain != nil {
		drain := *p.Drain
		drain.Notes = all(drain.Notes)
		p.Drain = &drain
	}
	return p
}

// In puts the words that a drawing itself writes into the reader's language.
// What is not known may be somebody's own, and stays.
func (d Drawing) In(w Words) Drawing {
	if w.Plain() {
		return d
	}
	d.Title, d.Desc = sentencesIn(w, d.Title), sentencesIn(w, d.Desc)
	d.Shapes = shapesIn(w, d.Shapes)
	return d
}

func shapesIn(w Words, shapes []Shape) []Shape {
	out := make([]Shape, len(shapes))
	for i, shape := range shapes {
		switch shape := shape.(type) {
		case Text:
			shape.Content = textIn(w, shape.Content)
			out[i] = shape
		case Group:
			shape.Label = sentencesIn(w, shape.Label)
			shape.Shapes = shapesIn(w, shape.Shapes)
			out[i] = shape
		default:
			out[i] = shape
		}
	}
	return out
}

// textIn says a word that the drawing itself writes: a row's name, or a state,
// which stands ahead of a dot.
func textIn(w Words, words string) string {
	words = strings.ReplaceAll(numbersIn(w, words), "\u00a0", " ")
	if said, ok := w.Find(words); ok {
		return said
	}
	if state, more, ok := strings.Cut(words, " · "); ok {
		if said, ok := w.Find(state); ok {
			return said + " · " + more
		}
	}
	return words
}

var (
	tick    = regexp.MustCompile(`^−?\d{1,3}(?:,\d{3})+$`)
	aDay    = regexp.MustCompile(`\d{1,3}(?:,\d{3})+ (?:L|gal) a day`)
	pointed = regexp.MustCompile(`(\d)\.(\d)`)
)

// numbersIn writes the numbers that a drawing itself prints, on an axis and as
// flows, as a reader does who writes decimals with a comma.
func numbersIn(w Words, text string) string {
	if !w.Comma() {
		return text
	}
	apart := func(number string) string { return strings.ReplaceAll(number, ",", "\u202f") }
	if tick.MatchString(text) {
		return apart(text)
	}
	return pointed.ReplaceAllString(aDay.ReplaceAllStringFunc(text, apart), "$1,$2")
}

// sentencesIn says what is read aloud, sentence by sentence.
func sentencesIn(w Words, text string) string {
	text = numbersIn(w, text)
	if said, ok := w.Find(text); ok {
		return said
	}
	all := strings.Split(text, ". ")
	for i, one := range all {
		if said, ok := w.Find(one); ok {
			all[i] = said
		}
	}
	return strings.Join(all, ". ")
}

// Worded is a chart with its texts in the reader's language, so that there is
// room for them when it is drawn. What is not known stays.
func Worded[T any](chart T, w Words) T {
	if w.Plain() {
		return chart
	}
	out := wordedValue(reflect.ValueOf(chart), w)
	return out.Interface().(T)
}

func wordedValue(v reflect.Value, w Words) reflect.Value {
	switch v.Kind() {
	case reflect.String:
		said, _ := w.Find(numbersIn(w, v.String()))
		return reflect.ValueOf(said).Convert(v.Type())
	case reflect.Struct:
		out := reflect.New(v.Type()).Elem()
		out.Set(v)
		for i := range v.NumField() {
			if out.Field(i).CanSet() {
				out.Field(i).Set(wordedValue(v.Field(i), w))
			}
		}
		return out
	case reflect.Slice:
		if v.IsNil() {
			return v
		}
		out := reflect.MakeSlice(v.Type(), v.Len(), v.Len())
		for i := range v.Len() {
			out.Index(i).Set(wordedValue(v.Index(i), w))
		}
		return out
	}
	return v
}
