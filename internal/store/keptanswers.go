package store

import (
	"context"
	"errors"
	"fmt"
	"time"
)

// KeptAnswer is what was answered to a change that came with a key of its own.
type KeptAnswer struct {
	Token   string // id of the token that asked
	Key     string
	Request string // hash of what was asked
	At      time.Time
	Status  int64 // 0 while it is under way
	Headers string
	Body    string
}

// How long an answer is kept, and after how long one under way is taken for
// lost, with the program that worked at it.
const (
	AnswersLast = 24 * time.Hour
	answerLost  = 2 * time.Minute
)

// BeginAnswer claims a key for a change. When first is true the change is to be
// made, and its answer kept; otherwise the answer is that of the same key
// before, which may still be under way. A claim whose program was lost is given
// anew: every change that takes keys is one that does no harm when made twice.
func (s *Store) BeginAnswer(ctx context.Context, wanted KeptAnswer) (there KeptAnswer, first bool, err error) {
	err = s.Change(ctx, func(t *Tx) error {
		first = false
		if err := plain(wanted.Key); err != nil {
			return err
		}
		if err := t.Exec(`DELETE FROM kept_answers WHERE tenant_id = $1 AND token_id = $2 AND at_ms < $3`, t.tenant, wanted.Token, millis(t.now.Add(-AnswersLast))); err != nil {
			return err
		}
		var err error
		there, err = scanAnswer(t.row(`SELECT token_id, key, request_hash, at_ms, status, headers, body FROM kept_answers WHERE tenant_id = $1 AND token_id = $2 AND key = $3`,
			t.tenant, wanted.Token, wanted.Key).Scan)
		switch err := found(err); {
		case errors.Is(err, ErrNone):
			n, err := t.changed(`INSERT INTO kept_answers (tenant_id, token_id, key, request_hash, at_ms, status, headers, body) VALUES ($1, $2, $3, $4, $5, 0, '', '') ON CONFLICT DO NOTHING`,
				t.tenant, wanted.Token, wanted.Key, wanted.Request, millis(t.now))
			there = wanted
			first = n == 1
			return err
		case err != nil:
			return err
		}
		if there.Status == 0 && there.Request == wanted.Request && t.now.Sub(there.At) > answerLost {
			n, err := t.changed(`UPDATE kept_answers SET at_ms = $4 WHERE tenant_id = $1 AND token_id = $2 AND key = $3 AND at_ms = $5 AND status = 0`,
				t.tenant, wanted.Token, wanted.Key, millis(t.now), millis(there.At))
			first = n == 1
			return err
		}
		return nil
	})
	if err != nil {
		return KeptAnswer{}, false, fmt.Errorf("look for an answer given before: %w", err)
	}
	return there, first, nil
}

func scanAnswer(scan scan) (a KeptAnswer, err error) {
	var at int64
	err = scan(&a.Token, &a.Key, &a.Request, &at, &a.Status, &a.Headers, &a.Body)
	a.At = moment(at)
	return a, err
}

// KeepAnswer keeps the answer to a claimed key. With status 0 the claim is given
// back, so that the same key may try again.
func (s *Store) KeepAnswer(ctx context.Context, a KeptAnswer) error {
	err := s.Change(ctx, func(t *Tx) error {
		if a.Status == 0 {
			return t.Exec(`DELETE FROM kept_answers WHERE tenant_id = $1 AND token_id = $2 AND key = $3 AND status = 0`, t.tenant, a.Token, a.Key)
		}
		return t.Exec(`UPDATE kept_answers SET status = $4, headers = $5, body = $6 WHERE tenant_id = $1 AND token_id = $2 AND key = $3`,
			t.tenant, a.Token, a.Key, a.Status, a.Headers, a.Body)
	})
	if err != nil {
		return fmt.Errorf("keep an answer: %w", err)
	}
	return nil
}
