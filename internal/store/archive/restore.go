package archive

import (
	"archive/tar"
	"bufio"
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"time"

	"rinsewright/internal/store"
)

// Place is where a backup is brought back to.
type Place struct {
	Data     string // folder
	Database string // address of an empty PostgreSQL database, "" for SQLite in Data
}

// Names of what lies in the folder of the data.
const (
	DataFile   = "rinsewright.sqlite"
	PhotosName = "photos"
	underWay   = "restoring"
)

// Restore brings a backup back where there is nothing yet, and reads it back
// from there to see that it is the same to the hash. Whatever stops it, either
// all of it is there or nothing: files come into their places only at the end.
// The error wraps [store.ErrNotEmpty] when there is something, [ErrDamaged]
// when the backup is not whole, [store.ErrNewer] when a newer program made it.
func Restore(ctx context.Context, from io.Reader, to Place) (Manifest, error) {
	m, err := to.restore(ctx, from)
	if err != nil {
		return Manifest{}, fmt.Errorf("restore: %w", err)
	}
	return m, nil
}

func (p Place) restore(ctx context.Context, from io.Reader) (m Manifest, err error) {
	if err := p.empty(); err != nil {
		return m, err
	}
	half := filepath.Join(p.Data, underWay)
	if err := os.RemoveAll(half); err != nil { // left by one that was stopped
		return m, err
	}
	if err := os.MkdirAll(half, 0o700); err != nil {
		return m, err
	}
	defer func() { err = errors.Join(err, os.RemoveAll(half)) }()
	address := p.Database
	if address == "" {
		address = filepath.Join(half, DataFile)
	}
	if m, err = unpack(ctx, from, address, filepath.Join(half, PhotosName)); err != nil {
		return m, err
	}
	if err := same(ctx, m, address, filepath.Join(half, PhotosName)); err != nil {
		return m, err
	}
	return m, p.settle(half)
}

// empty refuses a place where there is anything.
func (p Place) empty() error {
	for _, name := range []string{DataFile, DataFile + "-wal", PhotosName} {
		at := filepath.Join(p.Data, name)
		if _, err := os.Stat(at); err == nil {
			return fmt.Errorf("%s: %w", at, store.ErrNotEmpty)
		} else if !errors.Is(err, fs.ErrNotExist) {
			return err
		}
	}
	return nil
}

// settle brings the files into their places: the photos first, since without
// the database there is no data yet.
func (p Place) settle(half string) error {
	names := []string{PhotosName}
	if p.Database == "" {
		names = append(names, DataFile)
	}
	for _, name := range names {
		if err := os.Rename(filepath.Join(half, name), filepath.Join(p.Data, name)); err != nil {
			return err
		}
	}
	return store.Settle(p.Data)
}

// unpack fills a database and a folder from a backup. The database's rows are
// committed only after the last byte was found good.
func unpack(ctx context.Context, from io.Reader, address, photos string) (m Manifest, err error) {
	folder, err := store.OpenFolder(photos)
	if err != nil {
		return m, err
	}
	defer func() { err = errors.Join(err, folder.Close()) }()
	whole := bufio.NewReaderSize(from, firstLook)
	about, err := look(whole)
	if err != nil {
		return m, err
	}
	err = store.Fill(ctx, address, about.Data, func(f *store.Filling) error {
		m, err = read(whole, taker{
			photo: func(_ string, content []byte) error {
				_, err := folder.Keep(content)
				return err
			},
			rows: func(name string, columns []string, lines [][]byte) error { return put(f, name, columns, lines) },
		})
		return err
	})
	return m, err
}

// firstLook holds the first entry of a backup.
const firstLook = 8 << 10

// look reads the first entry of a backup and leaves it to be read again: which
// tables to make must be known before anything else.
func look(from *bufio.Reader) (about About, err error) {
	begins, err := from.Peek(firstLook)
	if err != nil && !errors.Is(err, io.EOF) {
		return about, err
	}
	t := tar.NewReader(bytes.NewReader(begins))
	head, err := t.Next()
	if err != nil || head.Name != aboutName {
		return about, damaged("it does not begin as a backup", err)
	}
	text, err := io.ReadAll(t)
	if err != nil {
		return about, damaged("it does not begin as a backup", err)
	}
	return about, about.from(text)
}

func put(f *store.Filling, name string, columns []string, lines [][]byte) error {
	t, err := f.Table(name, columns)
	if err != nil {
		return damaged("it has a table that its version has not", err)
	}
	for _, line := range lines {
		values, err := rowOf(t, line)
		if err != nil {
			return err
		}
		if err := f.Put(t, values); err != nil {
			return fmt.Errorf("put a row into table %s: %w", name, err)
		}
	}
	return nil
}

// same reads what was restored again, as a backup of it would, and compares
// it with what was in the backup.
func same(ctx context.Context, m Manifest, address, photos string) error {
	folder, err := store.OpenFolder(photos)
	if err != nil {
		return err
	}
	s, err := store.Open(ctx, address, store.Options{AsItIs: true})
	if err != nil {
		return errors.Join(err, folder.Close())
	}
	got, err := Write(ctx, io.Discard, Source{Store: s, Photos: folder, Made: time.Unix(0, 0)})
	if err == nil && (got.Content != m.Content || got.Photos != m.Photos) {
		err = damaged("what was restored is not what was in the backup", nil)
	}
	if err == nil {
		err = s.CheckAudit(ctx)
	}
	if err == nil {
		err = s.CheckSound(ctx)
	}
	if err = errors.Join(err, s.Close(), folder.Close()); err != nil {
		return err
	}
	if _, err := os.Stat(address + "-wal"); err == nil {
		return errors.New("SQLite left a part of the database beside its file")
	}
	return nil
}
