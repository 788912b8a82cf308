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
)

// survey keeps what was changed in the form. Only fields that differ from what
// the form showed are changes; someone else's changes of other fields stay, and
// a field that both have changed is kept in both versions until somebody
// chooses.
func (v *visit) survey() error {
	if err := v.form(); err != nil {
		return err
	}
	e, kept, err := v.keepSurvey()
	if err != nil {
		return err
	}
	if v.fromPhone() {
		return v.surveyReceipt(e)
	}
	if len(e.wrong) == 0 {
		return v.redirect("/sites/" + kept.ID + "/survey?saved")
	}
	page := surveyView{Site: kept, Rev: e.base, Chapters: survey(e.site), Wrong: len(e.wrong), Decimal: reader{locale: e.typedIn}.Decimal()}
	spoken(page.Chapters, sitefile.Locale([]byte(kept.File)), e.typedIn)
	e.mark(page.Chapters)
	return v.showSurvey(http.StatusUnprocessableEntity, page, e.site)
}

// keepSurvey saves an edit unless something is wrong with it. Someone may be
// quicker between reading and saving; then it is merged anew.
func (v *visit) keepSurvey() (e edit, kept store.Site, err error) {
	for range 3 {
		if e, kept, err = v.trySurvey(); !errors.Is(err, store.ErrConflict) {
			return e, kept, err
		}
	}
	return e, kept, err
}

func (v *visit) trySurvey() (edit, store.Site, error) {
	kept, record, locale, err := v.found()
	if err != nil {
		return edit{}, kept, err
	}
	e, err := v.edited(kept, record, locale)
	if err != nil || len(e.wrong) > 0 {
		return e, kept, err
	}
	text := sitefile.Update([]byte(kept.File), e.site, locale)
	if _, err := v.store.SaveSite(v.r.Context(), v.person(), kept.ID, kept.Rev, string(text), e.held...); err != nil {
		return e, kept, err
	}
	v.wake()
	return e, kept, nil
}

// surveyReceipt answers a phone that has sent a survey by itself.
func (v *visit) surveyReceipt(e edit) error {
	for _, key := range sortedKeys(e.wrong) {
		return v.receipt(http.StatusUnprocessableEntity, fmt.Sprintf("%s: %s Open the survey and put it right.", fieldWords(key), e.wrong[key]))
	}
	if len(e.held) > 0 {
		return v.receipt(http.StatusConflict, "Somebody else had changed the same. The office keeps both, until somebody there chooses; the rest is saved.")
	}
	return v.receipt(http.StatusOK, "")
}

// edited is the record with what was touched in the form.
func (v *visit) edited(kept store.Site, record *site.Site, locale quantity.Locale) (edit, error) {
	e := edit{typed: map[string]string{}, wrong: map[string]string{}, base: kept.Rev}
	var err error
	if e.site, err = sitefile.Copy(record, locale); err != nil {
		return e, err
	}
	if e.typedIn, err = v.typedIn(); err != nil {
		return e, err
	}
	before, err := v.shown(&e, kept, record)
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
		err := sitefile.Set(e.site, f.Key, mine, locale)
		switch {
		case err != nil:
			e.wrong[f.Key] = door.WhatIsWrong(err)
		case now != was && mine != oneLine(now):
			e.held = append(e.held, store.FieldVersion{Field: f.Key, Base: e.base, First: now, Second: mine})
			err = sitefile.Set(e.site, f.Key, now, locale) // the first stands meanwhile
		}
		if err != nil && e.wrong[f.Key] == "" {
			e.wrong[f.Key] = door.WhatIsWrong(err)
		}
	})
	v.removed(e, before, record)
	for _, p := range e.site.Problems() {
		if e.wrong[p.Key] == "" {
			e.wrong[p.Key] = door.Wanted(p)
		}
	}
	return e, v.whoWasFirst(&e, kept)
}

// shown is the record as the form showed it.
func (v *visit) shown(e *edit, kept store.Site, record *site.Site) (*site.Site, error) {
	rev, err := strconv.ParseInt(v.r.PostFormValue("rev"), 10, 64)
	if err != nil || rev == kept.Rev {
		return record, nil
	}
	text, err := v.store.Revision(v.r.Context(), kept.ID, rev)
	if err != nil {
		return nil, err
	}
	e.base = rev
	return sitefile.Read("site.toml", []byte(text))
}

// mostEditions is how far back it is looked for who changed a field.
const mostEditions = 100

// whoWasFirst finds who gave the fields that are held the value that stands.
func (v *visit) whoWasFirst(e *edit, kept store.Site) error {
	if len(e.held) == 0 {
		return nil
	}
	editions, err := v.store.Editions(v.r.Context(), kept.ID, e.base, mostEditions)
	if err != nil {
		return err
	}
	var texts []*site.Site
	for _, x := range editions {
		text, err := sitefile.Read("site.toml", []byte(x.File))
		if err != nil {
			return err
		}
		texts = append(texts, text)
	}
	for i := range e.held {
		f := &e.held[i]
		for k, x := range editions { // the latest first
			if said(texts[k], f.Field, sitefile.Words(f.Field)) != f.First {
				break
			}
			f.FirstBy, f.FirstAt = x.By, x.At
		}
	}
	return nil
}

// removed takes away the parts that were ticked, the last of a list first. A
// part that somebody has changed meanwhile is not taken: its number may be that
// of another.
func (v *visit) removed(e edit, before, record *site.Site) {
	parts := slices.Clone(v.r.PostForm["remove"])
	slices.Sort(parts)
	slices.Reverse(parts)
	for _, part := range parts {
		if before != record && !samePart(before, record, part) {
			e.wrong[part] = "Somebody else has changed this meanwhile. Look at it, and take it away then."
			continue
		}
		sitefile.Remove(e.site, part)
	}
}

func samePart(a, b *site.Site, part string) bool {
	same := true
	each(survey(b), func(f *field) {
		if strings.HasPrefix(f.Key, part+".") && sitefile.Get(a, f.Key) != sitefile.Get(b, f.Key) {
			same = false
		}
	})
	return same
}

func orNothing(value string) string {
	if value == "" {
		return "nothing"
	}
	return strconv.Quote(value)
}
