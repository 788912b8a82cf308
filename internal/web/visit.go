package web

import (
	"bytes"
	"net/http"
	"strings"

	"rinsewright/internal/say"
	"rinsewright/internal/store"
)

// visit is one request being answered.
type visit struct {
	*Server
	w       http.ResponseWriter
	r       *http.Request
	route   string
	session store.Session
	spoken  string       // the visitor's language, once it was asked
	speaks  *say.Speaker // of that language, once it was asked
	done    bool         // answered already
}

// signedIn tells whether someone is.
func (v *visit) signedIn() bool { return v.session.Person.ID != "" }

func (v *visit) person() string { return v.session.Person.ID }

// redirect sends the browser on after a change.
func (v *visit) redirect(to string) error {
	http.Redirect(v.w, v.r, v.options.Base+to, http.StatusSeeOther)
	v.done = true
	return nil
}

// frame is what every page shows around its own content.
type frame struct {
	Title   string
	Here    string // which entry of the navigation this is
	Person  store.Person
	May     map[string]bool
	Version string
	Engine  *engineLinks
	Look    look // how this device shows pages
	Page    any
}

func (v *visit) frame(title, here string, page any) frame {
	role := v.session.Person.Role
	return frame{
		Title: title, Here: here, Person: v.session.Person, Version: v.options.Version, Engine: v.engine.found.Load(), Look: v.look(), Page: page,
		May: map[string]bool{"write": role == store.Owner || role == store.Tech, "own": role == store.Owner},
	}
}

// unfinished is a page that the engine still works on, so that no phone keeps it.
type unfinished interface{ unfinished() bool }

// show answers with a page.
func (v *visit) show(status int, name, title, here string, page any) error {
	if p, ok := page.(unfinished); ok && p.unfinished() {
		v.w.Header().Set("X-Unfinished", "1")
	}
	return v.answer(status, func(b *bytes.Buffer) error {
		return v.pages.write(b, v.speaker(), name, "page", v.frame(title, here, page))
	})
}

// fragment answers with a part of a page, for the script that asked.
func (v *visit) fragment(name, part string, page any) error {
	return v.answer(http.StatusOK, func(b *bytes.Buffer) error { return v.pages.write(b, v.speaker(), name, part, page) })
}

// answer writes a whole page or nothing of it.
func (v *visit) answer(status int, write func(*bytes.Buffer) error) error {
	var b bytes.Buffer
	if err := write(&b); err != nil {
		return err
	}
	h := v.w.Header()
	h.Set("Content-Type", "text/html; charset=utf-8")
	h.Set("Cache-Control", "no-store")
	v.w.WriteHeader(status)
	_, err := v.w.Write(b.Bytes())
	return err
}

// fail shows what went wrong.
func (v *visit) fail(err error) {
	p := explained(err)
	if v.fromPhone() {
		if err := v.receipt(p.status, strings.TrimSpace(p.says+" "+p.hint)); err != nil {
			v.options.Log.Error("answer a phone", "error", err.Error())
		}
		return
	}
	if p.status == http.StatusUnauthorized && v.r.Method == http.MethodGet && !v.scripted() {
		http.Redirect(v.w, v.r, v.options.Base+"/sign-in?next="+escape(v.r.URL.RequestURI()), http.StatusSeeOther)
		return
	}
	if p.status >= 500 {
		v.options.Log.Error("refused", "route", v.route, "error", err.Error())
	}
	if err := v.show(p.status, "problem.html", p.says, "", map[string]string{"Says": p.says, "Hint": p.hint}); err != nil {
		v.options.Log.Error("show a problem", "error", err.Error())
	}
}

// scripted tells whether the page's own script asks, for a part of a page.
func (v *visit) scripted() bool { return v.r.Header.Get("X-Part") != "" }

// form reads what was posted. A form is small; a file comes apart.
func (v *visit) form() error {
	var err error
	if strings.HasPrefix(v.r.Header.Get("Content-Type"), "multipart/") {
		err = v.r.ParseMultipartForm(maxBody)
	} else {
		err = v.r.ParseForm()
	}
	if err != nil {
		return &problem{http.StatusBadRequest, "What was sent cannot be read.", "A form may hold 1 MB at most.", err}
	}
	return nil
}
