package web

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"html/template"
	"sync"
	"time"

	"rinsewright/internal/door"
	"rinsewright/internal/paper"
	"rinsewright/internal/scene"
	"rinsewright/internal/sitefile"
	"rinsewright/internal/store"
	"rinsewright/site"
	"rinsewright/study"
)

// glanceLooks is how closely the engine looks for the list; a site's own page
// looks closer.
const glanceLooks = 4

// glance is what the list shows of a site.
type glance struct {
	Use   string        `json:"use"`
	State string        `json:"state"`
	Says  string        `json:"says"`
	More  int           `json:"more"` // findings beside it that need somebody
	Mini  template.HTML `json:"mini"`
}

// glancer looks at sites that have changed, in the background, one by one.
type glancer struct {
	server *Server
	bell   chan struct{}
	cancel context.CancelFunc
	done   sync.WaitGroup
}

func newGlancer(s *Server) *glancer {
	ctx, cancel := context.WithCancel(context.Background())
	g := &glancer{server: s, bell: make(chan struct{}, 1), cancel: cancel}
	g.done.Go(func() { g.run(ctx) })
	g.wake()
	return g
}

// wake tells the glancer that there may be something to look at.
func (g *glancer) wake() {
	select {
	case g.bell <- struct{}{}:
	default:
	}
}

func (g *glancer) stop() {
	g.cancel()
	g.done.Wait()
}

func (g *glancer) run(ctx context.Context) {
	again := time.NewTicker(time.Minute) // another program may share the database
	defer again.Stop()
	for {
		select {
		case <-ctx.Done():
			return
		case <-again.C:
			g.sweep()
		case <-g.bell:
		}
		if err := g.all(ctx); err != nil && !errors.Is(err, context.Canceled) {
			g.server.options.Log.Error("look at the sites", "error", err.Error())
		}
	}
}

// lostAfter is how long a photo may be on its way.
const lostAfter = 7 * 24 * time.Hour

// sweep lets go of photos that will not arrive any more.
func (g *glancer) sweep() {
	o := g.server.options
	if o.Photos == nil {
		return
	}
	if err := o.Photos.Sweep(o.Now().Add(-lostAfter)); err != nil {
		o.Log.Error("sweep the photos under way", "error", err.Error())
	}
}

func (g *glancer) all(ctx context.Context) error {
	ways, err := g.server.readers(ctx)
	if err != nil {
		return err
	}
	for _, reads := range ways {
		if err := g.allFor(ctx, reads); err != nil {
			return err
		}
	}
	return nil
}

func (g *glancer) allFor(ctx context.Context, reads reader) error {
	for ctx.Err() == nil {
		rows, err := g.server.store.Stale(ctx, reads.word(), g.server.options.Version, 500)
		if err != nil || len(rows) == 0 {
			return err
		}
		for _, row := range rows {
			if err := g.one(ctx, row, reads); err != nil {
				return err
			}
		}
	}
	return ctx.Err()
}

func (g *glancer) one(ctx context.Context, row store.Row, reads reader) error {
	kept, err := g.server.store.Site(ctx, row.ID)
	if errors.Is(err, store.ErrNone) {
		return nil
	}
	if err != nil {
		return err
	}
	seen, urgency := g.look(ctx, kept, reads)
	if ctx.Err() != nil {
		return ctx.Err()
	}
	text, err := json.Marshal(seen)
	if err != nil {
		return err
	}
	return g.server.store.KeepGlance(ctx, kept.ID, kept.Hash, reads.word(), g.server.options.Version, urgency, string(text))
}

// urgencies order the list by the worst that was found.
var urgencies = map[study.State]store.Urgency{study.Today: store.Today, study.Due: store.Due, study.NotKnown: store.NotKnown, study.Fine: store.Fine}

func (g *glancer) look(ctx context.Context, kept store.Site, reads reader) (glance, store.Urgency) {
	about, err := sitefile.Read("site.toml", []byte(kept.File))
	if err != nil { // only text that was read is ever kept
		return glance{State: string(study.NotKnown), Says: "Its file cannot be read by this version."}, store.NotKnown
	}
	out := glance{Use: string(about.Use), State: string(study.NotKnown)}
	q := question{hash: kept.Hash, reader: reads, looks: glanceLooks}
	found, err := g.server.views.ask(ctx, q, func() *site.Site { return about })
	if err == nil {
		err = found.err
	}
	if err != nil {
		out.Says = door.Unanswered(err)
		return out, store.NotKnown
	}
	worst := store.Fine
	for _, f := range found.checked.Findings {
		if u := urgencies[f.State]; u < worst || out.Says == "" {
			worst, out.State, out.Says = min(u, worst), string(f.State), f.Says
		}
		if f.State == study.Today || f.State == study.Due {
			out.More++
		}
	}
	out.More = max(out.More-1, 0)
	out.Mini = mini(found.checked, reads, kept.ID)
	return out, worst
}

// mini is the path in one row; a path that cannot be drawn so small is left out.
func mini(c *study.Checked, reads reader, id string) template.HTML {
	d, err := paper.Path(c, paper.Options{Units: reads.units, Locale: reads.locale}).Draw(scene.Style{Layout: scene.Mini, Bare: true})
	if err != nil {
		return ""
	}
	var b bytes.Buffer
	if err := d.SVG(&b, scene.SVGOptions{Prefix: "m" + id}); err != nil {
		return ""
	}
	return template.HTML(b.String()) //nolint:gosec // the scene package escapes every text
}
