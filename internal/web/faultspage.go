package web

import (
	"bytes"
	"context"
	_ "embed"
	"errors"
	"fmt"
	"html/template"
	"net/http"
	"strings"

	"rinsewright/faults"
	"rinsewright/internal/door"
	"rinsewright/internal/paper"
	"rinsewright/internal/sitefile"
	"rinsewright/internal/store"
	"rinsewright/site"
	"rinsewright/study"
)

//go:embed assets/faults.js
var faultsScript string

// faultsView is the page of what may be wrong at a site.
type faultsView struct {
	Site  store.Site
	Said  string // remarks that somebody adds
	Read  string // a reading of now, as a log has it
	File  string // of the site with what was logged, for a phone without signal
	Taken string
	Body  template.HTML
	Slow  bool
	Why   string

	Units, Decimal string // the reader's
}

func (p faultsView) unfinished() bool { return p.Slow }

// suspicion is what a finding answers: the same has the same answer.
type suspicion struct {
	hash, sample, said, read string
	reader                   reader
}

type found struct {
	body  template.HTML
	taken string
	err   error
}

// mostSaid is how many letters of remarks are weighed.
const mostSaid = 400

// faultsPage shows what may be wrong, from the site's own readings and words and
// from what is said in the address.
func (v *visit) faultsPage() error {
	kept, record, locale, err := v.found()
	if err != nil {
		return err
	}
	reads, err := v.reader()
	if err != nil {
		return err
	}
	samples, err := v.store.Samples(v.r.Context(), kept.ID, 200)
	if err != nil {
		return err
	}
	asked := v.r.URL.Query()
	page := faultsView{Site: kept, Said: oneLine(asked.Get("said")), Read: oneLine(asked.Get("read")), Units: reads.unitsWord(), Decimal: reads.Decimal()}
	if len(page.Said)+len(page.Read) > mostSaid {
		return refuse(http.StatusUnprocessableEntity, "That is more than is weighed at once.", "Say it in a sentence or two.")
	}
	q := suspicion{hash: kept.Hash, said: page.Said, read: page.Read, reader: reads}
	if len(samples) > 0 {
		q.sample = samples[0].ID
	}
	withSamples(record, samples, locale)
	page.File = string(sitefile.Update([]byte(kept.File), record, locale))
	ctx, stop := context.WithTimeout(v.r.Context(), patience)
	defer stop()
	answer, err := v.findings.ask(ctx, q, func(ctx context.Context) found { return v.suspect(ctx, q, record) })
	switch {
	case v.r.Context().Err() != nil:
		return v.r.Context().Err()
	case err != nil:
		page.Slow = true
	case errors.Is(answer.err, errNoReading):
		page.Why = answer.err.Error()
	case errors.Is(answer.err, faults.ErrRange):
		page.Why = "A reading is beyond what such a gauge can show: " + answer.err.Error() + "."
	case answer.err != nil:
		page.Why = door.Unanswered(answer.err)
	default:
		page.Body, page.Taken = answer.body, answer.taken
	}
	return v.show(http.StatusOK, "faults.html", "What may be wrong at "+kept.Name, "sites", page)
}

var errNoReading = errors.New("that is no reading")

func (s *Server) suspect(ctx context.Context, q suspicion, record *site.Site) (out found) {
	ask := study.FaultQuestion{Options: study.Options{Seed: 1, Looks: siteLooks, Units: q.reader.units, Locale: q.reader.locale}, Path: true}
	if q.said != "" {
		ask.Words = strings.Split(q.said, ". ")
	}
	if q.read != "" {
		r, err := site.ParseReading(q.read, q.reader.locale)
		if err != nil {
			return found{err: fmt.Errorf("%w: %w", errNoReading, err)}
		}
		ask.Read = append(ask.Read, r.Reading)
	}
	answer, err := study.Faults(ctx, record, ask)
	if err != nil {
		return found{err: err}
	}
	var b bytes.Buffer
	out.err = paper.FaultsBody(&b, answer, paper.Options{Units: q.reader.units, Locale: q.reader.locale, Language: q.reader.language, Version: s.options.Version})
	out.body, out.taken = template.HTML(b.String()), paper.FaultsTaken(answer) //nolint:gosec // made by a template of package paper
	return out
}
