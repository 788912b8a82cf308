package web

import (
	_ "embed"
	"encoding/base64"
	"encoding/json"
	"errors"
	"fmt"
	"net"
	"net/http"
	"strings"
	"time"

	"github.com/go-webauthn/webauthn/protocol"
	"github.com/go-webauthn/webauthn/webauthn"

	"rinsewright/internal/store"
)

//go:embed assets/passkeys.js
var passkeyScript string

// The ceremonies of Web Authentication: making a passkey, and signing in with
// one.
const (
	makeKind = "passkey-make"
	signKind = "passkey-sign"
)

// noPasskeys says why none can be made at this address: browsers want a host
// with a name and an encrypted line, or the machine itself.
func (v *visit) noPasskeys() string {
	host := v.host()
	switch {
	case net.ParseIP(strings.Trim(host, "[]")) != nil:
		return "Passkeys need an address with a name, such as https://rinse.example; this one is a number."
	case host != "localhost" && !v.encrypted(v.r):
		return "Passkeys need an encrypted line, an address that begins with https."
	}
	return ""
}

// host is the name by which the visitor knows this machine.
func (v *visit) host() string {
	if host, _, err := net.SplitHostPort(v.r.Host); err == nil {
		return host
	}
	return v.r.Host
}

// relying is this program as the protocol calls it, at the address of the visit.
func (v *visit) relying() (*webauthn.WebAuthn, error) {
	if why := v.noPasskeys(); why != "" {
		return nil, refuse(http.StatusConflict, why, "Sign in with the password.")
	}
	origin := strings.TrimSuffix(v.root(), v.options.Base)
	return webauthn.New(&webauthn.Config{
		RPID: v.host(), RPDisplayName: "rinsewright", RPOrigins: []string{origin},
		AuthenticatorSelection: protocol.AuthenticatorSelection{ResidentKey: protocol.ResidentKeyRequirementRequired, UserVerification: protocol.VerificationRequired},
		AttestationPreference:  protocol.PreferNoAttestation,
	})
}

// keyHolder is a person as the protocol's library asks about them.
type keyHolder struct {
	store.Person
	keys []webauthn.Credential
}

func (h keyHolder) WebAuthnID() []byte                         { return []byte(h.ID) }
func (h keyHolder) WebAuthnName() string                       { return h.Login }
func (h keyHolder) WebAuthnDisplayName() string                { return h.Name }
func (h keyHolder) WebAuthnCredentials() []webauthn.Credential { return h.keys }

// holder gathers the keys of a person that were made for this address.
func (v *visit) holder(person store.Person) (keyHolder, error) {
	kept, err := v.store.Passkeys(v.r.Context(), person.ID)
	h := keyHolder{Person: person}
	for _, k := range kept {
		if k.Host != v.host() {
			continue
		}
		var c webauthn.Credential
		if err := json.Unmarshal([]byte(k.Record), &c); err != nil {
			return h, fmt.Errorf("read a passkey: %w", err)
		}
		h.keys = append(h.keys, c)
	}
	return h, err
}

// askDevice sends the browser what its device is to sign, and remembers it.
func (v *visit) askDevice(kind, person string, options any, session *webauthn.SessionData) error {
	data, err := json.Marshal(session)
	if err != nil {
		return err
	}
	secret, err := v.goHalfWay(store.HalfWay{Kind: kind, Person: person, Data: string(data)})
	if err != nil {
		return err
	}
	v.stepCookie(secret, halfWay)
	return v.receiptJSON(options)
}

func (v *visit) receiptJSON(x any) error {
	v.w.Header().Set("Content-Type", "application/json")
	v.w.Header().Set("Cache-Control", "no-store")
	v.done = true
	return json.NewEncoder(v.w).Encode(x)
}

// deviceAsked is what was asked of the device that answers now; it answers once.
func (v *visit) deviceAsked(kind string) (session webauthn.SessionData, err error) {
	asked, err := v.stepped(kind)
	if err == nil {
		err = v.store.EndHalfWay(v.r.Context(), asked.Hash)
	}
	if err != nil {
		return session, tookTooLong(err)
	}
	v.stepCookie("", -time.Second)
	return session, json.Unmarshal([]byte(asked.Data), &session)
}

// beginPasskey begins to make one, for who gives the password anew.
func (v *visit) beginPasskey() error {
	if err := v.form(); err != nil {
		return err
	}
	ok, err := v.knowsPassword(v.r.PostFormValue("password"))
	if err != nil {
		return err
	}
	if !ok {
		return refuse(http.StatusUnprocessableEntity, "This is not your password.", "")
	}
	us, err := v.relying()
	if err != nil {
		return err
	}
	holder, err := v.holder(v.session.Person)
	if err != nil {
		return err
	}
	options, session, err := us.BeginRegistration(holder, webauthn.WithExclusions(webauthn.Credentials(holder.keys).CredentialDescriptors()))
	if err != nil {
		return fmt.Errorf("begin a passkey: %w", err)
	}
	return v.askDevice(makeKind, v.person(), options, session)
}

// addPasskey keeps the one that a device made.
func (v *visit) addPasskey() error {
	us, err := v.relying()
	if err != nil {
		return err
	}
	session, err := v.deviceAsked(makeKind)
	if err != nil {
		return err
	}
	holder := keyHolder{Person: v.session.Person}
	key, err := us.FinishRegistration(holder, session, v.r)
	if err != nil {
		return &problem{http.StatusUnprocessableEntity, "The device's answer does not fit.", "Try again, or keep to the password.", err}
	}
	record, err := json.Marshal(key)
	if err != nil {
		return err
	}
	err = v.store.AddPasskey(v.r.Context(), store.Passkey{ID: keyID(key.ID), Person: v.person(), Name: v.keyName(), Host: v.host(), Record: string(record)})
	if errors.Is(err, store.ErrTaken) {
		return refuse(http.StatusConflict, "This device has a passkey already.", "")
	}
	if err != nil {
		return err
	}
	return v.receiptJSON(map[string]string{"next": v.options.Base + "/account"})
}

func keyID(id []byte) string { return base64.RawURLEncoding.EncodeToString(id) }

// keyName is what a person calls the device.
func (v *visit) keyName() string {
	name := strings.Join(strings.Fields(v.r.URL.Query().Get("name")), " ")
	if name == "" || len(name) > 100 {
		return v.say("A device")
	}
	return name
}

func (v *visit) endPasskey() error {
	_, ok, err := v.accountBehindPassword("passkey")
	if err != nil || !ok {
		return err
	}
	if err := v.store.EndPasskey(v.r.Context(), v.person(), v.r.PathValue("passkey")); err != nil && !errors.Is(err, store.ErrNone) {
		return err
	}
	return v.redirect("/account")
}

// beginPasskeySignIn asks whatever device is there to say who it is.
func (v *visit) beginPasskeySignIn() error {
	if !v.signIns.allow("begin " + v.neighbours(v.r)) {
		return refuse(http.StatusTooManyRequests, "Too many tries. Wait a minute.", "")
	}
	us, err := v.relying()
	if err != nil {
		return err
	}
	options, session, err := us.BeginDiscoverableLogin(webauthn.WithUserVerification(protocol.VerificationRequired))
	if err != nil {
		return fmt.Errorf("begin to sign in with a passkey: %w", err)
	}
	return v.askDevice(signKind, "", options, session)
}

// passkeySignIn signs a person in whose device signed. The device has asked for a
// finger, a face or its own code, which is the second step.
func (v *visit) passkeySignIn() error {
	if !v.signIns.allow("from " + v.neighbours(v.r)) {
		return refuse(http.StatusTooManyRequests, "Too many tries. Wait a minute.", "")
	}
	us, err := v.relying()
	if err != nil {
		return err
	}
	session, err := v.deviceAsked(signKind)
	if err != nil {
		return err
	}
	user, key, err := us.FinishPasskeyLogin(func(_, handle []byte) (webauthn.User, error) {
		person, err := v.store.PersonByID(v.r.Context(), string(handle))
		if err != nil {
			return nil, err
		}
		return v.holder(person)
	}, session, v.r)
	if err != nil {
		return &problem{http.StatusUnauthorized, "This device is not known here.", "Sign in with the password.", err}
	}
	record, err := json.Marshal(key)
	if err != nil {
		return err
	}
	if key.Authenticator.CloneWarning {
		return refuse(http.StatusUnauthorized, "This passkey seems to be a copy.", "Sign in with the password and take it away.")
	}
	if err := v.store.UsedPasskey(v.r.Context(), keyID(key.ID), string(record)); err != nil {
		return err
	}
	if err := v.begin(user.(keyHolder).Person); err != nil {
		return err
	}
	return v.receiptJSON(map[string]string{"next": v.options.Base + v.next()})
}
