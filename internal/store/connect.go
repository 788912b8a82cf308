package store

import (
	"context"
	"database/sql"
	"errors"
	"net/url"
	"runtime"
	"slices"

	_ "github.com/jackc/pgx/v5/stdlib" // registers "pgx"
	"github.com/pressly/goose/v3"
	_ "modernc.org/sqlite" // registers "sqlite"
)

// connection is a database with its own way in for changes where it needs one.
type connection struct {
	read, write *sql.DB
	dialect     goose.Dialect
	begin       string
}

func connect(ctx context.Context, address string, o Options) (connection, error) {
	if isPostgres(address) {
		return connectPostgres(ctx, address)
	}
	return connectSQLite(ctx, address, o)
}

func (c connection) close() error {
	err := c.write.Close()
	if c.read != c.write {
		err = errors.Join(err, c.read.Close())
	}
	return err
}

func connectPostgres(ctx context.Context, address string) (connection, error) {
	db, err := sql.Open("pgx", address)
	if err != nil {
		return connection{}, err
	}
	db.SetMaxOpenConns(16)
	db.SetMaxIdleConns(8)
	return connection{db, db, goose.DialectPostgres, `BEGIN`}, db.PingContext(ctx)
}

// connectSQLite opens one connection that writes and several that read, which
// WAL lets work side by side. FULL makes an answered change outlast the power.
func connectSQLite(ctx context.Context, path string, o Options) (connection, error) {
	if err := ownFile(path); err != nil {
		return connection{}, err
	}
	address := func(extra ...string) string {
		pragmas := slices.Concat([]string{"busy_timeout(5000)", "journal_mode(WAL)", "synchronous(FULL)", "foreign_keys(1)"}, o.pragmas, extra)
		q := url.Values{"_pragma": pragmas, "_txlock": {"immediate"}}
		if o.Disk != "" {
			q.Set("vfs", o.Disk)
		}
		return "file:" + (&url.URL{Path: path}).EscapedPath() + "?" + q.Encode()
	}
	write, err := sql.Open("sqlite", address())
	if err != nil {
		return connection{}, err
	}
	write.SetMaxOpenConns(1)
	write.SetConnMaxLifetime(0)
	if err := write.PingContext(ctx); err != nil {
		return connection{}, err
	}
	read, err := sql.Open("sqlite", address("query_only(1)"))
	if err != nil {
		return connection{}, err
	}
	readers := 2 * runtime.GOMAXPROCS(0)
	read.SetMaxOpenConns(readers)
	read.SetMaxIdleConns(readers)
	return connection{read, write, goose.DialectSQLite3, `BEGIN IMMEDIATE`}, nil
}
