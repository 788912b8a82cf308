package store_test

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"os"
	"path/filepath"
	"slices"
	"sync"
	"testing"
	"time"

	"rinsewright/internal/store"
)

func folder(t *testing.T) (*store.Folder, string) {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "photos")
	f, err := store.OpenFolder(dir)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := f.Close(); err != nil {
			t.Error(err)
		}
	})
	return f, dir
}

func hashOf(b []byte) string {
	sum := sha256.Sum256(b)
	return hex.EncodeToString(sum[:])
}

func TestAFileComesBackByItsHash(t *testing.T) {
	f, dir := folder(t)
	content := []byte("a picture, say") // invented
	name, err := f.Keep(content)
	if err != nil || name != hashOf(content) {
		t.Fatalf("%s, %v", name, err)
	}
	if again, err := f.Keep(content); err != nil || again != name {
		t.Errorf("kept again as %s, %v", again, err)
	}
	if got, err := f.Content(name); err != nil || !bytes.Equal(got, content) {
		t.Errorf("came back as %q, %v", got, err)
	}
	for _, bad := range []string{"", "../../etc/passwd", "..", hashOf(nil), name[:63] + "G", name + "0"} {
		if _, err := f.Content(bad); !errors.Is(err, store.ErrNone) {
			t.Errorf("%q: %v", bad, err)
		}
	}
	at := filepath.Join(dir, name[:2], name[2:])
	if about, err := os.Stat(at); err != nil || about.Mode().Perm() != 0o600 {
		t.Errorf("%v, %v", about, err)
	}
	if err := os.WriteFile(at, []byte("another"), 0o600); err != nil {
		t.Fatal(err)
	}
	if _, err := f.Content(name); err == nil {
		t.Error("a file that was changed on the disk came back as good")
	}
}

// Pieces arrive in any order, twice, and at once; the file is whole when all
// are there and never before.
func TestPiecesMakeTheFile(t *testing.T) {
	f, _ := folder(t)
	whole := bytes.Repeat([]byte("0123456789abcdef"), 2*store.PieceBytes/16+5)
	name := hashOf(whole)
	piece := func(n int) []byte { return whole[n*store.PieceBytes : min((n+1)*store.PieceBytes, len(whole))] }
	if have, err := f.Pieces(name); err != nil || len(have) != 0 {
		t.Errorf("before anything came: %v, %v", have, err)
	}
	var wait sync.WaitGroup
	for _, n := range []int{2, 0, 2, 0} {
		wait.Go(func() {
			if err := f.KeepPiece(name, n, piece(n)); err != nil {
				t.Error(err)
			}
		})
	}
	wait.Wait()
	if have, err := f.Pieces(name); err != nil || !slices.Equal(have, []int{0, 2}) {
		t.Errorf("have %v, %v", have, err)
	}
	if _, err := f.Joined(name, len(whole)); !errors.Is(err, store.ErrNone) {
		t.Errorf("joined without its middle: %v", err)
	}
	if err := f.KeepPiece(name, 1, piece(1)); err != nil {
		t.Fatal(err)
	}
	if got, err := f.Joined(name, len(whole)); err != nil || !bytes.Equal(got, whole) {
		t.Errorf("%d bytes, %v", len(got), err)
	}
	if _, err := f.Joined(name, len(whole)-1); !errors.Is(err, store.ErrReading) {
		t.Errorf("of another length: %v", err)
	}
	if have, err := f.Pieces(name); err != nil || len(have) != 0 {
		t.Errorf("wrong pieces stay: %v, %v", have, err)
	}
	for _, bad := range []struct {
		name string
		n    int
		b    []byte
	}{{"../x", 0, piece(0)}, {name, -1, piece(0)}, {name, 100, piece(0)}, {name, 0, nil}, {name, 0, whole}} {
		if err := f.KeepPiece(bad.name, bad.n, bad.b); !errors.Is(err, store.ErrReading) {
			t.Errorf("piece %d of %q with %d bytes: %v", bad.n, bad.name, len(bad.b), err)
		}
	}
}

func TestNobodyFillsTheDiskWithPieces(t *testing.T) {
	f, _ := folder(t)
	full := 0
	for i := range 510 {
		if err := f.KeepPiece(hashOf([]byte{byte(i), byte(i >> 8)}), 0, []byte("x")); errors.Is(err, store.ErrFull) {
			full++
		} else if err != nil {
			t.Fatal(err)
		}
	}
	if full != 10 {
		t.Errorf("%d of 510 were refused, want 10", full)
	}
	if err := f.Sweep(time.Now().Add(time.Hour)); err != nil {
		t.Fatal(err)
	}
	if err := f.KeepPiece(hashOf(nil), 0, []byte("x")); err != nil {
		t.Errorf("after sweeping: %v", err)
	}
}
