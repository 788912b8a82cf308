package web

import (
	"net/http"
	"slices"
	"time"

	"rinsewright/internal/store"
)

// versionCard is two versions of one sample, side by side.
type versionCard struct {
	ID, Site, Name string
	Sides          []versionSide
}

type versionSide struct {
	Title, Place, Says, Who, When, Arrived string
}

type versionsView struct {
	Samples []versionCard
	Fields  []fieldCard
}

// versions shows what came in twice, so that somebody chooses: readings under
// one number, and fields of a record that two have changed. Nothing is decided by
// itself.
func (v *visit) versions() error {
	pairs, err := v.store.Versions(v.r.Context(), 100)
	if err != nil {
		return err
	}
	names, err := v.names()
	if err != nil {
		return err
	}
	var page versionsView
	for _, pair := range pairs {
		card := versionCard{ID: pair.ID, Site: pair.First.Site}
		card.Name = v.siteName(card.Site)
		card.Sides = []versionSide{
			v.side("Came first", pair.First, pair.First.Received, names),
			v.side("Came later", pair.Second, pair.At, names),
		}
		page.Samples = append(page.Samples, card)
	}
	if page.Fields, err = v.fieldCards(); err != nil {
		return err
	}
	return v.show(http.StatusOK, "versions.html", "Two versions", "sites", page)
}

func (v *visit) siteName(id string) string {
	if site, err := v.store.Site(v.r.Context(), id); err == nil {
		return site.Name
	}
	return "a site that is off the list"
}

func (v *visit) side(title string, x store.Sample, arrived time.Time, names map[string]string) versionSide {
	local := x.Taken.Add(time.Duration(x.OffsetMinutes) * time.Minute).UTC()
	return versionSide{
		Title: title, Place: capital(placeWords(x.Place)), Says: spokenSample(v.speaker(), x), Who: names[x.Person],
		When: v.speaker().Clock(local), Arrived: v.speaker().Clock(arrived),
	}
}

func (v *visit) settle() error {
	if err := v.form(); err != nil {
		return err
	}
	choice := store.Choice(v.r.PostFormValue("choice"))
	if !slices.Contains(store.Choices, choice) {
		return refuse(http.StatusUnprocessableEntity, "That is none of the choices.", "Choose one of the two, or keep both.")
	}
	if err := v.store.Settle(v.r.Context(), v.person(), v.r.PathValue("id"), choice); err != nil {
		return err
	}
	v.foreseer.wake()
	return v.redirect("/versions")
}
