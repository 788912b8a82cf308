package web

import (
	"net/http"
	"time"
)

// cookieNamed is a cookie's name as browsers hold a site to it: behind these
// prefixes a cookie comes by the encrypted line only, and at the root of a host
// from that host only.
func (v *visit) cookieNamed(name string) string {
	switch {
	case !v.encrypted(v.r):
		return name
	case v.options.Base == "":
		return "__Host-" + name
	}
	return "__Secure-" + name
}

// keepCookie leaves something in the browser, which only this server reads. It
// is the one place that sets cookies.
func (v *visit) keepCookie(name, value string, lasts time.Duration, same http.SameSite) {
	http.SetCookie(v.w, &http.Cookie{
		Name: v.cookieNamed(name), Value: value, Path: v.options.Base + "/", MaxAge: int(lasts / time.Second),
		HttpOnly: true, Secure: v.encrypted(v.r), SameSite: same,
	})
}

func (v *visit) keptCookie(name string) (*http.Cookie, error) {
	return v.r.Cookie(v.cookieNamed(name))
}
