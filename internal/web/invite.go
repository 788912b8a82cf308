package web

import (
	"errors"
	"net/http"
	"time"

	"rinsewright/internal/store"
)

// invitationLasts is how long a link to set a password is good.
const invitationLasts = 3 * 24 * time.Hour

// invite makes a link with which a person sets their password, and shows it this
// once.
func (v *visit) invite() error {
	person, err := v.store.PersonByID(v.r.Context(), v.r.PathValue("id"))
	if err != nil {
		return err
	}
	return v.showInvited(person)
}

func (v *visit) showInvited(person store.Person) error {
	secret := newToken()
	if err := v.store.Invite(v.r.Context(), v.person(), person.ID, tokenHash(secret), v.options.Now().Add(invitationLasts)); err != nil {
		return err
	}
	return v.showPeople(http.StatusOK, peopleView{Role: store.Tech, Invited: person.Name, Link: v.root() + "/welcome?link=" + secret})
}

// root is the address under which the visitor sees the pages.
func (v *visit) root() string {
	scheme := "http"
	if v.encrypted(v.r) {
		scheme = "https"
	}
	return scheme + "://" + v.r.Host + v.options.Base
}

type welcomeForm struct {
	Link, Name, Login, Wrong string
}

// invited finds who a link was made for.
func (v *visit) invited() (welcomeForm, error) {
	link := v.r.FormValue("link")
	asked, err := v.store.HalfWay(v.r.Context(), store.InviteKind, tokenHash(link))
	if err != nil {
		return welcomeForm{}, overLink(err)
	}
	person, err := v.store.PersonByID(v.r.Context(), asked.Person)
	return welcomeForm{Link: link, Name: person.Name, Login: person.Login}, overLink(err)
}

func overLink(err error) error {
	if errors.Is(err, store.ErrNone) {
		return refuse(http.StatusNotFound, "This link is over, or was used.", "An owner makes a new one on the page People.")
	}
	return err
}

func (v *visit) welcomePage() error {
	form, err := v.invited()
	if err != nil {
		return err
	}
	return v.show(http.StatusOK, "welcome.html", "Welcome", "", form)
}

// welcome sets the password and signs in; a second step that the person has is
// asked for as ever.
func (v *visit) welcome() error {
	if err := v.form(); err != nil {
		return err
	}
	form, err := v.invited()
	if err != nil {
		return err
	}
	password := v.r.PostFormValue("password")
	if form.Wrong = wrongPassword(password, form.Login); form.Wrong != "" {
		return v.show(http.StatusUnprocessableEntity, "welcome.html", "Welcome", "", form)
	}
	kept, err := v.hashed(v.r.Context(), password)
	if err != nil {
		return err
	}
	person, err := v.store.Welcome(v.r.Context(), tokenHash(form.Link), kept)
	if err != nil {
		return overLink(err)
	}
	return v.letIn(person, "/")
}
