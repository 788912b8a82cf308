package store

import (
	"context"
	"errors"
	"fmt"
	"strconv"
	"time"
)

// Several programs may work beside each other on one database, and any of them
// may be killed. What there is to do the data itself says: sites whose forecast
// is old, a night without a backup. A claim only keeps two programs from doing
// the same at once. It ends by itself, so what a lost program had claimed is
// done by another; doing it twice does no harm.

// Claim is a piece of work that a program takes.
type Claim struct {
	Kind  string // "forecast", "night"
	About string // what it is about
	Of    string // state of that; another state is other work
}

// Claim takes a piece of work for a worker until lease is over, and tells whether
// it is theirs. It is not while another's claim of the same state holds.
func (s *Store) Claim(ctx context.Context, worker string, c Claim, lease time.Duration) (mine bool, err error) {
	err = s.Change(ctx, func(t *Tx) error {
		mine, err = t.claim(worker, c, lease)
		return err
	})
	if err != nil {
		return false, fmt.Errorf("claim %s of %s: %w", c.Kind, c.About, err)
	}
	return mine, nil
}

func (t *Tx) claim(worker string, c Claim, lease time.Duration) (bool, error) {
	n, err := t.changed(`INSERT INTO claims (tenant_id, kind, about, state, worker, until_ms) VALUES ($1, $2, $3, $4, $5, $6)
		ON CONFLICT (tenant_id, kind, about) DO UPDATE SET state = excluded.state, worker = excluded.worker, until_ms = excluded.until_ms
		WHERE claims.until_ms <= $7 OR claims.state <> excluded.state OR claims.worker = excluded.worker`,
		t.tenant, c.Kind, c.About, c.Of, worker, millis(t.now.Add(lease)), millis(t.now))
	return n == 1, err
}

// Release gives work back that was not done, so that another may take it at once.
func (s *Store) Release(ctx context.Context, worker string, c Claim) error {
	err := s.Change(ctx, func(t *Tx) error {
		return t.Exec(`UPDATE claims SET until_ms = 0 WHERE tenant_id = $1 AND kind = $2 AND about = $3 AND worker = $4`, t.tenant, c.Kind, c.About, worker)
	})
	if err != nil {
		return fmt.Errorf("release %s of %s: %w", c.Kind, c.About, err)
	}
	return nil
}

// TakeOldForecasts is [Store.OldForecasts] for several workers: each is given
// sites that no other works at, until lease is over.
func (s *Store) TakeOldForecasts(ctx context.Context, worker, word string, limit int, lease time.Duration) (mine []Foretold, err error) {
	old, err := s.freeForecasts(ctx, worker, word, limit)
	if err != nil || len(old) == 0 {
		return nil, err
	}
	err = s.Change(ctx, func(t *Tx) error {
		mine = mine[:0]
		for _, f := range old {
			ok, err := t.claim(worker, Claim{"forecast", f.Site, f.Of}, lease)
			if err != nil {
				return err
			}
			if ok {
				mine = append(mine, f)
			}
		}
		return t.Exec(`DELETE FROM claims WHERE tenant_id = $1 AND until_ms < $2`, t.tenant, millis(t.now.Add(-7*24*time.Hour)))
	})
	if err != nil {
		return nil, fmt.Errorf("take old forecasts: %w", err)
	}
	if len(mine) == 0 { // others were quicker: look for more
		return nil, errors.Join(ctx.Err(), errTaken)
	}
	return mine, nil
}

// errTaken says that there was work and others took it.
var errTaken = fmt.Errorf("another took it: %w", ErrTaken)

func (s *Store) freeForecasts(ctx context.Context, worker, word string, limit int) ([]Foretold, error) {
	rows, err := s.read.QueryContext(ctx, `SELECT s.id, s.hash, COALESCE(f.turn, 0) FROM sites s LEFT JOIN forecasts f ON f.tenant_id = s.tenant_id AND f.site_id = s.id
		LEFT JOIN claims c ON c.tenant_id = s.tenant_id AND c.kind = 'forecast' AND c.about = s.id
		WHERE s.tenant_id = $1 AND s.gone_ms = 0 AND (f.seen IS NULL OR f.seen <> s.hash || ' ' || CAST(f.turn AS TEXT) || ' ' || CAST($2 AS TEXT))
		AND (c.until_ms IS NULL OR c.until_ms <= $3 OR c.worker = $4 OR c.state <> s.hash || ' ' || CAST(COALESCE(f.turn, 0) AS TEXT) || ' ' || CAST($2 AS TEXT))
		ORDER BY s.urgency, s.id LIMIT $5`, s.tenant, word, millis(s.now()), worker, limit)
	return gathered(rows, err, func(scan scan) (f Foretold, err error) {
		var hash string
		var turn int64
		err = scan(&f.Site, &hash, &turn)
		f.Of = hash + " " + strconv.FormatInt(turn, 10) + " " + word
		return f, err
	})
}
