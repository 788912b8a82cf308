package web

import (
	"bytes"
	"context"
	"html/template"
	"sync"

	"rinsewright/internal/paper"
	"rinsewright/site"
	"rinsewright/study"
)

// mostViews is how many finished views are kept in memory.
const mostViews = 200

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

// views asks study, one question at a time, and remembers the answers. Who
// asks the same at the same time waits for the same answer.
type views struct {
	version string
	engine  chan struct{}
	ctx     context.Context // ends with the server
	cancel  context.CancelFunc
	working sync.WaitGroup
	mu      sync.Mutex
	kept    map[question]*view
	order   []question
}

type view struct {
	ready chan struct{}
	answered
}

func newViews(version string) *views {
	ctx, cancel := context.WithCancel(context.Background())
	return &views{version: version, engine: make(chan struct{}, 1), ctx: ctx, cancel: cancel, kept: map[question]*view{}}
}

func (v *views) stop() {
	v.cancel()
	v.working.Wait()
}

// ask returns the answer to q about a site. The error is that of a context
// which ended first; what study said is in the answer.
func (v *views) ask(ctx context.Context, q question, about *site.Site) (answered, error) {
	v.mu.Lock()
	found, known := v.kept[q]
	if !known {
		found = &view{ready: make(chan struct{})}
		v.keep(q, found)
		// The answer serves others too, so it outlives the one who asked first.
		v.working.Go(func() { v.work(found, q, about) })
	}
	v.mu.Unlock()
	select {
	case <-found.ready:
		return found.answered, nil
	case <-ctx.Done():
		return answered{}, ctx.Err()
	}
}

func (v *views) keep(q question, found *view) {
	if len(v.order) >= mostViews {
		delete(v.kept, v.order[0])
		v.order = v.order[1:]
	}
	v.kept[q] = found
	v.order = append(v.order, q)
}

func (v *views) work(found *view, q question, about *site.Site) {
	defer close(found.ready)
	v.engine <- struct{}{}
	defer func() { <-v.engine }()
	found.checked, found.err = study.Check(v.ctx, about, study.Options{Seed: 1, Looks: q.looks, Units: q.reader.units, Locale: q.reader.locale})
	if found.err != nil {
		return
	}
	var b bytes.Buffer
	found.err = paper.CheckBody(&b, found.checked, paper.Options{Units: q.reader.units, Locale: q.reader.locale, Version: v.version})
	found.body = template.HTML(b.String()) //nolint:gosec // made by a template of package paper
}
