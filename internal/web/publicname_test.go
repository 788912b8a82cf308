package web

import (
	"crypto"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/sha256"
	"crypto/tls"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/asn1"
	"encoding/base64"
	"encoding/json"
	"encoding/pem"
	"fmt"
	"math/big"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"
)

// authorityOutside is an authority as RFC 8555 has it, which gives a certificate
// to who shows the key authorization at the door of the name, as RFC 8737 has it.
// Signatures of the requests it does not check.
type authorityOutside struct {
	*httptest.Server
	t      *testing.T
	knock  func() string // address of the door to be knocked at
	key    *ecdsa.PrivateKey
	root   *x509.Certificate
	thumb  string
	proven bool
	given  []byte
	asked  []string
}

func newAuthorityOutside(t *testing.T, knock func() string) *authorityOutside {
	t.Helper()
	a := &authorityOutside{t: t, knock: knock}
	var err error
	if a.key, err = ecdsa.GenerateKey(elliptic.P256(), rand.Reader); err != nil {
		t.Fatal(err)
	}
	a.root = &x509.Certificate{
		SerialNumber: big.NewInt(1), Subject: pkix.Name{CommonName: "Authority of a test"}, NotBefore: time.Now().Add(-time.Hour), NotAfter: time.Now().Add(time.Hour),
		IsCA: true, BasicConstraintsValid: true, KeyUsage: x509.KeyUsageCertSign,
	}
	a.Server = httptest.NewServer(a)
	t.Cleanup(a.Close)
	return a
}

func (a *authorityOutside) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	w.Header().Set("Replay-Nonce", "once")
	protected, payload := a.read(r)
	answer := func(status int, x any) {
		w.Header().Set("Content-Type", "application/json")
		w.WriteHeader(status)
		if err := json.NewEncoder(w).Encode(x); err != nil {
			a.t.Error(err)
		}
	}
	state := map[bool]string{true: "valid", false: "pending"}[a.proven]
	challenge := map[string]any{"type": "tls-alpn-01", "url": a.URL + "/challenge", "token": "token", "status": state}
	switch r.URL.Path {
	case "/directory":
		answer(200, map[string]string{"newNonce": a.URL + "/nonce", "newAccount": a.URL + "/account", "newOrder": a.URL + "/order"})
	case "/account":
		a.thumb = thumbprint(protected["jwk"])
		w.Header().Set("Location", a.URL+"/account/1")
		answer(201, map[string]string{"status": "valid"})
	case "/order":
		for _, id := range payload["identifiers"].([]any) {
			a.asked = append(a.asked, id.(map[string]any)["value"].(string))
		}
		w.Header().Set("Location", a.URL+"/order/1")
		answer(201, a.order())
	case "/order/1":
		answer(200, a.order())
	case "/proof":
		answer(200, map[string]any{"status": state, "identifier": map[string]string{"type": "dns", "value": "rinse.example"}, "challenges": []any{challenge}})
	case "/challenge":
		a.prove()
		challenge["status"] = map[bool]string{true: "valid", false: "invalid"}[a.proven]
		answer(200, challenge)
	case "/finish":
		a.sign(payload["csr"].(string))
		w.Header().Set("Location", a.URL+"/order/1")
		answer(200, a.order())
	case "/given":
		w.Header().Set("Content-Type", "application/pem-certificate-chain")
		_ = pem.Encode(w, &pem.Block{Type: "CERTIFICATE", Bytes: a.given})
	}
}

// read takes a request apart, which is a flattened JSON Web Signature.
func (a *authorityOutside) read(r *http.Request) (protected, payload map[string]any) {
	var jws struct{ Protected, Payload string }
	if r.Method != http.MethodPost || json.NewDecoder(r.Body).Decode(&jws) != nil {
		return nil, nil
	}
	for part, into := range map[string]*map[string]any{jws.Protected: &protected, jws.Payload: &payload} {
		if raw, err := base64.RawURLEncoding.DecodeString(part); err == nil && len(raw) > 0 {
			if err := json.Unmarshal(raw, into); err != nil {
				a.t.Error(err)
			}
		}
	}
	return protected, payload
}

// thumbprint is that of RFC 7638.
func thumbprint(key any) string {
	k, _ := key.(map[string]any)
	sum := sha256.Sum256(fmt.Appendf(nil, `{"crv":%q,"kty":%q,"x":%q,"y":%q}`, k["crv"], k["kty"], k["x"], k["y"]))
	return base64.RawURLEncoding.EncodeToString(sum[:])
}

func (a *authorityOutside) order() map[string]any {
	o := map[string]any{"status": "pending", "authorizations": []string{a.URL + "/proof"}, "finalize": a.URL + "/finish"}
	switch {
	case a.given != nil:
		o["status"], o["certificate"] = "valid", a.URL+"/given"
	case a.proven:
		o["status"] = "ready"
	}
	return o
}

// prove knocks at the door under the name and looks for what only the account
// that asked can show.
func (a *authorityOutside) prove() {
	c, err := tls.Dial("tcp", a.knock(), &tls.Config{ServerName: "rinse.example", NextProtos: []string{"acme-tls/1"}, InsecureSkipVerify: true}) // the proof is in the certificate
	if err != nil {
		a.t.Error(err)
		return
	}
	defer c.Close()
	want := sha256.Sum256([]byte("token." + a.thumb))
	for _, e := range c.ConnectionState().PeerCertificates[0].Extensions {
		var shown []byte
		if e.Id.Equal(asn1.ObjectIdentifier{1, 3, 6, 1, 5, 5, 7, 1, 31}) && e.Critical {
			if _, err := asn1.Unmarshal(e.Value, &shown); err == nil && string(shown) == string(want[:]) {
				a.proven = true
			}
		}
	}
}

func (a *authorityOutside) sign(request string) {
	raw, err := base64.RawURLEncoding.DecodeString(request)
	if err != nil {
		a.t.Error(err)
		return
	}
	csr, err := x509.ParseCertificateRequest(raw)
	if err != nil {
		a.t.Error(err)
		return
	}
	leaf := &x509.Certificate{SerialNumber: big.NewInt(2), DNSNames: csr.DNSNames, NotBefore: time.Now().Add(-time.Hour), NotAfter: time.Now().Add(90 * 24 * time.Hour), ExtKeyUsage: []x509.ExtKeyUsage{x509.ExtKeyUsageServerAuth}}
	if a.given, err = x509.CreateCertificate(rand.Reader, leaf, a.root, csr.PublicKey, crypto.Signer(a.key)); err != nil {
		a.t.Error(err)
	}
}

// published: RFC 8555 and RFC 8737 say how the name is proven.
func TestAnAuthorityVouchesForAPublicName(t *testing.T) {
	var port string
	a := newAuthorityOutside(t, func() string { return "127.0.0.1:" + port })
	data := t.TempDir()
	port, _ = running(t, Serving{Data: data, Listen: "127.0.0.1:0", For: "rinse.example", From: a.URL + "/directory"})
	c, err := tls.Dial("tcp", "127.0.0.1:"+port, &tls.Config{ServerName: "rinse.example", InsecureSkipVerify: true}) // looked at below
	if err != nil {
		t.Fatal(err)
	}
	defer c.Close()
	shown := c.ConnectionState().PeerCertificates[0]
	if err := shown.VerifyHostname("rinse.example"); err != nil || string(shown.Raw) != string(a.given) {
		t.Errorf("the door shows a certificate of %v, %v; given was one of %d bytes", shown.DNSNames, err, len(a.given))
	}
	if _, err := tls.Dial("tcp", "127.0.0.1:"+port, &tls.Config{ServerName: "another.example", InsecureSkipVerify: true}); err == nil { // nothing is sent
		t.Error("the door answers to another name")
	}
	if len(a.asked) != 1 || a.asked[0] != "rinse.example" {
		t.Errorf("asked for %q", a.asked)
	}
}

func TestANameWithoutAnAuthorityIsRefused(t *testing.T) {
	for _, s := range []Serving{
		{For: "rinse.example"},
		{For: "192.0.2.7", From: "https://authority.example/directory"},
		{For: "rinse.example", From: "authority.example"},
		{For: "rinse.example", From: "https://authority.example/directory", Phones: true},
	} {
		if _, err := s.open(&Options{}, false); err == nil || !strings.Contains(err.Error(), "--certificate-for") {
			t.Errorf("%+v: %v", s, err)
		}
	}
}
