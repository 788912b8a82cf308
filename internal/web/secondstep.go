package web

import (
	"crypto/rand"
	"encoding/base32"
	"errors"
	"html/template"
	"net/http"
	"strings"
	"time"

	"github.com/pquerna/otp"
	"github.com/pquerna/otp/hotp"

	"rinsewright/internal/store"
)

// Codes are those of RFC 6238 with what every device's program takes: six
// digits, a new one each half minute.
var codeShape = hotp.ValidateOpts{Digits: otp.DigitsSix, Algorithm: otp.AlgorithmSHA1}

const (
	codeSpan = 30 // seconds
	// codeSlack is how many spans a device's clock may be off, either way.
	codeSlack = 1
	// spareCodes are printed for the day the device is lost.
	spareCodes = 8
	// halfWay is how long somebody may look for their device.
	halfWay = 5 * time.Minute
)

const (
	codeKind   = "code"
	stepCookie = "rinsewright-step"
)

var base32Plain = base32.StdEncoding.WithPadding(base32.NoPadding)

// newSecret is 160 bits, as RFC 4226 advises.
func newSecret() string {
	var b [20]byte
	_, _ = rand.Read(b[:]) // never fails, by the promise of crypto/rand
	return base32Plain.EncodeToString(b[:])
}

// spanOf is the span of time whose code this is. What was typed with blanks is
// read without.
func spanOf(code, secret string, now time.Time) (int64, bool) {
	code = strings.Join(strings.Fields(code), "")
	span := now.Unix() / codeSpan
	for _, s := range []int64{span, span - codeSlack, span + codeSlack} {
		if ok, err := hotp.ValidateCustom(code, uint64(s), secret, codeShape); err == nil && ok {
			return s, true
		}
	}
	return 0, false
}

// takes tells whether a code is the person's, and takes it: one from the device,
// or one from paper.
func (v *visit) takes(person string, step store.SecondStep, code string) (bool, error) {
	var err error
	if span, ok := spanOf(code, step.Secret, v.options.Now()); ok {
		err = v.store.TakeSpan(v.r.Context(), person, span)
	} else {
		err = v.store.TakeSpare(v.r.Context(), person, spareHash(person, code))
	}
	if errors.Is(err, store.ErrTaken) {
		return false, nil
	}
	return err == nil, err
}

// newSpares are codes for paper, and their hashes. A code of 128 bits is kept
// safely by a plain hash.
func newSpares(person string) (codes, hashes []string) {
	for range spareCodes {
		var b [16]byte
		_, _ = rand.Read(b[:]) // never fails, by the promise of crypto/rand
		c := strings.ToLower(base32Plain.EncodeToString(b[:]))
		codes = append(codes, inFours(c))
		hashes = append(hashes, spareHash(person, c))
	}
	return codes, hashes
}

func spareHash(person, code string) string {
	return tokenHash(person + " " + strings.ToLower(strings.Join(strings.Fields(code), "")))
}

// asksCode remembers that a person's password was right, and asks for the code.
func (v *visit) asksCode(person store.Person, next string) error {
	secret, err := v.goHalfWay(store.HalfWay{Kind: codeKind, Person: person.ID, Data: next})
	if err != nil {
		return err
	}
	v.stepCookie(secret, halfWay)
	return v.redirect("/sign-in/code")
}

// goHalfWay keeps what was asked and returns the secret that finds it again.
func (v *visit) goHalfWay(h store.HalfWay) (string, error) {
	secret := newToken()
	h.Hash, h.Ends = tokenHash(secret), v.options.Now().Add(halfWay)
	return secret, v.store.AddHalfWay(v.r.Context(), h)
}

func (v *visit) stepCookie(secret string, lasts time.Duration) {
	v.keepCookie(stepCookie, secret, lasts, http.SameSiteStrictMode)
}

// stepped is what the visitor was asked half-way. The error wraps
// [store.ErrNone] when that is over.
func (v *visit) stepped(kind string) (store.HalfWay, error) {
	c, err := v.keptCookie(stepCookie)
	if err != nil {
		return store.HalfWay{}, store.ErrNone
	}
	return v.store.HalfWay(v.r.Context(), kind, tokenHash(c.Value))
}

// tookTooLong says that what was asked half-way is over.
func tookTooLong(err error) error {
	if errors.Is(err, store.ErrNone) {
		return refuse(http.StatusConflict, "That took too long, or was done already.", "Begin again.")
	}
	return err
}

type codeForm struct{ Wrong string }

func (v *visit) codePage() error {
	if _, err := v.stepped(codeKind); err != nil {
		return tookTooLong(err)
	}
	return v.show(http.StatusOK, "code.html", "Sign in", "", codeForm{})
}

// code ends signing in with a code.
func (v *visit) code() error {
	if err := v.form(); err != nil {
		return err
	}
	asked, err := v.stepped(codeKind)
	if err != nil {
		return tookTooLong(err)
	}
	if !v.signIns.allow("code " + asked.Person) {
		return v.show(http.StatusTooManyRequests, "code.html", "Sign in", "", codeForm{"Too many tries. Wait a minute."})
	}
	person, err := v.store.PersonByID(v.r.Context(), asked.Person)
	if err != nil {
		return err
	}
	step, err := v.store.SecondStep(v.r.Context(), person.ID)
	if err != nil {
		return err
	}
	ok, err := v.takes(person.ID, step, v.r.PostFormValue("code"))
	if err != nil {
		return err
	}
	if !ok {
		return v.show(http.StatusUnauthorized, "code.html", "Sign in", "", codeForm{"This code is not right, or was used before. Wait for the next one."})
	}
	if err := v.store.EndHalfWay(v.r.Context(), asked.Hash); err != nil {
		return tookTooLong(err)
	}
	v.stepCookie("", -time.Second)
	if err := v.begin(person); err != nil {
		return err
	}
	return v.redirect(asked.Data)
}

// offered is what a device takes up to make codes: a picture for its camera, and
// the same to be typed.
type offeredStep struct {
	QR     template.HTML
	Secret string // in fours
}

// offerStep shows a new secret.
func (v *visit) offerStep() error {
	page, ok, err := v.accountBehindPassword("step")
	if err != nil || !ok {
		return err
	}
	secret := newSecret()
	if err := v.store.OfferSecondStep(v.r.Context(), v.person(), secret); errors.Is(err, store.ErrConflict) {
		return v.redirect("/account")
	} else if err != nil {
		return err
	}
	return v.showOffered(http.StatusOK, page, secret)
}

func (v *visit) showOffered(status int, page accountView, secret string) error {
	key := "otpauth://totp/rinsewright:" + escapePath(v.session.Person.Login) + "?issuer=rinsewright&secret=" + secret
	picture, err := qr(key)
	if err != nil {
		return err
	}
	page.Offered = &offeredStep{picture, inFours(secret)}
	return v.showAccount(status, page)
}

func inFours(s string) string {
	var parts []string
	for ; len(s) > 4; s = s[4:] {
		parts = append(parts, s[:4])
	}
	return strings.Join(append(parts, s), " ")
}

// confirmStep turns the step on once the device has shown a right code.
func (v *visit) confirmStep() error {
	if err := v.form(); err != nil {
		return err
	}
	step, err := v.store.SecondStep(v.r.Context(), v.person())
	if err != nil {
		return err
	}
	if step.Secret == "" || step.On {
		return v.redirect("/account")
	}
	var page accountView
	if !v.signIns.allow("code " + v.person()) {
		page.Wrong = map[string]string{"code": "Too many tries. Wait a minute."}
		return v.showOffered(http.StatusTooManyRequests, page, step.Secret)
	}
	span, ok := spanOf(v.r.PostFormValue("code"), step.Secret, v.options.Now())
	if !ok {
		page.Wrong = map[string]string{"code": "This code is not right. Is the clock of the device right?"}
		return v.showOffered(http.StatusUnprocessableEntity, page, step.Secret)
	}
	codes, hashes := newSpares(v.person())
	err = v.store.ConfirmSecondStep(v.r.Context(), v.person(), span, hashes, v.session.TokenHash)
	if errors.Is(err, store.ErrConflict) {
		return v.redirect("/account")
	}
	if err != nil {
		return err
	}
	page.Spares = codes
	return v.showAccount(http.StatusOK, page)
}

// endStep turns a person's own step off.
func (v *visit) endStep() error {
	_, ok, err := v.accountBehindPassword("step")
	if err != nil || !ok {
		return err
	}
	if err := v.store.EndSecondStep(v.r.Context(), v.person(), v.person()); err != nil {
		return err
	}
	return v.redirect("/account")
}
