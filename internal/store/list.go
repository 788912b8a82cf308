package store

import (
	"context"
	"fmt"
	"strings"
)

// Urgency says which sites need a person first; smaller comes earlier.
type Urgency int64

// The urgencies. Unseen sites have not been looked at by the engine yet.
const (
	Today    Urgency = 1
	Due      Urgency = 2
	NotKnown Urgency = 3
	Fine     Urgency = 4
	Unseen   Urgency = 5
)

// Row is one site in the list. Glance is what a face keeps to show it, and Seen
// says of which text and how it was looked at; both are empty for a site not
// looked at.
type Row struct {
	ID       string
	Name     string
	Hash     string
	Practice bool
	Urgency  Urgency
	Glance   string
	Seen     string
}

const rowColumns = `id, name, hash, practice, urgency, glance, glance_hash`

func scanRow(scan scan) (r Row, err error) {
	var practice int64
	err = scan(&r.ID, &r.Name, &r.Hash, &practice, &r.Urgency, &r.Glance, &r.Seen)
	r.Practice = practice > 0
	return r, err
}

// Sites lists up to limit sites after the first skip, those that need a person
// first, whose names hold what was typed; total tells how many there are.
func (s *Store) Sites(ctx context.Context, typed string, skip, limit int) (list []Row, total int64, err error) {
	like := pattern(typed)
	if err := s.read.QueryRowContext(ctx, `SELECT COUNT(*) FROM sites WHERE tenant_id = $1 AND gone_ms = 0 AND search LIKE $2 ESCAPE '!'`, s.tenant, like).Scan(&total); err != nil {
		return nil, 0, fmt.Errorf("list the sites: %w", err)
	}
	rows, err := s.read.QueryContext(ctx, `SELECT `+rowColumns+` FROM sites WHERE tenant_id = $1 AND id IN
		(SELECT id FROM sites WHERE tenant_id = $1 AND gone_ms = 0 AND search LIKE $2 ESCAPE '!' ORDER BY urgency, sort_key, id LIMIT $3 OFFSET $4)
		ORDER BY urgency, sort_key, id`, s.tenant, like, limit, skip)
	list, err = gathered(rows, err, scanRow)
	return list, total, err
}

// pattern makes what a person typed a LIKE pattern that takes it literally.
func pattern(typed string) string {
	typed = strings.ToLower(strings.TrimSpace(strings.ToValidUTF8(strings.ReplaceAll(typed, "\x00", ""), "")))
	return "%" + strings.NewReplacer("!", "!!", "%", "!%", "_", "!_").Replace(typed) + "%"
}

// Current tells whether a row's glance is of its present text, looked at this way.
func (r Row) Current(way string) bool { return r.Seen == r.Hash+way }

// Stale lists up to limit sites whose glance is not of their file's present
// text, looked at this way: a way names the units and the program.
func (s *Store) Stale(ctx context.Context, way string, limit int) ([]Row, error) {
	rows, err := s.read.QueryContext(ctx, `SELECT `+rowColumns+` FROM sites WHERE tenant_id = $1 AND gone_ms = 0 AND glance_hash <> hash || CAST($2 AS TEXT) ORDER BY id LIMIT $3`, s.tenant, way, limit)
	return gathered(rows, err, scanRow)
}

// KeepGlance keeps what the list shows of a site whose file has this hash,
// looked at this way. It is derived, so the audit does not tell of it.
func (s *Store) KeepGlance(ctx context.Context, id, hash, way string, u Urgency, glance string) error {
	err := s.Change(ctx, func(t *Tx) error {
		return t.Exec(`UPDATE sites SET urgency = $3, glance = $4, glance_hash = $6 WHERE tenant_id = $1 AND id = $2 AND hash = $5`, t.tenant, id, int64(u), glance, hash, hash+way)
	})
	if err != nil {
		return fmt.Errorf("keep a glance: %w", err)
	}
	return nil
}
