package store

import (
	"context"
	"fmt"
	"time"
)

// FieldVersion is one field of a site's record that two people changed from the
// same text: both values are kept, and a person chooses.
type FieldVersion struct {
	ID, Site, Field string
	Base            int64  // revision that the second was made from
	First           string // what stood in the record when the second came in
	FirstBy         string
	FirstAt         time.Time
	Second          string
	SecondBy        string
	SecondAt        time.Time
	Settled         bool
	Choice          Choice
}

// holdFields keeps the fields that cannot be saved, once however often they are
// sent.
func (t *Tx) holdFields(by, site string, held []FieldVersion) error {
	for _, f := range held {
		id := NewID(t.now)
		n, err := t.changed(`INSERT INTO field_versions (tenant_id, id, site_id, field, base_rev, first, first_by, first_ms, second, second_by, second_ms, settled_ms, settled_by, choice)
			VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, 0, '', '') ON CONFLICT DO NOTHING`,
			t.tenant, id, site, f.Field, f.Base, f.First, f.FirstBy, millis(f.FirstAt), f.Second, by, millis(t.now))
		if err != nil {
			return err
		}
		if n > 0 {
			if err := t.audit(by, "field.held", id, site+" "+f.Field); err != nil {
				return err
			}
		}
	}
	return nil
}

const fieldColumns = `id, site_id, field, base_rev, first, first_by, first_ms, second, second_by, second_ms, settled_ms, choice`

func scanField(scan scan) (f FieldVersion, err error) {
	var first, second, settled int64
	err = scan(&f.ID, &f.Site, &f.Field, &f.Base, &f.First, &f.FirstBy, &first, &f.Second, &f.SecondBy, &second, &settled, &f.Choice)
	f.FirstAt, f.SecondAt, f.Settled = moment(first), moment(second), settled > 0
	return f, err
}

// FieldVersions lists up to limit fields of every site that nobody has chosen
// from yet, the oldest first.
func (s *Store) FieldVersions(ctx context.Context, limit int) ([]FieldVersion, error) {
	rows, err := s.read.QueryContext(ctx, `SELECT `+fieldColumns+` FROM field_versions WHERE tenant_id = $1 AND settled_ms = 0 ORDER BY id LIMIT $2`, s.tenant, limit)
	return gathered(rows, err, scanField)
}

// FieldVersionsOf lists up to limit fields of one site that were changed twice,
// settled or not, the latest first.
func (s *Store) FieldVersionsOf(ctx context.Context, site string, limit int) ([]FieldVersion, error) {
	rows, err := s.read.QueryContext(ctx, `SELECT `+fieldColumns+` FROM field_versions WHERE tenant_id = $1 AND site_id = $2 ORDER BY id DESC LIMIT $3`, s.tenant, site, limit)
	return gathered(rows, err, scanField)
}

// FieldVersion returns one of them. The error wraps [ErrNone] when there is none.
func (s *Store) FieldVersion(ctx context.Context, id string) (FieldVersion, error) {
	f, err := scanField(s.read.QueryRowContext(ctx, `SELECT `+fieldColumns+` FROM field_versions WHERE tenant_id = $1 AND id = $2`, s.tenant, id).Scan)
	return f, found(err)
}

// SettleField chooses between two values of a field. Where the second one is
// chosen, file is the site's text with it, made from revision base; otherwise it
// is empty and the record stays. The error wraps [ErrNone] for a pair that is not
// there and [ErrConflict] when somebody has chosen already or saved meanwhile.
func (s *Store) SettleField(ctx context.Context, by, id string, choice Choice, base int64, file string) error {
	err := s.Change(ctx, func(t *Tx) error {
		f, err := scanField(t.row(`SELECT `+fieldColumns+` FROM field_versions WHERE tenant_id = $1 AND id = $2`, t.tenant, id).Scan)
		if err := found(err); err != nil {
			return err
		}
		if f.Settled {
			return ErrConflict
		}
		if file != "" {
			wanted := Site{ID: f.Site, File: file}
			if err := wanted.read(); err != nil {
				return err
			}
			if _, err := t.saveSite(by, base, wanted); err != nil {
				return err
			}
		}
		if err := t.Exec(`UPDATE field_versions SET settled_ms = $3, settled_by = $4, choice = $5 WHERE tenant_id = $1 AND id = $2`, t.tenant, id, millis(t.now), by, string(choice)); err != nil {
			return err
		}
		return t.audit(by, "field.settled", id, string(choice))
	})
	if err != nil {
		return fmt.Errorf("settle a field: %w", err)
	}
	return nil
}

// Edition is one saved text of a site's file, with who saved it and when.
type Edition struct {
	Rev  int64
	File string
	By   string
	At   time.Time
}

// Editions lists up to limit texts of a site saved after a revision, the latest
// first.
func (s *Store) Editions(ctx context.Context, id string, after int64, limit int) ([]Edition, error) {
	rows, err := s.read.QueryContext(ctx, `SELECT rev, file, person_id, at_ms FROM site_revisions WHERE tenant_id = $1 AND site_id = $2 AND rev > $3 ORDER BY rev DESC LIMIT $4`, s.tenant, id, after, limit)
	return gathered(rows, err, func(scan scan) (e Edition, err error) {
		var at int64
		err = scan(&e.Rev, &e.File, &e.By, &at)
		e.At = moment(at)
		return e, err
	})
}
