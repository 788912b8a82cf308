package store

import (
	"fmt"

	"golang.org/x/sys/windows"
)

// RoomAt asks how much of the disk that holds a folder is free.
func RoomAt(dir string) (r Room, err error) {
	name, err := windows.UTF16PtrFromString(dir)
	if err == nil {
		err = windows.GetDiskFreeSpaceEx(name, &r.Free, &r.Of, nil)
	}
	if err != nil {
		return Room{}, fmt.Errorf("ask for the room of %s: %w", dir, err)
	}
	return r, nil
}
