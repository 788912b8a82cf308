package store

import (
	"context"
	"fmt"
	"time"
)

// KeepSizing keeps how a site's last sizing was shown, so that it outlives the
// program that searched for it. It can be worked out anew, so no audit tells it.
func (s *Store) KeepSizing(ctx context.Context, site, question, body string) error {
	err := s.Change(ctx, func(t *Tx) error {
		return t.Exec(`INSERT INTO sizings (tenant_id, site_id, question, body, at_ms) VALUES ($1, $2, $3, $4, $5)
			ON CONFLICT (tenant_id, site_id) DO UPDATE SET question = excluded.question, body = excluded.body, at_ms = excluded.at_ms`, t.tenant, site, question, body, millis(t.now))
	})
	if err != nil {
		return fmt.Errorf("keep a sizing: %w", err)
	}
	return nil
}

// Sizing returns how a site's last sizing was shown, when it answers a question.
// The error wraps [ErrNone] when none does.
func (s *Store) Sizing(ctx context.Context, site, question string) (body string, at time.Time, err error) {
	var ms int64
	err = found(s.read.QueryRowContext(ctx, `SELECT body, at_ms FROM sizings WHERE tenant_id = $1 AND site_id = $2 AND question = $3`, s.tenant, site, question).Scan(&body, &ms))
	return body, moment(ms), err
}
