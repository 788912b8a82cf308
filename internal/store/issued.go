package store

import (
	"context"
	"encoding/base64"
	"fmt"
	"time"
)

// Issued is a paper of a site as it was handed out. It does not change.
type Issued struct {
	Site   string
	Paper  string // its name and language: "quote", "quote-es"
	Number int64  // of the revision, from 1
	Letter string
	Day    string // ISO 8601

	Prepared, Checked, Approved string

	Change string // what changed, and why it was issued
	Input  string // short hash of what went in
	Facts  string // what it says, to tell what a later one changes
	Hash   string // SHA-256 of the file
	Person string
	At     time.Time
}

// MostIssuedBytes is the size that an issued paper may have.
const MostIssuedBytes = 24 << 20

// IssuePaper keeps the next revision of a paper with its whole file. The error
// wraps [ErrNone] when there is no such site, and [ErrConflict] when the number
// is not the next: somebody has issued one meanwhile.
func (s *Store) IssuePaper(ctx context.Context, by string, p Issued, pdf []byte) error {
	err := s.Change(ctx, func(t *Tx) error {
		if len(pdf) > MostIssuedBytes {
			return ErrFull
		}
		if err := plain(p.Paper, p.Letter, p.Day, p.Prepared, p.Checked, p.Approved, p.Change, p.Facts); err != nil {
			return err
		}
		n, err := t.changed(`INSERT INTO issued_papers (tenant_id, site_id, paper, number, letter, day, prepared, checked, approved, change_words, input, facts, hash, pdf, person_id, at_ms)
			SELECT tenant_id, id, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14, $15, $16 FROM sites WHERE tenant_id = $1 AND id = $2 AND gone_ms = 0
			AND $4 = 1 + (SELECT COUNT(*) FROM issued_papers WHERE tenant_id = $1 AND site_id = $2 AND paper = $3) ON CONFLICT DO NOTHING`,
			t.tenant, p.Site, p.Paper, p.Number, p.Letter, p.Day, p.Prepared, p.Checked, p.Approved, p.Change, p.Input, p.Facts, Hash(string(pdf)),
			base64.StdEncoding.EncodeToString(pdf), by, millis(t.now))
		if err != nil {
			return err
		}
		if n == 0 {
			var there string
			if err := found(t.row(`SELECT id FROM sites WHERE tenant_id = $1 AND id = $2 AND gone_ms = 0`, t.tenant, p.Site).Scan(&there)); err != nil {
				return err
			}
			return ErrConflict
		}
		return t.audit(by, "paper.issued", p.Site, p.Paper+" "+p.Letter)
	})
	if err != nil {
		return fmt.Errorf("issue a paper: %w", err)
	}
	return nil
}

const issuedColumns = `site_id, paper, number, letter, day, prepared, checked, approved, change_words, input, facts, hash, person_id, at_ms`

func scanIssued(scan scan) (p Issued, err error) {
	var at int64
	err = scan(&p.Site, &p.Paper, &p.Number, &p.Letter, &p.Day, &p.Prepared, &p.Checked, &p.Approved, &p.Change, &p.Input, &p.Facts, &p.Hash, &p.Person, &at)
	p.At = moment(at)
	return p, err
}

// IssuedPapers lists what was issued of a site, by paper, oldest first.
func (s *Store) IssuedPapers(ctx context.Context, site string) ([]Issued, error) {
	rows, err := s.read.QueryContext(ctx, `SELECT `+issuedColumns+` FROM issued_papers WHERE tenant_id = $1 AND site_id = $2 ORDER BY paper, number`, s.tenant, site)
	return gathered(rows, err, scanIssued)
}

// IssuedPaper is the file of one revision. The error wraps [ErrNone] when there
// is none, and [ErrReading] when it is not what was issued.
func (s *Store) IssuedPaper(ctx context.Context, site, paper, letter string) ([]byte, error) {
	var text, hash string
	err := found(s.read.QueryRowContext(ctx, `SELECT pdf, hash FROM issued_papers WHERE tenant_id = $1 AND site_id = $2 AND paper = $3 AND letter = $4`, s.tenant, site, paper, letter).Scan(&text, &hash))
	if err != nil {
		return nil, fmt.Errorf("read an issued paper: %w", err)
	}
	pdf, err := base64.StdEncoding.DecodeString(text)
	if err != nil || Hash(string(pdf)) != hash {
		return nil, fmt.Errorf("read an issued paper: %s %s of site %s: %w", paper, letter, site, ErrReading)
	}
	return pdf, nil
}
