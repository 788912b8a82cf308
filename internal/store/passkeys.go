package store

import (
	"context"
	"fmt"
	"time"
)

// Passkey is a device of a person's that signs them in. Its private key never
// leaves the device.
type Passkey struct {
	ID      string // as the device names itself
	Person  string
	Name    string
	Host    string // name of the address it was made for: it signs for no other
	Record  string // public key and counters, as the protocol's library writes them
	Created time.Time
	Used    time.Time // zero for never
}

const passkeyColumns = `id, person_id, name, host, record, created_ms, used_ms`

func scanPasskey(scan scan) (k Passkey, err error) {
	var created, used int64
	err = scan(&k.ID, &k.Person, &k.Name, &k.Host, &k.Record, &created, &used)
	k.Created = moment(created)
	if used > 0 {
		k.Used = moment(used)
	}
	return k, err
}

// AddPasskey keeps a person's passkey. The error wraps [ErrTaken] when the
// device is known already.
func (s *Store) AddPasskey(ctx context.Context, k Passkey) error {
	err := s.Change(ctx, func(t *Tx) error {
		if err := plain(k.Name, k.ID, k.Host); err != nil {
			return err
		}
		if err := t.audit(k.Person, "passkey.added", k.Person, k.Name); err != nil {
			return err
		}
		n, err := t.changed(`INSERT INTO passkeys (tenant_id, id, person_id, name, host, record, created_ms, used_ms) VALUES ($1, $2, $3, $4, $5, $6, $7, 0)
			ON CONFLICT (tenant_id, id) DO NOTHING`, t.tenant, k.ID, k.Person, k.Name, k.Host, k.Record, millis(t.now))
		if err == nil && n == 0 {
			return ErrTaken
		}
		return err
	})
	if err != nil {
		return fmt.Errorf("add a passkey: %w", err)
	}
	return nil
}

// Passkeys lists a person's, in the order they came.
func (s *Store) Passkeys(ctx context.Context, person string) ([]Passkey, error) {
	rows, err := s.read.QueryContext(ctx, `SELECT `+passkeyColumns+` FROM passkeys WHERE tenant_id = $1 AND person_id = $2 ORDER BY created_ms, id`, s.tenant, person)
	return gathered(rows, err, scanPasskey)
}

// UsedPasskey keeps that a passkey signed somebody in, and its counters as they
// are now.
func (s *Store) UsedPasskey(ctx context.Context, id, record string) error {
	err := s.Change(ctx, func(t *Tx) error {
		return t.Exec(`UPDATE passkeys SET used_ms = $3, record = $4 WHERE tenant_id = $1 AND id = $2`, t.tenant, id, millis(t.now), record)
	})
	if err != nil {
		return fmt.Errorf("keep that a passkey was used: %w", err)
	}
	return nil
}

// EndPasskey takes a person's passkey away. The error wraps [ErrNone] when they
// have none such.
func (s *Store) EndPasskey(ctx context.Context, person, id string) error {
	err := s.Change(ctx, func(t *Tx) error {
		if err := t.audit(person, "passkey.ended", person, id); err != nil {
			return err
		}
		n, err := t.changed(`DELETE FROM passkeys WHERE tenant_id = $1 AND person_id = $2 AND id = $3`, t.tenant, person, id)
		if err == nil && n == 0 {
			return ErrNone
		}
		return err
	})
	if err != nil {
		return fmt.Errorf("end a passkey: %w", err)
	}
	return nil
}

// PersonByID returns someone who may sign in.
func (s *Store) PersonByID(ctx context.Context, id string) (Person, error) {
	p, err := scanPerson(s.read.QueryRowContext(ctx, `SELECT `+personColumns+` FROM people WHERE tenant_id = $1 AND id = $2 AND gone_ms = 0`, s.tenant, id).Scan)
	return p, found(err)
}
