package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"net/url"
	"os"
	"time"
)

// ErrElsewhere marks a question that the database's own tools answer.
var ErrElsewhere = errors.New("PostgreSQL is backed up by its own tools")

const backedUp = "backup.at"

// Backup writes a sound copy of a SQLite database to a new file while it is in
// use, reads the copy through, and keeps that there is one. The error wraps
// [ErrElsewhere] for PostgreSQL.
func (s *Store) Backup(ctx context.Context, by, to string) error {
	if s.postgres {
		return ErrElsewhere
	}
	if err := ownFile(to); err != nil {
		return fmt.Errorf("back up: %w", err)
	}
	if err := copied(ctx, s.address, to); err != nil {
		return errors.Join(fmt.Errorf("back up: %w", err), os.Remove(to))
	}
	if err := sound(ctx, to); err != nil {
		return fmt.Errorf("back up: the copy is not sound: %w", err)
	}
	return s.BackedUp(ctx, by)
}

// BackedUp keeps that there is a backup from now.
func (s *Store) BackedUp(ctx context.Context, by string) error {
	return s.Set(ctx, by, backedUp, s.now().UTC().Format(time.RFC3339))
}

// LastBackup tells when there was a backup last; the zero time for never.
func (s *Store) LastBackup(ctx context.Context) (time.Time, error) {
	text, err := s.Setting(ctx, backedUp, "")
	if err != nil || text == "" {
		return time.Time{}, err
	}
	return time.Parse(time.RFC3339, text)
}

// InPostgres tells whether the data is in PostgreSQL.
func (s *Store) InPostgres() bool { return s.postgres }

// copied copies a SQLite file that is in use, on a connection of its own, since
// the store's either read only or write for somebody.
func copied(ctx context.Context, from, to string) error {
	db, err := sql.Open("sqlite", "file:"+(&url.URL{Path: from}).EscapedPath()+"?_pragma=busy_timeout(5000)")
	if err != nil {
		return err
	}
	_, err = db.ExecContext(ctx, `VACUUM INTO $1`, to)
	return errors.Join(err, db.Close())
}

// sound reads a SQLite file through.
func sound(ctx context.Context, path string) error {
	db, err := sql.Open("sqlite", "file:"+(&url.URL{Path: path}).EscapedPath()+"?_pragma=query_only(1)")
	if err != nil {
		return err
	}
	var says string
	err = db.QueryRowContext(ctx, `PRAGMA integrity_check`).Scan(&says)
	if err == nil && says != "ok" {
		err = errors.New(says)
	}
	return errors.Join(err, db.Close())
}
