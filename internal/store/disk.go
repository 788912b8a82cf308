package store

import (
	"errors"
	"syscall"

	"github.com/jackc/pgx/v5/pgconn"
	"modernc.org/sqlite"
	lib "modernc.org/sqlite/lib"
)

// What a disk may do to a change. Nothing of the change is kept; what was kept
// before is there and can be read.
var (
	// ErrNoRoom marks a change for which the disk has no room.
	ErrNoRoom = errors.New("the disk is full")
	// ErrDisk marks a change that the disk did not take.
	ErrDisk = errors.New("the disk does not work as it should")
)

// ofDisk marks an error that comes from the disk.
func ofDisk(err error) error {
	switch {
	case err == nil:
		return nil
	case noRoom(err):
		return errors.Join(ErrNoRoom, err)
	case badDisk(err):
		return errors.Join(ErrDisk, err)
	}
	return err
}

func noRoom(err error) bool {
	var lite *sqlite.Error
	var pg *pgconn.PgError
	return errors.Is(err, syscall.ENOSPC) ||
		errors.As(err, &lite) && lite.Code()&0xff == lib.SQLITE_FULL ||
		errors.As(err, &pg) && pg.Code == "53100" // disk full
}

func badDisk(err error) bool {
	var lite *sqlite.Error
	var pg *pgconn.PgError
	if errors.As(err, &lite) {
		switch lite.Code() & 0xff {
		case lib.SQLITE_IOERR, lib.SQLITE_CANTOPEN, lib.SQLITE_READONLY, lib.SQLITE_CORRUPT, lib.SQLITE_NOTADB:
			return true
		}
	}
	return errors.Is(err, syscall.EIO) || errors.Is(err, syscall.EROFS) ||
		errors.As(err, &pg) && pg.Code == "58030" // input or output went wrong
}
