package archive

import (
	"context"
	"errors"
	"io"
	"os"
	"path/filepath"
)

// DrillName begins the name of the folder of a drill.
const DrillName = "drill-"

// Drill restores a backup into a temporary folder within dir, finds it to be
// the same to the hash, and clears the folder again. What came from PostgreSQL
// is drilled in SQLite: a backup is the same for both.
func Drill(ctx context.Context, from io.Reader, dir string) (m Manifest, err error) {
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return m, err
	}
	at, err := os.MkdirTemp(dir, DrillName)
	if err != nil {
		return m, err
	}
	defer func() { err = errors.Join(err, os.RemoveAll(at)) }()
	return Restore(ctx, from, Place{Data: filepath.Join(at, "data")})
}

// DrillSource drills a backup that is written for it and kept nowhere.
func DrillSource(ctx context.Context, from Source, dir string) (Manifest, error) {
	r, w := io.Pipe()
	go func() {
		_, err := Write(ctx, w, from)
		_ = w.CloseWithError(err) // a pipe always closes
	}()
	m, err := Drill(ctx, r, dir)
	return m, errors.Join(err, r.Close())
}
