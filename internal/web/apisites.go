package web

import (
	"errors"
	"io"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"time"

	"rinsewright/internal/door"
	"rinsewright/internal/sitefile"
	"rinsewright/internal/store"
	"rinsewright/quantity"
)

// apiSite is a site without its file.
type apiSite struct {
	ID       string    `json:"id"`
	Name     string    `json:"name"`
	ETag     string    `json:"etag"` // SHA-256 of the file, to the letter
	Revision int64     `json:"revision"`
	Practice bool      `json:"practice"`
	Created  time.Time `json:"created"`
	Changed  time.Time `json:"changed"`
}

type apiSites struct {
	Sites []apiSite `json:"sites"`
	Next  string    `json:"next"` // for after, empty on the last page
}

func siteOf(s store.Site) apiSite {
	return apiSite{s.ID, s.Name, s.Hash, s.Rev, s.Practice, s.Created, s.Changed}
}

const (
	usualPage = 50
	mostPage  = 200
)

// page reads which page of a list is asked for.
func (v *visit) page() (limit int, after string, err error) {
	q := v.r.URL.Query()
	limit = usualPage
	if word := q.Get("limit"); word != "" {
		if limit, err = strconv.Atoi(word); err != nil || limit < 1 || limit > mostPage {
			return 0, "", refuse(http.StatusUnprocessableEntity, "The limit "+strconv.Quote(word)+" is no whole number from 1 to 200.", "limit=50 is usual.")
		}
	}
	return limit, q.Get("after"), nil
}

// nextPage tells in a header where the list goes on.
func (v *visit) nextPage(limit int, after string) {
	if after == "" {
		return
	}
	q := url.Values{"limit": {strconv.Itoa(limit)}, "after": {after}}
	v.w.Header().Set("Link", "<"+v.options.Base+v.r.URL.Path+"?"+q.Encode()+`>; rel="next"`)
}

func (v *visit) apiListSites() error {
	limit, after, err := v.page()
	if err != nil {
		return err
	}
	list, err := v.store.SitesAfter(v.r.Context(), after, limit+1)
	if err != nil {
		return err
	}
	out := apiSites{Sites: []apiSite{}}
	if len(list) > limit {
		list = list[:limit]
		out.Next = list[limit-1].ID
	}
	for _, s := range list {
		out.Sites = append(out.Sites, siteOf(s))
	}
	v.nextPage(limit, out.Next)
	return v.give(http.StatusOK, out)
}

// apiAddSite keeps a site file as it came. One that is here already is answered
// instead of kept twice.
func (v *visit) apiAddSite() error {
	text, err := v.body()
	if err != nil {
		return err
	}
	there, err := v.store.SiteByHash(v.r.Context(), store.Hash(text))
	if err == nil {
		return v.giveSite(http.StatusOK, there)
	}
	if !errors.Is(err, store.ErrNone) {
		return err
	}
	kept, err := v.store.AddSite(v.r.Context(), v.person(), text, false)
	if err != nil {
		return err
	}
	v.wake()
	v.w.Header().Set("Location", v.options.Base+apiRoot+"/sites/"+kept.ID)
	return v.giveSite(http.StatusCreated, kept)
}

func (v *visit) giveSite(status int, s store.Site) error {
	return v.giveMarked(status, s.Hash, siteOf(s))
}

func (v *visit) apiSite() error {
	kept, err := v.store.Site(v.r.Context(), v.r.PathValue("id"))
	if err != nil {
		return err
	}
	return v.giveSite(http.StatusOK, kept)
}

func (v *visit) apiSiteFile() error {
	kept, err := v.store.Site(v.r.Context(), v.r.PathValue("id"))
	if err != nil {
		return err
	}
	v.w.Header().Set("ETag", `"`+kept.Hash+`"`)
	if v.has(kept.Hash) {
		v.w.WriteHeader(http.StatusNotModified)
		return nil
	}
	v.w.Header().Set("Content-Type", tomlKind)
	_, err = io.WriteString(v.w, kept.File)
	return err
}

// matched returns the site of the address, when the change was made from its
// present state.
func (v *visit) matched() (store.Site, error) {
	kept, err := v.store.Site(v.r.Context(), v.r.PathValue("id"))
	if err != nil {
		return kept, err
	}
	return kept, v.madeFrom(kept.Hash)
}

func (v *visit) apiSaveSite() error {
	kept, err := v.matched()
	if err != nil {
		return err
	}
	text, err := v.body()
	if err != nil {
		return err
	}
	return v.saved(kept, text)
}

func (v *visit) saved(kept store.Site, text string) error {
	now, err := v.store.SaveSite(v.r.Context(), v.person(), kept.ID, kept.Rev, text)
	if errors.Is(err, store.ErrConflict) {
		return refuseCoded("changed", http.StatusPreconditionFailed, "Somebody was quicker.", "Read it again, make the change anew and send the new ETag.")
	}
	if err != nil {
		return err
	}
	v.wake()
	return v.giveSite(http.StatusOK, now)
}

// apiChangeSite sets fields of the survey by their names in the file; what stands
// beside them in the file stays, to the letter.
func (v *visit) apiChangeSite() error {
	fields := map[string]string{}
	if err := v.taken(&fields); err != nil {
		return err
	}
	if _, err := v.matched(); err != nil {
		return err
	}
	kept, record, locale, err := v.found()
	if err != nil {
		return err
	}
	changed, err := sitefile.Copy(record, locale)
	if err != nil {
		return err
	}
	numeric := map[string]bool{}
	each(survey(record), func(f *field) { numeric[f.Key] = f.numeric() })
	var wrong fieldProblems
	for _, key := range sortedKeys(fields) {
		text := fields[key]
		if numeric[key] { // programs write a decimal point, the file as it was begun
			text = quantity.Rewrite(text, quantity.Locale{}, locale)
		}
		if err := sitefile.Set(changed, key, text, locale); err != nil {
			wrong = append(wrong, problemsIn(key, fields[key], err)...)
		}
	}
	for _, p := range changed.Problems() {
		wrong = append(wrong, sitefile.Problem{Where: p.Key, Read: p.Read, Wanted: p.Wanted})
	}
	if len(wrong) > 0 {
		return wrong
	}
	return v.saved(kept, string(sitefile.Update([]byte(kept.File), changed, locale)))
}

// fieldProblems are fields that could not be taken.
type fieldProblems []sitefile.Problem

func (p fieldProblems) Error() string { return sitefile.Problems(p).Error() }

func (p fieldProblems) problems() []sitefile.Problem { return p }

func (p fieldProblems) Unwrap() error {
	return refuse(http.StatusUnprocessableEntity, "A field cannot be taken.", "Each of the errors says which, what was read and what was wanted.")
}

func fieldProblem(key, says string) sitefile.Problem {
	return sitefile.Problem{Where: key, Wanted: strings.TrimPrefix(strings.TrimPrefix(says, "Wanted: "), "Wanted ")}
}

func problemsIn(key, typed string, err error) []sitefile.Problem {
	if ps := problemsOf(err); ps != nil {
		return ps
	}
	return []sitefile.Problem{{Where: key, Read: strconv.Quote(typed), Wanted: strings.TrimSuffix(door.WhatIsWrong(err), ".")}}
}

func (v *visit) apiRemoveSite() error {
	if err := v.store.RemoveSite(v.r.Context(), v.person(), v.r.PathValue("id")); err != nil {
		return err
	}
	v.w.WriteHeader(http.StatusNoContent)
	return nil
}
