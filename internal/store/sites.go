package store

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"strings"
	"time"

	"rinsewright/internal/sitefile"
)

// Site is one site as it is kept. File is the record; Hash is its SHA-256.
type Site struct {
	ID       string
	Name     string
	File     string
	Hash     string
	Rev      int64
	Practice bool
	Created  time.Time
	Changed  time.Time
}

// Hash is the content hash of a site file.
func Hash(file string) string {
	sum := sha256.Sum256([]byte(file))
	return hex.EncodeToString(sum[:])
}

// read judges a file and takes from it what the list shows. The error is
// [sitefile.Problems] for a file that is no site.
func (t *Site) read() error {
	if err := plain(t.File); err != nil {
		return err
	}
	record, err := sitefile.Read("site.toml", []byte(t.File))
	if err != nil {
		return err
	}
	t.Name, t.Hash = record.Name, Hash(t.File)
	return nil
}

// AddSite keeps a new site from the text of its file. The error is
// [sitefile.Problems] when the file is no site.
func (s *Store) AddSite(ctx context.Context, by, file string, practice bool) (Site, error) {
	site := Site{ID: NewID(s.now()), File: file, Rev: 1, Practice: practice}
	if err := site.read(); err != nil {
		return Site{}, fmt.Errorf("add a site: %w", err)
	}
	err := s.Change(ctx, func(t *Tx) error {
		site.Created = moment(millis(t.now))
		site.Changed = site.Created
		if err := t.audit(by, "site.added", site.ID, site.Hash); err != nil {
			return err
		}
		if err := t.Exec(`INSERT INTO sites (tenant_id, id, name, search, sort_key, file, hash, rev, practice, created_ms, changed_ms, gone_ms, urgency)
			VALUES ($1, $2, $3, $4, $5, $6, $7, 1, $8, $9, $9, 0, $10)`,
			t.tenant, site.ID, site.Name, strings.ToLower(site.Name), sortKey(site.Name), site.File, site.Hash, flag(practice), millis(t.now), int64(Unseen)); err != nil {
			return err
		}
		return t.keepRevision(by, site)
	})
	if err != nil {
		return Site{}, fmt.Errorf("add a site: %w", err)
	}
	return site, nil
}

func (t *Tx) keepRevision(by string, site Site) error {
	return t.Exec(`INSERT INTO site_revisions (tenant_id, site_id, rev, file, hash, person_id, at_ms) VALUES ($1, $2, $3, $4, $5, $6, $7)`,
		t.tenant, site.ID, site.Rev, site.File, site.Hash, by, millis(t.now))
}

// SaveSite keeps a new text of a site's file that was made from revision base,
// and beside it the fields that somebody else changed first. The error wraps
// [ErrConflict] when there is a later revision, and nothing is changed: whoever
// asks decides what becomes of both. A text that is there already is not kept
// twice.
func (s *Store) SaveSite(ctx context.Context, by, id string, base int64, file string, held ...FieldVersion) (Site, error) {
	wanted := Site{ID: id, File: file}
	if err := wanted.read(); err != nil {
		return Site{}, fmt.Errorf("save site: %w", err)
	}
	var kept Site
	err := s.Change(ctx, func(t *Tx) (err error) {
		if kept, err = t.saveSite(by, base, wanted); err != nil {
			return err
		}
		return t.holdFields(by, id, held)
	})
	if err != nil {
		return Site{}, fmt.Errorf("save site: %w", err)
	}
	return kept, nil
}

func (t *Tx) saveSite(by string, base int64, wanted Site) (Site, error) {
	kept, err := scanSite(t.row(`SELECT `+siteColumns+` FROM sites WHERE tenant_id = $1 AND id = $2 AND gone_ms = 0`, t.tenant, wanted.ID).Scan)
	if err != nil {
		return kept, found(err)
	}
	if kept.Hash == wanted.Hash {
		return kept, nil
	}
	if kept.Rev != base {
		return kept, ErrConflict
	}
	if err := t.audit(by, "site.saved", kept.ID, wanted.Hash); err != nil {
		return kept, err
	}
	kept.Name, kept.File, kept.Hash, kept.Rev, kept.Changed = wanted.Name, wanted.File, wanted.Hash, kept.Rev+1, moment(millis(t.now))
	n, err := t.changed(`UPDATE sites SET name = $3, search = $4, sort_key = $5, file = $6, hash = $7, rev = $8, changed_ms = $9 WHERE tenant_id = $1 AND id = $2 AND rev = $10`,
		t.tenant, kept.ID, kept.Name, strings.ToLower(kept.Name), sortKey(kept.Name), kept.File, kept.Hash, kept.Rev, millis(t.now), base)
	if err != nil {
		return kept, err
	}
	if n == 0 {
		return kept, ErrConflict
	}
	return kept, t.keepRevision(by, kept)
}

const siteColumns = `id, name, file, hash, rev, practice, created_ms, changed_ms`

func scanSite(scan scan) (s Site, err error) {
	var practice, created, changed int64
	err = scan(&s.ID, &s.Name, &s.File, &s.Hash, &s.Rev, &practice, &created, &changed)
	s.Practice, s.Created, s.Changed = practice > 0, moment(created), moment(changed)
	return s, err
}

// Site returns one site. The error wraps [ErrNone] when there is none.
func (s *Store) Site(ctx context.Context, id string) (Site, error) {
	site, err := scanSite(s.read.QueryRowContext(ctx, `SELECT `+siteColumns+` FROM sites WHERE tenant_id = $1 AND id = $2 AND gone_ms = 0`, s.tenant, id).Scan)
	return site, found(err)
}

// SiteByHash returns the site whose file has this content hash.
func (s *Store) SiteByHash(ctx context.Context, hash string) (Site, error) {
	site, err := scanSite(s.read.QueryRowContext(ctx, `SELECT `+siteColumns+` FROM sites WHERE tenant_id = $1 AND hash = $2 AND gone_ms = 0 ORDER BY id LIMIT 1`, s.tenant, hash).Scan)
	return site, found(err)
}

// Revision returns the text of a site's file as it was.
func (s *Store) Revision(ctx context.Context, id string, rev int64) (file string, err error) {
	err = s.read.QueryRowContext(ctx, `SELECT file FROM site_revisions WHERE tenant_id = $1 AND site_id = $2 AND rev = $3`, s.tenant, id, rev).Scan(&file)
	return file, found(err)
}

// ClearPractice takes the practice sites off the list and tells how many. What
// was logged there stays in the database.
func (s *Store) ClearPractice(ctx context.Context, by string) (n int64, err error) {
	err = s.Change(ctx, func(t *Tx) error {
		if err := t.audit(by, "practice.cleared", "", ""); err != nil {
			return err
		}
		n, err = t.changed(`UPDATE sites SET gone_ms = $2 WHERE tenant_id = $1 AND practice = 1 AND gone_ms = 0`, t.tenant, millis(t.now))
		return err
	})
	if err != nil {
		return 0, fmt.Errorf("clear the practice sites: %w", err)
	}
	return n, nil
}

// RemoveSite takes a site off the list. Its record and what was logged stay in
// the database.
func (s *Store) RemoveSite(ctx context.Context, by, id string) error {
	err := s.Change(ctx, func(t *Tx) error {
		if err := t.audit(by, "site.removed", id, ""); err != nil {
			return err
		}
		n, err := t.changed(`UPDATE sites SET gone_ms = $3 WHERE tenant_id = $1 AND id = $2 AND gone_ms = 0`, t.tenant, id, millis(t.now))
		if err == nil && n == 0 {
			return ErrNone
		}
		return err
	})
	if err != nil {
		return fmt.Errorf("remove site: %w", err)
	}
	return nil
}

// sortKey gives a name's place in the alphabet in hexadecimal digits, which
// every database orders the same way, whatever its collation.
func sortKey(name string) string {
	low := strings.ToLower(name)
	if len(low) > 40 {
		low = low[:40]
	}
	return hex.EncodeToString([]byte(low))
}
