package store

import (
	"errors"
	"fmt"
	"syscall"
	"testing"

	"github.com/jackc/pgx/v5/pgconn"
)

func TestTheFileSystemOfAFolderIsFound(t *testing.T) {
	// Invented, in the form that proc(5) tells.
	const table = `22 1 0:21 / / rw,relatime shared:1 - ext4 /dev/a rw
23 22 0:22 / /srv rw - xfs /dev/b rw
24 23 0:23 / /srv/with\040space rw - nfs4 there:/x rw
25 23 0:24 / /srv/data rw - ext4 /dev/c rw
26 25 0:25 / /srv/data rw - tmpfs none rw
`
	for dir, want := range map[string]string{
		"/": "ext4", "/elsewhere": "ext4", "/srv": "xfs", "/srvs": "ext4", "/srv/x/y": "xfs", "/srv/with space/x": "nfs4", "/srv/data": "tmpfs", "/srv/data/x": "tmpfs", "/srv/database": "xfs",
	} {
		if got := kindOfMount(table, dir); got != want {
			t.Errorf("%s lies on %q, want %q", dir, got, want)
		}
	}
	if kindOfMount("nonsense\n\n- \n", "/") != "" {
		t.Error("nonsense told something")
	}
	for kind, want := range map[string]bool{"nfs4": true, "fuse.sshfs": true, "cifs": true, "ext4": false, "fuse.ext4": false, "": false} {
		if OverNetwork(kind) != want {
			t.Errorf("%s", kind)
		}
	}
}

func TestWhatADiskSaysIsUnderstood(t *testing.T) {
	for _, c := range []struct {
		err, want error
	}{
		{syscall.ENOSPC, ErrNoRoom},
		{fmt.Errorf("write: %w", syscall.EIO), ErrDisk},
		{fmt.Errorf("write: %w", syscall.EROFS), ErrDisk},
		{&pgconn.PgError{Code: "53100"}, ErrNoRoom}, // published: PostgreSQL 17 documentation, appendix A, disk_full
		{&pgconn.PgError{Code: "58030"}, ErrDisk},   // published: the same, io_error
		{&pgconn.PgError{Code: "23505"}, nil},
	} {
		got := ofDisk(c.err)
		for _, kind := range []error{ErrNoRoom, ErrDisk} {
			if errors.Is(got, kind) != (kind == c.want) {
				t.Errorf("%v is understood as %v", c.err, got)
			}
		}
		if !errors.Is(got, c.err) {
			t.Errorf("%v: the cause is lost", c.err)
		}
	}
	if ofDisk(nil) != nil {
		t.Error("nothing is something")
	}
}
