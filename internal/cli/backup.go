package cli

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"time"

	"rinsewright/internal/store"
	"rinsewright/internal/store/archive"
)

// DataPlace says where the data is.
type DataPlace struct {
	Data     string `placeholder:"DIR" help:"Folder of the data and the photos; rinsewright in your own data folder by default." type:"path" env:"RINSEWRIGHT_DATA"`
	Database string `placeholder:"URL" help:"PostgreSQL database instead, as postgres://..." env:"RINSEWRIGHT_DATABASE"`
}

func (p DataPlace) folder() (string, error) {
	if p.Data != "" {
		return p.Data, nil
	}
	data, err := ownData()
	if err != nil {
		return "", bad(err, "--data DIR")
	}
	return data, nil
}

// address is the store's.
func (p DataPlace) address(data string) string {
	if p.Database != "" {
		return p.Database
	}
	return filepath.Join(data, archive.DataFile)
}

// with opens the data beside a server that may be running, as it is, and lets
// work use it.
func (p DataPlace) with(ctx context.Context, program string, work func(archive.Source, string) error) (err error) {
	data, err := p.folder()
	if err != nil {
		return err
	}
	s, err := store.Open(ctx, p.address(data), store.Options{AsItIs: true})
	if errors.Is(err, store.ErrNone) {
		return bad(fmt.Errorf("there is no data in %s", data), "rinsewright serve prints where its data is; name that with --data DIR")
	}
	if err != nil {
		return bad(err, "")
	}
	defer func() { err = errors.Join(err, s.Close()) }()
	photos, err := store.OpenFolder(filepath.Join(data, archive.PhotosName))
	if err != nil {
		return bad(err, "")
	}
	defer func() { err = errors.Join(err, photos.Close()) }()
	return work(archive.Source{Store: s, Photos: photos, Program: program, Made: time.Now()}, data)
}

// BackupKeys say who opens an encrypted backup.
type BackupKeys struct {
	Key        string `placeholder:"FILE" type:"existingfile" help:"File with the key of an encrypted backup."`
	Passphrase string `name:"passphrase-file" placeholder:"FILE" type:"existingfile" help:"File with the passphrase of an encrypted backup."`
}

func (k BackupKeys) keys() (archive.Keys, error) {
	var all archive.Keys
	if k.Key != "" {
		file, err := os.Open(k.Key)
		if err != nil {
			return nil, bad(err, "")
		}
		keys, err := archive.KeysOf(file)
		if err = errors.Join(err, file.Close()); err != nil {
			return nil, bad(fmt.Errorf("%s: %w", k.Key, err), "rinsewright backup --make-key FILE writes one")
		}
		all = keys
	}
	if k.Passphrase != "" {
		text, err := passphrase(k.Passphrase)
		if err != nil {
			return nil, err
		}
		_, keys, err := archive.Passphrase(text)
		if err != nil {
			return nil, bad(err, "")
		}
		all = append(all, keys...)
	}
	return all, nil
}

// passphrase is the first line of a file.
func passphrase(path string) (string, error) {
	text, err := os.ReadFile(path)
	if err != nil {
		return "", bad(err, "")
	}
	line, _, _ := strings.Cut(string(text), "\n")
	if line = strings.TrimRight(line, "\r"); line == "" {
		return "", bad(fmt.Errorf("%s: its first line is empty and should be the passphrase", path), "")
	}
	return line, nil
}

// BackupCommand puts everything into one file.
type BackupCommand struct {
	DataPlace
	To         string   `placeholder:"PLACE" type:"path" help:"New file, or a folder; backups in the folder of the data without it."`
	For        []string `name:"for" placeholder:"age1..." help:"Encrypt for this public key; may be given for several."`
	Passphrase string   `name:"passphrase-file" placeholder:"FILE" type:"existingfile" help:"Encrypt with the passphrase in this file."`
	MakeKey    string   `placeholder:"FILE" type:"path" help:"Write a new key to a new file instead, and print its public part."`
	JSON       bool     `name:"json" help:"Print one JSON object instead."`
}

// Help is the long help with examples.
func (BackupCommand) Help() string {
	return `One file with sites, readings, people, prices, photos and the audit, from SQLite
or PostgreSQL, made while the program serves. It is a tar file, and can be
encrypted with age. Who is signed in, tokens and the machine's own keys are left
out. Keep a copy on another machine, and the key somewhere else again.

Examples:
  rinsewright backup
  rinsewright backup --to /media/disk
  rinsewright backup --make-key rinsewright.key
  rinsewright backup --to office.tar.age --for age1...

Exit code 0 when it is made, 1 when photos are missing from it, 2 when it could
not be made.`
}

// Run makes it.
func (c BackupCommand) Run(desk Desk) error {
	if c.MakeKey != "" {
		return makeKey(desk, c.MakeKey)
	}
	var lines archived
	err := c.DataPlace.with(desk.Context, desk.Version, func(from archive.Source, data string) (err error) {
		locks, err := c.locks()
		if err != nil {
			return err
		}
		lines.Path, lines.Manifest, err = c.save(desk.Context, from, data, locks)
		lines.Encrypted = len(locks) > 0
		if errors.Is(err, os.ErrExist) {
			return bad(fmt.Errorf("%s is there already, and no backup is written over", c.To), "give another name, or a folder")
		}
		if err != nil {
			return bad(err, "")
		}
		return nil
	})
	return lines.show(desk, "backup", c.JSON, err)
}

func (c BackupCommand) locks() (archive.Locks, error) {
	locks, err := archive.LocksOf(c.For...)
	if err != nil {
		return nil, bad(err, "rinsewright backup --make-key FILE prints one")
	}
	if c.Passphrase == "" {
		return locks, nil
	}
	if len(locks) > 0 {
		return nil, bad(errors.New("a backup is encrypted for keys or with a passphrase, not both"), "")
	}
	text, err := passphrase(c.Passphrase)
	if err != nil {
		return nil, err
	}
	locks, _, err = archive.Passphrase(text)
	return locks, err
}

// save writes into a folder, or to a file that is named.
func (c BackupCommand) save(ctx context.Context, from archive.Source, data string, locks archive.Locks) (string, archive.Manifest, error) {
	folder := c.To
	if folder == "" {
		folder = filepath.Join(data, "backups")
	}
	if about, err := os.Stat(folder); c.To == "" || err == nil && about.IsDir() {
		return archive.SaveIn(ctx, folder, "rinsewright-", "", from, locks)
	}
	m, err := archive.Save(ctx, c.To, from, locks)
	if err == nil {
		err = from.Store.BackedUp(ctx, "", len(m.Missing))
	}
	return c.To, m, err
}

func makeKey(desk Desk, path string) error {
	secret, public, err := archive.NewKey()
	if err != nil {
		return bad(err, "")
	}
	file, err := os.OpenFile(path, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o600)
	if err != nil {
		return bad(err, "a key is written to a new file only")
	}
	_, err = fmt.Fprintf(file, "# opens backups made with: rinsewright backup --for %s\n%s\n", public, secret)
	if err = errors.Join(err, file.Sync(), file.Close()); err != nil {
		return bad(err, "")
	}
	_, err = fmt.Fprintf(desk.Out, "%s\nThe key is in %s. Keep it off this machine: without it nobody opens those backups.\n", public, path)
	return err
}

// read opens a backup and says in words why it cannot be used.
func (k BackupKeys) read(path string, read func(r io.Reader, encrypted bool) error) error {
	keys, err := k.keys()
	if err != nil {
		return err
	}
	switch err := archive.WithFile(path, keys, read); {
	case err == nil:
		return nil
	case errors.Is(err, archive.ErrLocked):
		return bad(fmt.Errorf("%s: %w", path, err), "--key FILE or --passphrase-file FILE opens it")
	case errors.Is(err, archive.ErrDamaged):
		return &said{code: ExitNo, text: fmt.Sprintf("%s: %v", path, err), hint: "use another copy; an older one that is whole is better than this", cause: err}
	default:
		return bad(err, "")
	}
}

// RestoreCommand brings a backup back.
type RestoreCommand struct {
	File string `arg:"" type:"existingfile" help:"Backup."`
	BackupKeys
	DataPlace
	JSON bool `name:"json" help:"Print one JSON object instead."`
}

// Help is the long help with examples.
func (RestoreCommand) Help() string {
	return `Brings a backup back where there is nothing yet, compares every row and photo
with the backup, and only then puts the files into their places. It never writes
over data: name an empty folder. A backup from SQLite also restores into an
empty PostgreSQL database, and the other way round.

People sign in again, programs get new tokens, and phones that trusted the old
machine load the certificate of the new one.

Examples:
  rinsewright restore rinsewright-20260613-030000.tar --data /srv/rinsewright
  rinsewright restore office.tar.age --key rinsewright.key --data new
  rinsewright restore FILE --data new --database postgres://rinsewright@db/new

Exit code 0 when it is back and the same, 1 when the backup is damaged, 2 when
there is data already or it cannot be read.`
}

// Run restores.
func (c RestoreCommand) Run(desk Desk) error {
	a := archived{Path: c.File}
	data, err := c.folder()
	if err == nil {
		a.To = data
		err = c.read(c.File, func(r io.Reader, encrypted bool) (err error) {
			a.Encrypted = encrypted
			a.Manifest, err = archive.Restore(desk.Context, r, archive.Place{Data: data, Database: c.Database})
			return err
		})
	}
	if errors.Is(err, store.ErrNotEmpty) {
		err = bad(err, "name an empty place: --data FOLDER; move what is there away if it is not wanted")
	}
	return a.show(desk, "restore", c.JSON, err)
}

// DrillCommand tries a backup out.
type DrillCommand struct {
	File string `arg:"" optional:"" type:"existingfile" help:"Backup; without it one is written for the drill from the data."`
	BackupKeys
	DataPlace
	JSON bool `name:"json" help:"Print one JSON object instead."`
}

// Help is the long help with examples.
func (DrillCommand) Help() string {
	return `Restores a backup into a temporary folder, compares every row and photo, reads
the database and the audit through, and clears the folder again. The program does
this every night while it serves; the page Backup says when it last went well.

Examples:
  rinsewright drill
  rinsewright drill rinsewright-20260613-030000.tar
  rinsewright drill office.tar.age --key rinsewright.key

Exit code 0 when it came back the same, 1 when not, 2 when it cannot be read.`
}

// Run drills.
func (c DrillCommand) Run(desk Desk) error {
	a := archived{Path: c.File}
	if c.File != "" {
		err := c.read(c.File, func(r io.Reader, encrypted bool) (err error) {
			a.Encrypted = encrypted
			a.Manifest, err = archive.Drill(desk.Context, r, os.TempDir())
			return err
		})
		return a.show(desk, "drill", c.JSON, err)
	}
	err := c.DataPlace.with(desk.Context, desk.Version, func(from archive.Source, data string) (err error) {
		if a.Manifest, err = archive.DrillSource(desk.Context, from, filepath.Join(data, "backups")); err != nil {
			return no(err.Error())
		}
		return from.Store.Drilled(desk.Context, "")
	})
	return a.show(desk, "drill", c.JSON, err)
}
