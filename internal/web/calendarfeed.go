package web

import (
	"crypto/rand"
	"errors"
	"net/http"
	"slices"
	"strings"
	"time"

	"rinsewright/internal/paper"
	"rinsewright/internal/store"
	"rinsewright/study"
)

// feedLasts is how long an address of a calendar is good: phones ask for years.
const feedLasts = 5 * 365 * 24 * time.Hour

// feedWeeks is how far ahead a calendar tells.
const feedWeeks = 26

// feedView is what the page says of a person's calendar.
type feedView struct {
	Address string    // shown once, when it was made
	Since   time.Time // one was made then; zero for none
	Used    time.Time
}

// feeds are the tokens of a person's calendars that last.
func (v *visit) feeds() ([]store.Token, error) {
	all, err := v.store.Tokens(v.r.Context())
	return slices.DeleteFunc(all, func(t store.Token) bool { return t.Person != v.person() || t.Gone || !t.May(store.CalendarScope) }), err
}

func (v *visit) feedOf(address string) (f feedView, err error) {
	mine, err := v.feeds()
	if err != nil || len(mine) == 0 {
		return feedView{}, err
	}
	return feedView{Address: address, Since: mine[0].Created, Used: mine[0].Used}, nil
}

// setFeed makes a new address for a person's calendar; the old one ends. The
// address holds the secret, so it is shown now and never again.
func (v *visit) setFeed() error {
	if err := v.form(); err != nil {
		return err
	}
	mine, err := v.feeds()
	if err != nil {
		return err
	}
	for _, t := range mine {
		if err := v.store.EndToken(v.r.Context(), v.person(), t.ID); err != nil && !errors.Is(err, store.ErrNone) {
			return err
		}
	}
	if v.r.PostFormValue("do") == "end" {
		return v.redirect("/trips#calendar")
	}
	secret := strings.ToLower(rand.Text())
	_, err = v.store.AddToken(v.r.Context(), v.person(), store.Token{
		Hash: tokenHash(secret), Name: "calendar of trips", Scopes: []store.Scope{store.CalendarScope}, Expires: v.options.Now().Add(feedLasts),
	})
	if err != nil {
		return err
	}
	return v.showTrips(http.StatusOK, v.ownAddress()+feedPath+secret+".ics")
}

const feedPath = "/calendar/"

// calendarFeed answers a calendar program, which has no sign-in but the address.
func (v *visit) calendarFeed() error {
	secret, ok := strings.CutSuffix(v.r.PathValue("secret"), ".ics")
	if !ok {
		return store.ErrNone
	}
	token, person, err := v.store.TokenByHash(v.r.Context(), tokenHash(secret))
	if err != nil {
		return err
	}
	now := v.options.Now()
	if !token.May(store.CalendarScope) || now.After(token.Expires) {
		return store.ErrNone
	}
	if now.Sub(token.Used) > touchEvery {
		if err := v.store.UsedToken(v.r.Context(), token.ID); err != nil {
			return err
		}
	}
	reads, err := v.readerOf(v.r.Context(), person)
	if err != nil {
		return err
	}
	p, _, _, err := v.plan(v.r.Context(), feedWeeks, reads)
	if err != nil {
		return err
	}
	if p.err != nil {
		return refuse(http.StatusConflict, "There is no plan of trips.", p.err.Error())
	}
	text := paper.Appointments("rinsewright trips", study.TripAppointments(p.plan), now)
	h := v.w.Header()
	h.Set("Content-Type", "text/calendar; charset=utf-8")
	h.Set("Content-Disposition", `inline; filename="trips.ics"`)
	h.Set("Cache-Control", "private, no-store")
	_, err = v.w.Write(text)
	return err
}
