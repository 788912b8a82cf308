package archive

import (
	"archive/tar"
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"hash"
	"io"
	"time"

	"rinsewright/internal/store"
)

// Source is what is put into a backup.
type Source struct {
	Store   *store.Store
	Photos  *store.Folder // nil when there are none
	Program string
	Made    time.Time
}

// Names of the entries.
const (
	aboutName    = "about.json"
	manifestName = "manifest.json"
	wholeName    = "whole.sha256"
)

const (
	how     = "rinsewright restore FILE --data EMPTY-FOLDER"
	leftOut = "who was signed in, tokens of programs, the keys by which this machine vouches for itself, and what is computed anew"
)

// Write writes a backup of everything as it is now. Changes go on while it is
// made.
func Write(ctx context.Context, to io.Writer, from Source) (Manifest, error) {
	whole := sha256.New()
	w := &writer{tar: tar.NewWriter(io.MultiWriter(to, whole)), made: from.Made.UTC().Truncate(time.Second)}
	err := from.Store.AtOneMoment(ctx, func(m *store.Moment) error { return w.everything(ctx, from, m) })
	if err == nil {
		err = w.tar.Flush()
	}
	if err == nil {
		_, err = to.Write(ending(whole, w.made))
	}
	if err != nil {
		return Manifest{}, fmt.Errorf("write a backup: %w", err)
	}
	return w.manifest, nil
}

type writer struct {
	tar      *tar.Writer
	made     time.Time
	manifest Manifest
}

func (w *writer) everything(ctx context.Context, from Source, m *store.Moment) error {
	database := "SQLite"
	if from.Store.InPostgres() {
		database = "PostgreSQL"
	}
	w.manifest.About = About{Format: format, Made: w.made, Program: from.Program, Data: m.Version, Database: database, How: how, LeftOut: leftOut}
	if err := w.object(aboutName, w.manifest.About); err != nil {
		return err
	}
	w.manifest.Tables = []Table{}
	for _, t := range m.Tables {
		if err := w.table(ctx, m, t); err != nil {
			return err
		}
	}
	photos, err := m.KeptPhotos(ctx)
	if err != nil {
		return err
	}
	w.manifest.Missing = []Lost{}
	for _, name := range photos {
		if err := w.photo(from.Photos, name); err != nil {
			return err
		}
	}
	w.manifest.Content = content(w.manifest.Tables, photos)
	return w.object(manifestName, w.manifest)
}

// table writes a table in chunks, so that none is ever held whole.
func (w *writer) table(ctx context.Context, m *store.Moment, t store.Table) error {
	head, err := columnsLine(t)
	if err != nil {
		return err
	}
	out := Table{Name: t.Name}
	sum, chunk, chunks := sha256.New(), append([]byte{}, head...), 0
	sum.Write(head)
	flush := func() error {
		chunks++
		err := w.entry(fmt.Sprintf("tables/%s/%06d.jsonl", t.Name, chunks), chunk)
		chunk = append(chunk[:0], head...)
		return err
	}
	err = m.Rows(ctx, t, func(values []any) error {
		before := len(chunk)
		if chunk, err = appendRow(chunk, t, values); err != nil {
			return err
		}
		sum.Write(chunk[before:])
		out.Rows++
		if len(chunk) >= mostChunk {
			return flush()
		}
		return nil
	})
	if err == nil && (len(chunk) > len(head) || chunks == 0) {
		err = flush()
	}
	out.SHA256 = hex.EncodeToString(sum.Sum(nil))
	w.manifest.Tables = append(w.manifest.Tables, out)
	return err
}

// photo writes a photo. One that is lost does not keep the rest from being
// saved; the manifest names it.
func (w *writer) photo(folder *store.Folder, name string) error {
	if folder == nil {
		w.manifest.Missing = append(w.manifest.Missing, Lost{name, "there is no folder of photos"})
		return nil
	}
	picture, err := folder.Content(name)
	if err != nil {
		w.manifest.Missing = append(w.manifest.Missing, Lost{name, err.Error()})
		return nil
	}
	w.manifest.Photos++
	w.manifest.Bytes += int64(len(picture))
	return w.entry("photos/"+name[:2]+"/"+name[2:], picture)
}

func (w *writer) object(name string, x any) error {
	text, err := json.MarshalIndent(x, "", "  ")
	if err != nil {
		return err
	}
	return w.entry(name, append(text, '\n'))
}

func (w *writer) entry(name string, content []byte) error {
	if err := w.tar.WriteHeader(header(name, len(content), w.made)); err != nil {
		return err
	}
	_, err := w.tar.Write(content)
	return err
}

func header(name string, long int, made time.Time) *tar.Header {
	return &tar.Header{Typeflag: tar.TypeReg, Name: name, Size: int64(long), Mode: 0o600, ModTime: made, Format: tar.FormatUSTAR}
}

// ending is what closes a backup whose bytes so far have a hash.
func ending(whole hash.Hash, made time.Time) []byte {
	var b bytes.Buffer
	text := hex.EncodeToString(whole.Sum(nil)) + "\n"
	w := tar.NewWriter(&b)
	_ = w.WriteHeader(header(wholeName, len(text), made)) // memory takes everything
	_, _ = io.WriteString(w, text)
	_ = w.Close()
	return b.Bytes()
}
