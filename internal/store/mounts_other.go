//go:build !linux

package store

// FileSystemAt tells the kind of the file system that holds a folder, "" when
// the system does not say: only Linux does.
func FileSystemAt(string) string { return "" }
