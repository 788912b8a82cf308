package paper

import (
	"fmt"
	"html/template"
	"strings"
	"sync"

	"rinsewright/internal/say"
	"rinsewright/internal/say/marked"
	"rinsewright/internal/scene"
)

// templates are the pages that were read once, by language and name.
var templates sync.Map

// template is a page in the reader's language.
func (o Options) template(name, source string) (*template.Template, error) {
	key := fmt.Sprint(o.Language, o.Locale.DecimalComma, name)
	if t, ok := templates.Load(key); ok {
		return t.(*template.Template), nil
	}
	t, err := template.New(name).Funcs(marked.Functions(o.speaker())).Parse(source)
	if err != nil {
		return nil, err
	}
	marked.Template(o.speaker(), t)
	templates.Store(key, t)
	return t, nil
}

func (o Options) speaker() *say.Speaker { return say.Shared(o.Language, o.Locale.DecimalComma) }

// draw draws a path, whose words are said before they are set.
func (o Options) draw(path scene.Path, style scene.Style, prefix string) (template.HTML, error) {
	style.Say = o.speaker().Say
	d, err := path.In(o.speaker()).Draw(style)
	if err != nil {
		return "", err
	}
	return o.svg(d, prefix)
}

type drawable interface {
	Draw(width float64) (scene.Drawing, error)
}

func (o Options) chart(d drawable, width float64, prefix string) (template.HTML, error) {
	drawing, err := scene.Worded[drawable](d, o.speaker()).Draw(width)
	if err != nil {
		return "", err
	}
	return o.svg(drawing, prefix)
}

// svg writes a drawing with its own words in the reader's language.
func (o Options) svg(d scene.Drawing, prefix string) (template.HTML, error) {
	var b strings.Builder
	if err := d.In(o.speaker()).SVG(&b, scene.SVGOptions{Prefix: prefix}); err != nil {
		return "", err
	}
	return template.HTML(b.String()), nil //nolint:gosec // the scene package escapes every text
}
