package web

import (
	"bytes"
	"context"
	"crypto/tls"
	"crypto/x509"
	"encoding/pem"
	"errors"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"rinsewright/internal/store"
	"rinsewright/testdata/sites"
)

// running serves from a folder with an account in it, until the test ends.
func running(t *testing.T, s Serving) (port, said string) {
	t.Helper()
	kept, err := store.Open(t.Context(), filepath.Join(s.Data, dataFile), store.Options{})
	if err != nil {
		t.Fatal(err)
	}
	_, err = kept.AddFirst(t.Context(), store.Person{Login: "kit", Name: "Kit", Password: "x"})
	if err := errors.Join(err, kept.Close()); err != nil {
		t.Fatal(err)
	}
	var out, log bytes.Buffer
	ready, ended := make(chan string, 1), make(chan error, 1)
	s.Say, s.Log, s.Examples, s.Example, s.Ready = &out, &log, sites.Names, sites.File, func(at string) { ready <- at }
	ctx, stop := context.WithCancel(context.Background())
	go func() { ended <- Serve(ctx, s) }()
	select {
	case at := <-ready:
		_, port, err = net.SplitHostPort(at)
	case err = <-ended:
	}
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		stop()
		if err := <-ended; err != nil {
			t.Errorf("stopped with %v", err)
		}
	})
	return port, out.String()
}

func TestPhonesGetTheCertificateAndThenThePages(t *testing.T) {
	data := t.TempDir()
	port, said := running(t, Serving{Data: data, Listen: "127.0.0.1:0", Phones: true})
	if !strings.Contains(said, "Listening  https://") || !strings.Contains(said, "Its print is ") {
		t.Errorf("it says\n%s", said)
	}
	if strings.Contains(said, "[::]") {
		t.Errorf("nobody can type that:\n%s", said)
	}
	_, trust, found := strings.Cut(said, "the certificate is at http://")
	trust, _, _ = strings.Cut(trust, "\n")
	_, plain, err := net.SplitHostPort(trust)
	if !found || err != nil {
		t.Fatal(said)
	}
	v := &visitor{t, &http.Client{CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}, "http://127.0.0.1:" + plain}
	status, page := v.get("/")
	if print := strings.TrimSpace(strings.Split(strings.SplitN(said, "Its print is ", 2)[1], "\n")[0]); status != http.StatusOK || !strings.Contains(page, print) {
		t.Errorf("the plain door: %d, without the print %s", status, print)
	}
	_, der, header := v.send(http.MethodGet, "/certificate.crt", nil)
	cert, err := x509.ParseCertificate([]byte(der))
	if err != nil || !cert.IsCA || header.Get("Content-Type") != certificateKind {
		t.Fatalf("%v, %v", err, header)
	}
	for _, path := range []string{"/sign-in", "/sites/x/reading", "/setup"} {
		if status, body, header := v.send(http.MethodGet, path, nil); status != http.StatusTemporaryRedirect || header.Get("Location") != "https://127.0.0.1:"+port+path || strings.Contains(body, "<form") {
			t.Errorf("%s on the plain door: %d to %s", path, status, header.Get("Location"))
		}
	}
	trusted := x509.NewCertPool()
	trusted.AddCert(cert)
	v.client = &http.Client{Transport: &http.Transport{TLSClientConfig: &tls.Config{RootCAs: trusted}}}
	v.base = "https://127.0.0.1:" + port
	if status, body := v.get("/healthz"); status != http.StatusOK || body != "alive\n" {
		t.Errorf("the encrypted door: %d %q", status, body)
	}
	secret, err := os.Stat(filepath.Join(data, "phones", "authority.key"))
	if err != nil || secret.Mode().Perm() != 0o600 {
		t.Errorf("the key: %v, %v", secret.Mode(), err)
	}
}

func TestACertificateOfOnesOwnIsTakenAndReadAgain(t *testing.T) {
	a, dir := house(t, time.Now)
	files := func() (cert, key string) {
		leaf, err := a.vouch([]net.IP{net.ParseIP("127.0.0.1")}, time.Now())
		if err != nil {
			t.Fatal(err)
		}
		secret, err := x509.MarshalPKCS8PrivateKey(leaf.PrivateKey)
		if err != nil {
			t.Fatal(err)
		}
		cert, key = filepath.Join(dir, "own.crt"), filepath.Join(dir, "own.key")
		err1 := os.WriteFile(key, pem.EncodeToMemory(&pem.Block{Type: "PRIVATE KEY", Bytes: secret}), 0o600)
		err2 := os.WriteFile(cert, pem.EncodeToMemory(&pem.Block{Type: "CERTIFICATE", Bytes: leaf.Certificate[0]}), 0o600)
		if err := errors.Join(err1, err2); err != nil {
			t.Fatal(err)
		}
		return cert, key
	}
	cert, key := files()
	port, _ := running(t, Serving{Data: t.TempDir(), Listen: "127.0.0.1:0", Cert: cert, Key: key})
	trusted := x509.NewCertPool()
	trusted.AddCert(a.cert)
	seen := func() string {
		line, err := tls.Dial("tcp", "127.0.0.1:"+port, &tls.Config{RootCAs: trusted})
		if err != nil {
			t.Fatal(err)
		}
		defer func() { _ = line.Close() }()
		return line.ConnectionState().PeerCertificates[0].SerialNumber.String()
	}
	first := seen()
	files()
	if err := os.Chtimes(cert, time.Now(), time.Now().Add(time.Hour)); err != nil {
		t.Fatal(err)
	}
	if seen() == first {
		t.Error("a renewed certificate is not read")
	}
	if err := os.WriteFile(cert, []byte("half a cert"), 0o600); err != nil {
		t.Fatal(err)
	}
	seen() // the one before still holds
	for what, s := range map[string]Serving{
		"a certificate without its key": {Cert: cert}, "both ways at once": {Cert: cert, Key: key, Phones: true}, "a file that is none": {Cert: cert, Key: key}, "a port too high": {Phones: true, Listen: "127.0.0.1:65535"},
	} {
		if d, err := s.open(&Options{}, false); err == nil {
			t.Errorf("%s was taken", what)
			_ = d.close()
		}
	}
}
