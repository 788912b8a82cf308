package web

import (
	"bytes"
	"context"
	"errors"
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
	body   template.HTML
	asOf   string
	gauges []study.GaugeTrend // what the membrane's gauges should have read
	trends []study.Trend
	err    error
}

// foresee puts on the page what the tracker makes of the log: how each part
// wore, with its band through time, and when it comes due.
func (v *visit) foresee(page *trendsView, kept store.Site, record *site.Site, locale quantity.Locale, reads reader) (tracked, error) {
	answer, err := v.tracked(kept, record, locale, reads)
	switch {
	case v.r.Context().Err() != nil:
		return answer, v.r.Context().Err()
	case errors.Is(err, context.DeadlineExceeded):
		page.Slow = true
	case err != nil:
		return answer, err
	case errors.Is(answer.err, study.ErrNoLog):
		page.Untold = "Nothing is logged that tells how parts wear: a visit with readings begins it."
	case answer.err != nil:
		page.Untold = "The log foresees nothing yet: " + answer.err.Error() + "."
	default:
		page.Foreseen, page.AsOf = answer.body, answer.asOf
	}
	return answer, nil
}

// tracked asks the tracker about a site's log, as long as a page waits.
func (v *visit) tracked(kept store.Site, record *site.Site, locale quantity.Locale, reads reader) (tracked, error) {
	samples, err := v.store.Samples(v.r.Context(), kept.ID, 1000)
	if err != nil {
		return tracked{}, err
	}
	q := question{hash: kept.Hash, reader: reads}
	if len(samples) > 0 {
		q.sample = samples[0].ID
	}
	withSamples(record, samples, locale)
	ctx, stop := context.WithTimeout(v.r.Context(), patience)
	defer stop()
	return v.forecasts.ask(ctx, q, func(context.Context) (t tracked) {
		o := study.Options{Seed: 1, Looks: siteLooks, Units: reads.units, Locale: reads.locale}
		f, err := study.Forecast(record, o, time.Time{})
		if err != nil {
			return tracked{err: err}
		}
		t.trends = f.Trends
		t.asOf = v.sayf("As of %s, from %d visits.", v.speaker().Date(f.AsOf), f.Visits)
		if t.gauges, t.err = study.GaugeTrends(record, o); t.err != nil {
			return t
		}
		var b bytes.Buffer
		t.err = paper.ForecastBody(&b, f, paper.Options{Units: reads.units, Locale: reads.locale, Language: reads.language, Version: v.options.Version, Steps: true})
		t.body = template.HTML(b.String()) //nolint:gosec // made by a template of package paper
		return t
	})
}
