package store

import (
	"context"
	"fmt"
	"time"
)

// HalfWay is what somebody was asked who holds a secret link or cookie: the hash
// of that secret is kept, and what the answer is held against.
type HalfWay struct {
	Hash   string
	Kind   string
	Person string // "" when it is not known yet
	Data   string
	Ends   time.Time
}

// AddHalfWay keeps one, and forgets those that are over.
func (s *Store) AddHalfWay(ctx context.Context, h HalfWay) error {
	err := s.Change(ctx, func(t *Tx) error {
		if err := t.Exec(`DELETE FROM half_ways WHERE tenant_id = $1 AND ends_ms < $2`, t.tenant, millis(t.now)); err != nil {
			return err
		}
		return t.Exec(`INSERT INTO half_ways (tenant_id, token_hash, kind, person_id, data, ends_ms) VALUES ($1, $2, $3, $4, $5, $6)`,
			t.tenant, h.Hash, h.Kind, h.Person, h.Data, millis(h.Ends))
	})
	if err != nil {
		return fmt.Errorf("keep what was asked: %w", err)
	}
	return nil
}

// HalfWay returns one that is not over. The error wraps [ErrNone] otherwise.
func (s *Store) HalfWay(ctx context.Context, kind, hash string) (HalfWay, error) {
	h := HalfWay{Hash: hash, Kind: kind}
	var ends int64
	err := s.read.QueryRowContext(ctx, `SELECT person_id, data, ends_ms FROM half_ways WHERE tenant_id = $1 AND token_hash = $2 AND kind = $3 AND ends_ms > $4`,
		s.tenant, hash, kind, millis(s.now())).Scan(&h.Person, &h.Data, &ends)
	h.Ends = moment(ends)
	return h, found(err)
}

// EndHalfWay takes one away, so that it is good once. The error wraps [ErrNone]
// when somebody was there before.
func (s *Store) EndHalfWay(ctx context.Context, hash string) error {
	err := s.Change(ctx, func(t *Tx) error {
		n, err := t.changed(`DELETE FROM half_ways WHERE tenant_id = $1 AND token_hash = $2`, t.tenant, hash)
		if err == nil && n == 0 {
			return ErrNone
		}
		return err
	})
	if err != nil {
		return fmt.Errorf("end what was asked: %w", err)
	}
	return nil
}

// InviteKind is the kind of a link with which a person sets their password.
const InviteKind = "invitation"

// Invite keeps a link with which a person sets their password, in the place of
// any other of theirs.
func (s *Store) Invite(ctx context.Context, by, person, hash string, ends time.Time) error {
	err := s.Change(ctx, func(t *Tx) error {
		if err := t.audit(by, "person.invited", person, "until "+ends.UTC().Format(time.RFC3339)); err != nil {
			return err
		}
		if err := t.Exec(`DELETE FROM half_ways WHERE tenant_id = $1 AND kind = $2 AND person_id = $3`, t.tenant, InviteKind, person); err != nil {
			return err
		}
		return t.Exec(`INSERT INTO half_ways (tenant_id, token_hash, kind, person_id, data, ends_ms) VALUES ($1, $2, $3, $4, '', $5)`, t.tenant, hash, InviteKind, person, millis(ends))
	})
	if err != nil {
		return fmt.Errorf("invite: %w", err)
	}
	return nil
}

// Welcome sets the password of whoever holds an invitation, once, and returns
// the person. The error wraps [ErrNone] when the link is over or the person gone.
func (s *Store) Welcome(ctx context.Context, hash, password string) (Person, error) {
	var p Person
	err := s.Change(ctx, func(t *Tx) error {
		var err error
		p, err = scanPerson(t.row(`SELECT `+personColumns+` FROM people WHERE tenant_id = $1 AND gone_ms = 0 AND id =
			(SELECT person_id FROM half_ways WHERE tenant_id = $1 AND token_hash = $2 AND kind = $3 AND ends_ms > $4)`, t.tenant, hash, InviteKind, millis(t.now)).Scan)
		if err := found(err); err != nil {
			return err
		}
		if err := t.audit(p.ID, "person.password", p.ID, "by invitation"); err != nil {
			return err
		}
		if err := t.Exec(`DELETE FROM half_ways WHERE tenant_id = $1 AND token_hash = $2`, t.tenant, hash); err != nil {
			return err
		}
		return t.ownPassword(p.ID, password, "")
	})
	if err != nil {
		return Person{}, fmt.Errorf("welcome: %w", err)
	}
	return p, nil
}

// OwnPassword sets a person's password by themselves; keep is the session that
// stays, every other ends.
func (s *Store) OwnPassword(ctx context.Context, person, password, keep string) error {
	err := s.Change(ctx, func(t *Tx) error {
		if err := t.audit(person, "person.password", person, "by themselves"); err != nil {
			return err
		}
		return t.ownPassword(person, password, keep)
	})
	if err != nil {
		return fmt.Errorf("set a password: %w", err)
	}
	return nil
}

func (t *Tx) ownPassword(person, password, keep string) error {
	if err := t.Exec(`UPDATE people SET password = $3 WHERE tenant_id = $1 AND id = $2`, t.tenant, person, password); err != nil {
		return err
	}
	return t.Exec(`DELETE FROM sessions WHERE tenant_id = $1 AND person_id = $2 AND token_hash <> $3`, t.tenant, person, keep)
}
