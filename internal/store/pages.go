package store

import (
	"context"
	"time"
)

// SitesAfter lists up to limit sites by id, after the one that was last, for
// programs that read them all: who adds or saves one meanwhile moves none.
func (s *Store) SitesAfter(ctx context.Context, after string, limit int) ([]Site, error) {
	rows, err := s.read.QueryContext(ctx, `SELECT `+siteColumns+` FROM sites WHERE tenant_id = $1 AND gone_ms = 0 AND id > $2 ORDER BY id LIMIT $3`, s.tenant, after, limit)
	return gathered(rows, err, scanSite)
}

// SamplesBefore lists up to limit samples of a site with their readings, the
// latest first, that are earlier than the one taken then with this id. A zero
// time begins at the latest.
func (s *Store) SamplesBefore(ctx context.Context, site string, taken time.Time, id string, limit int) ([]Sample, error) {
	if taken.IsZero() {
		return s.Samples(ctx, site, limit)
	}
	rows, err := s.read.QueryContext(ctx, `SELECT `+sampleColumns+` FROM samples WHERE tenant_id = $1 AND site_id = $2 AND (taken_ms < $3 OR taken_ms = $3 AND id < $4)
		ORDER BY taken_ms DESC, id DESC LIMIT $5`, s.tenant, site, millis(taken), id, limit)
	samples, err := gathered(rows, err, scanSample)
	if err != nil || len(samples) == 0 {
		return nil, err
	}
	return samples, s.readingsOf(ctx, site, samples)
}
