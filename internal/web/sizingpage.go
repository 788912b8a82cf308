package web

import (
	"context"
	"errors"
	"fmt"
	"html/template"
	"net/http"
	"strconv"
	"time"

	"rinsewright/internal/door"
	"rinsewright/internal/store"
	"rinsewright/study"
)

type sizingView struct {
	Site    store.Site
	Body    template.HTML
	Running bool
	Says    string // how far it is
	Why     string // there is none
}

func (p sizingView) unfinished() bool { return p.Running }

// sizingPage shows the sizing of the survey as it stands, or how far it is.
func (v *visit) sizingPage() error {
	kept, _, _, err := v.found()
	if err != nil {
		return err
	}
	q, err := v.sizeQuestion(kept)
	if err != nil {
		return err
	}
	page := sizingView{Site: kept}
	found := v.sizings.find(q)
	switch {
	case found == nil:
	case !found.over():
		page.Running, page.Says = true, found.progress(v.options.Now())
	case found.err != nil:
		page.Why = unsized(found.err)
	default:
		if page.Body, err = v.sizingBody(found, q, kept.ID); err != nil {
			return err
		}
	}
	return v.show(http.StatusOK, "sizing.html", "Sizing for "+kept.Name, "sites", page)
}

func (v *visit) sizingBody(found *sizing, q sizeQuestion, id string) (template.HTML, error) {
	point := -1
	if word := v.r.URL.Query().Get("point"); word != "" {
		n, err := strconv.Atoi(word)
		if err != nil {
			return "", refuse(http.StatusNotFound, "There is no such system on the frontier.", "The table below the chart lists them.")
		}
		point = n - 1
	}
	body, err := v.sizings.body(v.r.Context(), found, q, point, v.options.Base+"/sites/"+id+"/sizing?point=")
	if errors.Is(err, study.ErrNoPoint) {
		return "", refuse(http.StatusNotFound, "There is no such system on the frontier.", "The table below the chart lists them.")
	}
	return body, err
}

// size begins a sizing; the page tells how far it is.
func (v *visit) size() error {
	kept, record, _, err := v.found()
	if err != nil {
		return err
	}
	q, err := v.sizeQuestion(kept)
	if err != nil {
		return err
	}
	parts, err := v.catalogue(v.r.Context())
	if err != nil {
		return err
	}
	v.sizings.begin(q, record, parts, v.options.Now())
	return v.redirect("/sites/" + kept.ID + "/sizing")
}

// sizeQuestion is what a sizing of the survey and the parts list as they stand
// answers.
func (v *visit) sizeQuestion(kept store.Site) (sizeQuestion, error) {
	reads, err := v.reader()
	if err != nil {
		return sizeQuestion{}, err
	}
	list, err := v.partList(v.r.Context())
	return sizeQuestion{kept.Hash, list.Hash, reads}, err
}

// progress says in words how far a sizing is.
func (s *sizing) progress(now time.Time) string {
	took := now.Sub(s.asked).Round(time.Second)
	if !s.begun.Load() {
		return fmt.Sprintf("Another site is being sized. This one waits for its turn, %v so far.", took)
	}
	judged := s.judged.Load()
	if judged == 0 {
		return "The catalogue's parts are laid out."
	}
	return fmt.Sprintf("%d judgements so far, in %v. Most sites take less than a minute; look at other pages meanwhile.", judged, took)
}

// unsized says why there is no sizing.
func unsized(err error) string {
	switch {
	case errors.Is(err, context.DeadlineExceeded), errors.Is(err, context.Canceled):
		return "The search found no end. Look for a number in the survey that is far too large."
	case errors.Is(err, study.ErrNoSample), errors.Is(err, study.ErrNoDemand):
		return door.Unanswered(err)
	}
	return "As the survey stands, nothing can be sized: " + err.Error() + "."
}
