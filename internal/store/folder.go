package store

import (
	"bytes"
	"crypto/rand"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"slices"
	"strconv"
	"strings"
	"sync"
	"time"
)

// Folder keeps files by the SHA-256 of their content, and the pieces of files
// that are still on their way. What was answered as kept is on the disk.
type Folder struct {
	root *os.Root
	mu   sync.Mutex // holds a file's pieces together while they are joined
}

// PieceBytes is how long each piece of a file on its way is, but the last.
const PieceBytes = 128 << 10

// mostUnderWay is how many files may be on their way at once: more is somebody
// who fills the disk.
const mostUnderWay = 500

// ErrFull marks a piece for which there is no room.
var ErrFull = errors.New("too many files are on their way")

// OpenFolder opens a folder, which is made when it is not there.
func OpenFolder(dir string) (*Folder, error) {
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return nil, fmt.Errorf("make the folder of the photos: %w", err)
	}
	root, err := os.OpenRoot(dir)
	if err != nil {
		return nil, fmt.Errorf("open the folder of the photos: %w", err)
	}
	return &Folder{root: root}, nil
}

// Close lets go of the folder.
func (f *Folder) Close() error { return f.root.Close() }

// SoundHash tells whether a name is a SHA-256 in small hexadecimal digits.
func SoundHash(name string) bool {
	return len(name) == 2*sha256.Size && strings.Trim(name, "0123456789abcdef") == ""
}

func place(hash string) string { return path.Join(hash[:2], hash[2:]) }

// Keep keeps content and returns its name.
func (f *Folder) Keep(content []byte) (hash string, err error) {
	sum := sha256.Sum256(content)
	hash = hex.EncodeToString(sum[:])
	if _, err := f.root.Stat(place(hash)); err == nil {
		return hash, nil
	}
	if err := f.root.MkdirAll(hash[:2], 0o700); err != nil {
		return "", fmt.Errorf("keep a file: %w", ofDisk(err))
	}
	if err := f.write(place(hash), content); err != nil {
		return "", fmt.Errorf("keep a file: %w", ofDisk(err))
	}
	return hash, nil
}

// write puts a whole file in its place, or none.
func (f *Folder) write(name string, content []byte) error {
	half := name + "." + strings.ToLower(rand.Text())
	file, err := f.root.OpenFile(half, os.O_CREATE|os.O_WRONLY|os.O_EXCL, 0o600)
	if err != nil {
		return err
	}
	_, err = file.Write(content)
	err = errors.Join(err, file.Sync(), file.Close())
	if err == nil {
		err = f.root.Rename(half, name)
	}
	if err != nil {
		return errors.Join(err, f.root.Remove(half))
	}
	return f.settle(path.Dir(name))
}

// settle makes a folder's new name outlast the power.
func (f *Folder) settle(dir string) error {
	d, err := f.root.Open(dir)
	if err != nil {
		return err
	}
	return errors.Join(d.Sync(), d.Close())
}

// Content returns what was kept under a name, and looks whether it is still
// that. The error wraps [ErrNone] when nothing was.
func (f *Folder) Content(hash string) ([]byte, error) {
	if !SoundHash(hash) {
		return nil, ErrNone
	}
	content, err := f.root.ReadFile(place(hash))
	if errors.Is(err, fs.ErrNotExist) {
		return nil, ErrNone
	}
	if err != nil {
		return nil, fmt.Errorf("read a file: %w", err)
	}
	if sum := sha256.Sum256(content); hex.EncodeToString(sum[:]) != hash {
		return nil, fmt.Errorf("read a file: %s has changed on the disk", hash)
	}
	return content, nil
}

const underWay = "under-way"

// KeepPiece keeps the nth piece of a file, counted from 0.
func (f *Folder) KeepPiece(hash string, n int, piece []byte) error {
	if !SoundHash(hash) || n < 0 || n > 99 || len(piece) == 0 || len(piece) > PieceBytes {
		return fmt.Errorf("piece %d of %.64q: %w", n, hash, ErrReading)
	}
	f.mu.Lock()
	defer f.mu.Unlock()
	dir := path.Join(underWay, hash)
	if _, err := f.root.Stat(dir); err != nil {
		if err := f.room(); err != nil {
			return err
		}
		if err := f.root.MkdirAll(dir, 0o700); err != nil {
			return fmt.Errorf("keep a piece: %w", err)
		}
	}
	if err := f.write(path.Join(dir, strconv.Itoa(n)), piece); err != nil {
		return fmt.Errorf("keep a piece: %w", ofDisk(err))
	}
	return nil
}

func (f *Folder) room() error {
	on, err := f.list(underWay)
	if err == nil && len(on) >= mostUnderWay {
		err = ErrFull
	}
	return err
}

// list is what lies in a folder, nothing when there is none.
func (f *Folder) list(dir string) ([]fs.DirEntry, error) {
	entries, err := fs.ReadDir(f.root.FS(), dir)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, fmt.Errorf("look into a folder: %w", err)
	}
	return entries, nil
}

// Pieces tells which pieces of a file are here, in order.
func (f *Folder) Pieces(hash string) (have []int, err error) {
	if !SoundHash(hash) {
		return nil, fmt.Errorf("pieces of %.64q: %w", hash, ErrReading)
	}
	entries, err := f.list(path.Join(underWay, hash))
	for _, e := range entries {
		if n, err := strconv.Atoi(e.Name()); err == nil { // half a piece has another name
			have = append(have, n)
		}
	}
	slices.Sort(have)
	return have, err
}

// Joined is a file put together from its pieces, so many bytes long. The error
// wraps [ErrNone] while some are not here, and [ErrReading] when they do not
// make up the file; they are then forgotten, to be sent again.
func (f *Folder) Joined(hash string, long int) ([]byte, error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	if !SoundHash(hash) || long <= 0 || long > 100*PieceBytes {
		return nil, fmt.Errorf("join %.64q: %w", hash, ErrReading)
	}
	var whole bytes.Buffer
	for n := 0; n*PieceBytes < long; n++ {
		piece, err := f.root.ReadFile(path.Join(underWay, hash, strconv.Itoa(n)))
		if errors.Is(err, fs.ErrNotExist) {
			return nil, ErrNone
		}
		if err != nil {
			return nil, fmt.Errorf("join a file: %w", err)
		}
		whole.Write(piece)
	}
	if sum := sha256.Sum256(whole.Bytes()); whole.Len() != long || hex.EncodeToString(sum[:]) != hash {
		return nil, errors.Join(fmt.Errorf("the pieces are not the file %s: %w", hash, ErrReading), f.forget(hash))
	}
	return whole.Bytes(), nil
}

// Forget lets go of a file's pieces.
func (f *Folder) Forget(hash string) error {
	f.mu.Lock()
	defer f.mu.Unlock()
	return f.forget(hash)
}

func (f *Folder) forget(hash string) error {
	if !SoundHash(hash) {
		return ErrNone
	}
	return f.root.RemoveAll(path.Join(underWay, hash))
}

// Sweep forgets the pieces of files to which nothing has come since a time.
func (f *Folder) Sweep(since time.Time) error {
	entries, err := f.list(underWay)
	if err != nil {
		return err
	}
	for _, e := range entries {
		if about, err := e.Info(); err == nil && about.ModTime().Before(since) {
			if err := f.Forget(e.Name()); err != nil {
				return err
			}
		}
	}
	return nil
}
