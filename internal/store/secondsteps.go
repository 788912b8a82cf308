package store

import (
	"context"
	"errors"
	"fmt"
)

// SecondStep is what a person gives after the password: codes that a device of
// theirs makes from a secret and the time.
type SecondStep struct {
	Secret string
	On     bool  // a code has shown that the device has the secret
	Last   int64 // the last span of time whose code was taken
	Spares int64 // codes on paper that are left
}

// SecondStep returns a person's; the zero value when there is none.
func (s *Store) SecondStep(ctx context.Context, person string) (x SecondStep, err error) {
	var confirmed int64
	err = s.read.QueryRowContext(ctx, `SELECT secret, confirmed_ms, last_span, (SELECT COUNT(*) FROM spare_codes c WHERE c.tenant_id = $1 AND c.person_id = $2)
		FROM second_steps WHERE tenant_id = $1 AND person_id = $2`, s.tenant, person).Scan(&x.Secret, &confirmed, &x.Last, &x.Spares)
	x.On = confirmed > 0
	if errors.Is(found(err), ErrNone) {
		return SecondStep{}, nil
	}
	return x, err
}

// OfferSecondStep keeps a secret that no code has confirmed yet, in the place of
// another such. The error wraps [ErrConflict] when the step is on already.
func (s *Store) OfferSecondStep(ctx context.Context, person, secret string) error {
	err := s.Change(ctx, func(t *Tx) error {
		n, err := t.changed(`INSERT INTO second_steps (tenant_id, person_id, secret, confirmed_ms, last_span) VALUES ($1, $2, $3, 0, 0)
			ON CONFLICT (tenant_id, person_id) DO UPDATE SET secret = excluded.secret WHERE second_steps.confirmed_ms = 0`, t.tenant, person, secret)
		if err == nil && n == 0 {
			return ErrConflict
		}
		return err
	})
	if err != nil {
		return fmt.Errorf("offer a second step: %w", err)
	}
	return nil
}

// ConfirmSecondStep turns the step on with the span of the code that showed it,
// and keeps the hashes of the spare codes. Who was signed in elsewhere is so no
// longer: keep is the session that stays.
func (s *Store) ConfirmSecondStep(ctx context.Context, person string, span int64, spares []string, keep string) error {
	err := s.Change(ctx, func(t *Tx) error {
		if err := t.audit(person, "person.second-step", person, "on"); err != nil {
			return err
		}
		n, err := t.changed(`UPDATE second_steps SET confirmed_ms = $3, last_span = $4 WHERE tenant_id = $1 AND person_id = $2 AND confirmed_ms = 0`, t.tenant, person, millis(t.now), span)
		if err != nil {
			return err
		}
		if n == 0 {
			return ErrConflict
		}
		if err := t.Exec(`DELETE FROM spare_codes WHERE tenant_id = $1 AND person_id = $2`, t.tenant, person); err != nil {
			return err
		}
		for _, hash := range spares {
			if err := t.Exec(`INSERT INTO spare_codes (tenant_id, person_id, code_hash) VALUES ($1, $2, $3)`, t.tenant, person, hash); err != nil {
				return err
			}
		}
		return t.Exec(`DELETE FROM sessions WHERE tenant_id = $1 AND person_id = $2 AND token_hash <> $3`, t.tenant, person, keep)
	})
	if err != nil {
		return fmt.Errorf("turn the second step on: %w", err)
	}
	return nil
}

// EndSecondStep turns a person's step off.
func (s *Store) EndSecondStep(ctx context.Context, by, person string) error {
	err := s.Change(ctx, func(t *Tx) error {
		if err := t.audit(by, "person.second-step", person, "off"); err != nil {
			return err
		}
		if err := t.Exec(`DELETE FROM spare_codes WHERE tenant_id = $1 AND person_id = $2`, t.tenant, person); err != nil {
			return err
		}
		return t.Exec(`DELETE FROM second_steps WHERE tenant_id = $1 AND person_id = $2`, t.tenant, person)
	})
	if err != nil {
		return fmt.Errorf("turn the second step off: %w", err)
	}
	return nil
}

// TakeSpan takes the code of a span of time, once. The error wraps [ErrTaken]
// when it, or a later one, was taken before.
func (s *Store) TakeSpan(ctx context.Context, person string, span int64) error {
	return s.taken(ctx, `UPDATE second_steps SET last_span = $3 WHERE tenant_id = $1 AND person_id = $2 AND last_span < $3`, person, span)
}

// TakeSpare takes a spare code, once. The error wraps [ErrTaken] when there is
// none such.
func (s *Store) TakeSpare(ctx context.Context, person, hash string) error {
	return s.taken(ctx, `DELETE FROM spare_codes WHERE tenant_id = $1 AND person_id = $2 AND code_hash = $3`, person, hash)
}

func (s *Store) taken(ctx context.Context, query, person string, what any) error {
	err := s.Change(ctx, func(t *Tx) error {
		n, err := t.changed(query, t.tenant, person, what)
		if err == nil && n == 0 {
			return ErrTaken
		}
		return err
	})
	if err != nil {
		return fmt.Errorf("take a code: %w", err)
	}
	return nil
}
