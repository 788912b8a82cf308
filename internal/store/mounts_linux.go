package store

import (
	"os"
	"path/filepath"
)

// FileSystemAt tells the kind of the file system that holds a folder, "" when
// the system does not say.
func FileSystemAt(dir string) string {
	table, err := os.ReadFile("/proc/self/mountinfo")
	if err != nil {
		return ""
	}
	if real, err := filepath.EvalSymlinks(dir); err == nil {
		dir = real
	}
	if dir, err = filepath.Abs(dir); err != nil {
		return ""
	}
	return kindOfMount(string(table), dir)
}
