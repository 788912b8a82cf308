package store

import (
	"context"
	"errors"
	"fmt"
	"strconv"
	"time"
)

// Forecast is what a face made of a site's log. It is derived: it may be lost,
// and the audit does not tell of it.
type Forecast struct {
	Site    string
	Urgency Urgency // Unseen where the log says nothing
	RunsOut int64   // day since 1970 on which something runs out; [NeverOut] for none
	First   string  // what the list shows
	Told    string  // all of it
}

// NeverOut is the day of what does not run out.
const NeverOut = 999_999

// Foretold is a site whose forecast is old, and the state that a new one is of.
type Foretold struct {
	Site string
	Of   string // hand it back with the forecast
}

// OldForecasts lists up to limit sites whose forecast is not of their present
// text and readings, or not of this word: the program's version and the day.
func (s *Store) OldForecasts(ctx context.Context, word string, limit int) ([]Foretold, error) {
	rows, err := s.read.QueryContext(ctx, `SELECT s.id, s.hash, COALESCE(f.turn, 0) FROM sites s LEFT JOIN forecasts f ON f.tenant_id = s.tenant_id AND f.site_id = s.id
		WHERE s.tenant_id = $1 AND s.gone_ms = 0 AND (f.seen IS NULL OR f.seen <> s.hash || ' ' || CAST(f.turn AS TEXT) || ' ' || CAST($2 AS TEXT)) ORDER BY s.urgency, s.id LIMIT $3`,
		s.tenant, word, limit)
	return gathered(rows, err, func(scan scan) (f Foretold, err error) {
		var hash string
		var turn int64
		err = scan(&f.Site, &hash, &turn)
		f.Of = hash + " " + strconv.FormatInt(turn, 10) + " " + word
		return f, err
	})
}

// KeepForecast keeps what a site's log foresees, as of a state that
// [Store.OldForecasts] gave. Where something was logged or saved since, the site
// is listed as old again.
func (s *Store) KeepForecast(ctx context.Context, of string, f Forecast) error {
	err := s.Change(ctx, func(t *Tx) error {
		if err := plain(f.First, f.Told); err != nil {
			return err
		}
		n, err := t.changed(`UPDATE sites SET foreseen = $3, runs_out = $4, urgency = CASE WHEN looked < $3 THEN looked ELSE $3 END WHERE tenant_id = $1 AND id = $2`,
			t.tenant, f.Site, int64(f.Urgency), f.RunsOut)
		if err != nil || n == 0 {
			return err
		}
		return t.Exec(`INSERT INTO forecasts (tenant_id, site_id, turn, seen, first, told) VALUES ($1, $2, 0, $3, $4, $5)
			ON CONFLICT (tenant_id, site_id) DO UPDATE SET seen = excluded.seen, first = excluded.first, told = excluded.told`, t.tenant, f.Site, of, f.First, f.Told)
	})
	if err != nil {
		return fmt.Errorf("keep a forecast: %w", err)
	}
	return nil
}

// turned counts that something was logged at a site.
func (t *Tx) turned(site string) error {
	return t.Exec(`INSERT INTO forecasts (tenant_id, site_id, turn, seen, first, told) VALUES ($1, $2, 1, '', '', '')
		ON CONFLICT (tenant_id, site_id) DO UPDATE SET turn = forecasts.turn + 1`, t.tenant, site)
}

// Forecasts lists what was told of every site that is there, by id, and how many
// of them are old by this word.
func (s *Store) Forecasts(ctx context.Context, word string) (told []Forecast, old int64, err error) {
	rows, err := s.read.QueryContext(ctx, `SELECT s.id, f.told FROM sites s JOIN forecasts f ON f.tenant_id = s.tenant_id AND f.site_id = s.id
		WHERE s.tenant_id = $1 AND s.gone_ms = 0 AND f.told <> '' ORDER BY s.id`, s.tenant)
	told, err = gathered(rows, err, func(scan scan) (f Forecast, err error) { return f, scan(&f.Site, &f.Told) })
	if err != nil {
		return nil, 0, err
	}
	err = found(s.read.QueryRowContext(ctx, `SELECT COUNT(*) FROM sites s LEFT JOIN forecasts f ON f.tenant_id = s.tenant_id AND f.site_id = s.id
		WHERE s.tenant_id = $1 AND s.gone_ms = 0 AND (f.seen IS NULL OR f.seen <> s.hash || ' ' || CAST(f.turn AS TEXT) || ' ' || CAST($2 AS TEXT))`, s.tenant, word).Scan(&old))
	return told, old, err
}

// ToldTrips are the days of trips that somebody was told.
type ToldTrips struct {
	Told   string // empty for none
	Person string
	At     time.Time
}

// TellTrips keeps the days that people were told; empty text lets go of them.
func (s *Store) TellTrips(ctx context.Context, by, told string) error {
	err := s.Change(ctx, func(t *Tx) error {
		if err := plain(told); err != nil {
			return err
		}
		if err := t.audit(by, "trips.told", "", fmt.Sprintf("%d bytes", len(told))); err != nil {
			return err
		}
		return t.Exec(`INSERT INTO told_trips (tenant_id, told, person_id, at_ms) VALUES ($1, $2, $3, $4)
			ON CONFLICT (tenant_id) DO UPDATE SET told = excluded.told, person_id = excluded.person_id, at_ms = excluded.at_ms`, t.tenant, told, by, millis(t.now))
	})
	if err != nil {
		return fmt.Errorf("keep the days told: %w", err)
	}
	return nil
}

// TripsTold returns the days that people were told last.
func (s *Store) TripsTold(ctx context.Context) (x ToldTrips, err error) {
	var at int64
	err = found(s.read.QueryRowContext(ctx, `SELECT told, person_id, at_ms FROM told_trips WHERE tenant_id = $1`, s.tenant).Scan(&x.Told, &x.Person, &at))
	if errors.Is(err, ErrNone) {
		return ToldTrips{}, nil
	}
	x.At = moment(at)
	return x, err
}
