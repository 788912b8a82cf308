// Package disk is a disk for SQLite that misbehaves as disks do: the power goes
// and what was not synced is lost in part, in any order and torn; a write or a
// sync fails; there is no room. It works wherever the program does, without
// rights of its own, since it stands between SQLite and the real files: what is
// read is what was written, as from the cache of a real system, and beside that
// it keeps account of what would still be there after the power had gone.
//
// Once a sync has failed, what it was to keep is lost to later syncs as well:
// some systems do that, and a program must not trust a second try.
package disk

import (
	"path/filepath"
	"sync"
	"testing"
)

// Disk is one disk. Everything on it is under one folder.
type Disk struct {
	mu     sync.Mutex
	steps  []step
	failed int
	judge  Judge
	name   string
}

// What a step does.
type kind string

// The steps that are counted and may fail.
const (
	Open     kind = "open"
	Write    kind = "write"
	Truncate kind = "truncate"
	Sync     kind = "sync"
	Remove   kind = "remove"
	mark     kind = "mark"
	broken   kind = "sync that failed"
)

// step is one thing that was done to a file, or a mark.
type step struct {
	kind kind
	file string
	off  int64
	data []byte
	size int64
	kept bool // the name is gone for certain
	said string
}

// Judge decides whether a step fails, and as what. n counts the steps from 1.
type Judge func(n int, what string, file string, end int64) Failure

// Failure is what SQLite is told; 0 is none.
type Failure int32

// The failures, as SQLite numbers them.
const (
	None      Failure = 0
	Deaf      Failure = -1   // a sync is not made, and said to have gone well
	Full      Failure = 13   // SQLITE_FULL
	CannotRun Failure = 14   // SQLITE_CANTOPEN
	WriteBad  Failure = 778  // SQLITE_IOERR_WRITE
	SyncBad   Failure = 1034 // SQLITE_IOERR_FSYNC
)

// New makes a disk. Its name goes to SQLite.
func New(t testing.TB) *Disk {
	t.Helper()
	d := &Disk{}
	if err := d.register(); err != nil {
		t.Fatal(err)
	}
	return d
}

// Name is what SQLite knows the disk by.
func (d *Disk) Name() string { return d.name }

// Judged lets judge decide from now on, counting anew; nil lets all be well.
func (d *Disk) Judged(judge Judge) {
	d.mu.Lock()
	defer d.mu.Unlock()
	d.judge, d.failed = judge, 0
}

// Mark keeps that something was answered by now.
func (d *Disk) Mark(said string) {
	d.mu.Lock()
	defer d.mu.Unlock()
	d.steps = append(d.steps, step{kind: mark, said: said})
}

// Steps is how many there have been.
func (d *Disk) Steps() int {
	d.mu.Lock()
	defer d.mu.Unlock()
	return len(d.steps)
}

// Marked lists what was answered within the first n steps.
func (d *Disk) Marked(n int) (said []string) {
	d.mu.Lock()
	defer d.mu.Unlock()
	for _, s := range d.steps[:n] {
		if s.kind == mark {
			said = append(said, s.said)
		}
	}
	return said
}

// may asks the judge. The caller holds the lock.
func (d *Disk) may(k kind, file string, end int64) Failure {
	if d.judge == nil {
		return None
	}
	d.failed++
	return d.judge(d.failed, string(k), filepath.Base(file), end)
}

// did keeps a step.
func (d *Disk) did(s step) {
	s.file = filepath.Base(s.file)
	d.steps = append(d.steps, s)
}
