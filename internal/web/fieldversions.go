package web

import (
	"fmt"
	"net/http"
	"slices"
	"strings"
	"time"

	"rinsewright/internal/door"
	"rinsewright/internal/sitefile"
	"rinsewright/internal/store"
	"rinsewright/quantity"
)

// fieldCard is one field of a record in two versions, side by side.
type fieldCard struct {
	ID, Site, Name string
	Field          string // in words
	Sides          []fieldSide
	May            bool // the visitor may choose
	Back           bool // to the survey afterwards
}

type fieldSide struct{ Title, Says, Who, When string }

// fieldCards are the fields of every site that nobody has chosen from yet.
func (v *visit) fieldCards() ([]fieldCard, error) {
	open, err := v.store.FieldVersions(v.r.Context(), 100)
	if err != nil {
		return nil, err
	}
	return v.cardsOf(open)
}

// fieldCardsOf are those of one site.
func (v *visit) fieldCardsOf(kept store.Site) ([]fieldCard, error) {
	all, err := v.store.FieldVersionsOf(v.r.Context(), kept.ID, 100)
	if err != nil {
		return nil, err
	}
	cards, err := v.cardsOf(slices.DeleteFunc(all, func(f store.FieldVersion) bool { return f.Settled }))
	for i := range cards {
		cards[i].Back = true
	}
	return cards, err
}

func (v *visit) cardsOf(open []store.FieldVersion) (cards []fieldCard, err error) {
	if len(open) == 0 {
		return nil, nil
	}
	names, err := v.names()
	if err != nil {
		return nil, err
	}
	reads, err := v.reader()
	if err != nil {
		return nil, err
	}
	for _, f := range open {
		card := fieldCard{ID: f.ID, Site: f.Site, Name: v.siteName(f.Site), Field: fieldWords(f.Field), May: v.frame("", "", nil).May["write"]}
		file := quantity.Locale{}
		if kept, err := v.store.Site(v.r.Context(), f.Site); err == nil {
			file = sitefile.Locale([]byte(kept.File))
		}
		side := func(title, says, by string, at time.Time) fieldSide {
			return fieldSide{title, orLeftOpen(asRead(f.Field, says, file, reads.locale)), names[by], at.Format("2 January 2006, 15:04")}
		}
		card.Sides = []fieldSide{side("Stands in the record", f.First, f.FirstBy, f.FirstAt), side("Came later", f.Second, f.SecondBy, f.SecondAt)}
		cards = append(cards, card)
	}
	return cards, nil
}

// asRead is one field of a file as the reader writes it.
func asRead(key, says string, file, reader quantity.Locale) string {
	_, example := sitefile.Example(key)
	if (field{Words: sitefile.Words(key), Example: example}).numeric() {
		return quantity.Rewrite(says, file, reader)
	}
	return says
}

func orLeftOpen(says string) string {
	if says == "" {
		return "left open"
	}
	return says
}

// fieldWords names a key of the record as the survey does.
func fieldWords(key string) string {
	parts := strings.Split(key, ".")
	title := capital(parts[0])
	for _, c := range chapters {
		if c.Section == parts[0] {
			title = c.Title
			if c.One != "" && len(parts) > 1 {
				title = capital(c.One) + " " + parts[1]
			}
		}
	}
	if len(parts) == 1 || len(parts) == 2 && title != capital(parts[0]) && strings.Trim(parts[1], "0123456789") == "" {
		return title
	}
	name := label(parts[len(parts)-1])
	if name != "pH" {
		name = strings.ToLower(name)
	}
	return title + ": " + name
}

// settleField keeps the one, the other or both values of a field. Where both
// stay, the record has the first and the story tells the second.
func (v *visit) settleField() error {
	if err := v.form(); err != nil {
		return err
	}
	choice := store.Choice(v.r.PostFormValue("choice"))
	if !slices.Contains(store.Choices, choice) {
		return refuse(http.StatusUnprocessableEntity, "That is none of the choices.", "Choose one of the two, or keep both.")
	}
	f, err := v.store.FieldVersion(v.r.Context(), v.r.PathValue("id"))
	if err != nil {
		return err
	}
	var rev int64
	text := ""
	if choice == store.SecondStands {
		if rev, text, err = v.withField(f); err != nil {
			return err
		}
	}
	if err := v.store.SettleField(v.r.Context(), v.person(), f.ID, choice, rev, text); err != nil {
		return err
	}
	v.wake()
	if v.r.PostFormValue("back") == "survey" {
		return v.redirect("/sites/" + f.Site + "/survey")
	}
	return v.redirect("/versions")
}

// withField is the text of a site with the second value of a field.
func (v *visit) withField(f store.FieldVersion) (int64, string, error) {
	kept, err := v.store.Site(v.r.Context(), f.Site)
	if err != nil {
		return 0, "", err
	}
	record, err := sitefile.Read("site.toml", []byte(kept.File))
	if err != nil {
		return 0, "", err
	}
	locale := sitefile.Locale([]byte(kept.File))
	err = sitefile.Set(record, f.Field, f.Second, locale)
	if err == nil && len(record.Problems()) > 0 {
		err = fmt.Errorf("%s: %s", f.Field, door.Wanted(record.Problems()[0]))
	}
	if err != nil {
		return 0, "", &problem{http.StatusUnprocessableEntity, "The record has changed so that this value does not fit any more.", "Keep the first, and put it right in the survey.", err}
	}
	return kept.Rev, string(sitefile.Update([]byte(kept.File), record, locale)), nil
}

// keptBeside are lines of the story that tell of values kept beside the record.
func (v *visit) keptBeside(site string, names map[string]string, add func(day string, line storyLine)) error {
	all, err := v.store.FieldVersionsOf(v.r.Context(), site, 100)
	if err != nil {
		return err
	}
	for _, f := range all {
		if f.Settled && f.Choice == store.BothStand {
			add(f.SecondAt.Format(time.DateOnly), storyLine{What: "survey", Says: fmt.Sprintf("%s: %s, kept beside %s", fieldWords(f.Field), orLeftOpen(f.Second), orLeftOpen(f.First)), Who: names[f.SecondBy]})
		}
	}
	return nil
}
