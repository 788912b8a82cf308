package web

import (
	"context"
	"errors"
	"net/http"

	"rinsewright/internal/paper"
	"rinsewright/internal/paper/layout"
	"rinsewright/internal/store"
	"rinsewright/site"
	"rinsewright/study"
)

// mostPrinted are the photos of a paper that has no record to name them.
const mostPrinted = 12

// provedOn is what the record that stands proves, nil where there is none: the
// paper is then one to fill in. A record that cannot be judged is printed
// without verdicts.
func (v *visit) provedOn(kept store.Site, record *site.Site, reads reader) (*study.Proved, error) {
	c, ok := record.Baseline()
	if !ok {
		return nil, nil
	}
	proved := &study.Proved{}
	p, err := v.promises(kept, record, study.DayOf(c.Read), reads)
	if err == nil {
		if judged, err := p.Frozen(c.Promised).With(c.Instruments).Judge(c.Read); err == nil {
			proved = judged
		}
	} else if errors.Is(err, context.DeadlineExceeded) || errors.Is(err, context.Canceled) {
		return nil, refuse(http.StatusServiceUnavailable, "The promises are still being worked out.", "Ask for the paper again in a moment.")
	}
	proved.Record, proved.Corrects, proved.Changed = c, c.Corrects, c.Seal != "" && !c.Intact()
	return proved, nil
}

// printedPhotos are the photos of a paper: those that the record names, or the
// latest of the site. They were made small when they came in.
func (v *visit) printedPhotos(siteID string, kind paper.Kind, record *site.Site) (all []layout.Photo, err error) {
	if v.options.Photos == nil {
		return nil, nil
	}
	var photos []store.Photo
	c, ok := record.Baseline()
	switch {
	case kind.Name == "commissioning" && ok:
		for _, named := range c.Photos {
			p, err := v.store.Photo(v.r.Context(), siteID, named.Digest)
			if errors.Is(err, store.ErrNone) {
				continue // on its way
			}
			if err != nil {
				return nil, err
			}
			p.Words = named.Shows
			photos = append(photos, p)
		}
	case kind.Name == "service", kind.Name == "warranty":
		if photos, err = v.store.Photos(v.r.Context(), siteID, mostPrinted); err != nil {
			return nil, err
		}
	}
	for _, p := range photos {
		content, err := v.options.Photos.Content(p.Kept)
		if err != nil {
			return nil, err
		}
		all = append(all, layout.Photo{JPEG: content, Width: p.Width, Height: p.Height, Caption: p.Words})
	}
	return all, nil
}
