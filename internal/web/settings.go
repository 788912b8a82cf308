package web

import (
	"net/http"
	"slices"

	"rinsewright/internal/say"
)

// choice is one setting with the words it may be.
type choice struct {
	name, instead string
	words         []string
}

// shared are the settings of everyone, each with its default.
var shared = []choice{
	{"units", "us", []string{"us", "si"}},
	{"decimal", "point", []string{"point", "comma"}},
	{"paper", "letter", []string{"letter", "a4"}},
	{"language", "", []string{"", "en", "es"}},
}

type settingsView struct {
	All   map[string]string // everyone's
	Mine  map[string]string // the visitor's own, empty where it is everyone's
	Saved bool
	Look  look // of this device
}

func (v *visit) settings() error {
	p := v.session.Person
	page := settingsView{All: map[string]string{}, Mine: map[string]string{"units": p.Units, "decimal": p.Decimal, "language": p.Language}, Saved: v.r.URL.Query().Has("saved"), Look: v.look()}
	for _, c := range shared {
		value, err := v.store.Setting(v.r.Context(), c.name, c.instead)
		if err != nil {
			return err
		}
		page.All[c.name] = value
	}
	return v.show(http.StatusOK, "settings.html", "Settings", "settings", page)
}

// setSettings sets what holds for everyone.
func (v *visit) setSettings() error {
	if err := v.form(); err != nil {
		return err
	}
	for _, c := range shared {
		value := v.r.PostFormValue(c.name)
		if !slices.Contains(c.words, value) {
			return refuse(http.StatusUnprocessableEntity, "That is none of the choices.", "Choose one of those on the page.")
		}
		now, err := v.store.Setting(v.r.Context(), c.name, c.instead)
		if err != nil {
			return err
		}
		if value == now {
			continue
		}
		if err := v.store.Set(v.r.Context(), v.person(), c.name, value); err != nil {
			return err
		}
	}
	v.glances.wake()
	return v.redirect("/settings?saved")
}

// setMine sets how the visitor reads.
func (v *visit) setMine() error {
	if err := v.form(); err != nil {
		return err
	}
	units, decimal, language := v.r.PostFormValue("units"), v.r.PostFormValue("decimal"), v.r.PostFormValue("language")
	if !slices.Contains([]string{"", "us", "si"}, units) || !slices.Contains([]string{"", "point", "comma"}, decimal) || language != "" && !slices.Contains(say.Languages, language) {
		return refuse(http.StatusUnprocessableEntity, "That is none of the choices.", "Choose one of those on the page.")
	}
	if err := v.store.Reads(v.r.Context(), v.person(), units, decimal, language); err != nil {
		return err
	}
	v.keepLanguage(language)
	v.glances.wake()
	return v.redirect("/settings?saved")
}
