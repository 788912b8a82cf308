package web

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"html/template"
	"time"

	"rinsewright/internal/paper"
	"rinsewright/internal/store"
	"rinsewright/quantity"
	"rinsewright/site"
	"rinsewright/study"
)

// tracked is what the log foresees, made ready for a page.
type tracked struct {
	body template.HTML
	asOf string
	err  error
}

// foresee puts on the page what the tracker makes of the log: how each part
// wore, with its band through time, and when it comes due.
func (v *visit) foresee(page *trendsView, kept store.Site, record *site.Site, locale quantity.Locale, reads reader) error {
	samples, err := v.store.Samples(v.r.Context(), kept.ID, 1000)
	if err != nil {
		return err
	}
	q := question{hash: kept.Hash, reader: reads}
	if len(samples) > 0 {
		q.sample = samples[0].ID
	}
	withSamples(record, samples, locale)
	ctx, stop := context.WithTimeout(v.r.Context(), patience)
	defer stop()
	answer, err := v.forecasts.ask(ctx, q, func(context.Context) (t tracked) {
		f, err := study.Forecast(record, study.Options{Seed: 1, Looks: siteLooks, Units: reads.units, Locale: reads.locale}, time.Time{})
		if err != nil {
			return tracked{err: err}
		}
		t.asOf = fmt.Sprintf("As of %s, from %d visits.", f.AsOf.Format("2 January 2006"), f.Visits)
		var b bytes.Buffer
		t.err = paper.ForecastBody(&b, f, paper.Options{Units: reads.units, Locale: reads.locale, Language: reads.language, Version: v.options.Version})
		t.body = template.HTML(b.String()) //nolint:gosec // made by a template of package paper
		return t
	})
	switch {
	case v.r.Context().Err() != nil:
		return v.r.Context().Err()
	case err != nil:
		page.Slow = true
	case errors.Is(answer.err, study.ErrNoLog):
		page.Untold = "Nothing is logged that tells how parts wear: a visit with readings begins it."
	case answer.err != nil:
		page.Untold = "The log foresees nothing yet: " + answer.err.Error() + "."
	default:
		page.Foreseen, page.AsOf = answer.body, answer.asOf
	}
	return nil
}
