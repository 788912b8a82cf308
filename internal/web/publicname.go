package web

import (
	"crypto/tls"
	"errors"
	"net"
	"net/url"
	"path/filepath"

	"golang.org/x/crypto/acme"
	"golang.org/x/crypto/acme/autocert"
)

// openForName opens the door of a name that anyone can look up: an authority
// that speaks ACME (RFC 8555) vouches for it, after it has knocked at port 443 of
// that name (RFC 8737). It is the one thing for which this program asks another
// machine, and it asks the one that it was told.
func (s *Serving) openForName() (doors, error) {
	at, err := url.Parse(s.From)
	switch {
	case s.Cert != "" || s.Phones:
		return doors{}, errors.New("--certificate-for asks an authority; it goes with neither --certificate nor --phones")
	case net.ParseIP(s.For) != nil || err != nil || at.Host == "" || at.Scheme != "https" && !loopbackIP(at.Hostname()):
		return doors{}, errors.New("--certificate-for takes a name as rinse.example and comes with --certificate-from, the address of the authority's directory, as https://authority.example/directory")
	}
	manager := &autocert.Manager{
		Prompt: autocert.AcceptTOS, Cache: autocert.DirCache(filepath.Join(s.Data, "certificates")),
		HostPolicy: autocert.HostWhitelist(s.For), Client: &acme.Client{DirectoryURL: s.From},
	}
	work, err := listen(s.Listen)
	if err != nil {
		return doors{}, err
	}
	return doors{work: tls.NewListener(work, &tls.Config{
		GetCertificate: manager.GetCertificate, MinVersion: tls.VersionTLS12, NextProtos: []string{"http/1.1", acme.ALPNProto},
	}), scheme: "https"}, nil
}
