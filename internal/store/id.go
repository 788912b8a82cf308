package store

import (
	"crypto/rand"
	"fmt"
	"time"
)

// NewID makes an id that sorts by the time it was made: UUID version 7 of RFC
// 9562.
func NewID(now time.Time) string {
	var b [16]byte
	_, _ = rand.Read(b[:]) // never fails, by the promise of crypto/rand
	ms := uint64(now.UnixMilli())
	for i := range 6 {
		b[i] = byte(ms >> (40 - 8*i))
	}
	b[6] = b[6]&0x0f | 0x70
	b[8] = b[8]&0x3f | 0x80
	return fmt.Sprintf("%x-%x-%x-%x-%x", b[:4], b[4:6], b[6:8], b[8:10], b[10:])
}

// SoundID tells whether id has the form that [NewID] gives. Phones make their
// own ids, so every id that comes in is looked at.
func SoundID(id string) bool {
	if len(id) != 36 || id[14] != '7' {
		return false
	}
	for i, c := range []byte(id) {
		switch i {
		case 8, 13, 18, 23:
			if c != '-' {
				return false
			}
		default:
			if !('0' <= c && c <= '9' || 'a' <= c && c <= 'f') {
				return false
			}
		}
	}
	return true
}
