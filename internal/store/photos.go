package store

import (
	"context"
	"fmt"
	"time"
)

// Photo is a picture of a site. The picture itself lies in a [Folder] under the
// name Kept.
type Photo struct {
	ID            string // SHA-256 of what the phone sent
	Site          string
	Kept          string // SHA-256 of what was made of it
	Bytes         int64
	Width, Height int
	Words         string // what it shows
	Taken         time.Time
	OffsetMinutes int64
	Received      time.Time
	Person        string
}

// AddPhoto keeps that a site has a photo. One that it has already stays as it
// is. The error wraps [ErrNone] when there is no such site.
func (s *Store) AddPhoto(ctx context.Context, by string, p Photo) error {
	err := s.Change(ctx, func(t *Tx) error {
		if err := plain(p.Words); err != nil {
			return err
		}
		n, err := t.changed(`INSERT INTO photos (tenant_id, site_id, id, kept, bytes, width, height, words, taken_ms, offset_min, received_ms, person_id)
			SELECT tenant_id, id, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12 FROM sites WHERE tenant_id = $1 AND id = $2 AND gone_ms = 0 ON CONFLICT DO NOTHING`,
			t.tenant, p.Site, p.ID, p.Kept, p.Bytes, p.Width, p.Height, p.Words, millis(p.Taken), p.OffsetMinutes, millis(t.now), by)
		if err != nil {
			return err
		}
		if n > 0 {
			return t.audit(by, "photo.added", p.Site, p.Kept)
		}
		var there string
		return found(t.row(`SELECT id FROM photos WHERE tenant_id = $1 AND site_id = $2 AND id = $3`, t.tenant, p.Site, p.ID).Scan(&there))
	})
	if err != nil {
		return fmt.Errorf("add a photo: %w", err)
	}
	return nil
}

const photoColumns = `id, site_id, kept, bytes, width, height, words, taken_ms, offset_min, received_ms, person_id`

func scanPhoto(scan scan) (p Photo, err error) {
	var taken, received int64
	err = scan(&p.ID, &p.Site, &p.Kept, &p.Bytes, &p.Width, &p.Height, &p.Words, &taken, &p.OffsetMinutes, &received, &p.Person)
	p.Taken, p.Received = moment(taken), moment(received)
	return p, err
}

// Photos lists up to limit photos of a site, the latest first.
func (s *Store) Photos(ctx context.Context, site string, limit int) ([]Photo, error) {
	rows, err := s.read.QueryContext(ctx, `SELECT `+photoColumns+` FROM photos WHERE tenant_id = $1 AND site_id = $2 ORDER BY taken_ms DESC, id LIMIT $3`, s.tenant, site, limit)
	return gathered(rows, err, scanPhoto)
}

// Photo returns one photo of a site. The error wraps [ErrNone] when it has none
// of that id.
func (s *Store) Photo(ctx context.Context, site, id string) (Photo, error) {
	p, err := scanPhoto(s.read.QueryRowContext(ctx, `SELECT `+photoColumns+` FROM photos WHERE tenant_id = $1 AND site_id = $2 AND id = $3`, s.tenant, site, id).Scan)
	return p, found(err)
}

// PhotoKept returns a photo by the name of its file.
func (s *Store) PhotoKept(ctx context.Context, kept string) (Photo, error) {
	p, err := scanPhoto(s.read.QueryRowContext(ctx, `SELECT `+photoColumns+` FROM photos WHERE tenant_id = $1 AND kept = $2 ORDER BY site_id LIMIT 1`, s.tenant, kept).Scan)
	return p, found(err)
}
