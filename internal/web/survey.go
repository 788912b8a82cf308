package web

import (
	"errors"
	"fmt"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"rinsewright/internal/door"
	"rinsewright/internal/sitefile"
	"rinsewright/internal/store"
	"rinsewright/quantity"
	"rinsewright/site"
	"rinsewright/study"
)

type surveyView struct {
	Site     store.Site
	Chapters []chapter
	Wrong    int // fields that could not be taken
	Sheet    sheetView
	Saved    bool
	Decimal  string // how the form writes numbers
	Units    string // us or si
}

func (v *visit) surveyPage() error {
	kept, record, locale, err := v.found()
	if err != nil {
		return err
	}
	reads, err := v.reader()
	if err != nil {
		return err
	}
	page := surveyView{Site: kept, Chapters: survey(record), Saved: v.r.URL.Query().Has("saved"), Decimal: reads.Decimal()}
	spoken(page.Chapters, locale, reads.locale)
	return v.showSurvey(http.StatusOK, page, record)
}

func (v *visit) showSurvey(status int, page surveyView, record *site.Site) error {
	reads, err := v.reader()
	if err != nil {
		return err
	}
	page.Units = reads.unitsWord()
	if page.Sheet, err = v.water(record); err != nil {
		return err
	}
	return v.show(status, "survey.html", "Survey of "+page.Site.Name, "sites", page)
}

// survey keeps what was changed in the form. Only fields that differ from what
// the form showed are changes; someone else's changes of other fields stay.
func (v *visit) survey() error {
	if err := v.form(); err != nil {
		return err
	}
	for range 3 { // someone may be quicker between reading and saving
		err := v.trySurvey()
		if !errors.Is(err, store.ErrConflict) {
			return err
		}
	}
	return store.ErrConflict
}

func (v *visit) trySurvey() error {
	kept, record, locale, err := v.found()
	if err != nil {
		return err
	}
	e, err := v.edited(kept, record, locale)
	if err != nil {
		return err
	}
	if len(e.wrong) == 0 {
		text := sitefile.Update([]byte(kept.File), e.site, locale)
		if _, err := v.store.SaveSite(v.r.Context(), v.person(), kept.ID, kept.Rev, string(text)); err != nil {
			return err
		}
		v.wake()
		return v.redirect("/sites/" + kept.ID + "/survey?saved")
	}
	page := surveyView{Site: kept, Chapters: survey(e.site), Wrong: len(e.wrong), Decimal: reader{locale: e.typedIn}.Decimal()}
	spoken(page.Chapters, locale, e.typedIn)
	e.mark(page.Chapters)
	return v.showSurvey(http.StatusUnprocessableEntity, page, e.site)
}

// edit is a survey as someone changed it.
type edit struct {
	site  *site.Site
	typed map[string]string // the fields that were touched, as they were typed
	wrong map[string]string // what could not be taken, by key

	typedIn quantity.Locale // how the form writes numbers
}

// mark shows an edit in the form: what was typed, and what is wrong with it.
func (e edit) mark(all []chapter) {
	told := map[string]bool{}
	each(all, func(f *field) {
		if typed, touched := e.typed[f.Key]; touched {
			f.Value = typed
		}
		if f.Wrong = e.wrong[f.Key]; f.Wrong != "" {
			told[f.Key] = true
		}
	})
	for _, key := range sortedKeys(e.wrong) { // about a part and not one field
		each(all, func(f *field) {
			if !told[key] && f.Wrong == "" && strings.HasPrefix(f.Key, key+".") {
				f.Wrong, told[key] = e.wrong[key], true
			}
		})
	}
}

// edited is the record with what was touched in the form.
func (v *visit) edited(kept store.Site, record *site.Site, locale quantity.Locale) (edit, error) {
	e := edit{typed: map[string]string{}, wrong: map[string]string{}}
	var err error
	if e.site, err = sitefile.Copy(record, locale); err != nil {
		return e, err
	}
	if e.typedIn, err = v.typedIn(); err != nil {
		return e, err
	}
	before, err := v.shown(kept, record)
	if err != nil {
		return e, err
	}
	each(survey(e.site), func(f *field) {
		typed, sent := v.r.PostForm[f.Key]
		was, now := said(before, f.Key, f.Words), said(record, f.Key, f.Words)
		if !sent {
			return
		}
		mine := f.settled(oneLine(typed[0]), e.typedIn, locale)
		if mine == oneLine(was) {
			return // not touched
		}
		e.typed[f.Key] = typed[0]
		if now != was && mine != oneLine(now) {
			e.wrong[f.Key] = fmt.Sprintf("Two versions: someone else saved %s since you opened this. Save again to keep yours.", orNothing(quantity.Rewrite(now, locale, e.typedIn)))
			return
		}
		if err := sitefile.Set(e.site, f.Key, mine, locale); err != nil {
			e.wrong[f.Key] = door.WhatIsWrong(err)
		}
	})
	v.removed(e.site)
	for _, p := range e.site.Problems() {
		if e.wrong[p.Key] == "" {
			e.wrong[p.Key] = door.Wanted(p)
		}
	}
	return e, nil
}

// shown is the record as the form showed it.
func (v *visit) shown(kept store.Site, record *site.Site) (*site.Site, error) {
	rev, err := strconv.ParseInt(v.r.PostFormValue("rev"), 10, 64)
	if err != nil || rev == kept.Rev {
		return record, nil
	}
	text, err := v.store.Revision(v.r.Context(), kept.ID, rev)
	if err != nil {
		return nil, err
	}
	return sitefile.Read("site.toml", []byte(text))
}

// removed takes away the parts that were ticked, the last of a list first.
func (v *visit) removed(s *site.Site) {
	parts := slices.Clone(v.r.PostForm["remove"])
	slices.Sort(parts)
	slices.Reverse(parts)
	for _, part := range parts {
		sitefile.Remove(s, part)
	}
}

func orNothing(value string) string {
	if value == "" {
		return "nothing"
	}
	return strconv.Quote(value)
}

// sheetView is the water sheet as it stands beside the survey.
type sheetView struct {
	Why string // there is none
	*door.WaterSheet
	Wrong []door.Wrong
}

// sheet answers the script with the water sheet for what stands in the form.
func (v *visit) sheet() error {
	if err := v.form(); err != nil {
		return err
	}
	kept, record, locale, err := v.found()
	if err != nil {
		return err
	}
	e, err := v.edited(kept, record, locale)
	if err != nil {
		return err
	}
	view, err := v.water(e.site)
	if err != nil {
		return err
	}
	for _, key := range sortedKeys(e.wrong) {
		view.Wrong = append(view.Wrong, door.Wrong{Key: key, Says: e.wrong[key]})
	}
	return v.fragment("survey.html", "sheet", view)
}

func sortedKeys[V any](m map[string]V) []string {
	keys := make([]string, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	slices.Sort(keys)
	return keys
}

func (v *visit) water(record *site.Site) (out sheetView, err error) {
	reads, err := v.reader()
	if err != nil {
		return out, err
	}
	sheet, err := door.Water(v.r.Context(), record, study.Options{Seed: 1, Units: reads.units, Locale: reads.locale})
	if err != nil {
		if v.r.Context().Err() != nil {
			return out, err
		}
		return sheetView{Why: door.Unanswered(err)}, nil
	}
	return sheetView{WaterSheet: sheet}, nil
}
