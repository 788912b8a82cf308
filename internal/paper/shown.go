package paper

import (
	"html/template"
	"strings"
	"sync"

	"rinsewright/internal/say"
	"rinsewright/internal/scene"
)

// templates are the pages that were read once, by language and name.
var templates sync.Map

// template is a page in the reader's language.
func (o Options) template(name, source string) (*template.Template, error) {
	key := o.Language + " " + name
	if t, ok := templates.Load(key); ok {
		return t.(*template.Template), nil
	}
	t, err := template.New(name).Funcs(o.speaker().Functions()).Parse(source)
	if err != nil {
		return nil, err
	}
	o.speaker().Template(t)
	templates.Store(key, t)
	return t, nil
}

func (o Options) speaker() *say.Speaker { return say.Shared(o.Language) }

// draw draws a path, whose words are said before they are set.
func (o Options) draw(path scene.Path, style scene.Style, prefix string) (template.HTML, error) {
	style.Say = o.speaker().Say
	d, err := o.said(path).Draw(style)
	if err != nil {
		return "", err
	}
	return o.svg(d, prefix)
}

// said puts a path's words into the reader's language.
func (o Options) said(path scene.Path) scene.Path {
	s := o.speaker()
	if s.English() {
		return path
	}
	all := func(words []string) []string {
		out := make([]string, len(words))
		for i, w := range words {
			out[i] = s.Say(w)
		}
		return out
	}
	path.Subtitle = s.Say(path.Subtitle)
	stations := make([]scene.Station, len(path.Stations))
	for i, x := range path.Stations {
		x.Name, x.Word, x.Why, x.Read, x.Due = s.Say(x.Name), s.Say(x.Word), s.Say(x.Why), all(x.Read), all(x.Due)
		stations[i] = x
	}
	path.Stations = stations
	if path.Drain != nil {
		drain := *path.Drain
		drain.Notes = all(drain.Notes)
		path.Drain = &drain
	}
	return path
}

type drawable interface {
	Draw(width float64) (scene.Drawing, error)
}

func (o Options) chart(d drawable, width float64, prefix string) (template.HTML, error) {
	drawing, err := d.Draw(width)
	if err != nil {
		return "", err
	}
	return o.svg(drawing, prefix)
}

// svg writes a drawing with its own words in the reader's language.
func (o Options) svg(d scene.Drawing, prefix string) (template.HTML, error) {
	var b strings.Builder
	if err := spokenIn(o.speaker(), d).SVG(&b, scene.SVGOptions{Prefix: prefix}); err != nil {
		return "", err
	}
	return template.HTML(b.String()), nil //nolint:gosec // the scene package escapes every text
}

// spokenIn puts a drawing's words into a language. What has no translation may
// be somebody's own, and stays.
func spokenIn(s *say.Speaker, d scene.Drawing) scene.Drawing {
	if s.English() {
		return d
	}
	d.Title, d.Desc = sentences(s, d.Title), sentences(s, d.Desc)
	d.Shapes = spokenShapes(s, d.Shapes)
	return d
}

func spokenShapes(s *say.Speaker, shapes []scene.Shape) []scene.Shape {
	out := make([]scene.Shape, len(shapes))
	for i, shape := range shapes {
		switch shape := shape.(type) {
		case scene.Text:
			shape.Content = drawnWords(s, shape.Content)
			out[i] = shape
		case scene.Group:
			shape.Label = sentences(s, shape.Label)
			shape.Shapes = spokenShapes(s, shape.Shapes)
			out[i] = shape
		default:
			out[i] = shape
		}
	}
	return out
}

// drawnWords translates a word that the drawing itself writes: a row's name, or
// a state, which stands ahead of a dot.
func drawnWords(s *say.Speaker, words string) string {
	if state, more, ok := strings.Cut(words, " · "); ok {
		if said, ok := s.Find(state); ok {
			return said + " · " + more
		}
	}
	if said, ok := s.Find(words); ok {
		return said
	}
	return words
}

// sentences says what is read aloud, sentence by sentence.
func sentences(s *say.Speaker, text string) string {
	if said, ok := s.Find(text); ok {
		return said
	}
	all := strings.Split(text, ". ")
	for i, one := range all {
		if said, ok := s.Find(one); ok {
			all[i] = said
		}
	}
	return strings.Join(all, ". ")
}
