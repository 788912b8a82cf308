package quantity

import "testing"

// A missing entry is never a zero: what nobody said gives way to the default,
// what somebody said stays even if it is zero.
func TestMissingEntryIsNotZero(t *testing.T) {
	if got := (Entry[Pressure]{}).Or(Bar(4)); got != Bar(4) {
		t.Errorf("nobody said, and got %v", got)
	}
	if got := Told(Bar(0)).Or(Bar(4)); got != 0 {
		t.Errorf("told 0 bar, and got %v", got)
	}
}
