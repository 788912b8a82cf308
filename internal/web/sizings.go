package web

import (
	"bytes"
	"context"
	"html/template"
	"sync"
	"sync/atomic"
	"time"

	"rinsewright/catalog"
	"rinsewright/internal/paper"
	"rinsewright/site"
	"rinsewright/study"
)

// mostSizings is how many finished sizings are kept in memory.
const mostSizings = 20

// longestSizing ends a search that finds no end.
const longestSizing = 10 * time.Minute

// sizeQuestion is what a sizing answers: the same question has the same answer.
type sizeQuestion struct {
	site   string
	hash   string // of the site's file
	parts  string // hash of the parts list
	reader reader
}

// sizings search in the background, one at a time, so that whoever opens a
// page meanwhile does not wait, and remember what they found.
type sizings struct {
	version string
	engine  chan struct{}
	ctx     context.Context // ends with the server
	cancel  context.CancelFunc
	working sync.WaitGroup
	mu      sync.Mutex
	kept    map[sizeQuestion]*sizing
	order   []sizeQuestion
	keep    func(context.Context, sizeQuestion, *sizing) // a finished one, so that it outlives the program
}

// sizing is one search, under way or over.
type sizing struct {
	asked  time.Time
	begun  atomic.Bool  // it does not wait for another any more
	judged atomic.Int64 // systems so far
	ready  chan struct{}
	sized  *study.Sized
	err    error
	point  sync.Mutex // one point of the frontier at a time
}

func newSizings(version string) *sizings {
	ctx, cancel := context.WithCancel(context.Background())
	return &sizings{version: version, engine: make(chan struct{}, 1), ctx: ctx, cancel: cancel, kept: map[sizeQuestion]*sizing{}}
}

func (z *sizings) stop() {
	z.cancel()
	z.working.Wait()
}

// find returns the sizing that was asked for before, nil if nobody did.
func (z *sizings) find(q sizeQuestion) *sizing {
	z.mu.Lock()
	defer z.mu.Unlock()
	return z.kept[q]
}

// begin starts a sizing unless it is there, or under way.
func (z *sizings) begin(q sizeQuestion, about *site.Site, parts *catalog.Catalogue, now time.Time) *sizing {
	z.mu.Lock()
	defer z.mu.Unlock()
	if found := z.kept[q]; found != nil && (!found.over() || found.err == nil) {
		return found
	}
	if len(z.order) >= mostSizings {
		delete(z.kept, z.order[0])
		z.order = z.order[1:]
	}
	found := &sizing{asked: now, ready: make(chan struct{})}
	z.kept[q], z.order = found, append(z.order, q)
	z.working.Go(func() { z.work(found, q, about, parts) })
	return found
}

func (z *sizings) work(found *sizing, q sizeQuestion, about *site.Site, parts *catalog.Catalogue) {
	defer close(found.ready)
	select {
	case z.engine <- struct{}{}:
		defer func() { <-z.engine }()
	case <-z.ctx.Done():
		found.err = z.ctx.Err()
		return
	}
	found.begun.Store(true)
	ctx, stop := context.WithTimeout(z.ctx, longestSizing)
	defer stop()
	o := study.SizeDefaults()
	o.Options.Units, o.Locale = q.reader.units, q.reader.locale
	o.Told = func(judged int) { found.judged.Store(int64(judged)) }
	if found.sized, found.err = study.Size(ctx, about, parts, o); found.err == nil && z.keep != nil {
		z.keep(ctx, q, found)
	}
}

func (s *sizing) over() bool {
	select {
	case <-s.ready:
		return true
	default:
		return false
	}
}

// body shows a finished sizing, and beside its picks one point of the frontier
// when it is not negative.
func (z *sizings) body(ctx context.Context, found *sizing, q sizeQuestion, point int, link string) (template.HTML, error) {
	shown := *found.sized
	if point >= 0 {
		found.point.Lock()
		pick, err := found.sized.PickAt(ctx, point)
		found.point.Unlock()
		if err != nil {
			return "", err
		}
		shown.Picks = append([]study.Pick{pick}, shown.Picks...)
	}
	var b bytes.Buffer
	err := paper.SizeBody(&b, &shown, paper.Options{Units: q.reader.units, Locale: q.reader.locale, Language: q.reader.language, Version: z.version, Points: link})
	return template.HTML(b.String()), err //nolint:gosec // made by a template of package paper
}
