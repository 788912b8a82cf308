package web

import (
	"bytes"
	"context"
	"html/template"

	"rinsewright/internal/paper"
	"rinsewright/site"
	"rinsewright/study"
)

// question is what a view answers: the same question has the same answer.
type question struct {
	hash   string // of the site's file
	sample string // id of the latest sample that went in
	reader reader
	looks  int
}

// answered is a check made ready for a page; err says why there is none.
type answered struct {
	body    template.HTML
	checked *study.Checked
	err     error
}

// views asks study, one question at a time, and remembers the answers.
type views struct {
	version string
	*memory[question, answered]
}

func newViews(version string) *views { return &views{version, newMemory[question, answered]()} }

// ask returns the answer to q about a site, which is made ready only when nobody
// asked before. The error is that of a context which ended first; what study said
// is in the answer.
func (v *views) ask(ctx context.Context, q question, about func() *site.Site) (answered, error) {
	return v.memory.ask(ctx, q, func(ctx context.Context) (found answered) {
		found.checked, found.err = study.Check(ctx, about(), study.Options{Seed: 1, Looks: q.looks, Units: q.reader.units, Locale: q.reader.locale})
		if found.err != nil {
			return found
		}
		var b bytes.Buffer
		found.err = paper.CheckBody(&b, found.checked, paper.Options{Units: q.reader.units, Locale: q.reader.locale, Language: q.reader.language, Version: v.version})
		found.body = template.HTML(b.String()) //nolint:gosec // made by a template of package paper
		return found
	})
}
