package archive

import (
	"archive/tar"
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"hash"
	"io"
	"regexp"
	"slices"
	"strings"
)

// taker takes what a backup holds, entry by entry.
type taker struct {
	rows  func(table string, columns []string, lines [][]byte) error
	photo func(name string, content []byte) error
}

// Verify reads a backup to its end and finds any byte that is not as it was
// written. The error wraps [ErrDamaged].
func Verify(from io.Reader) (Manifest, error) {
	m, err := read(from, taker{
		rows:  func(string, []string, [][]byte) error { return nil },
		photo: func(string, []byte) error { return nil },
	})
	if err != nil {
		return Manifest{}, fmt.Errorf("verify the backup: %w", err)
	}
	return m, nil
}

// read hands out a backup. Nothing that was handed out is to be believed before
// read has come to its end.
func read(from io.Reader, to taker) (Manifest, error) {
	last := &lagging{from: from, whole: sha256.New()}
	r := &reader{tar: tar.NewReader(last), to: to, sums: map[string]hash.Hash{}}
	for {
		head, err := r.tar.Next()
		if err != nil {
			return Manifest{}, damaged("it ends before its last entry", err)
		}
		if head.Name == wholeName {
			break
		}
		if err := r.entry(head); err != nil {
			return Manifest{}, err
		}
	}
	if !r.closed {
		return Manifest{}, damaged("it has no manifest", nil)
	}
	if err := last.ends(r.manifest); err != nil {
		return Manifest{}, err
	}
	return r.manifest, r.agrees()
}

func damaged(why string, err error) error {
	if err == nil || errors.Is(err, io.EOF) {
		return fmt.Errorf("%s: %w", why, ErrDamaged)
	}
	return fmt.Errorf("%s: %w: %w", why, err, ErrDamaged)
}

type reader struct {
	tar      *tar.Reader
	to       taker
	about    *About
	manifest Manifest
	closed   bool // the manifest has been read
	tables   []Table
	sums     map[string]hash.Hash
	photos   []string
	bytes    int64
}

var chunkName = regexp.MustCompile(`^tables/([a-z_]{1,60})/([0-9]{6})\.jsonl$`)

// entry takes one entry. Its place is told by its own form, and its name is
// never a path on this machine.
func (r *reader) entry(head *tar.Header) error {
	if head.Typeflag != tar.TypeReg || head.Size < 0 || head.Size > mostEntry {
		return damaged(fmt.Sprintf("entry %.80q is of a kind or size that no backup has", head.Name), nil)
	}
	content := make([]byte, head.Size)
	if _, err := io.ReadFull(r.tar, content); err != nil {
		return damaged(fmt.Sprintf("entry %.80q is cut", head.Name), err)
	}
	chunk := chunkName.FindStringSubmatch(head.Name)
	photo := strings.ReplaceAll(strings.TrimPrefix(head.Name, "photos/"), "/", "")
	switch {
	case r.closed:
		return damaged(fmt.Sprintf("entry %.80q comes after the manifest", head.Name), nil)
	case r.about == nil:
		return r.begin(head.Name, content)
	case head.Name == manifestName:
		r.closed = true
		return object(content, &r.manifest)
	case chunk != nil:
		return r.chunk(chunk[1], content)
	case len(photo) == 2*sha256.Size && head.Name == "photos/"+photo[:2]+"/"+photo[2:]:
		return r.photo(photo, content)
	}
	return damaged(fmt.Sprintf("entry %.80q is none that a backup has", head.Name), nil)
}

func (r *reader) begin(name string, content []byte) error {
	r.about = &About{}
	if name != aboutName {
		return damaged("it does not begin as a backup", nil)
	}
	return r.about.from(content)
}

// from reads the first entry.
func (a *About) from(content []byte) error {
	if err := object(content, a); err != nil {
		return err
	}
	if a.Format != format {
		return damaged(fmt.Sprintf("it is of the format %.60q and this program reads %q", a.Format, format), nil)
	}
	if a.Data < 1 {
		return damaged("it does not say of which version its tables are", nil)
	}
	return nil
}

func object(content []byte, into any) error {
	d := json.NewDecoder(bytes.NewReader(content))
	d.DisallowUnknownFields()
	if err := d.Decode(into); err != nil {
		return damaged("what it says of itself cannot be read", err)
	}
	return nil
}

func (r *reader) chunk(name string, content []byte) error {
	lines := bytes.SplitAfter(content, []byte{'\n'})
	if n := len(lines) - 1; len(lines[n]) > 0 || n == 0 {
		return damaged("a chunk of table "+name+" ends within a line", nil)
	}
	head, lines := lines[0], lines[1:len(lines)-1]
	var columns []string
	if err := json.Unmarshal(head, &columns); err != nil {
		return damaged("the columns of table "+name, err)
	}
	if len(r.tables) == 0 || r.tables[len(r.tables)-1].Name != name {
		r.tables = append(r.tables, Table{Name: name})
		r.sums[name] = sha256.New()
		r.sums[name].Write(head)
	}
	for _, line := range lines {
		r.sums[name].Write(line)
	}
	r.tables[len(r.tables)-1].Rows += int64(len(lines))
	return r.to.rows(name, columns, lines)
}

func (r *reader) photo(name string, content []byte) error {
	if sum := sha256.Sum256(content); hex.EncodeToString(sum[:]) != name {
		return damaged("photo "+name+" is not what its name says", nil)
	}
	r.photos = append(r.photos, name)
	r.bytes += int64(len(content))
	return r.to.photo(name, content)
}

// agrees compares what was read with what the manifest says.
func (r *reader) agrees() error {
	for i, t := range r.tables {
		r.tables[i].SHA256 = hex.EncodeToString(r.sums[t.Name].Sum(nil))
	}
	named := slices.Clone(r.photos)
	for _, lost := range r.manifest.Missing {
		named = append(named, lost.Name)
	}
	m := r.manifest
	if m.About != *r.about || !slices.Equal(m.Tables, r.tables) || m.Photos != len(r.photos) || m.Bytes != r.bytes || m.Content != content(r.tables, named) {
		return damaged("what is in it is not what its manifest says", nil)
	}
	return nil
}

// lagging hashes what passes, a block behind: the header of the last entry is
// not part of what that entry covers.
type lagging struct {
	from  io.Reader
	whole hash.Hash
	kept  []byte // at most one block
}

const block = 512

func (l *lagging) Read(p []byte) (int, error) {
	n, err := l.from.Read(p)
	l.kept = append(l.kept, p[:n]...)
	if over := len(l.kept) - block; over > 0 {
		l.whole.Write(l.kept[:over])
		l.kept = append(l.kept[:0], l.kept[over:]...)
	}
	return n, err
}

// ends compares the last entry, whose header has just been read, and all that
// follows with what must stand there.
func (l *lagging) ends(m Manifest) error {
	want := ending(l.whole, m.About.Made)
	rest, err := io.ReadAll(io.LimitReader(l.from, int64(len(want))))
	if err != nil {
		return damaged("its end cannot be read", err)
	}
	if !bytes.Equal(append(l.kept, rest...), want) {
		return damaged("its bytes are not those that were written", nil)
	}
	return nil
}
