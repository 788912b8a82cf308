package store

import (
	"fmt"
	"path/filepath"
	"strings"
)

// Room is how many bytes of a disk are free, and of how many.
type Room struct{ Free, Of uint64 }

// Scarce tells whether less than a tenth is free: time to make room, while
// everything still works.
func (r Room) Scarce() bool { return r.Free < r.Of/10 } // never where the system does not say

func (r Room) String() string {
	if r.Of == 0 {
		return "unknown"
	}
	return fmt.Sprintf("%.1f GB of %.0f GB, %.0f %%", float64(r.Free)/1e9, float64(r.Of)/1e9, 100*float64(r.Free)/float64(r.Of))
}

// kindOfMount finds the file system that holds a folder in a table of mounts as
// Linux keeps it (proc(5), /proc/self/mountinfo): the longest place that
// contains it, and of those the last.
func kindOfMount(table, dir string) (kind string) {
	longest := -1
	for line := range strings.Lines(table) {
		about, system, found := strings.Cut(line, " - ")
		fields, after := strings.Fields(about), strings.Fields(system)
		if !found || len(fields) < 5 || len(after) < 1 {
			continue
		}
		at := strings.NewReplacer(`\040`, " ", `\011`, "\t", `\134`, `\`).Replace(fields[4])
		within := at == "/" || dir == at || strings.HasPrefix(dir, at+string(filepath.Separator))
		if within && len(at) >= longest {
			longest, kind = len(at), after[0]
		}
	}
	return kind
}

// OverNetwork tells whether a kind of file system is elsewhere: locks and syncs
// there do not hold what SQLite builds on.
func OverNetwork(kind string) bool {
	switch strings.TrimPrefix(kind, "fuse.") {
	case "nfs", "nfs4", "cifs", "smb3", "smbfs", "9p", "afs", "ceph", "glusterfs", "sshfs", "davfs", "webdav":
		return true
	}
	return false
}

// InMemory tells whether a kind of file system forgets all when the power goes.
func InMemory(kind string) bool { return kind == "tmpfs" || kind == "ramfs" }
