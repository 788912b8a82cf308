package store

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
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
	// Upgrading is called before the tables of data that an older program wrote
	// are brought up to date; when it fails nothing is changed. nil does nothing.
	Upgrading func(ctx context.Context, old *Store, from, to int64) error
	// AsItIs opens data that must be there and leaves its tables as they are.
	AsItIs bool

	// Disk is the name of what SQLite reads and writes through; empty is the
	// machine's own.
	Disk string

	pragmas []string // more of them, for tests
}

// Store is an open database. It is safe for many goroutines.
type Store struct {
	connection
	tenant string
	now    func() time.Time
	writer *writer

	address  string
	postgres bool
}

// ownTenant is the one tenant of an installation of its own. Every key begins
// with it, so that several can share a database later.
const ownTenant = "own"

// Open opens the database at address: a PostgreSQL address when it begins with
// postgres:// or postgresql://, otherwise the path of a SQLite file, which is
// made when it is not there. It brings the tables up to date first. The error
// wraps [ErrNewer] when a newer program has written the data.
func Open(ctx context.Context, address string, o Options) (*Store, error) {
	if o.AsItIs {
		if err := mustBeThere(address); err != nil {
			return nil, fmt.Errorf("open the store: %w", err)
		}
	}
	opened, err := connect(ctx, address, o)
	if err != nil {
		return nil, fmt.Errorf("open the store: %w", err)
	}
	s := &Store{connection: opened, tenant: ownTenant, now: o.Now, address: address, postgres: isPostgres(address)}
	if s.now == nil {
		s.now = time.Now
	}
	if err := s.ready(ctx, o); err != nil {
		return nil, errors.Join(err, s.close())
	}
	s.writer = newWriter(s)
	if o.AsItIs {
		return s, nil
	}
	if err := s.Change(ctx, startAudit); err != nil {
		return nil, errors.Join(fmt.Errorf("begin the audit: %w", err), s.Close())
	}
	return s, nil
}

// ready brings the tables up to date, or looks whether they can be used as they
// are.
func (s *Store) ready(ctx context.Context, o Options) error {
	if o.AsItIs {
		return s.known(ctx)
	}
	err := s.migrate(ctx, func(from, to int64) error {
		if o.Upgrading == nil {
			return nil
		}
		return o.Upgrading(ctx, s, from, to)
	})
	if err != nil {
		return fmt.Errorf("bring the tables up to date: %w", err)
	}
	return nil
}

func mustBeThere(address string) error {
	if isPostgres(address) {
		return nil
	}
	_, err := os.Stat(address)
	if errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("%s: %w", address, ErrNone)
	}
	return err
}

// Close lets the changes under way finish and closes the database.
func (s *Store) Close() error {
	s.writer.stop()
	return s.close()
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

// ownFile makes the file of a new database readable by its owner only, and its
// name outlast the power.
func ownFile(path string) error {
	f, err := os.OpenFile(path, os.O_CREATE|os.O_RDWR|os.O_EXCL, 0o600)
	if errors.Is(err, fs.ErrExist) {
		return nil
	}
	if err != nil {
		return err
	}
	return errors.Join(f.Sync(), f.Close(), Settle(filepath.Dir(path)))
}

// Settle makes the names in a folder outlast the power. Systems that cannot do
// it for a folder need not be asked.
func Settle(dir string) error {
	d, err := os.Open(dir)
	if err != nil {
		return err
	}
	if err := d.Sync(); err != nil && runtime.GOOS != "windows" {
		return errors.Join(err, d.Close())
	}
	return d.Close()
}

func millis(t time.Time) int64 { return t.UnixMilli() }

func moment(ms int64) time.Time { return time.UnixMilli(ms).UTC() }
