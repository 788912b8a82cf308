package web

import (
	"bytes"
	"embed"
	"fmt"
	"html/template"
	"io/fs"
	"strings"
	"time"
)

//go:embed pages/*.html
var pageFiles embed.FS

// pages are the templates, one set for each page: frame.html around it,
// parts.html beside it.
type pages struct{ sets map[string]*template.Template }

func newPages(a *assets) (*pages, error) {
	functions := template.FuncMap{
		"asset": a.link,
		"day":   func(t time.Time) string { return t.Format("2 January 2006") },
		"clock": func(t time.Time) string { return t.Format("2 January 2006, 15:04") },
		"short": func(hash string) string { return hash[:min(12, len(hash))] },
		"words": func(s string) string { return strings.NewReplacer("_", " ", ".", " ", "-", " ").Replace(s) },
	}
	base, err := template.New("frame.html").Funcs(functions).ParseFS(pageFiles, "pages/frame.html", "pages/parts.html")
	if err != nil {
		return nil, err
	}
	names, err := fs.Glob(pageFiles, "pages/*.html")
	if err != nil {
		return nil, err
	}
	p := &pages{map[string]*template.Template{}}
	for _, name := range names {
		set, err := base.Clone()
		if err != nil {
			return nil, err
		}
		if p.sets[strings.TrimPrefix(name, "pages/")], err = set.ParseFS(pageFiles, name); err != nil {
			return nil, err
		}
	}
	return p, nil
}

func (p *pages) write(b *bytes.Buffer, name, part string, data any) error {
	set, ok := p.sets[name]
	if !ok {
		return fmt.Errorf("no page %s", name)
	}
	return set.ExecuteTemplate(b, part, data)
}
