package store

import (
	"context"
	"encoding/json"
	"fmt"
	"time"
)

// Version is a sample that came in under an id or number that another has:
// both are kept, and a person chooses.
type Version struct {
	ID      string
	First   Sample // the one that stands
	Second  Sample // the one that came in
	At      time.Time
	Settled bool
}

// Choice is what becomes of two versions.
type Choice string

// The choices. Whatever is chosen, both stay in the database.
const (
	FirstStands  Choice = "first"  // the second is set aside
	SecondStands Choice = "second" // it puts the first right
	BothStand    Choice = "both"   // they are two samples
)

// Choices lists them.
var Choices = []Choice{FirstStands, SecondStands, BothStand}

// hold keeps a sample that cannot be kept under its own id, once however often
// it is sent.
func (s *Store) hold(ctx context.Context, by string, x Sample) error {
	x.Person = by
	said, err := json.Marshal(x)
	if err != nil {
		return err
	}
	return s.Change(ctx, func(t *Tx) error {
		var first string
		if err := found(t.row(`SELECT id FROM samples WHERE tenant_id = $1 AND (id = $2 OR device_id = $3 AND device_seq = $4) ORDER BY CASE WHEN id = $2 THEN 0 ELSE 1 END LIMIT 1`,
			t.tenant, x.ID, x.Device, x.DeviceSeq).Scan(&first)); err != nil {
			return err
		}
		id := NewID(t.now)
		n, err := t.changed(`INSERT INTO versions (tenant_id, id, site_id, first_id, hash, said, person_id, at_ms, settled_ms, settled_by, choice)
			VALUES ($1, $2, $3, $4, $5, $6, $7, $8, 0, '', '') ON CONFLICT DO NOTHING`, t.tenant, id, x.Site, first, x.content(), string(said), by, millis(t.now))
		if err != nil || n == 0 {
			return err
		}
		return t.audit(by, "version.held", id, first+" "+x.content())
	})
}

const versionColumns = `v.id, v.said, v.at_ms, v.settled_ms, s.site_id, s.id`

const versionTables = `versions v JOIN samples s ON s.tenant_id = v.tenant_id AND s.id = v.first_id`

func scanVersion(scan scan) (v Version, err error) {
	var said string
	var at, settled int64
	if err := scan(&v.ID, &said, &at, &settled, &v.First.Site, &v.First.ID); err != nil {
		return v, err
	}
	v.At, v.Settled = moment(at), settled > 0
	return v, json.Unmarshal([]byte(said), &v.Second)
}

// Versions lists up to limit pairs that nobody has chosen from yet, the oldest
// first.
func (s *Store) Versions(ctx context.Context, limit int) ([]Version, error) {
	rows, err := s.read.QueryContext(ctx, `SELECT `+versionColumns+` FROM `+versionTables+` WHERE v.tenant_id = $1 AND v.settled_ms = 0 ORDER BY v.id LIMIT $2`, s.tenant, limit)
	versions, err := gathered(rows, err, scanVersion)
	if err != nil {
		return nil, err
	}
	for i := range versions {
		if versions[i].First, err = s.sample(ctx, versions[i].First.Site, versions[i].First.ID); err != nil {
			return nil, err
		}
	}
	return versions, nil
}

// OpenVersions tells how many pairs nobody has chosen from yet, of samples and
// of fields.
func (s *Store) OpenVersions(ctx context.Context) (n int64, err error) {
	return n, found(s.read.QueryRowContext(ctx, `SELECT (SELECT COUNT(*) FROM versions WHERE tenant_id = $1 AND settled_ms = 0) + (SELECT COUNT(*) FROM field_versions WHERE tenant_id = $1 AND settled_ms = 0)`, s.tenant).Scan(&n))
}

// Settle chooses between two versions. A second that stands is logged anew,
// under an id of its own, as read by whoever has read it. The error wraps
// [ErrNone] for a pair that is not there and [ErrConflict] when somebody has
// chosen already.
func (s *Store) Settle(ctx context.Context, by, id string, choice Choice) error {
	err := s.Change(ctx, func(t *Tx) error {
		v, err := scanVersion(t.row(`SELECT `+versionColumns+` FROM `+versionTables+` WHERE v.tenant_id = $1 AND v.id = $2`, t.tenant, id).Scan)
		if err := found(err); err != nil {
			return err
		}
		if v.Settled {
			return ErrConflict
		}
		if err := t.Exec(`UPDATE versions SET settled_ms = $3, settled_by = $4, choice = $5 WHERE tenant_id = $1 AND id = $2`, t.tenant, id, millis(t.now), by, string(choice)); err != nil {
			return err
		}
		if err := t.audit(by, "version.settled", id, string(choice)); err != nil {
			return err
		}
		x := v.Second
		x.ID, x.Device, x.DeviceSeq = NewID(t.now), id, 1 // no phone uses the pair's id as its own
		switch choice {
		case FirstStands:
			return nil
		case SecondStands:
			x.Corrects, x.Reason = v.First.ID, "two versions: this one was chosen"
		case BothStand:
		default:
			return fmt.Errorf("choice %q: %w", choice, ErrReading)
		}
		return t.keepSample(x.Person, x, x.content())
	})
	if err != nil {
		return fmt.Errorf("settle two versions: %w", err)
	}
	return nil
}
