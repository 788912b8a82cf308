package web

import (
	"encoding/json"
	"errors"
	"net/http"
	"strconv"
	"strings"

	"rinsewright/internal/sitefile"
	"rinsewright/internal/store"
	"rinsewright/quantity"
	"rinsewright/site"
	"rinsewright/study"
)

// onOnePage is how many sites the list shows at once.
const onOnePage = 50

type siteRow struct {
	store.Row
	glance
	Next *nextView
}

// nextView is what runs out next at a site, in words.
type nextView struct{ State, Says string }

// nextOf reads what the forecast says of the list.
func nextOf(first string) (*nextView, error) {
	if first == "" {
		return nil, nil
	}
	var c study.Coming
	if err := json.Unmarshal([]byte(first), &c); err != nil {
		return nil, err
	}
	return &nextView{string(c.State), capital(c.Name) + ": " + c.Words()}, nil
}

type siteList struct {
	Rows           []siteRow
	Total          int64
	Typed          string
	From, To, Next int64
	Before         int64 // page before, -1 for none
	Practice       bool
	Waiting        bool // some are being looked at
	Versions       int
	Backup         string // why one is wanted today, for an owner
}

func (p siteList) unfinished() bool { return p.Waiting }

// sites lists the sites, those that need a person first. The script asks for
// the rows alone while someone types.
func (v *visit) sites() error {
	typed := strings.TrimSpace(v.r.URL.Query().Get("q"))
	skip, err := strconv.Atoi(v.r.URL.Query().Get("from"))
	if err != nil || skip < 0 || skip > 1_000_000 {
		skip = 0
	}
	reads, err := v.reader()
	if err != nil {
		return err
	}
	rows, total, err := v.store.SitesFor(v.r.Context(), reads.word(), typed, skip, onOnePage)
	if err != nil {
		return err
	}
	list := siteList{Total: total, Typed: typed, From: int64(skip) + 1, To: int64(skip + len(rows)), Before: -1}
	open, err := v.store.OpenVersions(v.r.Context())
	if err != nil {
		return err
	}
	list.Versions = int(open)
	if v.session.Person.Role == store.Owner && total > 0 {
		state, says, err := v.backupState()
		if err != nil {
			return err
		}
		if state == "today" {
			list.Backup = says
		}
	}
	for _, row := range rows {
		one := siteRow{Row: row}
		if row.Glance != "" {
			if err := json.Unmarshal([]byte(row.Glance), &one.glance); err != nil {
				return err
			}
		}
		if one.Next, err = nextOf(row.First); err != nil {
			return err
		}
		list.Practice = list.Practice || row.Practice
		list.Waiting = list.Waiting || !row.Current(v.options.Version)
		list.Rows = append(list.Rows, one)
	}
	if list.To < total {
		list.Next = list.To
	}
	if skip > 0 {
		list.Before = max(0, int64(skip-onOnePage))
	}
	if v.scripted() {
		return v.fragment("sites.html", "rows", v.frame("Sites", "sites", list))
	}
	return v.show(http.StatusOK, "sites.html", "Sites", "sites", list)
}

type newSiteForm struct {
	Name, Use, Text string
	Uses            []site.Use
	Wrong           map[string]string
	Problems        sitefile.Problems
}

func (v *visit) newSitePage() error {
	return v.show(http.StatusOK, "new.html", "New site", "sites", newSiteForm{Uses: site.Uses})
}

// newSite begins a survey: a name is enough.
func (v *visit) newSite() error {
	if err := v.form(); err != nil {
		return err
	}
	form := newSiteForm{Name: strings.TrimSpace(v.r.PostFormValue("name")), Use: v.r.PostFormValue("use"), Uses: site.Uses, Wrong: map[string]string{}}
	fresh := &site.Site{}
	if err := sitefile.Set(fresh, "site.name", form.Name, quantity.Locale{}); err != nil || fresh.Name == "" {
		form.Wrong["name"] = "Give it a name on one line."
	}
	if err := sitefile.Set(fresh, "site.use", form.Use, quantity.Locale{}); err != nil {
		form.Wrong["use"] = "Choose what gets rinsed."
	}
	if len(form.Wrong) > 0 {
		return v.show(http.StatusUnprocessableEntity, "new.html", "New site", "sites", form)
	}
	reads, err := v.reader()
	if err != nil {
		return err
	}
	kept, err := v.store.AddSite(v.r.Context(), v.person(), string(sitefile.Write(fresh, reads.locale)), false)
	if err != nil {
		return err
	}
	v.wake()
	return v.redirect("/sites/" + kept.ID + "/survey")
}

// found returns the site of the address, and its record.
func (v *visit) found() (store.Site, *site.Site, quantity.Locale, error) {
	kept, err := v.store.Site(v.r.Context(), v.r.PathValue("id"))
	if err != nil {
		return store.Site{}, nil, quantity.Locale{}, err
	}
	record, err := sitefile.Read("site.toml", []byte(kept.File))
	return kept, record, sitefile.Locale([]byte(kept.File)), err
}

func (v *visit) removeSite() error {
	if err := v.store.RemoveSite(v.r.Context(), v.person(), v.r.PathValue("id")); err != nil {
		return err
	}
	return v.redirect("/")
}

// problemsOf are what is wrong with a site file, when that is what err says.
func problemsOf(err error) sitefile.Problems {
	var ps sitefile.Problems
	if errors.As(err, &ps) {
		return ps
	}
	return nil
}
