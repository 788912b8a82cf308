package cli

import (
	"context"
	"fmt"
	"net/netip"
	"os"
	"path/filepath"
	"strings"
)

// Serving is what the pages need to know; cmd hands it on to the one face that
// serves them, since the two faces do not know each other.
type Serving struct {
	Data     string
	Database string
	Listen   string
	Phones   bool
	Cert     string
	Key      string
	For      string // name for which the authority at From vouches
	From     string
	Backups  string
	Locks    []string // public keys that nightly backups are encrypted for
	Nights   bool
	Base     string
	Proxies  []netip.Prefix
}

// ServeCommand opens the pages.
type ServeCommand struct {
	Data     string `placeholder:"DIR" help:"Folder of the data and the photos; rinsewright in your own data folder by default." type:"path" env:"RINSEWRIGHT_DATA"`
	Database string `placeholder:"URL" help:"PostgreSQL database instead, as postgres://..." env:"RINSEWRIGHT_DATABASE"`
	Listen   string `placeholder:"ADDR" help:"Address to listen at." default:"127.0.0.1:8420" env:"RINSEWRIGHT_LISTEN"`
	Phones   bool   `help:"Open the pages to phones on the house network, by https with a certificate of this machine's own." env:"RINSEWRIGHT_PHONES"`
	Cert     string `name:"certificate" placeholder:"FILE" help:"Certificate of your own for https, in PEM." type:"existingfile" env:"RINSEWRIGHT_CERTIFICATE"`
	Key      string `placeholder:"FILE" help:"Key of that certificate." type:"existingfile" env:"RINSEWRIGHT_KEY"`
	Backups  string `placeholder:"DIR" help:"Folder of the backups; backups in the folder of the data by default." type:"path" env:"RINSEWRIGHT_BACKUPS"`

	CertificateFor  string `placeholder:"NAME" help:"Name of this machine for which an authority gives the certificate; it asks at port 443 of that name." env:"RINSEWRIGHT_CERTIFICATE_FOR"`
	CertificateFrom string `placeholder:"URL" help:"That authority's directory for ACME (RFC 8555); asking it accepts its terms." env:"RINSEWRIGHT_CERTIFICATE_FROM"`

	BackupFor []string `placeholder:"age1..." help:"Encrypt backups for this public key." env:"RINSEWRIGHT_BACKUP_FOR"`
	BasePath  string   `placeholder:"PATH" help:"Path under which a proxy shows the pages, as /rinse." env:"RINSEWRIGHT_BASE_PATH"`
	Proxies   []string `name:"trusted-proxy" placeholder:"ADDR" help:"Address or network of a proxy whose X-Forwarded-For and X-Forwarded-Proto are believed; this machine's own when none is given." env:"RINSEWRIGHT_TRUSTED_PROXY"`
	PrintUnit bool     `help:"Print a unit for systemd that serves with these flags, and end."`
	Nights    bool     `default:"true" negatable:"" help:"Back up every night and try it out." env:"RINSEWRIGHT_NIGHTS"`
}

// Help is the long help with examples.
func (ServeCommand) Help() string {
	return `The pages: sites, survey, readings, people. The first start prints a link that
makes the first account; until then only this machine is listened to. Nothing
else is installed and nothing is asked of any other machine, but the authority
of --certificate-from. The log goes to
standard error, one JSON object a line. Every night everything is backed up into
one file, and the file is restored into an empty place and compared.

Examples:
  rinsewright serve
  rinsewright serve --phones
  rinsewright serve --data /srv/rinsewright --listen :8420
  rinsewright serve --database postgres://rinsewright@db/rinsewright
  rinsewright serve --base-path /rinse --trusted-proxy 10.0.0.2
  rinsewright serve --print-unit > rinsewright.service`
}

// Run serves until it is interrupted.
func (c ServeCommand) Run(desk Desk) error {
	if desk.Serve == nil {
		return no("this build has no pages")
	}
	base, err := basePath(c.BasePath)
	if err != nil {
		return bad(err, "--base-path /rinse")
	}
	proxies, err := networks(c.Proxies)
	if err != nil {
		return bad(err, "--trusted-proxy 10.0.0.2 or --trusted-proxy 10.0.0.0/24")
	}
	if c.PrintUnit {
		c.BasePath = base
		return c.printUnit(desk)
	}
	data := c.Data
	if data == "" {
		var err error
		if data, err = ownData(); err != nil {
			return bad(err, "rinsewright serve --data DIR")
		}
	}
	if err := desk.Serve(desk.Context, Serving{Data: data, Database: c.Database, Listen: c.Listen, Phones: c.Phones, Cert: c.Cert, Key: c.Key, For: c.CertificateFor, From: c.CertificateFrom, Backups: c.Backups, Locks: c.BackupFor, Nights: c.Nights, Base: base, Proxies: proxies}); err != nil {
		return bad(err, "")
	}
	return nil
}

// basePath is a path without the slash at its end; the root is none.
func basePath(typed string) (string, error) {
	path := strings.TrimSuffix(typed, "/")
	if path == "" {
		return "", nil
	}
	if !strings.HasPrefix(path, "/") || strings.Contains(path, "//") || strings.Trim(path, "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-_./") != "" || strings.Contains(path, "/.") {
		return "", fmt.Errorf("--base-path: read %q, wanted a path of letters, digits and dashes that begins with /", typed)
	}
	return path, nil
}

// networks are addresses and networks as people write them.
func networks(typed []string) (all []netip.Prefix, err error) {
	for _, word := range typed {
		if addr, err := netip.ParseAddr(word); err == nil {
			all = append(all, netip.PrefixFrom(addr, addr.BitLen()))
			continue
		}
		p, err := netip.ParsePrefix(word)
		if err != nil {
			return nil, fmt.Errorf("--trusted-proxy: read %q, wanted an address or a network", word)
		}
		all = append(all, p)
	}
	return all, nil
}

// Serve is how cmd serves the pages.
type Serve func(context.Context, Serving) error

// ownData is where a person's programs keep their data.
func ownData() (string, error) {
	if dir := os.Getenv("XDG_DATA_HOME"); dir != "" {
		return filepath.Join(dir, "rinsewright"), nil
	}
	home, err := os.UserHomeDir()
	if err != nil {
		return "", fmt.Errorf("find a folder for the data: %w", err)
	}
	return filepath.Join(home, ".local", "share", "rinsewright"), nil
}
