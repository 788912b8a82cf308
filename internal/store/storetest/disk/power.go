package disk

import (
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
)

// sector is what a disk writes whole.
const sector = 512

// file is a file as it would be after the power had gone.
type file struct {
	there   bool // its name is on the disk
	content []byte
	pending []step // since the last sync
	removed bool   // in the cache, not for certain on the disk
}

// Left writes into a folder what is left after the power went following the
// first n steps. Of what was not synced anything may be there: rng decides for
// each sector, for each name and for each length.
func (d *Disk) Left(rng *rand.Rand, n int, into string) error {
	d.mu.Lock()
	steps := d.steps[:n]
	d.mu.Unlock()
	files := map[string]*file{}
	for _, s := range steps {
		if s.kind == mark {
			continue
		}
		f := files[s.file]
		if f == nil {
			f = &file{}
			files[s.file] = f
		}
		if s.kind == Sync && !f.there && strings.Contains(s.file, "-") {
			settled(files) // with a new journal or WAL SQLite syncs the folder
		}
		f.take(s)
	}
	for name, f := range files {
		if content, there := f.left(rng); there {
			if err := os.WriteFile(filepath.Join(into, name), content, 0o600); err != nil {
				return err
			}
		}
	}
	return nil
}

// settled makes certain which names are gone.
func settled(files map[string]*file) {
	for _, f := range files {
		if f.removed {
			*f = file{}
		}
	}
}

// take follows one step.
func (f *file) take(s step) {
	switch s.kind {
	case Sync:
		for _, p := range f.pending {
			f.content = p.done(f.content)
		}
		f.pending, f.there, f.removed = nil, true, false
	case broken:
		f.pending = nil
	case Remove:
		if s.kept {
			*f = file{}
			return
		}
		f.removed = true
	default:
		f.pending = append(f.pending, s)
	}
}

// left is what is there afterwards.
func (f *file) left(rng *rand.Rand) ([]byte, bool) {
	if !f.there && rng.IntN(2) == 0 || f.removed && rng.IntN(2) == 0 {
		return nil, false
	}
	content := append([]byte{}, f.content...)
	keep := rng.IntN(3) // nothing, some or all of what was on its way
	for _, p := range f.pending {
		for _, part := range p.sectors() {
			if keep == 2 || keep == 1 && rng.IntN(2) == 0 {
				content = part.done(content)
			}
		}
	}
	return content, f.there || len(content) > 0
}

// done is content after a step.
func (s step) done(content []byte) []byte {
	switch s.kind {
	case Truncate:
		if s.size < int64(len(content)) {
			return content[:s.size]
		}
		return append(content, make([]byte, s.size-int64(len(content)))...)
	case Write:
		if end := s.off + int64(len(s.data)); end > int64(len(content)) {
			content = append(content, make([]byte, end-int64(len(content)))...)
		}
		copy(content[s.off:], s.data)
	}
	return content
}

// sectors cuts a write into what a disk writes whole.
func (s step) sectors() (parts []step) {
	if s.kind != Write {
		return []step{s}
	}
	for at := int64(0); at < int64(len(s.data)); {
		end := min(int64(len(s.data)), (s.off+at)/sector*sector+sector-s.off)
		parts = append(parts, step{kind: Write, file: s.file, off: s.off + at, data: s.data[at:end]})
		at = end
	}
	return parts
}
