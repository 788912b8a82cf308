package store

import (
	"context"
	"embed"
	"errors"
	"fmt"
	"io/fs"

	"github.com/pressly/goose/v3"
)

//go:embed migrations/*.sql
var migrations embed.FS

// steps are what brings tables up to date, each in its own transaction.
func (c connection) steps() (*goose.Provider, error) {
	files, err := fs.Sub(migrations, "migrations")
	if err != nil {
		return nil, err
	}
	return goose.NewProvider(c.dialect, c.write, files)
}

// newest is the version of the data that this program writes.
func newest(p *goose.Provider) int64 {
	sources := p.ListSources()
	return sources[len(sources)-1].Version
}

// migrate brings the tables up to date, and leaves data alone that a newer
// program has written. Data that is about to be changed is shown to before.
func (c connection) migrate(ctx context.Context, before func(from, to int64) error) error {
	p, err := c.steps()
	if err != nil {
		return err
	}
	at, err := p.GetDBVersion(ctx)
	if err != nil {
		return err
	}
	to := newest(p)
	if at > to {
		return newer(at, to)
	}
	if 0 < at && at < to && before != nil {
		if err := before(at, to); err != nil {
			return err
		}
	}
	_, err = p.Up(ctx)
	return err
}

// newer says which data an older program has met.
func newer(at, to int64) error {
	return fmt.Errorf("it is data of version %d and this program knows up to %d: %w", at, to, ErrNewer)
}

// known looks whether this program knows the version of data, and changes
// nothing.
func (c connection) known(ctx context.Context) error {
	p, err := c.steps()
	if err != nil {
		return err
	}
	var at int64
	if err := c.read.QueryRowContext(ctx, `SELECT MAX(version_id) FROM goose_db_version`).Scan(&at); err != nil {
		return fmt.Errorf("there is no data of this program: %w", errors.Join(ErrNone, err))
	}
	if to := newest(p); at > to {
		return newer(at, to)
	}
	return nil
}

// DataVersion tells of which version the data is, and up to which this program
// knows it.
func (s *Store) DataVersion(ctx context.Context) (at, known int64, err error) {
	p, err := s.steps()
	if err != nil {
		return 0, 0, err
	}
	if err := s.read.QueryRowContext(ctx, `SELECT MAX(version_id) FROM goose_db_version`).Scan(&at); err != nil {
		return 0, 0, fmt.Errorf("ask for the version of the data: %w", err)
	}
	return at, newest(p), nil
}
