package web

import (
	"crypto/tls"
	"errors"
	"fmt"
	"net"
	"os"
	"path/filepath"
	"strconv"
	"sync"
	"time"
)

// doors are where the program listens: one where the pages are, and with an
// authority of its own a plain one beside it, where phones get its certificate.
type doors struct {
	work, trust net.Listener
	scheme      string
}

func (d doors) close() error {
	err := d.work.Close()
	if d.trust != nil {
		err = errors.Join(err, d.trust.Close())
	}
	return err
}

// open listens. As long as there is no account, only this machine is listened
// to, and plainly.
func (s *Serving) open(o *Options, first bool) (doors, error) {
	switch {
	case (s.Cert == "") != (s.Key == ""):
		return doors{}, errors.New("a certificate comes with its key: --certificate FILE --key FILE")
	case s.Cert != "" && s.Phones:
		return doors{}, errors.New("--phones vouches for this machine itself; with --certificate it has no need to")
	case s.Cert != "":
		pair := &ownPair{cert: s.Cert, key: s.Key}
		if _, err := pair.certificate(nil); err != nil {
			return doors{}, fmt.Errorf("the certificate: %w", err)
		}
		work, err := listen(s.Listen)
		if err != nil {
			return doors{}, err
		}
		return doors{work: encryptedBy(work, pair.certificate), scheme: "https"}, nil
	case s.For != "" && !first:
		return s.openForName()
	case s.Phones && !first:
		return s.openForPhones(o)
	}
	work, err := listen(s.Listen)
	return doors{work: work, scheme: "http"}, err
}

func listen(at string) (net.Listener, error) {
	l, err := net.Listen("tcp", at)
	if err != nil {
		return nil, fmt.Errorf("listen at %s: %w", at, err)
	}
	return l, nil
}

// openForPhones opens both doors to the house: the plain one is one port above.
func (s *Serving) openForPhones(o *Options) (doors, error) {
	host, port, err := net.SplitHostPort(s.Listen)
	if err != nil {
		return doors{}, fmt.Errorf("listen at %s: %w", s.Listen, err)
	}
	if host == "localhost" || loopbackIP(host) {
		host = "" // phones are elsewhere
	}
	n, err := strconv.Atoi(port)
	if err != nil || n > 65534 {
		return doors{}, fmt.Errorf("listen at %s: wanted a port between 1 and 65534", s.Listen)
	}
	if o.authority, err = openAuthority(filepath.Join(s.Data, "phones"), machineNames(), time.Now); err != nil {
		return doors{}, err
	}
	work, err := listen(net.JoinHostPort(host, port))
	if err != nil {
		return doors{}, err
	}
	if n > 0 {
		n++
	}
	trust, err := listen(net.JoinHostPort(host, strconv.Itoa(n)))
	if err != nil {
		return doors{}, errors.Join(err, work.Close())
	}
	o.workPort, o.trustPort = portOf(work), portOf(trust)
	return doors{work: encryptedBy(work, o.authority.certificate), trust: trust, scheme: "https"}, nil
}

func portOf(l net.Listener) string {
	_, port, err := net.SplitHostPort(l.Addr().String())
	if err != nil {
		return ""
	}
	return port
}

func encryptedBy(l net.Listener, certificate func(*tls.ClientHelloInfo) (*tls.Certificate, error)) net.Listener {
	return tls.NewListener(l, &tls.Config{GetCertificate: certificate, MinVersion: tls.VersionTLS12, NextProtos: []string{"http/1.1"}})
}

// ownPair is a certificate from files, read again when they have changed, so
// that a renewed one needs no restart.
type ownPair struct {
	cert, key string
	mu        sync.Mutex
	pair      *tls.Certificate
	changed   time.Time
}

func (p *ownPair) certificate(*tls.ClientHelloInfo) (*tls.Certificate, error) {
	p.mu.Lock()
	defer p.mu.Unlock()
	about, err := os.Stat(p.cert)
	if err == nil && p.pair != nil && about.ModTime().Equal(p.changed) {
		return p.pair, nil
	}
	pair, err2 := tls.LoadX509KeyPair(p.cert, p.key)
	if err := errors.Join(err, err2); err != nil {
		if p.pair != nil { // half of the new one is there; the old one still holds
			return p.pair, nil
		}
		return nil, err
	}
	p.pair, p.changed = &pair, about.ModTime()
	return p.pair, nil
}
