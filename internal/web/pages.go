package web

import (
	"bytes"
	"embed"
	"fmt"
	"html/template"
	"io/fs"
	"path"
	"regexp"
	"strings"

	"rinsewright/internal/say"
	inwords "rinsewright/internal/say/marked"
)

//go:embed pages/*.html
var pageFiles embed.FS

// pages are the templates, one set for each language and page: frame.html
// around it, parts.html beside it.
type pages struct{ sets map[string]*template.Template }

func newPages(a *assets, base string) (*pages, error) {
	p := &pages{map[string]*template.Template{}}
	for _, language := range say.Languages {
		for _, comma := range []bool{false, true} {
			if err := p.read(a, base, say.Shared(language, comma)); err != nil {
				return nil, err
			}
		}
	}
	return p, nil
}

// read adds every page in one language.
func (p *pages) read(a *assets, root string, speaker *say.Speaker) error {
	functions := template.FuncMap{
		"asset": a.link,
		"day":   speaker.Date,
		"clock": speaker.Clock,
		"short": func(hash string) string { return hash[:min(12, len(hash))] },
		"words": func(s string) string { return strings.NewReplacer("_", " ", ".", " ", "-", " ").Replace(s) },
	}
	base := template.New("pages").Funcs(functions).Funcs(inwords.Functions(speaker))
	if err := parse(base, root, "pages/frame.html", "pages/parts.html"); err != nil {
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
		if err := parse(set, root, name); err != nil {
			return err
		}
		inwords.Template(speaker, set)
		p.sets[pageKey(speaker, strings.TrimPrefix(name, "pages/"))] = set
	}
	return nil
}

// ownLink is an address of ours in a template: they are written as if the pages
// stood at the root.
var ownLink = regexp.MustCompile(` (href|src|action|formaction|data-[a-z-]+)="/`)

// parse reads templates, with every address below root.
func parse(into *template.Template, root string, names ...string) error {
	for _, name := range names {
		text, err := pageFiles.ReadFile(name)
		if err != nil {
			return err
		}
		into = into.New(path.Base(name))
		if _, err := into.Parse(ownLink.ReplaceAllString(string(text), ` $1="`+root+`/`)); err != nil {
			return err
		}
	}
	return nil
}

func pageKey(s *say.Speaker, name string) string { return fmt.Sprint(s.Language(), s.Comma(), name) }

func (p *pages) write(b *bytes.Buffer, speaker *say.Speaker, name, part string, data any) error {
	set, ok := p.sets[pageKey(speaker, name)]
	if !ok {
		return fmt.Errorf("no page %s", name)
	}
	return set.ExecuteTemplate(b, part, data)
}
