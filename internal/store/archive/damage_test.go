package archive_test

import (
	"archive/tar"
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"rinsewright/internal/check"
	"rinsewright/internal/store"
	"rinsewright/internal/store/archive"
)

// hurt is a backup with one byte changed, or cut.
func hurt(rng *rand.Rand, file []byte, cut bool) ([]byte, string) {
	if cut {
		at := rng.IntN(len(file))
		return file[:at], fmt.Sprintf("cut at %d of %d", at, len(file))
	}
	at, by := rng.IntN(len(file)), byte(1+rng.IntN(255))
	out := bytes.Clone(file)
	out[at] ^= by
	return out, fmt.Sprintf("byte %d of %d changed by %#02x", at, len(file), by)
}

func TestEveryChangedByteIsFound(t *testing.T) {
	k := filled(t, sqlite(t))
	plain, _ := written(t, k.Source)
	secret, public, err := archive.NewKey()
	if err != nil {
		t.Fatal(err)
	}
	locks, err := archive.LocksOf(public)
	if err != nil {
		t.Fatal(err)
	}
	keys, err := archive.KeysOf(strings.NewReader(secret))
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "x")
	if _, err := archive.Save(t.Context(), path, k.Source, locks); err != nil {
		t.Fatal(err)
	}
	shut, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	const seed = 14
	flips, cuts := check.Often(500, 10_000), check.Often(100, 1000)
	for name, file := range map[string][]byte{"plain": plain, "encrypted": shut} {
		verify := func(b []byte) error {
			r, _, err := archive.Opened(bytes.NewReader(b), keys)
			if err == nil {
				_, err = archive.Verify(r)
			}
			return err
		}
		if err := verify(file); err != nil {
			t.Fatalf("%s, whole: %v", name, err)
		}
		rng := rand.New(rand.NewPCG(seed, 0))
		missed, control := 0, 0
		for i := range flips + cuts {
			b, what := hurt(rng, file, i >= flips)
			if err := verify(b); err == nil {
				missed++
				t.Errorf("%s: %s is not found", name, what)
			}
			if name == "plain" && hashesFit(b) {
				control++
			}
		}
		t.Logf("%s: seed %d, %d bytes changed, %d cuts, %d not found; by the hashes of the entries alone %d not found", name, seed, flips, cuts, missed, control)
		if name == "plain" && control == 0 {
			t.Error("the control finds everything too: the test sees nothing")
		}
	}
	if _, err := archive.Verify(bytes.NewReader(append(bytes.Clone(plain), 0))); !errors.Is(err, archive.ErrDamaged) {
		t.Errorf("one byte too many: %v", err)
	}
}

// hashesFit is the control: a check that many a backup has, where each entry
// must have its hash and nothing else is looked at.
func hashesFit(file []byte) bool {
	r := tar.NewReader(bytes.NewReader(file))
	sums := map[string]string{}
	var m archive.Manifest
	for {
		head, err := r.Next()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return false
		}
		text, err := io.ReadAll(r)
		if err != nil {
			return false
		}
		sum := sha256.Sum256(text)
		sums[head.Name] = hex.EncodeToString(sum[:])
		if head.Name == "manifest.json" && json.Unmarshal(text, &m) != nil {
			return false
		}
	}
	for _, table := range m.Tables {
		if sums["tables/"+table.Name+"/000001.jsonl"] != table.SHA256 {
			return false
		}
	}
	return m.Content != ""
}

// hostile writes a tar file of entries as somebody else may write it.
func hostile(t *testing.T, heads ...tar.Header) []byte {
	t.Helper()
	var b bytes.Buffer
	w := tar.NewWriter(&b)
	for _, h := range heads {
		text := h.Uname // carries the content here
		h.Uname = ""
		if h.Size == 0 {
			h.Size = int64(len(text))
		}
		if h.Typeflag == 0 {
			h.Typeflag = tar.TypeReg
		}
		if err := w.WriteHeader(&h); err != nil {
			t.Fatal(err)
		}
		_, _ = io.WriteString(w, text[:min(len(text), int(h.Size))])
	}
	_ = w.Flush() // what a lying header promises is not there
	return b.Bytes()
}

func TestAHostileBackupIsRefused(t *testing.T) {
	about := func(data int) tar.Header {
		return tar.Header{Name: "about.json", Uname: fmt.Sprintf(`{"format":"rinsewright backup 1","made":"2026-06-13T09:30:00Z","program":"","data":%d,"database":"","how":"","left_out":""}`, data)}
	}
	rows := func(columns string, line string) tar.Header {
		return tar.Header{Name: "tables/settings/000001.jsonl", Uname: columns + "\n" + line + "\n"}
	}
	const right = `["name","tenant_id","value"]`
	for name, heads := range map[string][]tar.Header{
		"nothing":               nil,
		"another format":        {{Name: "about.json", Uname: `{"format":"other 1"}`}},
		"not even JSON":         {{Name: "about.json", Uname: "{"}},
		"a file above":          {about(1), {Name: "../outside", Uname: "x"}},
		"a file from the root":  {about(1), {Name: "/outside", Uname: "x"}},
		"a photo above":         {about(1), {Name: "photos/../outside", Uname: "x"}},
		"a link":                {about(1), {Name: "photos/aa/b", Linkname: "/outside", Typeflag: tar.TypeSymlink}},
		"a folder":              {about(1), {Name: "photos/aa", Typeflag: tar.TypeDir}},
		"a device":              {about(1), {Name: "tables/settings/000001.jsonl", Typeflag: tar.TypeChar}},
		"a header that lies":    {about(1), {Name: "tables/settings/000001.jsonl", Size: 1 << 40, Uname: "x"}},
		"a version to come":     {about(99999)},
		"no version":            {about(0), rows(right, `["a","own","b"]`)},
		"no such table":         {about(1), {Name: "tables/nowhere/000001.jsonl", Uname: "[\"a\"]\n"}},
		"the machinery's table": {about(1), {Name: "tables/goose_db_version/000001.jsonl", Uname: "[\"id\"]\n[1]\n"}},
		"no such column":        {about(1), rows(`["name","tenant_id","x) VALUES (1); DROP TABLE people; --"]`, `["a","own","b"]`)},
		"a value too many":      {about(1), rows(right, `["a","own","b","c"]`)},
		"a value of a kind":     {about(1), rows(right, `["a","own",7]`)},
		"nothing for a value":   {about(1), rows(right, `["a","own",null]`)},
		"half a line":           {about(1), {Name: "tables/settings/000001.jsonl", Uname: right}},
		"the same row twice":    {about(1), rows(right, `["a","own","b"]`+"\n"+`["a","own","b"]`)},
		"a photo that lies":     {about(1), {Name: "photos/" + strings.Repeat("ab", 1) + "/" + strings.Repeat("cd", 31), Uname: "x"}},
		"no end":                {about(1), rows(right, `["a","own","b"]`)},
	} {
		dir := t.TempDir()
		data := filepath.Join(dir, "data")
		_, err := archive.Restore(t.Context(), bytes.NewReader(hostile(t, heads...)), archive.Place{Data: data})
		if name == "the same row twice" && err != nil {
			continue // the database says so
		}
		if !errors.Is(err, archive.ErrDamaged) && !errors.Is(err, store.ErrNewer) {
			t.Errorf("%s: %v", name, err)
		}
		outside, _ := filepath.Glob(dir + "/*")
		inside, _ := filepath.Glob(data + "/*")
		if len(outside) > 1 || len(inside) > 0 {
			t.Errorf("%s: left %v, %v", name, outside, inside)
		}
	}
}

func FuzzVerify(f *testing.F) {
	k := filled(f, filepath.Join(f.TempDir(), "data.sqlite"))
	file, _ := written(f, k.Source)
	f.Add(file)
	f.Add(file[:512])
	f.Add([]byte("age-encryption.org/v1\n-> X25519 x\n"))
	f.Fuzz(func(t *testing.T, b []byte) {
		r, _, err := archive.Opened(bytes.NewReader(b), nil)
		if err != nil {
			return
		}
		if _, err := archive.Verify(r); err == nil && !bytes.Equal(b, file) {
			if _, err := archive.Drill(t.Context(), bytes.NewReader(b), t.TempDir()); err != nil && !errors.Is(err, archive.ErrDamaged) && !errors.Is(err, store.ErrNewer) {
				t.Logf("well formed, and then %v", err)
			}
		}
	})
}
