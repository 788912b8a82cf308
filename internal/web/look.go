package web

import (
	_ "embed"
	"net/http"
	"slices"
	"strings"
	"time"
)

//go:embed assets/keys.js
var keysScript string

//go:embed assets/look.css
var lookStyle string

// lookCookie keeps how a device shows pages: the same person reads in a bay at
// noon and at a desk at night.
const lookCookie = "rinsewright-look"

// themes are the looks there are; empty is as the device says.
var themes = []string{"", "light", "dark", "sun"}

// look is how a device shows pages.
type look struct {
	Theme string // one of themes
	Quiet bool   // single keys are not heard
}

// Scheme is what the browser is told, for its own fields and scroll bars.
func (l look) Scheme() string {
	switch l.Theme {
	case "dark":
		return "dark"
	case "light", "sun":
		return "light"
	}
	return "light dark"
}

// look is how the visitor's device shows pages. What is not known is left out.
func (v *visit) look() (l look) {
	c, err := v.keptCookie(lookCookie)
	if err != nil {
		return l
	}
	theme, keys, _ := strings.Cut(c.Value, ".")
	if slices.Contains(themes, theme) {
		l.Theme = theme
	}
	l.Quiet = keys == "off"
	return l
}

// setDevice sets how this device shows pages.
func (v *visit) setDevice() error {
	if err := v.form(); err != nil {
		return err
	}
	theme := v.r.PostFormValue("theme")
	if !slices.Contains(themes, theme) {
		return refuse(http.StatusUnprocessableEntity, "That is none of the choices.", "Choose one of those on the page.")
	}
	keys := "off"
	if v.r.PostFormValue("keys") == "on" {
		keys = "on"
	}
	v.keepCookie(lookCookie, theme+"."+keys, 365*24*time.Hour, http.SameSiteLaxMode)
	return v.redirect("/settings?saved")
}
