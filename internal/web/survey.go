package web

import (
	"fmt"
	"net/http"
	"slices"
	"strings"

	"rinsewright/internal/door"
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
	Rev      int64 // that the form shows
	Cards    []fieldCard
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
	page := surveyView{Site: kept, Rev: kept.Rev, Chapters: survey(record), Saved: v.r.URL.Query().Has("saved"), Decimal: reads.Decimal()}
	if page.Cards, err = v.fieldCardsOf(kept); err != nil {
		return err
	}
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

// edit is a survey as someone changed it.
type edit struct {
	site  *site.Site
	typed map[string]string // the fields that were touched, as they were typed
	wrong map[string]string // what could not be taken, by key

	held    []store.FieldVersion // what somebody else changed first
	typedIn quantity.Locale      // how the form writes numbers
	base    int64                // revision that the form showed
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
	for _, f := range e.held {
		view.Wrong = append(view.Wrong, door.Wrong{Key: f.Field, Says: fmt.Sprintf("Someone else saved %s since you opened this. Both stay when you save, and you choose.", orNothing(quantity.Rewrite(f.First, locale, e.typedIn)))})
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
