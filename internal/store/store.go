package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"os"
	"strings"
	"time"
)

// Reasons why the store refuses; test with errors.Is.
var (
	// ErrNone marks a question about something that is not there.
	ErrNone = errors.New("not there")
	// ErrConflict marks a change that began from an older state than what is kept.
	ErrConflict = errors.New("changed by someone else since")
	// ErrTaken marks a name or place that is already used.
	ErrTaken = errors.New("already taken")
	// ErrText marks text that not every database can keep.
	ErrText = errors.New("text with characters that cannot be kept")
	// ErrNewer marks data that a newer program has written.
	ErrNewer = errors.New("the data was written by a newer rinsewright; start that one")
	// ErrClosed marks a change after the store was closed.
	ErrClosed = errors.New("the store is closed")
)

// Options says how a store is opened.
type Options struct {
	// Now is the clock; nil is the machine's.
	Now func() time.Time
}

// Store is an open database. It is safe for many goroutines.
type Store struct {
	read   *sql.DB
	write  *sql.DB
	tenant string
	now    func() time.Time
	writer *writer

	address  string
	postgres bool
	begin    string // how a change begins
}

// ownTenant is the one tenant of an installation of its own. Every key begins
// with it, so that several can share a database later.
const ownTenant = "own"

// Open opens the database at address: a PostgreSQL address when it begins with
// postgres:// or postgresql://, otherwise the path of a SQLite file, which is
// made when it is not there. It brings the tables up to date first. The error
// wraps [ErrNewer] when a newer program has written the data.
func Open(ctx context.Context, address string, o Options) (*Store, error) {
	opened, err := connect(ctx, address)
	if err != nil {
		return nil, fmt.Errorf("open the store: %w", err)
	}
	s := &Store{read: opened.read, write: opened.write, tenant: ownTenant, now: o.Now, address: address, postgres: isPostgres(address), begin: opened.begin}
	if s.now == nil {
		s.now = time.Now
	}
	if err := migrate(ctx, s.write, opened.dialect); err != nil {
		return nil, errors.Join(fmt.Errorf("bring the tables up to date: %w", err), s.closeDatabases())
	}
	s.writer = newWriter(s)
	if err := s.Change(ctx, startAudit); err != nil {
		return nil, errors.Join(fmt.Errorf("begin the audit: %w", err), s.Close())
	}
	return s, nil
}

// Close lets the changes under way finish and closes the database.
func (s *Store) Close() error {
	s.writer.stop()
	return s.closeDatabases()
}

func (s *Store) closeDatabases() error {
	err := s.write.Close()
	if s.read != s.write {
		err = errors.Join(err, s.read.Close())
	}
	return err
}

// Ready tells whether the store answers.
func (s *Store) Ready(ctx context.Context) error {
	var one int
	if err := s.read.QueryRowContext(ctx, `SELECT 1`).Scan(&one); err != nil {
		return fmt.Errorf("ask the store: %w", err)
	}
	return nil
}

func isPostgres(address string) bool {
	return strings.HasPrefix(address, "postgres://") || strings.HasPrefix(address, "postgresql://")
}

// ownFile makes the file of a new database readable by its owner only.
func ownFile(path string) error {
	f, err := os.OpenFile(path, os.O_CREATE|os.O_RDWR, 0o600)
	if err != nil {
		return err
	}
	return f.Close()
}

func millis(t time.Time) int64 { return t.UnixMilli() }

func moment(ms int64) time.Time { return time.UnixMilli(ms).UTC() }
