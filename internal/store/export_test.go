package store

import "slices"

// OnDisk opens SQLite through a disk of storetest/disk, with pragmas of its own.
func OnDisk(disk string, pragmas ...string) Options {
	return Options{Disk: disk, pragmas: slices.Clone(pragmas)}
}
