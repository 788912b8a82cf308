package web

import (
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/tls"
	"crypto/x509"
	"io"
	"log"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"testing"
	"time"
)

func house(t *testing.T, now func() time.Time) (*authority, string) {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "phones")
	a, err := openAuthority(dir, []string{"office", "office.local", "localhost"}, now)
	if err != nil {
		t.Fatal(err)
	}
	a.here = func() ([]net.IP, error) { return []net.IP{net.ParseIP("127.0.0.1"), net.ParseIP("192.168.7.20")}, nil }
	return a, dir
}

// A phone that has the authority's certificate believes this machine, and the
// files are the owner's alone.
func TestAPhoneBelievesTheMachine(t *testing.T) {
	a, dir := house(t, time.Now)
	listener, err := tls.Listen("tcp", "127.0.0.1:0", &tls.Config{GetCertificate: a.certificate, MinVersion: tls.VersionTLS12})
	if err != nil {
		t.Fatal(err)
	}
	server := &http.Server{Handler: http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) { w.WriteHeader(http.StatusNoContent) }), ErrorLog: log.New(io.Discard, "", 0), ReadHeaderTimeout: time.Minute}
	go func() { _ = server.Serve(listener) }() // Close below ends it
	defer func() { _ = server.Close() }()
	trusted := x509.NewCertPool()
	trusted.AddCert(a.cert)
	phone := &http.Client{Transport: &http.Transport{TLSClientConfig: &tls.Config{RootCAs: trusted}}}
	_, port, err := net.SplitHostPort(listener.Addr().String())
	if err != nil {
		t.Fatal(err)
	}
	for _, host := range []string{"127.0.0.1", "localhost"} {
		answer, err := phone.Get("https://" + net.JoinHostPort(host, port))
		if err != nil {
			t.Fatalf("%s: %v", host, err)
		}
		if err := answer.Body.Close(); err != nil {
			t.Error(err)
		}
	}
	stranger := &http.Client{Transport: &http.Transport{TLSClientConfig: &tls.Config{RootCAs: x509.NewCertPool()}}}
	if answer, err := stranger.Get("https://" + net.JoinHostPort("127.0.0.1", port)); err == nil {
		_ = answer.Body.Close()
		t.Error("control: a phone without the certificate believes the machine too")
	}
	for _, name := range []string{"authority.key", "authority.crt"} {
		if about, err := os.Stat(filepath.Join(dir, name)); err != nil || about.Mode().Perm() != 0o600 {
			t.Errorf("%s: %v, %v", name, about.Mode(), err)
		}
	}
	again, err := openAuthority(dir, []string{"another"}, time.Now)
	if err != nil || again.print() != a.print() {
		t.Errorf("opened again it is another: %v", err)
	}
}

// Whoever steals the key cannot pass for any other site.
func TestTheAuthorityVouchesForTheHouseOnly(t *testing.T) {
	a, _ := house(t, time.Now)
	trusted := x509.NewCertPool()
	trusted.AddCert(a.cert)
	for _, c := range []struct {
		name string
		ip   string
		ok   bool
	}{
		{"office.local", "", true},
		{"", "192.168.7.20", true},
		{"", "10.1.2.3", true},
		{"", "fd00::7", true},
		{"example.org", "", false},
		{"evil-office.local.example.org", "", false},
		{"", "203.0.113.9", false},
		{"", "2001:db8::1", false},
	} {
		key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
		if err != nil {
			t.Fatal(err)
		}
		forged := &x509.Certificate{SerialNumber: serial(), NotBefore: time.Now().Add(-time.Hour), NotAfter: time.Now().Add(time.Hour), ExtKeyUsage: []x509.ExtKeyUsage{x509.ExtKeyUsageServerAuth}}
		host := c.name
		if c.ip != "" {
			host, forged.IPAddresses = c.ip, []net.IP{net.ParseIP(c.ip)}
		} else {
			forged.DNSNames = []string{c.name}
		}
		der, err := x509.CreateCertificate(rand.Reader, forged, a.cert, &key.PublicKey, a.key)
		if err != nil {
			t.Fatal(err)
		}
		leaf, err := x509.ParseCertificate(der)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := leaf.Verify(x509.VerifyOptions{DNSName: host, Roots: trusted}); (err == nil) != c.ok {
			t.Errorf("%s: %v, wanted to hold: %v", host, err, c.ok)
		}
	}
}

func TestTheCertificateIsRenewedByItself(t *testing.T) {
	now := time.Date(2026, 3, 2, 9, 0, 0, 0, time.UTC)
	a, dir := house(t, func() time.Time { return now })
	first, err := a.certificate(nil)
	if err != nil {
		t.Fatal(err)
	}
	if again, err := a.certificate(nil); err != nil || again != first {
		t.Error("it is made anew for each visit")
	}
	now = now.AddDate(0, 0, leafDays-renewDays-1)
	if again, err := a.certificate(nil); err != nil || again != first {
		t.Error("it is made anew too soon")
	}
	now = now.AddDate(0, 0, 2)
	second, err := a.certificate(nil)
	if err != nil || second == first {
		t.Error("it is not renewed before it ends")
	}
	a.here = func() ([]net.IP, error) { return []net.IP{net.ParseIP("192.168.7.21")}, nil }
	now = now.Add(2 * time.Minute)
	if third, err := a.certificate(nil); err != nil || third == second || !third.Leaf.IPAddresses[0].Equal(net.ParseIP("192.168.7.21")) {
		t.Errorf("another address does not stand in it: %v", err)
	}
	now = now.AddDate(authorityYears, 0, 0)
	if _, err := openAuthority(dir, []string{"office"}, func() time.Time { return now }); err == nil {
		t.Error("an authority that has ended was opened")
	}
}
