package web

import (
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/webauthn"
	"github.com/chromedp/chromedp"
	"github.com/pquerna/otp/hotp"
)

// published: RFC 6238, appendix B, the rows of SHA-1: times and codes of eight
// digits, of which a device shows the last six.
func TestCodesAreThoseOfTheStandard(t *testing.T) {
	secret := base32Plain.EncodeToString([]byte("12345678901234567890"))
	for _, x := range []struct {
		at   int64
		code string
	}{{59, "94287082"}, {1111111109, "07081804"}, {1111111111, "14050471"}, {1234567890, "89005924"}, {2000000000, "69279037"}, {20000000000, "65353130"}} {
		code, now := x.code[2:], time.Unix(x.at, 0)
		if span, ok := spanOf(code, secret, now); !ok || span != x.at/30 {
			t.Errorf("at %d, %s is of span %d, %v", x.at, code, span, ok)
		}
		if _, ok := spanOf(code[:3]+" "+code[3:], secret, now.Add(30*time.Second)); !ok {
			t.Errorf("%s is refused to a device whose clock is half a minute late", code)
		}
		if _, ok := spanOf(code, secret, now.Add(90*time.Second)); ok {
			t.Errorf("%s is taken a minute and a half later", code)
		}
	}
}

// codeAt is what a device shows so many spans from now.
func codeAt(t *testing.T, secret string, spans int64) string {
	t.Helper()
	code, err := hotp.GenerateCodeCustom(secret, uint64(time.Now().Unix()/codeSpan+spans), codeShape)
	if err != nil {
		t.Fatal(err)
	}
	return code
}

func TestASecondStepIsAskedForOnceItIsOn(t *testing.T) {
	s := serving(t)
	p := visits(t, s, 380)
	p.begins()
	p.open("/account")
	p.types("#stepword", "not my password")
	p.presses("Set it up")
	p.sees("This is not your password.")
	p.types("#stepword", password)
	p.presses("Set it up")
	p.sees("type the letters into it")
	p.accessible("the second step offered")
	p.shot("second-step-380", 380)
	secret := strings.ReplaceAll(p.text(`document.querySelector("#step ~ p code").textContent`), " ", "")
	p.types("#code", "000000")
	p.presses("Turn it on")
	p.sees("This code is not right.")
	p.types("#code", codeAt(t, secret, 0))
	p.presses("Turn it on")
	p.sees("The second step is on.")
	p.sees("8 codes on paper are left.")
	spare := p.text(`document.querySelector(".codes code").textContent`)
	p.shot("spare-codes-380", 380)
	p.presses("Sign out")
	p.sees("Short name")

	enter := func(code, sees string) {
		p.sees("The code that your device shows now")
		p.types("#code", code)
		p.presses("Sign in")
		p.sees(sees)
	}
	p.open("/sign-in?next=/trips")
	p.types("#login", "kit")
	p.types("#password", password)
	p.presses("Sign in")
	p.sees("The code that your device shows now")
	p.accessible("the code asked for")
	enter("000000", "This code is not right")
	enter(codeAt(t, secret, 1), "Kit")
	p.ask(`location.pathname === "/trips"`)
	p.presses("Sign out")
	p.sees("Short name")
	p.open("/sign-in")
	p.types("#login", "kit")
	p.types("#password", password)
	p.presses("Sign in")
	enter(codeAt(t, secret, 0), "used before")
	enter(strings.ToUpper(spare), "Kit")
	p.open("/account")
	p.sees("7 codes on paper are left.")
	p.types("#stepword", password)
	p.presses("Turn it off")
	p.sees("After the password a code is asked for")
}

// Without the code a right password opens nothing.
func TestAPasswordAloneOpensNothingWhereAStepIsOn(t *testing.T) {
	s := serving(t)
	p := visits(t, s, 380)
	p.begins()
	people, err := s.store.People(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	secret := newSecret()
	if err := s.store.OfferSecondStep(t.Context(), people[0].ID, secret); err != nil {
		t.Fatal(err)
	}
	if err := s.store.ConfirmSecondStep(t.Context(), people[0].ID, 1, nil, ""); err != nil {
		t.Fatal(err)
	}
	p.open("/sign-in")
	p.types("#login", "kit")
	p.types("#password", password)
	p.presses("Sign in")
	p.sees("The code that your device shows now")
	p.open("/people")
	p.sees("Short name")
	p.ask(`location.pathname === "/sign-in"`)
}

func TestADeviceSignsInByItself(t *testing.T) {
	s := serving(t)
	p := visits(t, s, 380)
	p.base = strings.Replace(p.base, "127.0.0.1", "localhost", 1) // passkeys want a name
	p.carriesDevice()
	p.begins()
	p.open("/account")
	p.types("#name", "Phone in the van")
	p.types("#keyword", "not my password")
	p.presses("Make a passkey")
	p.sees("This is not your password.")
	p.types("#keyword", password)
	p.presses("Make a passkey")
	p.sees("Phone in the van Since")
	p.shot("passkey-380", 380)
	p.types("#name", "The same again")
	p.types("#keyword", password)
	p.presses("Make a passkey")
	p.sees("This device has a passkey already.")
	p.presses("Sign out")
	p.sees("Short name")
	p.open("/sign-in?next=/trips")
	p.presses("Sign in with a passkey")
	p.waits(`location.pathname === "/trips"`)
	p.open("/account")
	p.sees("last used")
	p.types(`.people input[name="password"]`, password)
	p.presses("Take it away")
	p.waits(`!document.querySelector(".people")`)
	p.presses("Sign out")
	p.sees("Short name")
	p.open("/sign-in")
	p.presses("Sign in with a passkey")
	p.sees("This device is not known here.")
	p.ask(`location.pathname === "/sign-in"`)
}

// The address by its number takes no passkeys and says so.
func TestPasskeysWantAName(t *testing.T) {
	s := serving(t)
	p := visits(t, s, 1440)
	p.begins()
	p.open("/account")
	p.sees("Passkeys need an address with a name")
	p.ask(`!document.getElementById("make-passkey")`)
}

func TestAnInvitationOpensOnce(t *testing.T) {
	s := serving(t)
	p := visits(t, s, 1440)
	p.begins()
	p.open("/people")
	p.types("#name", "Toni")
	p.types("#login", "toni")
	p.presses("Add")
	p.sees("Give this link to Toni.")
	p.accessible("an invitation")
	p.shot("invited-1440", 1440)
	link := strings.TrimPrefix(p.text(`document.getElementById("link").value`), p.base)

	toni := visits(t, s, 380)
	toni.open(link)
	toni.sees("Toni, you sign in with this short name")
	toni.accessible("an invitation opened")
	toni.shot("welcome-380", 380)
	toni.types("#password", "short")
	toni.presses("Begin")
	toni.sees("At least 10 characters")
	toni.types("#password", "wax on, wax off")
	toni.presses("Begin")
	toni.sees("Toni")
	toni.waits(`!!document.querySelector("form.leave")`)
	toni.presses("Sign out")
	toni.sees("Short name")
	toni.open(link)
	toni.sees("This link is over, or was used.")
}

// carriesDevice gives the browser a device that makes passkeys and always says
// yes.
func (p *person) carriesDevice() {
	p.t.Helper()
	_, err := chromedp.Call(p.ctx, webauthn.Enable, webauthn.EnableParams{})
	if err != nil {
		p.fail(err)
	}
	_, err = chromedp.Call(p.ctx, webauthn.AddVirtualAuthenticator, webauthn.AddVirtualAuthenticatorParams{Options: &webauthn.VirtualAuthenticatorOptions{
		Protocol: webauthn.AuthenticatorProtocolCtap2, Transport: webauthn.AuthenticatorTransportInternal,
		HasResidentKey: true, HasUserVerification: true, IsUserVerified: true, AutomaticPresenceSimulation: true,
	}})
	if err != nil {
		p.fail(err)
	}
}
