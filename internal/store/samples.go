package store

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"sort"
	"time"
)

// Sample is one set of readings of one water, as a device took it. The device
// makes the id and counts its own samples, so that a sample sent twice is kept
// once.
type Sample struct {
	ID            string // UUID version 7, made where it was taken
	Site          string
	Place         string // "raw", "permeate", "polished"
	Taken         time.Time
	OffsetMinutes int64 // of the device's clock from UTC
	Received      time.Time
	Person        string
	Device        string // id of the phone or browser
	DeviceSeq     int64
	Program       string // version that took it
	Note          string
	Corrects      string // id of the sample that this one puts right
	Reason        string // why
	Readings      []Reading
}

// Reading is one number of a sample: as it was typed, and in SI. A reading
// that was skipped has no number and says why.
type Reading struct {
	Name    string // as in the site file: "strength"
	Typed   string // "290 ppm"
	SI      float64
	Unit    string // of SI, in ASCII
	Skipped string // "not measured", "sensor bad", "no access"
}

// ErrReading marks a sample that cannot be kept as it is.
var ErrReading = errors.New("not a sample")

// Receipt tells what became of one sample of a batch.
type Receipt struct {
	ID   string
	Kept bool // now or earlier
	Err  error
}

// Log keeps samples and answers each by its id. One that is there already with
// the same content is answered as kept; the same id or device number with other
// content is [ErrConflict], and held as a [Version]. Nothing that is there is
// ever changed.
func (s *Store) Log(ctx context.Context, by string, samples []Sample) ([]Receipt, error) {
	receipts := make([]Receipt, len(samples))
	answers := make([]<-chan error, len(samples))
	for i, sample := range samples {
		answers[i] = s.logOne(ctx, by, sample)
	}
	var failed error
	for i, answer := range answers {
		err := <-answer
		if errors.Is(err, ErrConflict) {
			err = errors.Join(err, s.hold(ctx, by, samples[i]))
		}
		receipts[i] = Receipt{ID: samples[i].ID, Kept: err == nil, Err: err}
		if err != nil && !refusal(err) {
			failed = err
		}
	}
	if failed != nil {
		return receipts, fmt.Errorf("log: %w", failed)
	}
	return receipts, nil
}

// refusal tells whether an error is about the sample and not about the store.
func refusal(err error) bool {
	if joined, ok := err.(interface{ Unwrap() []error }); ok { // a conflict, and what went wrong in holding it
		for _, e := range joined.Unwrap() {
			if !refusal(e) {
				return false
			}
		}
		return true
	}
	return errors.Is(err, ErrReading) || errors.Is(err, ErrConflict) || errors.Is(err, ErrNone) || errors.Is(err, ErrText)
}

func (s *Store) logOne(ctx context.Context, by string, sample Sample) <-chan error {
	sample.Person = by
	if err := sample.sound(); err != nil {
		no := make(chan error, 1)
		no <- err
		return no
	}
	hash := sample.content()
	return s.hand(ctx, func(t *Tx) error { return t.keepSample(by, sample, hash) })
}

// keepSample adds a sample where its site is and nothing has its id or its
// device's number; otherwise it finds out why not.
func (t *Tx) keepSample(by string, x Sample, hash string) error {
	kept, err := t.changed(`INSERT INTO samples (tenant_id, site_id, id, place, taken_ms, offset_min, received_ms, person_id, device_id, device_seq, program, note, corrects, reason, content_hash)
		SELECT tenant_id, id, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14, $15 FROM sites WHERE tenant_id = $1 AND id = $2 AND gone_ms = 0 ON CONFLICT DO NOTHING`,
		t.tenant, x.Site, x.ID, x.Place, millis(x.Taken), x.OffsetMinutes, millis(t.now), by, x.Device, x.DeviceSeq, x.Program, x.Note, x.Corrects, x.Reason, hash)
	if err != nil {
		return err
	}
	if kept == 0 {
		return t.notKept(x, hash)
	}
	for _, r := range x.Readings {
		if err := t.Exec(`INSERT INTO readings (tenant_id, site_id, sample_id, name, typed, si, unit, skipped) VALUES ($1, $2, $3, $4, $5, $6, $7, $8)`,
			t.tenant, x.Site, x.ID, r.Name, r.Typed, r.SI, r.Unit, r.Skipped); err != nil {
			return err
		}
	}
	if err := t.turned(x.Site); err != nil {
		return err
	}
	return t.audit(by, "sample.logged", x.ID, hash)
}

// notKept says why a sample was not added: it is there already, which is good,
// or something else is, or its site is not.
func (t *Tx) notKept(x Sample, hash string) error {
	var there string
	switch err := found(t.row(`SELECT content_hash FROM samples WHERE tenant_id = $1 AND id = $2`, t.tenant, x.ID).Scan(&there)); {
	case err == nil && there == hash:
		return nil
	case err == nil:
		return fmt.Errorf("sample %s: %w", x.ID, ErrConflict)
	case !errors.Is(err, ErrNone):
		return err
	}
	err := found(t.row(`SELECT id FROM sites WHERE tenant_id = $1 AND id = $2 AND gone_ms = 0`, t.tenant, x.Site).Scan(&there))
	if err != nil {
		return fmt.Errorf("site of sample %s: %w", x.ID, err)
	}
	return fmt.Errorf("number %d of device %s: %w", x.DeviceSeq, x.Device, ErrConflict)
}

const (
	mostReadings = 60
	mostText     = 4000
)

// sound judges what a device sent.
func (x Sample) sound() error {
	bad := func(why string) error { return fmt.Errorf("sample %.40q: %s: %w", x.ID, why, ErrReading) }
	switch {
	case !SoundID(x.ID):
		return bad("its id is no UUID version 7")
	case !SoundID(x.Device) || x.DeviceSeq < 1:
		return bad("it does not say which device took it")
	case x.Corrects != "" && (!SoundID(x.Corrects) || x.Reason == ""):
		return bad("a correction names the sample and says why")
	case x.Taken.Year() < 2000 || x.Taken.Year() > 2200:
		return bad("its time is not between the years 2000 and 2200")
	case !(-18*60 <= x.OffsetMinutes && x.OffsetMinutes <= 18*60):
		return bad("its clock is more than 18 hours from UTC")
	case len(x.Readings) == 0 && x.Note == "":
		return bad("it says nothing")
	case len(x.Readings) > mostReadings || len(x.Note) > mostText || len(x.Reason) > mostText || len(x.Place)+len(x.Program) > 200:
		return bad("it is too long")
	}
	seen := map[string]bool{}
	for _, r := range x.Readings {
		if r.Name == "" || seen[r.Name] || len(r.Name)+len(r.Typed)+len(r.Unit)+len(r.Skipped) > 400 {
			return bad("a reading without a name of its own, or too long")
		}
		seen[r.Name] = true
		if (r.Skipped == "") == (r.Typed == "") || math.IsNaN(r.SI) || math.IsInf(r.SI, 0) {
			return bad(r.Name + " has neither a number nor a reason, or both")
		}
		if err := plain(r.Name, r.Typed, r.Unit, r.Skipped); err != nil {
			return err
		}
	}
	return plain(x.Place, x.Program, x.Note, x.Reason)
}

// content is the hash of what the device said; when and by whose hand it
// arrived is not part of it.
func (x Sample) content() string {
	x.Received, x.Person, x.Taken = time.Time{}, "", moment(millis(x.Taken))
	x.Readings = append([]Reading{}, x.Readings...)
	sort.Slice(x.Readings, func(i, j int) bool { return x.Readings[i].Name < x.Readings[j].Name })
	b, err := json.Marshal(x)
	if err != nil { // sound refused what JSON cannot hold
		return ""
	}
	sum := sha256.Sum256(b)
	return hex.EncodeToString(sum[:])
}

const sampleColumns = `id, site_id, place, taken_ms, offset_min, received_ms, person_id, device_id, device_seq, program, note, corrects, reason`

func scanSample(scan scan) (x Sample, err error) {
	var taken, received int64
	err = scan(&x.ID, &x.Site, &x.Place, &taken, &x.OffsetMinutes, &received, &x.Person, &x.Device, &x.DeviceSeq, &x.Program, &x.Note, &x.Corrects, &x.Reason)
	x.Taken, x.Received = moment(taken), moment(received)
	return x, err
}

// sample is one sample with its readings.
func (s *Store) sample(ctx context.Context, site, id string) (Sample, error) {
	x, err := scanSample(s.read.QueryRowContext(ctx, `SELECT `+sampleColumns+` FROM samples WHERE tenant_id = $1 AND site_id = $2 AND id = $3`, s.tenant, site, id).Scan)
	if err := found(err); err != nil {
		return Sample{}, err
	}
	one := []Sample{x}
	err = s.readingsOf(ctx, site, one)
	return one[0], err
}

// Samples lists up to limit samples of a site, the latest first, with their
// readings. Corrected ones are there too.
func (s *Store) Samples(ctx context.Context, site string, limit int) ([]Sample, error) {
	rows, err := s.read.QueryContext(ctx, `SELECT `+sampleColumns+` FROM samples WHERE tenant_id = $1 AND site_id = $2 ORDER BY taken_ms DESC, id DESC LIMIT $3`, s.tenant, site, limit)
	samples, err := gathered(rows, err, scanSample)
	if err != nil || len(samples) == 0 {
		return nil, err
	}
	return samples, s.readingsOf(ctx, site, samples)
}

func (s *Store) readingsOf(ctx context.Context, site string, samples []Sample) error {
	type one struct {
		sample string
		Reading
	}
	oldest := samples[len(samples)-1]
	rows, err := s.read.QueryContext(ctx, `SELECT r.sample_id, r.name, r.typed, r.si, r.unit, r.skipped FROM readings r
		JOIN samples s ON s.tenant_id = r.tenant_id AND s.site_id = r.site_id AND s.id = r.sample_id
		WHERE r.tenant_id = $1 AND r.site_id = $2 AND s.taken_ms >= $3 ORDER BY r.sample_id, r.name`, s.tenant, site, millis(oldest.Taken))
	all, err := gathered(rows, err, func(scan scan) (r one, err error) {
		err = scan(&r.sample, &r.Name, &r.Typed, &r.SI, &r.Unit, &r.Skipped)
		return r, err
	})
	if err != nil {
		return err
	}
	at := map[string]int{}
	for i, x := range samples {
		at[x.ID] = i
	}
	for _, r := range all {
		if i, ok := at[r.sample]; ok {
			samples[i].Readings = append(samples[i].Readings, r.Reading)
		}
	}
	return nil
}

// Last returns the latest reading of each name at a place of a site that was
// not skipped, by name.
func (s *Store) Last(ctx context.Context, site, place string) (map[string]Reading, error) {
	samples, err := s.Samples(ctx, site, 200)
	if err != nil {
		return nil, err
	}
	corrected := map[string]bool{}
	for _, x := range samples {
		corrected[x.Corrects] = true
	}
	last := map[string]Reading{}
	for _, x := range samples {
		if x.Place != place || corrected[x.ID] {
			continue
		}
		for _, r := range x.Readings {
			if _, later := last[r.Name]; !later && r.Skipped == "" {
				last[r.Name] = r
			}
		}
	}
	return last, nil
}
