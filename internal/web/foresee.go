package web

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"sync"
	"time"

	"rinsewright/internal/sitefile"
	"rinsewright/internal/store"
	"rinsewright/service"
	"rinsewright/study"
)

// Foresee forecasts every site whose forecast is not of its present text and
// readings, of this version and of this day, keeps what it finds site by site,
// and tells how many it were. Asked again it does nothing; ended half way, or
// beside another program that does the same, it loses nothing.
func Foresee(ctx context.Context, kept *store.Store, worker, version string, day time.Time) (n int, err error) {
	word := foreseenBy(version, day)
	for ctx.Err() == nil {
		old, err := kept.TakeOldForecasts(ctx, worker, word, takenAtOnce, longestTaken)
		if errors.Is(err, store.ErrTaken) {
			continue
		}
		if err != nil || len(old) == 0 {
			return n, err
		}
		for _, f := range old {
			if err := foreseeOne(ctx, kept, f, day); err != nil {
				return n, err
			}
			n++
		}
	}
	return n, ctx.Err()
}

// A program takes some sites at a time, so that another on the same database
// takes others. What one that was killed had taken, another takes after a while.
const (
	takenAtOnce  = 20
	longestTaken = 2 * time.Minute
)

// foreseenBy is what a forecast is of, beside the site.
func foreseenBy(version string, day time.Time) string {
	return version + " " + day.Format(time.DateOnly)
}

// dayOf is the day by the machine's clock, as days are written: without a zone.
func dayOf(now time.Time) time.Time {
	return time.Date(now.Year(), now.Month(), now.Day(), 0, 0, 0, 0, time.UTC)
}

// mostSamples is how many of the latest readings go into a forecast.
const mostSamples = 1000

func foreseeOne(ctx context.Context, kept *store.Store, f store.Foretold, day time.Time) error {
	site, err := kept.Site(ctx, f.Site)
	if errors.Is(err, store.ErrNone) {
		return nil
	}
	if err != nil {
		return err
	}
	samples, err := kept.Samples(ctx, site.ID, mostSamples)
	if err != nil {
		return err
	}
	wants := wantsOf(site, samples, day)
	told, err := json.Marshal(wants)
	if err != nil {
		return fmt.Errorf("forecast of %s: %w", site.Name, err)
	}
	out := store.Forecast{Site: site.ID, Urgency: store.Unseen, RunsOut: store.NeverOut, Told: string(told)}
	if c := wants.First; c != nil {
		first, err := json.Marshal(c)
		if err != nil {
			return fmt.Errorf("forecast of %s: %w", site.Name, err)
		}
		out.First, out.Urgency = string(first), urgencies[c.State]
		if !c.Beyond {
			out.RunsOut = int64(c.Likely)
		}
	}
	return kept.KeepForecast(ctx, f.Of, out)
}

// wantsOf is what a site wants of the trips, from its file and all that was
// logged.
func wantsOf(kept store.Site, samples []store.Sample, day time.Time) study.Wants {
	record, err := sitefile.Read("site.toml", []byte(kept.File))
	if err != nil { // only text that was read is ever kept
		return study.Wants{Key: kept.ID, Name: kept.Name, On: service.DayOf(day), Why: "its file cannot be read by this version"}
	}
	locale := sitefile.Locale([]byte(kept.File))
	withSamples(record, samples, locale)
	w := study.WantsOf(record, study.Options{Locale: locale}, day)
	w.Key = kept.ID
	return w
}

// foreseer keeps forecasts up to date in the background: when something comes in,
// and all of them when a day begins.
type foreseer struct {
	server *Server
	worker string // this program, among those on the database
	bell   chan struct{}
	cancel context.CancelFunc
	done   sync.WaitGroup
}

func newForeseer(s *Server) *foreseer {
	ctx, cancel := context.WithCancel(context.Background())
	f := &foreseer{server: s, worker: store.NewID(s.options.Now()), bell: make(chan struct{}, 1), cancel: cancel}
	f.done.Go(func() { f.run(ctx) })
	f.wake()
	return f
}

// wake tells those who look at sites that there is something new.
func (s *Server) wake() {
	s.glances.wake()
	s.foreseer.wake()
}

// wake tells the foreseer that there may be something to foresee.
func (f *foreseer) wake() {
	select {
	case f.bell <- struct{}{}:
	default:
	}
}

func (f *foreseer) stop() {
	f.cancel()
	f.done.Wait()
}

func (f *foreseer) run(ctx context.Context) {
	again := time.NewTicker(time.Minute) // a day may have begun, another program may share the database
	defer again.Stop()
	for {
		select {
		case <-ctx.Done():
			return
		case <-again.C:
		case <-f.bell:
		}
		o, begun := f.server.options, time.Now()
		n, err := Foresee(ctx, o.Store, f.worker, o.Version, dayOf(o.Now()))
		if err != nil && !errors.Is(err, context.Canceled) {
			o.Log.Error("foresee the sites", "error", err.Error())
		}
		if n > 100 {
			o.Log.Info("foreseen", "sites", n)
		}
		// Readings that pour in are foreseen together, so that pages have the rest.
		rest(ctx, min(2*time.Since(begun), longestRest))
	}
}

// longestRest is how long what came in waits at most before it is foreseen.
const longestRest = 5 * time.Second

func rest(ctx context.Context, d time.Duration) {
	t := time.NewTimer(d)
	defer t.Stop()
	select {
	case <-ctx.Done():
	case <-t.C:
	}
}
