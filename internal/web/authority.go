package web

import (
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/sha256"
	"crypto/tls"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/pem"
	"errors"
	"fmt"
	"io/fs"
	"math/big"
	"net"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"time"
)

// A phone keeps pages for when there is no signal only over https. On a house
// network no public authority vouches for an address such as 192.168.1.20, so
// the program has a small authority of its own, whose certificate is installed
// on each phone once. It can vouch for this machine's names and for addresses
// of house networks and for nothing else: phones refuse it for any other site,
// whoever may have got hold of its key.

const (
	authorityYears = 10
	leafDays       = 90
	renewDays      = 30
)

// houseNetworks are the addresses that no one owns on the internet: RFC 1918,
// 3927, 4193, 4291 and this machine's own.
var houseNetworks = networks("10.0.0.0/8", "172.16.0.0/12", "192.168.0.0/16", "169.254.0.0/16", "127.0.0.0/8", "fc00::/7", "fe80::/10", "::1/128")

func networks(texts ...string) (nets []*net.IPNet) {
	for _, text := range texts {
		if _, n, err := net.ParseCIDR(text); err == nil {
			nets = append(nets, n)
		}
	}
	return nets
}

func inTheHouse(ip net.IP) bool {
	return slices.ContainsFunc(houseNetworks, func(n *net.IPNet) bool { return n.Contains(ip) })
}

// authority vouches for this machine on a house network.
type authority struct {
	cert *x509.Certificate
	key  *ecdsa.PrivateKey
	now  func() time.Time
	here func() ([]net.IP, error) // this machine's addresses

	mu      sync.Mutex
	leaf    *tls.Certificate
	vouched []net.IP
	until   time.Time // look at the addresses again
}

// openAuthority reads the authority in a folder, or makes one for a machine's
// names. Its key is readable by its owner only.
func openAuthority(dir string, names []string, now func() time.Time) (*authority, error) {
	a := &authority{now: now, here: houseAddresses}
	certFile, keyFile := filepath.Join(dir, "authority.crt"), filepath.Join(dir, "authority.key")
	_, err := os.Stat(certFile)
	if errors.Is(err, fs.ErrNotExist) {
		err = makeAuthority(dir, certFile, keyFile, names, now())
	}
	if err != nil {
		return nil, fmt.Errorf("the authority for phones: %w", err)
	}
	if err := a.read(certFile, keyFile); err != nil {
		return nil, fmt.Errorf("the authority for phones: %w", err)
	}
	return a, nil
}

func (a *authority) read(certFile, keyFile string) error {
	pair, err := tls.LoadX509KeyPair(certFile, keyFile)
	if err != nil {
		return err
	}
	key, ok := pair.PrivateKey.(*ecdsa.PrivateKey)
	if !ok || !pair.Leaf.IsCA {
		return fmt.Errorf("%s is none of ours", certFile)
	}
	if a.now().After(pair.Leaf.NotAfter.AddDate(0, 0, -leafDays)) {
		return fmt.Errorf("%s ends on %s: move both files away, start again, and install the new one on each phone", certFile, pair.Leaf.NotAfter.Format(time.DateOnly))
	}
	a.cert, a.key = pair.Leaf, key
	return nil
}

func makeAuthority(dir, certFile, keyFile string, names []string, now time.Time) error {
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return err
	}
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		return err
	}
	// The first name alone tells two houses' authorities apart on a phone.
	about := &x509.Certificate{
		SerialNumber: serial(), Subject: pkix.Name{CommonName: "rinsewright on " + names[0]},
		NotBefore: now.Add(-time.Hour), NotAfter: now.AddDate(authorityYears, 0, 0),
		IsCA: true, BasicConstraintsValid: true, MaxPathLenZero: true,
		KeyUsage: x509.KeyUsageCertSign | x509.KeyUsageDigitalSignature, ExtKeyUsage: []x509.ExtKeyUsage{x509.ExtKeyUsageServerAuth},
		PermittedDNSDomainsCritical: true, PermittedDNSDomains: names, PermittedIPRanges: houseNetworks,
		PermittedEmailAddresses: []string{"nobody@invalid"}, PermittedURIDomains: []string{"invalid"},
	}
	der, err := x509.CreateCertificate(rand.Reader, about, about, &key.PublicKey, key)
	if err != nil {
		return err
	}
	secret, err := x509.MarshalPKCS8PrivateKey(key)
	if err != nil {
		return err
	}
	if err := os.WriteFile(keyFile, pem.EncodeToMemory(&pem.Block{Type: "PRIVATE KEY", Bytes: secret}), 0o600); err != nil {
		return err
	}
	return os.WriteFile(certFile, pem.EncodeToMemory(&pem.Block{Type: "CERTIFICATE", Bytes: der}), 0o600)
}

func serial() *big.Int {
	var b [16]byte
	_, _ = rand.Read(b[:]) // never fails, by the promise of crypto/rand
	b[0] &= 0x7f
	return new(big.Int).SetBytes(b[:])
}

// machineNames are the names under which a house network may know this machine.
func machineNames() []string {
	host, err := os.Hostname()
	host = strings.ToLower(strings.TrimSuffix(host, "."))
	if err != nil || host == "" || strings.Trim(host, "abcdefghijklmnopqrstuvwxyz0123456789-.") != "" {
		return []string{"localhost"}
	}
	short, _, _ := strings.Cut(host, ".")
	names := []string{short, short + ".local", "localhost"}
	if host != short {
		names = append(names, host)
	}
	return slices.Compact(names)
}

// houseAddresses are this machine's addresses on house networks, those of other
// kinds left out.
func houseAddresses() ([]net.IP, error) {
	all, err := net.InterfaceAddrs()
	if err != nil {
		return nil, err
	}
	var house []net.IP
	for _, a := range all {
		if n, ok := a.(*net.IPNet); ok && inTheHouse(n.IP) && !n.IP.IsLinkLocalUnicast() {
			house = append(house, n.IP)
		}
	}
	return house, nil
}

// certificate is what this machine shows now. It is made anew before it ends,
// and when the machine has got another address.
func (a *authority) certificate(*tls.ClientHelloInfo) (*tls.Certificate, error) {
	a.mu.Lock()
	defer a.mu.Unlock()
	now := a.now()
	if a.leaf != nil && now.Before(a.until) {
		return a.leaf, nil
	}
	here, err := a.here()
	if err != nil {
		return nil, err
	}
	a.until = now.Add(time.Minute)
	if a.leaf != nil && slices.EqualFunc(here, a.vouched, net.IP.Equal) && now.Before(a.leaf.Leaf.NotAfter.AddDate(0, 0, -renewDays)) {
		return a.leaf, nil
	}
	if a.leaf, err = a.vouch(here, now); err != nil {
		return nil, err
	}
	a.vouched = here
	return a.leaf, nil
}

func (a *authority) vouch(here []net.IP, now time.Time) (*tls.Certificate, error) {
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		return nil, err
	}
	about := &x509.Certificate{
		SerialNumber: serial(), Subject: pkix.Name{CommonName: a.cert.PermittedDNSDomains[0]},
		NotBefore: now.Add(-time.Hour), NotAfter: now.AddDate(0, 0, leafDays),
		KeyUsage: x509.KeyUsageDigitalSignature, ExtKeyUsage: []x509.ExtKeyUsage{x509.ExtKeyUsageServerAuth},
		DNSNames: a.cert.PermittedDNSDomains, IPAddresses: here,
	}
	der, err := x509.CreateCertificate(rand.Reader, about, a.cert, &key.PublicKey, a.key)
	if err != nil {
		return nil, err
	}
	leaf, err := x509.ParseCertificate(der)
	return &tls.Certificate{Certificate: [][]byte{der, a.cert.Raw}, PrivateKey: key, Leaf: leaf}, err
}

// print is what a person compares before a phone trusts the authority.
func (a *authority) print() string {
	sum := sha256.Sum256(a.cert.Raw)
	return strings.ToUpper(strings.Join(strings.Fields(fmt.Sprintf("% x", sum)), " "))
}

// outward are the addresses at which others reach this machine: of version 4
// where it has one, since those are what people type.
func outward(here []net.IP) (out []net.IP) {
	for _, four := range []bool{true, false} {
		for _, ip := range here {
			if !ip.IsLoopback() && (ip.To4() != nil) == four {
				out = append(out, ip)
			}
		}
		if len(out) > 0 {
			return out
		}
	}
	return nil
}

// reachable is the address that a person types for a listener: one that listens
// everywhere is told by the address that others reach.
func reachable(at net.Addr) string {
	host, port, err := net.SplitHostPort(at.String())
	if ip := net.ParseIP(host); err != nil || ip == nil || !ip.IsUnspecified() {
		return at.String()
	}
	if here, err := houseAddresses(); err == nil {
		if out := outward(here); len(out) > 0 {
			return net.JoinHostPort(out[0].String(), port)
		}
	}
	return net.JoinHostPort("localhost", port)
}
