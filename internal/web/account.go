package web

import (
	"net/http"
	"net/url"

	"rinsewright/internal/store"
)

// accountView is how a person signs in: password, second step, passkeys.
type accountView struct {
	Step     store.SecondStep
	Offered  *offeredStep
	Spares   []string // shown this once
	Spared   int      // how many are left
	Passkeys []store.Passkey
	Why      string // no passkey can be made here, and why
	Changed  bool
	Wrong    map[string]string
}

func (v *visit) account() error {
	return v.showAccount(http.StatusOK, accountView{Changed: v.r.URL.Query().Has("changed")})
}

func (v *visit) showAccount(status int, page accountView) error {
	var err error
	if page.Step, err = v.store.SecondStep(v.r.Context(), v.person()); err != nil {
		return err
	}
	page.Spared = int(page.Step.Spares)
	if page.Passkeys, err = v.store.Passkeys(v.r.Context(), v.person()); err != nil {
		return err
	}
	page.Why = v.noPasskeys()
	return v.show(status, "account.html", "How you sign in", "settings", page)
}

// accountBehindPassword asks for the password anew before what would let
// somebody else in who finds a phone lying open.
func (v *visit) accountBehindPassword(field string) (page accountView, ok bool, err error) {
	if err := v.form(); err != nil {
		return page, false, err
	}
	ok, err = v.knowsPassword(v.r.PostFormValue("password"))
	if err != nil || ok {
		return page, ok, err
	}
	page.Wrong = map[string]string{field: "This is not your password."}
	return page, false, v.showAccount(http.StatusUnprocessableEntity, page)
}

// knowsPassword tells whether it is the visitor's; too many tries are wrong ones.
func (v *visit) knowsPassword(password string) (bool, error) {
	if !v.passwords.allow("again " + v.person()) {
		return false, nil
	}
	return v.matches(v.r.Context(), password, v.session.Person.Password)
}

// setPassword changes a person's own password.
func (v *visit) setPassword() error {
	page, ok, err := v.accountBehindPassword("password")
	if err != nil || !ok {
		return err
	}
	wanted := v.r.PostFormValue("new")
	if why := wrongPassword(wanted, v.session.Person.Login); why != "" {
		page.Wrong = map[string]string{"new": why}
		return v.showAccount(http.StatusUnprocessableEntity, page)
	}
	kept, err := v.hashed(v.r.Context(), wanted)
	if err != nil {
		return err
	}
	if err := v.store.OwnPassword(v.r.Context(), v.person(), kept, v.session.TokenHash); err != nil {
		return err
	}
	return v.redirect("/account?changed")
}

func escapePath(s string) string { return url.PathEscape(s) }
