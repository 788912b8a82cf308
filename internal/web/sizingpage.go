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
	Before  string // when it was worked out, by a program that has stopped since
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
		if err := v.sizedBefore(&page, q); err != nil {
			return err
		}
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

// word names a question where sizings are kept.
func (q sizeQuestion) word(version, base string) string {
	return fmt.Sprint(q.hash, " ", q.parts, " ", q.reader, " ", version, " ", base)
}

// keepSizing keeps how a finished sizing looks.
func (s *Server) keepSizing(ctx context.Context, q sizeQuestion, found *sizing) {
	body, err := s.sizings.body(ctx, found, q, -1, s.options.Base+"/sites/"+q.site+"/sizing?point=")
	if err == nil {
		err = s.store.KeepSizing(ctx, q.site, q.word(s.options.Version, s.options.Base), string(body))
	}
	if err != nil {
		s.options.Log.Error("keep a sizing", "error", err.Error())
	}
}

// sizedBefore shows what a program found that has stopped since. A point of its
// frontier is not kept: it is searched for anew.
func (v *visit) sizedBefore(page *sizingView, q sizeQuestion) error {
	body, at, err := v.store.Sizing(v.r.Context(), q.site, q.word(v.options.Version, v.options.Base))
	switch {
	case errors.Is(err, store.ErrNone):
		return nil
	case err != nil:
		return err
	}
	page.Before, page.Body = at.Format("2 January 2006, 15:04"), template.HTML(body) //nolint:gosec // made by a template of package paper
	if v.r.URL.Query().Has("point") {
		page.Body, page.Why = "", "The program has started anew since this site was sized. Size it again to look at other points."
	}
	return nil
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
	return sizeQuestion{kept.ID, kept.Hash, list.Hash, reads}, err
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
