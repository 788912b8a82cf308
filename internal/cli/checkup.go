package cli

import (
	"context"
	"crypto/tls"
	"crypto/x509"
	"encoding/pem"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"time"

	"rinsewright/internal/store"
	"rinsewright/internal/store/archive"
)

// CheckupCommand looks whether all is well with an installation.
type CheckupCommand struct {
	DataPlace
	Backups string `placeholder:"DIR" help:"Folder of the backups; backups in the folder of the data by default." type:"path" env:"RINSEWRIGHT_BACKUPS"`
	Cert    string `name:"certificate" placeholder:"FILE" help:"Certificate that serve is given." type:"path" env:"RINSEWRIGHT_CERTIFICATE"`
	Key     string `placeholder:"FILE" help:"Key of that certificate." type:"path" env:"RINSEWRIGHT_KEY"`
	JSON    bool   `name:"json" help:"Print one JSON object instead."`
}

// Help is the long help with examples.
func (CheckupCommand) Help() string {
	return `Looks at the version, the data, the disk, the clock, the certificates and the
backups of an installation, beside the server while it runs, and says for each
thing that is not well what to do. It changes nothing.

Examples:
  rinsewright checkup
  rinsewright checkup --data /srv/rinsewright --json

Exit code 0 when all is well, 1 when something is not, 2 when there is nothing to
look at.`
}

// The states of what was looked at.
const (
	well  = "well"
	watch = "watch" // will not stay well
	wrong = "wrong"
)

type checkupJSON struct {
	Schema  string         `json:"schema"`
	Program string         `json:"program"`
	Data    string         `json:"data"`
	Looked  []lookedAtJSON `json:"looked_at"`
}

type lookedAtJSON struct {
	Name  string `json:"name"`
	State string `json:"state"`
	Says  string `json:"says"`
	Fix   string `json:"fix,omitempty"`
}

// checkup is one round of looking.
type checkup struct {
	ctx     context.Context
	command CheckupCommand
	source  archive.Source
	data    string
	looked  []lookedAtJSON
}

func (c *checkup) found(name, state, says, fix string) {
	if state == well {
		fix = ""
	}
	c.looked = append(c.looked, lookedAtJSON{name, state, says, fix})
}

const checkupSchema = "rinsewright.checkup/1"

// Run looks.
func (c CheckupCommand) Run(desk Desk) error {
	var out checkup
	err := c.DataPlace.with(desk.Context, desk.Version, func(from archive.Source, data string) error {
		out = checkup{ctx: desk.Context, command: c, source: from, data: data}
		for _, look := range []func() error{out.version, out.places, out.disk, out.clock, out.sound, out.backup, out.drill, out.certificates} {
			if err := look(); err != nil {
				return err
			}
		}
		return nil
	})
	if err != nil {
		return refuseAs(checkupSchema, c.JSON, desk, err)
	}
	if c.JSON {
		err = printJSON(desk.Out, checkupJSON{checkupSchema, desk.Version, out.data, out.looked})
	} else {
		_, err = fmt.Fprint(desk.Out, out.text())
	}
	for _, l := range out.looked {
		if l.State == wrong {
			return errors.Join(err, &said{code: ExitNo})
		}
	}
	return err
}

func (c *checkup) text() string {
	var b strings.Builder
	for _, l := range c.looked {
		lead := fmt.Sprintf("%-6s %-12s ", map[string]string{well: "well", watch: "watch", wrong: "WRONG"}[l.State], l.Name)
		for i, line := range wrapped("", l.Says, 80-len(lead)) {
			if i > 0 {
				lead = strings.Repeat(" ", len(lead))
			}
			fmt.Fprintln(&b, lead+line)
		}
		if l.Fix != "" {
			for i, line := range wrapped("", l.Fix, 80-26) {
				fmt.Fprintln(&b, strings.Repeat(" ", 20)+map[bool]string{true: "fix:  ", false: "      "}[i == 0]+line)
			}
		}
	}
	return b.String()
}

func (c *checkup) version() error {
	at, known, err := c.source.Store.DataVersion(c.ctx)
	if err != nil {
		return err
	}
	says := fmt.Sprintf("program %s (%s %s/%s); data of version %d", c.source.Program, runtime.Version(), runtime.GOOS, runtime.GOARCH, at)
	if at < known {
		c.found("version", watch, fmt.Sprintf("%s; this program writes version %d", says, known), "start rinsewright serve: it backs the data up and brings it to the new version")
		return nil
	}
	c.found("version", well, says, "")
	return nil
}

// places looks who else on the machine may read the data.
func (c *checkup) places() error {
	open := []string{}
	for _, name := range []string{"", archive.DataFile, archive.DataFile + "-wal", archive.PhotosName, "backups", "phones"} {
		about, err := os.Stat(filepath.Join(c.data, name))
		if errors.Is(err, fs.ErrNotExist) {
			continue
		}
		if err != nil {
			return bad(err, "run it as the one whom the data belongs to")
		}
		if about.Mode().Perm()&0o077 != 0 {
			open = append(open, filepath.Join(c.data, name))
		}
	}
	if len(open) > 0 && runtime.GOOS != "windows" {
		c.found("rights", wrong, "other people of this machine can read "+strings.Join(open, ", "), "chmod -R go= "+c.data)
		return nil
	}
	c.found("rights", well, "only its owner can read "+c.data, "")
	return nil
}

func (c *checkup) disk() error {
	room, err := store.RoomAt(c.data)
	if err != nil {
		return bad(err, "")
	}
	switch kind := store.FileSystemAt(c.data); {
	case c.command.Database == "" && store.OverNetwork(kind):
		c.found("file system", wrong, "the data lies on "+kind+", over a network: what SQLite believes to be written may not be", "keep the data on a disk of this machine, or use PostgreSQL (--database), and copy backups over the network")
	case store.InMemory(kind):
		c.found("file system", wrong, "the data lies in memory ("+kind+") and is gone when the machine stops", "keep it in a folder on a disk: --data DIR")
	default:
		c.found("file system", well, or(kind, "of this machine's own kind"), "")
	}
	state := well
	if room.Scarce() {
		state = watch
	}
	if room.Of > 0 && room.Free < 200<<20 {
		state = wrong
	}
	c.found("room", state, "free on the disk of the data: "+room.String(), "make room, or move older backups to another machine; what cannot be kept is refused and nothing is lost")
	return nil
}

func or(a, b string) string {
	if a != "" {
		return a
	}
	return b
}

// clock compares with what the data last heard of the time.
func (c *checkup) clock() error {
	now := c.source.Made
	last, err := c.source.Store.LastAudit(c.ctx, 1)
	if err != nil {
		return err
	}
	_, zone := now.Zone()
	says := fmt.Sprintf("%s, %+.3g hours from UTC", now.Format("2 January 2006, 15:04"), float64(zone)/3600)
	if len(last) > 0 && last[0].At.After(now.Add(5*time.Minute)) {
		c.found("clock", wrong, says+"; but the last change was kept at "+last[0].At.Format("2 January 2006, 15:04")+" UTC", "set the clock of this machine, and let it keep time by the network")
		return nil
	}
	if now.Year() < 2026 {
		c.found("clock", wrong, says+", before this program was written", "set the clock of this machine, and let it keep time by the network")
		return nil
	}
	c.found("clock", well, says, "")
	return nil
}

// sound reads the database and the audit through.
func (c *checkup) sound() error {
	const fix = "stop the server, keep a copy of the folder as it is, and restore the newest backup that verify finds whole into an empty folder"
	if err := c.source.Store.CheckSound(c.ctx); errors.Is(err, store.ErrUnsound) || errors.Is(err, store.ErrDisk) {
		c.found("database", wrong, err.Error(), fix)
	} else if err != nil {
		return err
	} else {
		c.found("database", well, map[bool]string{true: "PostgreSQL answers", false: "read through, every page and index fits"}[c.source.Store.InPostgres()], "")
	}
	switch err := c.source.Store.CheckAudit(c.ctx); {
	case errors.Is(err, store.ErrAudit):
		c.found("audit", wrong, err.Error(), "somebody changed the data behind the program's back, or the disk did: compare with a backup from before")
	case err != nil:
		return err
	default:
		c.found("audit", well, "every entry follows from the one before", "")
	}
	return nil
}

func (c *checkup) backup() error {
	last, err := c.source.Store.LastBackup(c.ctx)
	if err != nil {
		return err
	}
	lacks, err := c.source.Store.BackupLacks(c.ctx)
	if err != nil {
		return err
	}
	age := c.source.Made.Sub(last)
	switch {
	case last.IsZero():
		c.found("backup", wrong, "there is none", "rinsewright backup --to a disk that is not this machine's")
	case lacks > 0:
		c.found("backup", wrong, fmt.Sprintf("the last one, from %s, lacks the pictures of %d photos", day(last), lacks), "the folder of the photos has lost them: bring them back from an older backup")
	case age > 14*24*time.Hour:
		c.found("backup", wrong, "the last one is from "+day(last), "serve makes one every night unless it is told not to: its log says what stopped it")
	case age > 2*24*time.Hour:
		c.found("backup", watch, "the last one is from "+day(last), "serve makes one every night unless it is told not to: its log says what stopped it")
	default:
		c.found("backup", well, "the last one is from "+day(last), "")
	}
	return nil
}

func (c *checkup) drill() error {
	last, err := c.source.Store.LastDrill(c.ctx)
	if err != nil {
		return err
	}
	switch age := c.source.Made.Sub(last); {
	case last.IsZero():
		c.found("drill", wrong, "no backup has ever been tried out", "rinsewright drill")
	case age > 14*24*time.Hour:
		c.found("drill", watch, "a backup was last tried out on "+day(last), "rinsewright drill")
	default:
		c.found("drill", well, "a backup was restored and found the same on "+day(last), "")
	}
	return nil
}

func day(t time.Time) string { return t.Format("2 January 2006, 15:04") + " UTC" }

// certificates looks at what serve shows to browsers.
func (c *checkup) certificates() error {
	own := filepath.Join(c.data, "phones", "authority.crt")
	switch _, err := os.Stat(own); {
	case c.command.Cert != "":
		c.certificate("certificate", c.command.Cert, c.command.Key)
	case err == nil:
		c.certificate("phones", own, filepath.Join(c.data, "phones", "authority.key"))
	default:
		c.found("certificate", well, "none: pages go without encryption on this machine, or a proxy encrypts", "")
	}
	return nil
}

func (c *checkup) certificate(name, file, key string) {
	const fix = "give serve a certificate that is good: --certificate FILE --key FILE"
	text, err := os.ReadFile(file)
	if err != nil {
		c.found(name, wrong, err.Error(), fix)
		return
	}
	block, _ := pem.Decode(text)
	if block == nil {
		c.found(name, wrong, file+" is no certificate in PEM", fix)
		return
	}
	cert, err := x509.ParseCertificate(block.Bytes)
	if err != nil {
		c.found(name, wrong, file+": "+err.Error(), fix)
		return
	}
	if _, err := tls.LoadX509KeyPair(file, key); err != nil {
		c.found(name, wrong, "certificate and key do not belong together: "+err.Error(), fix)
		return
	}
	left := cert.NotAfter.Sub(c.source.Made)
	state, says := well, "good until "+day(cert.NotAfter)
	if left < 21*24*time.Hour {
		state = watch
	}
	if left < 0 || cert.NotBefore.After(c.source.Made) {
		state, says = wrong, fmt.Sprintf("good from %s until %s, and not now", day(cert.NotBefore), day(cert.NotAfter))
	}
	c.found(name, state, says, fix)
}
