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

// Row is one site in the list. Glance is what a face keeps to show it to a
// reader, and Seen says of which text and by which program it was looked at;
// both are empty for a site not looked at.
type Row struct {
	ID       string
	Name     string
	Hash     string
	Practice bool
	Urgency  Urgency
	Glance   string
	First    string // what its log foresees first, as [Forecast] has it
	Seen     string
}

const rowColumns = `s.id, s.name, s.hash, s.practice, s.urgency, COALESCE(g.glance, ''), COALESCE(g.seen, ''), COALESCE(f.first, '')`

const rowTables = `sites s LEFT JOIN glances g ON g.tenant_id = s.tenant_id AND g.site_id = s.id AND g.reader = $2 LEFT JOIN forecasts f ON f.tenant_id = s.tenant_id AND f.site_id = s.id`

func scanRow(scan scan) (r Row, err error) {
	var practice int64
	err = scan(&r.ID, &r.Name, &r.Hash, &practice, &r.Urgency, &r.Glance, &r.Seen, &r.First)
	r.Practice = practice > 0
	return r, err
}

// Sites lists sites without a glance, as [Store.SitesFor] does.
func (s *Store) Sites(ctx context.Context, typed string, skip, limit int) (list []Row, total int64, err error) {
	return s.SitesFor(ctx, "", typed, skip, limit)
}

// SitesFor lists up to limit sites after the first skip, those that need a
// person first, whose names hold what was typed, as a reader sees them; total
// tells how many there are.
func (s *Store) SitesFor(ctx context.Context, reader, typed string, skip, limit int) (list []Row, total int64, err error) {
	like := pattern(typed)
	if err := s.read.QueryRowContext(ctx, `SELECT COUNT(*) FROM sites WHERE tenant_id = $1 AND gone_ms = 0 AND search LIKE $2 ESCAPE '!'`, s.tenant, like).Scan(&total); err != nil {
		return nil, 0, fmt.Errorf("list the sites: %w", err)
	}
	rows, err := s.read.QueryContext(ctx, `SELECT `+rowColumns+` FROM `+rowTables+` WHERE s.tenant_id = $1 AND s.id IN
		(SELECT id FROM sites WHERE tenant_id = $1 AND gone_ms = 0 AND search LIKE $3 ESCAPE '!' ORDER BY urgency, runs_out, sort_key, id LIMIT $4 OFFSET $5)
		ORDER BY s.urgency, s.runs_out, s.sort_key, s.id`, s.tenant, reader, like, limit, skip)
	list, err = gathered(rows, err, scanRow)
	return list, total, err
}

// pattern makes what a person typed a LIKE pattern that takes it literally.
func pattern(typed string) string {
	typed = strings.ToLower(strings.TrimSpace(strings.ToValidUTF8(strings.ReplaceAll(typed, "\x00", ""), "")))
	return "%" + strings.NewReplacer("!", "!!", "%", "!%", "_", "!_").Replace(typed) + "%"
}

// Current tells whether a row's glance is of its present text, by this program.
func (r Row) Current(program string) bool { return r.Seen == r.Hash+" "+program }

// Stale lists up to limit sites whose glance for a reader is not of their
// file's present text, or by another program.
func (s *Store) Stale(ctx context.Context, reader, program string, limit int) ([]Row, error) {
	rows, err := s.read.QueryContext(ctx, `SELECT `+rowColumns+` FROM `+rowTables+` WHERE s.tenant_id = $1 AND s.gone_ms = 0
		AND (g.seen IS NULL OR g.seen <> s.hash || ' ' || CAST($3 AS TEXT)) ORDER BY s.id LIMIT $4`, s.tenant, reader, program, limit)
	return gathered(rows, err, scanRow)
}

// KeepGlance keeps what the list shows a reader of a site whose file has this
// hash, as a program saw it. It is derived, so the audit does not tell of it.
func (s *Store) KeepGlance(ctx context.Context, id, hash, reader, program string, u Urgency, glance string) error {
	err := s.Change(ctx, func(t *Tx) error {
		n, err := t.changed(`UPDATE sites SET looked = $3, urgency = CASE WHEN foreseen < $3 THEN foreseen ELSE $3 END WHERE tenant_id = $1 AND id = $2 AND hash = $4`, t.tenant, id, int64(u), hash)
		if err != nil || n == 0 {
			return err
		}
		return t.Exec(`INSERT INTO glances (tenant_id, site_id, reader, seen, glance) VALUES ($1, $2, $3, $4, $5)
			ON CONFLICT (tenant_id, site_id, reader) DO UPDATE SET seen = excluded.seen, glance = excluded.glance`, t.tenant, id, reader, hash+" "+program, glance)
	})
	if err != nil {
		return fmt.Errorf("keep a glance: %w", err)
	}
	return nil
}
