package store

import (
	"context"
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"errors"
	"fmt"
	"time"
)

// Entry is one line of the audit: who changed what, and when.
type Entry struct {
	Seq    int64
	At     time.Time
	Person string // id, "" for the program itself
	What   string // "site.saved"
	About  string // id of what was changed
	Detail string
	Before string // hash of the entry before
	Hash   string
}

// ErrAudit marks an audit that does not fit together.
var ErrAudit = errors.New("the audit was changed from outside")

// startAudit makes the first head, once.
func startAudit(t *Tx) error {
	return t.Exec(`INSERT INTO audit_head (tenant_id, seq, hash) VALUES ($1, 0, '') ON CONFLICT (tenant_id) DO NOTHING`, t.tenant)
}

// chain is the end of the audit as the commit under way will leave it.
type chain struct {
	seq         int64
	hash        string
	held, grown bool
}

// hold reads the end, once a commit. Changing it makes a second process wait,
// so the chain stays one.
func (c *chain) hold(t *Tx) error {
	if c.held {
		return nil
	}
	if err := t.row(`UPDATE audit_head SET seq = seq WHERE tenant_id = $1 RETURNING seq, hash`, t.tenant).Scan(&c.seq, &c.hash); err != nil {
		return err
	}
	c.held = true
	return nil
}

// end writes the new end.
func (c *chain) end(t *Tx) error {
	if !c.grown {
		return nil
	}
	return t.Exec(`UPDATE audit_head SET seq = $2, hash = $3 WHERE tenant_id = $1`, t.tenant, c.seq, c.hash)
}

// audit adds an entry to the chain.
func (t *Tx) audit(person, what, about, detail string) error {
	if err := t.chain.hold(t); err != nil {
		return err
	}
	e := Entry{Seq: t.chain.seq + 1, At: moment(millis(t.now)), Person: person, What: what, About: about, Detail: detail, Before: t.chain.hash}
	e.Hash = e.sum(t.tenant)
	if err := t.Exec(`INSERT INTO audit (tenant_id, seq, at_ms, person_id, what, about, detail, before_hash, hash) VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9)`,
		t.tenant, e.Seq, millis(e.At), e.Person, e.What, e.About, e.Detail, e.Before, e.Hash); err != nil {
		return err
	}
	t.chain.seq, t.chain.hash, t.chain.grown = e.Seq, e.Hash, true
	return nil
}

// sum is the hash of an entry. Each part goes in with its length, so that no
// two entries share one text.
func (e Entry) sum(tenant string) string {
	h := sha256.New()
	var n [8]byte
	number := func(x int64) {
		binary.BigEndian.PutUint64(n[:], uint64(x))
		h.Write(n[:])
	}
	number(e.Seq)
	number(millis(e.At))
	for _, part := range []string{tenant, e.Person, e.What, e.About, e.Detail, e.Before} {
		number(int64(len(part)))
		h.Write([]byte(part))
	}
	return hex.EncodeToString(h.Sum(nil))
}

// Audit returns up to limit entries after number after, oldest first.
func (s *Store) Audit(ctx context.Context, after int64, limit int) ([]Entry, error) {
	rows, err := s.read.QueryContext(ctx, `SELECT `+entryColumns+` FROM audit WHERE tenant_id = $1 AND seq > $2 ORDER BY seq LIMIT $3`, s.tenant, after, limit)
	return gathered(rows, err, scanEntry)
}

// LastAudit returns the last entries, latest first.
func (s *Store) LastAudit(ctx context.Context, limit int) ([]Entry, error) {
	rows, err := s.read.QueryContext(ctx, `SELECT `+entryColumns+` FROM audit WHERE tenant_id = $1 ORDER BY seq DESC LIMIT $2`, s.tenant, limit)
	return gathered(rows, err, scanEntry)
}

const entryColumns = `seq, at_ms, person_id, what, about, detail, before_hash, hash`

func scanEntry(scan scan) (e Entry, err error) {
	var ms int64
	err = scan(&e.Seq, &ms, &e.Person, &e.What, &e.About, &e.Detail, &e.Before, &e.Hash)
	e.At = moment(ms)
	return e, err
}

// CheckAudit reads the whole chain again. The error wraps [ErrAudit] and names
// the first entry that does not fit.
func (s *Store) CheckAudit(ctx context.Context) error {
	var headSeq int64
	var headHash string
	if err := s.read.QueryRowContext(ctx, `SELECT seq, hash FROM audit_head WHERE tenant_id = $1`, s.tenant).Scan(&headSeq, &headHash); err != nil {
		return fmt.Errorf("check the audit: %w", err)
	}
	last := Entry{}
	for last.Seq < headSeq {
		// Later entries may have come since the head was read.
		entries, err := s.Audit(ctx, last.Seq, int(min(1000, headSeq-last.Seq)))
		if err != nil {
			return fmt.Errorf("check the audit: %w", err)
		}
		for _, e := range entries {
			if e.Seq != last.Seq+1 || e.Before != last.Hash || e.Hash != e.sum(s.tenant) {
				return fmt.Errorf("check the audit: entry %d: %w", last.Seq+1, ErrAudit)
			}
			last = e
		}
		if len(entries) == 0 {
			break
		}
	}
	if last.Seq != headSeq || last.Hash != headHash {
		return fmt.Errorf("check the audit: it ends at entry %d, not %d: %w", last.Seq, headSeq, ErrAudit)
	}
	return nil
}
