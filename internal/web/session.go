package web

import (
	"crypto/rand"
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
	"errors"
	"net/http"
	"strings"
	"time"

	"rinsewright/internal/store"
)

// How long a sign-in lasts: without use, and at most.
const (
	quietFor = 7 * 24 * time.Hour
	longest  = 30 * 24 * time.Hour
	// touchEvery spares the disk: the last use is kept to this much.
	touchEvery = 5 * time.Minute
)

const cookieName = "rinsewright"

// enter finds out who asks and whether they may.
func (v *visit) enter(who may) error {
	if err := v.recognise(); err != nil {
		return err
	}
	if who == everyone {
		return nil
	}
	if !v.signedIn() {
		people, err := v.store.People(v.r.Context())
		if err != nil {
			return err
		}
		if len(people) == 0 {
			return v.redirect("/setup")
		}
		return refuse(http.StatusUnauthorized, "You are not signed in.", "Sign in and do it again.")
	}
	if strength[v.session.Person.Role] < who {
		return refuse(http.StatusForbidden, "Your role does not allow this.", "An owner can change your role on the page People.")
	}
	return nil
}

// recognise reads the cookie. A session that has been quiet or lasted too long
// is none.
func (v *visit) recognise() error {
	c, err := v.keptCookie(cookieName)
	if err != nil || c.Value == "" {
		return nil
	}
	s, err := v.store.Session(v.r.Context(), tokenHash(c.Value))
	if errors.Is(err, store.ErrNone) {
		return nil
	}
	if err != nil {
		return err
	}
	now := v.options.Now()
	if now.Sub(s.Seen) > quietFor || now.Sub(s.Created) > longest {
		return v.store.EndSession(v.r.Context(), s.TokenHash)
	}
	v.session = s
	v.asks(s.Person.ID)
	if now.Sub(s.Seen) > touchEvery {
		return v.store.SeenSession(v.r.Context(), s.TokenHash)
	}
	return nil
}

// begin signs a person in with a new token. A sign-in that this browser had
// before ends.
func (v *visit) begin(person store.Person) error {
	if v.signedIn() && v.session.TokenHash != "" {
		if err := v.store.EndSession(v.r.Context(), v.session.TokenHash); err != nil {
			return err
		}
	}
	token := newToken()
	if err := v.store.BeginSession(v.r.Context(), tokenHash(token), person.ID, v.options.Now().Add(-quietFor)); err != nil {
		return err
	}
	v.asks(person.ID)
	v.cookie(token, longest)
	return nil
}

func (v *visit) cookie(token string, lasts time.Duration) {
	v.keepCookie(cookieName, token, lasts, http.SameSiteLaxMode)
}

// newToken is a secret that nobody guesses.
func newToken() string {
	var secret [32]byte
	_, _ = rand.Read(secret[:]) // never fails, by the promise of crypto/rand
	return base64.RawURLEncoding.EncodeToString(secret[:])
}

func tokenHash(token string) string {
	sum := sha256.Sum256([]byte(token))
	return hex.EncodeToString(sum[:])
}

func (v *visit) signInPage() error {
	if v.signedIn() {
		return v.redirect("/")
	}
	people, err := v.store.People(v.r.Context())
	if err != nil {
		return err
	}
	if len(people) == 0 {
		return v.redirect("/setup")
	}
	return v.show(http.StatusOK, "signin.html", "Sign in", "", signInForm{Next: v.next(), Keys: v.noPasskeys() == ""})
}

type signInForm struct {
	Login, Next, Wrong string
	Keys               bool // passkeys can be at this address
}

func (v *visit) signIn() error {
	if err := v.form(); err != nil {
		return err
	}
	login, password := v.r.PostFormValue("login"), v.r.PostFormValue("password")
	form := signInForm{Login: login, Next: v.next(), Keys: v.noPasskeys() == ""}
	// The address first: who has used up its tries takes none of the name's.
	if !v.signIns.allow("from "+v.neighbours(v.r)) || !v.passwords.allow("login "+strings.ToLower(strings.TrimSpace(login))) {
		form.Wrong = "Too many tries. Wait a minute."
		return v.show(http.StatusTooManyRequests, "signin.html", "Sign in", "", form)
	}
	person, err := v.store.PersonByLogin(v.r.Context(), login)
	if err != nil && !errors.Is(err, store.ErrNone) {
		return err
	}
	ok, err := v.matches(v.r.Context(), password, person.Password)
	if err != nil {
		return err
	}
	if !ok {
		form.Wrong = "Name and password do not fit together."
		return v.show(http.StatusUnauthorized, "signin.html", "Sign in", "", form)
	}
	return v.letIn(person, form.Next)
}

// letIn signs in whose password was right, by way of their second step.
func (v *visit) letIn(person store.Person, next string) error {
	step, err := v.store.SecondStep(v.r.Context(), person.ID)
	if err != nil {
		return err
	}
	if step.On {
		return v.asksCode(person, next)
	}
	if err := v.begin(person); err != nil {
		return err
	}
	return v.redirect(next)
}

// next is where to go after signing in: a path of ours, never another site.
func (v *visit) next() string {
	next := v.r.FormValue("next")
	if !strings.HasPrefix(next, "/") || strings.HasPrefix(next, "//") || strings.ContainsAny(next, "\\\r\n\t") {
		return "/"
	}
	return next
}

func (v *visit) signOut() error {
	if err := v.store.EndSession(v.r.Context(), v.session.TokenHash); err != nil {
		return err
	}
	v.cookie("", -time.Second)
	return v.redirect("/sign-in")
}
