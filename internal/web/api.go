package web

import (
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net/http"
	"strings"
	"time"

	"rinsewright/internal/sitefile"
	"rinsewright/internal/store"
)

// apiRoot is where programs ask; what changes so that they break goes to another.
const apiRoot = "/api/v1"

// apiRoute is one way in for programs. Everything here goes into the description
// that programs read, so a route without it does not exist.
type apiRoute struct {
	pattern string
	scope   store.Scope // none at all lets in nobody
	name    string      // of the operation
	says    string      // what it does, one sentence
	asks    []apiAsk    // behind the question mark
	sends   apiBody
	status  int // when all is well
	gives   apiBody
	etag    bool // the answer has a mark of its state
	match   bool // the change names the state it was made from
	do      func(*visit) error
}

// apiAsk is one question of an address.
type apiAsk struct{ name, kind, says, example string }

// apiBody is what is sent or given: its kind, a value of its type for JSON, and
// an example.
type apiBody struct {
	kind    string
	of      any
	example string
}

// openToAll stands in place of a scope where no token is asked for.
const openToAll store.Scope = "everyone"

// scopeMay is the role that somebody needs beside a token's scope.
var scopeMay = map[store.Scope]may{openToAll: everyone, store.ReadScope: readers, store.LogScope: techs, store.WriteScope: techs, store.OwnScope: owners}

const (
	jsonKind    = "application/json"
	tomlKind    = "application/toml"
	csvKind     = "text/csv"
	problemKind = "application/problem+json"
)

// apiProblem is an error as RFC 9457 writes it, with a code that programs
// branch on and what a person can do.
type apiProblem struct {
	Type   string             `json:"type"`
	Title  string             `json:"title"`
	Status int                `json:"status"`
	Detail string             `json:"detail"`
	Code   string             `json:"code"`
	Fix    string             `json:"fix"`
	Errors []sitefile.Problem `json:"errors,omitempty"`
}

// coded is an error that has a code of its own.
type coded struct {
	code string
	error
}

func (c coded) Unwrap() error { return c.error }

func refuseCoded(code string, status int, says, fix string) error {
	return coded{code, refuse(status, says, fix)}
}

// apiTitles are the codes, and what each means whatever the request.
var apiTitles = map[string]string{
	"no-token":      "The request carries no token that is known here.",
	"token-expired": "The token's time is over.",
	"no-scope":      "The token does not let it do this.",
	"not-allowed":   "The person who made the token may not do this.",
	"not-there":     "There is nothing at this address.",
	"not-readable":  "What was sent cannot be read.",
	"not-accepted":  "What was sent was read and cannot be kept or used.",
	"no-answer":     "The engine has no answer to this site as it is.",
	"no-match":      "A change says from which state it was made.",
	"changed":       "Somebody else changed it since.",
	"conflict":      "It stands against something that is there.",
	"key-reused":    "The same key came with another request before.",
	"key-under-way": "The same request is still under way.",
	"too-large":     "What was sent is too large.",
	"too-many":      "Too many requests.",
	"busy":          "It takes too long right now.",
	"our-side":      "Something is wrong on our side.",
}

// apiCodes are the codes of errors that have none of their own.
var apiCodes = map[int]string{
	400: "not-readable", 401: "no-token", 403: "not-allowed", 404: "not-there", 409: "conflict", 412: "changed", 413: "too-large",
	422: "not-accepted", 428: "no-match", 429: "too-many", 503: "busy", 507: "busy",
}

func (s *Server) apiRoute(route apiRoute) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		v := &visit{Server: s, w: w, r: r, route: route.pattern}
		w.Header().Set("Cache-Control", "no-store")
		token, err := v.enterAPI(route.scope)
		if err == nil && r.Method != http.MethodGet && r.Header.Get("Idempotency-Key") != "" && token.ID != "" {
			err = v.once(token, route.do)
		} else if err == nil {
			err = route.do(v)
		}
		if err != nil {
			v.failAPI(err)
		}
	})
}

// enterAPI finds out which token asks and whether it may.
func (v *visit) enterAPI(scope store.Scope) (token store.Token, err error) {
	if scope == openToAll {
		return token, nil
	}
	text, ok := strings.CutPrefix(v.r.Header.Get("Authorization"), "Bearer ")
	if !ok || text == "" {
		return token, refuseCoded("no-token", http.StatusUnauthorized, "There is no token in the header Authorization.", "Send Authorization: Bearer TOKEN. An owner makes tokens on the page Tokens or with rinsewright token make.")
	}
	token, person, err := v.store.TokenByHash(v.r.Context(), tokenHash(strings.TrimSpace(text)))
	if errors.Is(err, store.ErrNone) {
		return token, refuseCoded("no-token", http.StatusUnauthorized, "This token is not known here, or was ended.", "Ask an owner for another.")
	}
	if err != nil {
		return token, err
	}
	now := v.options.Now()
	if !now.Before(token.Expires) {
		return token, refuseCoded("token-expired", http.StatusUnauthorized, "This token expired on "+token.Expires.Format("2 January 2006")+".", "Ask an owner for another.")
	}
	if !token.May(scope) {
		return token, refuseCoded("no-scope", http.StatusForbidden, fmt.Sprintf("This needs the scope %s.", scope), "Ask an owner for a token that has it.")
	}
	if strength[person.Role] < scopeMay[scope] {
		return token, refuseCoded("not-allowed", http.StatusForbidden, "The person who made this token may not do this.", "A person with a stronger role makes another token.")
	}
	v.session.Person = person
	v.asks(person.ID)
	if now.Sub(token.Used) > touchEvery {
		return token, v.store.UsedToken(v.r.Context(), token.ID)
	}
	return token, nil
}

// failAPI answers with what went wrong.
func (v *visit) failAPI(err error) {
	p := v.apiProblem(err)
	if p.Status >= 500 {
		v.options.Log.Error("refused", "route", v.route, "error", err.Error())
	}
	h := v.w.Header()
	h.Set("Content-Type", problemKind)
	if p.Status == http.StatusUnauthorized {
		h.Set("WWW-Authenticate", `Bearer realm="rinsewright"`)
	}
	v.w.WriteHeader(p.Status)
	e := json.NewEncoder(v.w)
	e.SetEscapeHTML(false)
	if err := e.Encode(p); err != nil {
		v.options.Log.Error("answer a program", "error", err.Error())
	}
}

func (v *visit) apiProblem(err error) apiProblem {
	var c coded
	var large *http.MaxBytesError
	said := explained(err)
	out := apiProblem{Status: said.status, Detail: said.says, Fix: said.hint}
	switch {
	case errors.As(err, &c):
		out.Code = c.code
	case errors.As(err, &large):
		out.Status, out.Detail, out.Fix = http.StatusRequestEntityTooLarge, fmt.Sprintf("At most %d bytes are taken here.", large.Limit), "Send less at once."
	case problemsOf(err) != nil:
		out.Status, out.Detail, out.Fix = http.StatusUnprocessableEntity, "This is no site file as it stands.", "Each of the errors says where, what was read and what was wanted."
		out.Errors = problemsOf(err)
	}
	out.Code = cmp.Or(out.Code, apiCodes[out.Status], "our-side")
	out.Type, out.Title = v.options.Base+apiRoot+"/problems/"+out.Code, apiTitles[out.Code]
	var told interface{ problems() []sitefile.Problem }
	if errors.As(err, &told) {
		out.Errors = told.problems()
	}
	return out
}

// give answers with an object.
func (v *visit) give(status int, object any) error {
	b, err := json.Marshal(object)
	if err != nil {
		return err
	}
	v.w.Header().Set("Content-Type", jsonKind)
	v.w.WriteHeader(status)
	_, err = v.w.Write(append(b, '\n'))
	return err
}

// giveMarked answers with an object and the mark of its state, or that it is as
// the asker has it.
func (v *visit) giveMarked(status int, mark string, object any) error {
	v.w.Header().Set("ETag", `"`+mark+`"`)
	if v.has(mark) {
		v.w.WriteHeader(http.StatusNotModified)
		return nil
	}
	return v.give(status, object)
}

// has tells whether the asker says to have this state.
func (v *visit) has(mark string) bool {
	return v.r.Method == http.MethodGet && mark != "" && marked(v.r.Header.Get("If-None-Match"), mark)
}

// marked tells whether a list of marks holds one; a weak mark of the same state
// is the same.
func marked(list, mark string) bool {
	for _, one := range strings.Split(list, ",") {
		one = strings.TrimPrefix(strings.TrimSpace(one), "W/")
		if one == `"`+mark+`"` || one == "*" {
			return true
		}
	}
	return false
}

// madeFrom refuses a change that was not made from the present state.
func (v *visit) madeFrom(mark string) error {
	said := v.r.Header.Get("If-Match")
	if said == "" {
		return refuseCoded("no-match", http.StatusPreconditionRequired, "The request does not say from which state the change was made.", "Read it first, and send its ETag as If-Match.")
	}
	if strings.HasPrefix(strings.TrimSpace(said), "W/") || !marked(said, mark) {
		return refuseCoded("changed", http.StatusPreconditionFailed, "It is not any more as it was when the change was made.", "Read it again, make the change anew and send the new ETag.")
	}
	return nil
}

// body reads what was sent.
func (v *visit) body() (string, error) {
	b, err := io.ReadAll(v.r.Body)
	var large *http.MaxBytesError
	if errors.As(err, &large) {
		return "", err
	}
	if err != nil {
		return "", &problem{http.StatusBadRequest, "The request did not arrive whole.", "Send it again.", err}
	}
	return string(b), nil
}

// taken reads an object that was sent; a field that is not known is an error,
// since it may be a known one mistyped.
func (v *visit) taken(into any) error {
	text, err := v.body()
	if err != nil {
		return err
	}
	d := json.NewDecoder(strings.NewReader(text))
	d.DisallowUnknownFields()
	if err := d.Decode(into); err != nil {
		return &problem{http.StatusBadRequest, "What was sent is not the object that is wanted here: " + strings.TrimPrefix(err.Error(), "json: ") + ".", "The description at " + apiRoot + "/openapi.json shows it.", err}
	}
	if d.More() {
		return refuse(http.StatusBadRequest, "More than one object was sent.", "Send one.")
	}
	return nil
}

// longer lets an answer take more than a page's minute.
func (v *visit) longer(most time.Duration) error {
	err := http.NewResponseController(v.w).SetWriteDeadline(time.Now().Add(most))
	if errors.Is(err, http.ErrNotSupported) { // a server without limits
		return nil
	}
	return err
}
