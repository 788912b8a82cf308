package web

import (
	"bytes"
	"embed"
	"fmt"
	"html/template"
	"io/fs"
	"strings"

	"rinsewright/internal/say"
)

//go:embed pages/*.html
var pageFiles embed.FS

// pages are the templates, one set for each language and page: frame.html
// around it, parts.html beside it.
type pages struct{ sets map[string]*template.Template }

func newPages(a *assets) (*pages, error) {
	p := &pages{map[string]*template.Template{}}
	for _, language := range say.Languages {
		if err := p.read(a, say.Shared(language)); err != nil {
			return nil, err
		}
	}
	return p, nil
}

// read adds every page in one language.
func (p *pages) read(a *assets, speaker *say.Speaker) error {
	functions := template.FuncMap{
		"asset": a.link,
		"day":   speaker.Date,
		"clock": speaker.Clock,
		"short": func(hash string) string { return hash[:min(12, len(hash))] },
		"words": func(s string) string { return strings.NewReplacer("_", " ", ".", " ", "-", " ").Replace(s) },
	}
	base, err := template.New("frame.html").Funcs(functions).Funcs(speaker.Functions()).ParseFS(pageFiles, "pages/frame.html", "pages/parts.html")
	if err != nil {
		return err
	}
	names, err := fs.Glob(pageFiles, "pages/*.html")
	if err != nil {
		return err
	}
	for _, name := range names {
		set, err := base.Clone()
		if err != nil {
			return err
		}
		if set, err = set.ParseFS(pageFiles, name); err != nil {
			return err
		}
		speaker.Template(set)
		p.sets[pageKey(speaker.Language(), strings.TrimPrefix(name, "pages/"))] = set
	}
	return nil
}

func pageKey(language, name string) string { return language + " " + name }

func (p *pages) write(b *bytes.Buffer, language, name, part string, data any) error {
	set, ok := p.sets[pageKey(language, name)]
	if !ok {
		return fmt.Errorf("no page %s", name)
	}
	return set.ExecuteTemplate(b, part, data)
}
