package store

import (
	"context"
	"database/sql"
	"embed"
	"io/fs"

	"github.com/pressly/goose/v3"
)

//go:embed migrations/*.sql
var migrations embed.FS

// migrate brings the tables up to date, each step in its own transaction, and
// leaves data alone that a newer program has written.
func migrate(ctx context.Context, db *sql.DB, dialect goose.Dialect) error {
	steps, err := fs.Sub(migrations, "migrations")
	if err != nil {
		return err
	}
	p, err := goose.NewProvider(dialect, db, steps)
	if err != nil {
		return err
	}
	sources := p.ListSources()
	newest := sources[len(sources)-1].Version
	at, err := p.GetDBVersion(ctx)
	if err != nil {
		return err
	}
	if at > newest {
		return ErrNewer
	}
	_, err = p.Up(ctx)
	return err
}
