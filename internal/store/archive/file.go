package archive

import (
	"bufio"
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"filippo.io/age"

	"rinsewright/internal/store"
)

// ErrLocked marks an encrypted backup for which the key is not known.
var ErrLocked = errors.New("the backup is encrypted and this key does not open it")

// Locks are for whom a backup is encrypted: recipients of age. None leave it
// plain.
type Locks []age.Recipient

// Keys open encrypted backups.
type Keys []age.Identity

// LocksOf reads public keys as age writes them ("age1...").
func LocksOf(texts ...string) (locks Locks, err error) {
	for _, text := range texts {
		r, err := age.ParseRecipients(strings.NewReader(text))
		if err != nil {
			return nil, fmt.Errorf("read the public key %.80q: %w", text, err)
		}
		locks = append(locks, r...)
	}
	return locks, nil
}

// KeysOf reads a file of keys as age writes them ("AGE-SECRET-KEY-1...").
func KeysOf(file io.Reader) (Keys, error) {
	keys, err := age.ParseIdentities(file)
	if err != nil {
		return nil, fmt.Errorf("read the keys: %w", err)
	}
	return keys, nil
}

// Passphrase is a lock and its key that a person remembers.
func Passphrase(text string) (Locks, Keys, error) {
	lock, err := age.NewScryptRecipient(text)
	if err != nil {
		return nil, nil, fmt.Errorf("use the passphrase: %w", err)
	}
	key, err := age.NewScryptIdentity(text)
	if err != nil {
		return nil, nil, fmt.Errorf("use the passphrase: %w", err)
	}
	return Locks{lock}, Keys{key}, nil
}

// NewKey makes a key, and its public part.
func NewKey() (secret, public string, err error) {
	key, err := age.GenerateX25519Identity()
	if err != nil {
		return "", "", fmt.Errorf("make a key: %w", err)
	}
	return key.String(), key.Recipient().String(), nil
}

// How the names of backups end: plain, encrypted, and on their way.
const (
	Plain = ".tar"
	Shut  = ".tar.age"
	Half  = ".half"
)

// Ends is how the name of a backup ends that is encrypted for these.
func Ends(locks Locks) string {
	if len(locks) > 0 {
		return Shut
	}
	return Plain
}

// SaveIn writes a backup into a folder, named by its time, and lets the store
// keep that there is one.
func SaveIn(ctx context.Context, dir, begins, by string, from Source, locks Locks) (path string, m Manifest, err error) {
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return "", m, fmt.Errorf("make the folder of the backups: %w", err)
	}
	path = filepath.Join(dir, begins+from.Made.UTC().Format("20060102-150405")+Ends(locks))
	if m, err = Save(ctx, path, from, locks); err != nil {
		return "", m, err
	}
	return path, m, from.Store.BackedUp(ctx, by, len(m.Missing))
}

// DrillFile drills a backup that is in a file.
func DrillFile(ctx context.Context, path string, keys Keys, dir string) (m Manifest, err error) {
	err = WithFile(path, keys, func(r io.Reader, _ bool) error {
		m, err = Drill(ctx, r, dir)
		return err
	})
	return m, err
}

// WithFile lets read a backup that is in a file and may be encrypted.
func WithFile(path string, keys Keys, read func(r io.Reader, encrypted bool) error) (err error) {
	file, err := os.Open(path)
	if err != nil {
		return fmt.Errorf("open the backup: %w", err)
	}
	defer func() { err = errors.Join(err, file.Close()) }()
	r, encrypted, err := Opened(file, keys)
	if err != nil {
		return err
	}
	return read(r, encrypted)
}

// Save writes a backup to a new file, which comes into its place whole. The
// error wraps [os.ErrExist] when there is one.
func Save(ctx context.Context, path string, from Source, locks Locks) (Manifest, error) {
	if _, err := os.Lstat(path); err == nil {
		return Manifest{}, fmt.Errorf("back up to %s: %w", path, os.ErrExist)
	}
	half := path + Half
	m, err := save(ctx, half, from, locks)
	if err == nil {
		err = os.Rename(half, path)
	}
	if err == nil {
		err = store.Settle(filepath.Dir(path))
	}
	if err != nil {
		return Manifest{}, errors.Join(fmt.Errorf("back up to %s: %w", path, err), gone(half))
	}
	return m, nil
}

func gone(path string) error {
	if err := os.Remove(path); err != nil && !errors.Is(err, os.ErrNotExist) {
		return err
	}
	return nil
}

func save(ctx context.Context, path string, from Source, locks Locks) (m Manifest, err error) {
	file, err := os.OpenFile(path, os.O_CREATE|os.O_WRONLY|os.O_TRUNC, 0o600)
	if err != nil {
		return m, err
	}
	defer func() { err = errors.Join(err, file.Close()) }()
	out := bufio.NewWriterSize(file, 1<<20)
	if m, err = locked(ctx, out, from, locks); err != nil {
		return m, err
	}
	return m, errors.Join(out.Flush(), file.Sync())
}

func locked(ctx context.Context, out io.Writer, from Source, locks Locks) (Manifest, error) {
	if len(locks) == 0 {
		return Write(ctx, out, from)
	}
	shut, err := age.Encrypt(out, locks...)
	if err != nil {
		return Manifest{}, err
	}
	m, err := Write(ctx, shut, from)
	return m, errors.Join(err, shut.Close())
}

const ageBegins = "age-encryption.org/v1\n"

// Opened reads a backup that may be encrypted. The error wraps [ErrLocked]
// when no key opens it.
func Opened(from io.Reader, keys Keys) (r io.Reader, encrypted bool, err error) {
	b := bufio.NewReaderSize(from, 1<<20)
	begins, err := b.Peek(len(ageBegins))
	if err != nil && !errors.Is(err, io.EOF) {
		return nil, false, fmt.Errorf("read the backup: %w", err)
	}
	if !bytes.Equal(begins, []byte(ageBegins)) {
		return b, false, nil
	}
	if len(keys) == 0 {
		return nil, true, ErrLocked
	}
	plain, err := age.Decrypt(b, keys...)
	var none *age.NoIdentityMatchError
	if errors.As(err, &none) {
		return nil, true, ErrLocked
	}
	if err != nil {
		return nil, true, damaged("it cannot be decrypted", err)
	}
	return whole{plain}, true, nil
}

// whole tells what age finds wrong as damage.
type whole struct{ from io.Reader }

func (w whole) Read(p []byte) (int, error) {
	n, err := w.from.Read(p)
	if err != nil && !errors.Is(err, io.EOF) {
		err = damaged("it cannot be decrypted", err)
	}
	return n, err
}
