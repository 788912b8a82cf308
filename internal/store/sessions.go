package store

import (
	"context"
	"fmt"
	"time"
)

// Session is a sign-in. The token itself is known to the browser only; what is
// kept is its hash.
type Session struct {
	TokenHash     string
	Person        Person
	Created, Seen time.Time
}

// BeginSession keeps a new sign-in of a person, and forgets those that have
// been quiet since before.
func (s *Store) BeginSession(ctx context.Context, tokenHash, person string, before time.Time) error {
	err := s.Change(ctx, func(t *Tx) error {
		if err := t.audit(person, "person.signed-in", person, ""); err != nil {
			return err
		}
		if err := t.Exec(`DELETE FROM sessions WHERE tenant_id = $1 AND seen_ms < $2`, t.tenant, millis(before)); err != nil {
			return err
		}
		return t.Exec(`INSERT INTO sessions (tenant_id, token_hash, person_id, created_ms, seen_ms) VALUES ($1, $2, $3, $4, $4)`,
			t.tenant, tokenHash, person, millis(t.now))
	})
	if err != nil {
		return fmt.Errorf("begin a session: %w", err)
	}
	return nil
}

// Session returns a sign-in with its person as they are now. The error wraps
// [ErrNone] when there is none, or the person is gone.
func (s *Store) Session(ctx context.Context, tokenHash string) (Session, error) {
	out := Session{TokenHash: tokenHash}
	var created, seen, joined, gone int64
	p := &out.Person
	err := s.read.QueryRowContext(ctx, `SELECT s.created_ms, s.seen_ms, p.id, p.login, p.name, p.role, p.password, p.created_ms, p.gone_ms, p.units, p.decimal_mark, p.language
		FROM sessions s JOIN people p ON p.tenant_id = s.tenant_id AND p.id = s.person_id
		WHERE s.tenant_id = $1 AND s.token_hash = $2 AND p.gone_ms = 0`, s.tenant, tokenHash).
		Scan(&created, &seen, &p.ID, &p.Login, &p.Name, &p.Role, &p.Password, &joined, &gone, &p.Units, &p.Decimal, &p.Language)
	out.Created, out.Seen, p.Created = moment(created), moment(seen), moment(joined)
	return out, found(err)
}

// SeenSession keeps that a session was used.
func (s *Store) SeenSession(ctx context.Context, tokenHash string) error {
	err := s.Change(ctx, func(t *Tx) error {
		return t.Exec(`UPDATE sessions SET seen_ms = $3 WHERE tenant_id = $1 AND token_hash = $2`, t.tenant, tokenHash, millis(t.now))
	})
	if err != nil {
		return fmt.Errorf("keep a session: %w", err)
	}
	return nil
}

// EndSession forgets a sign-in.
func (s *Store) EndSession(ctx context.Context, tokenHash string) error {
	err := s.Change(ctx, func(t *Tx) error {
		return t.Exec(`DELETE FROM sessions WHERE tenant_id = $1 AND token_hash = $2`, t.tenant, tokenHash)
	})
	if err != nil {
		return fmt.Errorf("end a session: %w", err)
	}
	return nil
}
