package store

import (
	"context"
	"errors"
	"fmt"
	"time"
)

// PartList is the list of parts as it is kept, to the letter.
type PartList struct {
	Text   string
	Hash   string
	Rev    int64
	Person string
	At     time.Time
}

// PartPrice is what one part costs, in minor units of a currency, and since
// when somebody has said so.
type PartPrice struct {
	Kind, Name    string
	Price, Refill int64
	Currency      string
	Since         time.Time
	Person        string
}

// same tells whether two say the same of a part.
func (p PartPrice) same(q PartPrice) bool {
	return p.Price == q.Price && p.Refill == q.Refill && p.Currency == q.Currency
}

// Parts returns the list of parts. The error wraps [ErrNone] when nobody has
// kept one.
func (s *Store) Parts(ctx context.Context) (PartList, error) {
	l, err := scanPartList(s.read.QueryRowContext(ctx, lastPartList, s.tenant).Scan)
	return l, found(err)
}

const lastPartList = `SELECT rev, text, hash, person_id, at_ms FROM part_lists WHERE tenant_id = $1 ORDER BY rev DESC LIMIT 1`

func scanPartList(scan scan) (l PartList, err error) {
	var at int64
	err = scan(&l.Rev, &l.Text, &l.Hash, &l.Person, &at)
	l.At = moment(at)
	return l, err
}

// SaveParts keeps a new list of parts that was made from revision base, 0 for
// none, with the prices that it names. A price that has not changed keeps the
// day since when it holds. The error wraps [ErrConflict] when there is a later
// list.
func (s *Store) SaveParts(ctx context.Context, by string, base int64, text string, prices []PartPrice) (PartList, error) {
	list := PartList{Text: text, Hash: Hash(text), Person: by}
	err := s.Change(ctx, func(t *Tx) error {
		if err := plain(text); err != nil {
			return err
		}
		// Locks the audit first, so that two programs cannot both be the next.
		if err := t.audit(by, "parts.saved", "", list.Hash); err != nil {
			return err
		}
		last, err := scanPartList(t.row(lastPartList, t.tenant).Scan)
		if err := found(err); err != nil && !errors.Is(err, ErrNone) {
			return err
		}
		if last.Rev != base {
			return ErrConflict
		}
		list.Rev, list.At = base+1, moment(millis(t.now))
		if err := t.Exec(`INSERT INTO part_lists (tenant_id, rev, text, hash, person_id, at_ms) VALUES ($1, $2, $3, $4, $5, $6)`,
			t.tenant, list.Rev, text, list.Hash, by, millis(t.now)); err != nil {
			return err
		}
		return t.price(by, prices)
	})
	if err != nil {
		return PartList{}, fmt.Errorf("save the parts: %w", err)
	}
	return list, nil
}

// price keeps the prices that have changed.
func (t *Tx) price(by string, prices []PartPrice) error {
	for _, p := range prices {
		last, err := scanPartPrice(t.row(`SELECT `+partPriceColumns+` FROM part_prices WHERE tenant_id = $1 AND kind = $2 AND name = $3 ORDER BY since_ms DESC LIMIT 1`, t.tenant, p.Kind, p.Name).Scan)
		if err := found(err); err != nil && !errors.Is(err, ErrNone) {
			return err
		}
		if err == nil && last.same(p) {
			continue
		}
		// Two changes within a millisecond are one: the later holds.
		if err := t.Exec(`INSERT INTO part_prices (tenant_id, kind, name, since_ms, price, refill, currency, person_id) VALUES ($1, $2, $3, $4, $5, $6, $7, $8)
			ON CONFLICT (tenant_id, kind, name, since_ms) DO UPDATE SET price = excluded.price, refill = excluded.refill, currency = excluded.currency, person_id = excluded.person_id`,
			t.tenant, p.Kind, p.Name, millis(t.now), p.Price, p.Refill, p.Currency, by); err != nil {
			return err
		}
	}
	return nil
}

const partPriceColumns = `kind, name, price, refill, currency, since_ms, person_id`

func scanPartPrice(scan scan) (p PartPrice, err error) {
	var since int64
	err = scan(&p.Kind, &p.Name, &p.Price, &p.Refill, &p.Currency, &since, &p.Person)
	p.Since = moment(since)
	return p, err
}

// PartPrices lists what every part has cost, the latest first, those of parts
// that are off the list as well.
func (s *Store) PartPrices(ctx context.Context) ([]PartPrice, error) {
	rows, err := s.read.QueryContext(ctx, `SELECT `+partPriceColumns+` FROM part_prices WHERE tenant_id = $1 ORDER BY since_ms DESC, kind, name`, s.tenant)
	return gathered(rows, err, scanPartPrice)
}
