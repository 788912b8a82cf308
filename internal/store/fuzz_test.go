package store

import "testing"

// FuzzMounts reads tables of mounts as any system may write them.
func FuzzMounts(f *testing.F) {
	f.Add("22 1 0:21 / / rw - ext4 /dev/a rw\n", "/srv")
	f.Add(" - ", "")
	f.Add("1 2 3 4 \\040 - x", "\\")
	f.Fuzz(func(t *testing.T, table, dir string) {
		kind := kindOfMount(table, dir)
		_ = OverNetwork(kind)
		_ = InMemory(kind)
	})
}

// FuzzIDs judges ids as phones may send them: a sound one can be told apart
// from every other by its letters alone.
func FuzzIDs(f *testing.F) {
	f.Add("0192f0c1-2345-7abc-8def-0123456789ab") // invented
	f.Add("")
	f.Fuzz(func(t *testing.T, id string) {
		if SoundID(id) && plain(id) != nil {
			t.Errorf("%q is sound and cannot be kept", id)
		}
		if SoundHash(id) && len(id) != 64 {
			t.Errorf("%q is a hash", id)
		}
	})
}
