package store

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"time"
)

// What is kept of the last backup and of the last drill.
const (
	backedUp    = "backup.at"
	backupLacks = "backup.lacks"
	drilled     = "drill.at"
)

// BackedUp keeps that there is a backup from now, and of how many photos it
// lacks the picture.
func (s *Store) BackedUp(ctx context.Context, by string, lacks int) error {
	if err := s.Set(ctx, by, backedUp, s.now().UTC().Format(time.RFC3339)); err != nil {
		return err
	}
	if before, err := s.BackupLacks(ctx); err != nil || before == lacks {
		return err
	}
	return s.Set(ctx, by, backupLacks, strconv.Itoa(lacks))
}

// BackupLacks tells of how many photos the last backup lacks the picture.
func (s *Store) BackupLacks(ctx context.Context) (int, error) {
	text, err := s.Setting(ctx, backupLacks, "0")
	if err != nil {
		return 0, err
	}
	return strconv.Atoi(text)
}

// LastBackup tells when there was a backup last; the zero time for never.
func (s *Store) LastBackup(ctx context.Context) (time.Time, error) {
	return s.momentSet(ctx, backedUp)
}

// Drilled keeps that a backup was restored and found whole now.
func (s *Store) Drilled(ctx context.Context, by string) error {
	return s.Set(ctx, by, drilled, s.now().UTC().Format(time.RFC3339))
}

// LastDrill tells when a backup was last restored and found whole; the zero
// time for never.
func (s *Store) LastDrill(ctx context.Context) (time.Time, error) {
	return s.momentSet(ctx, drilled)
}

func (s *Store) momentSet(ctx context.Context, name string) (time.Time, error) {
	text, err := s.Setting(ctx, name, "")
	if err != nil || text == "" {
		return time.Time{}, err
	}
	return time.Parse(time.RFC3339, text)
}

// InPostgres tells whether the data is in PostgreSQL.
func (s *Store) InPostgres() bool { return s.postgres }

// ErrUnsound marks a database that is broken in itself.
var ErrUnsound = errors.New("the database is damaged")

// CheckSound reads a SQLite database through, its indexes as well; PostgreSQL
// keeps its own checks. The error wraps [ErrUnsound] and says what is wrong.
func (s *Store) CheckSound(ctx context.Context) error {
	if s.postgres {
		return nil
	}
	var says string
	if err := s.read.QueryRowContext(ctx, `PRAGMA integrity_check(1)`).Scan(&says); err != nil {
		return fmt.Errorf("read the database through: %w", err)
	}
	if says != "ok" {
		return fmt.Errorf("read the database through: %s: %w", says, ErrUnsound)
	}
	return nil
}

// KeptPhotos lists the names of the files of all photos, each once.
func (m *Moment) KeptPhotos(ctx context.Context) ([]string, error) {
	if !slices.ContainsFunc(m.Tables, func(t Table) bool { return t.Name == "photos" }) {
		return nil, nil // data from before there were any
	}
	rows, err := m.tx.QueryContext(ctx, `SELECT DISTINCT kept FROM photos`)
	return gathered(rows, err, func(scan scan) (name string, err error) {
		err = scan(&name)
		return name, err
	})
}
