//go:build linux || darwin

package store

import (
	"fmt"
	"syscall"
)

// RoomAt asks how much of the disk that holds a folder is free.
func RoomAt(dir string) (Room, error) {
	var s syscall.Statfs_t
	if err := syscall.Statfs(dir, &s); err != nil {
		return Room{}, fmt.Errorf("ask for the room of %s: %w", dir, err)
	}
	return Room{Free: uint64(s.Bavail) * uint64(s.Bsize), Of: uint64(s.Blocks) * uint64(s.Bsize)}, nil
}
