package store

import (
	"context"
	"crypto/rand"
	"encoding/base64"
	"fmt"
	"slices"
	"strings"
	"time"
)

// Scope is one thing that a token lets a program do.
type Scope string

// The scopes. None gives more than the role of the person who made the token.
const (
	ReadScope  Scope = "read"  // look at everything a reader sees
	LogScope   Scope = "log"   // add samples
	WriteScope Scope = "write" // change sites, parts and prices
	OwnScope   Scope = "own"   // what an owner may

	// CalendarScope reads the calendar of trips at an address of its own, and nothing
	// else; no page offers it among the others.
	CalendarScope Scope = "calendar"
)

// Scopes lists them in the order a page offers them.
var Scopes = []Scope{ReadScope, LogScope, WriteScope, OwnScope}

// Token lets a program ask in a person's name until it expires. The token itself
// is kept nowhere.
type Token struct {
	ID      string
	Hash    string // of the token, by the caller
	Name    string // what it is for
	Scopes  []Scope
	Person  string // who made it: their role bounds it
	Created time.Time
	Expires time.Time
	Used    time.Time // zero for never
	Gone    bool
}

// May tells whether the token has a scope.
func (t Token) May(s Scope) bool { return slices.Contains(t.Scopes, s) }

// longestToken is how long a token may last, in days.
const longestToken = 366

// WantToken is a token as somebody wants it; wrong says by field why it cannot
// be had.
func WantToken(name string, scopes []string, days int, now time.Time) (t Token, wrong map[string]string) {
	wrong = map[string]string{}
	t.Name = strings.Join(strings.Fields(name), " ")
	if t.Name == "" || len(t.Name) > 100 {
		wrong["name"] = "Say in at most 100 letters what it is for."
	}
	for _, s := range Scopes {
		if slices.Contains(scopes, string(s)) {
			t.Scopes = append(t.Scopes, s)
		}
	}
	if len(t.Scopes) == 0 || len(t.Scopes) != len(scopes) {
		wrong["scopes"] = "Choose at least one of " + strings.ReplaceAll(joinScopes(Scopes), " ", ", ") + ", each once."
	}
	if days < 1 || days > longestToken {
		wrong["days"] = fmt.Sprintf("It may last 1 to %d days.", longestToken)
	}
	t.Expires = now.Add(time.Duration(days) * 24 * time.Hour)
	return t, wrong
}

// Secret gives the token a text, which is to be shown once, and keeps its hash.
func (t *Token) Secret() string {
	var secret [32]byte
	_, _ = rand.Read(secret[:]) // never fails, by the promise of crypto/rand
	text := "rinse_" + base64.RawURLEncoding.EncodeToString(secret[:])
	t.Hash = Hash(text)
	return text
}

// AddToken keeps a token for the person by.
func (s *Store) AddToken(ctx context.Context, by string, x Token) (Token, error) {
	x.ID, x.Person, x.Created = NewID(s.now()), by, moment(millis(s.now()))
	err := s.Change(ctx, func(t *Tx) error {
		if err := plain(x.Name); err != nil {
			return err
		}
		if err := t.audit(by, "token.made", x.ID, x.Name+", "+joinScopes(x.Scopes)+", until "+x.Expires.UTC().Format(time.RFC3339)); err != nil {
			return err
		}
		return t.Exec(`INSERT INTO tokens (tenant_id, id, token_hash, name, scopes, person_id, created_ms, expires_ms, used_ms, gone_ms) VALUES ($1, $2, $3, $4, $5, $6, $7, $8, 0, 0)`,
			t.tenant, x.ID, x.Hash, x.Name, joinScopes(x.Scopes), by, millis(x.Created), millis(x.Expires))
	})
	if err != nil {
		return Token{}, fmt.Errorf("add token %s: %w", x.Name, err)
	}
	return x, nil
}

func joinScopes(scopes []Scope) string {
	words := make([]string, len(scopes))
	for i, s := range scopes {
		words[i] = string(s)
	}
	return strings.Join(words, " ")
}

const tokenColumns = `k.id, k.token_hash, k.name, k.scopes, k.person_id, k.created_ms, k.expires_ms, k.used_ms, k.gone_ms`

func scanToken(scan scan, more ...any) (x Token, err error) {
	var scopes string
	var created, expires, used, gone int64
	err = scan(append([]any{&x.ID, &x.Hash, &x.Name, &scopes, &x.Person, &created, &expires, &used, &gone}, more...)...)
	for _, word := range strings.Fields(scopes) {
		x.Scopes = append(x.Scopes, Scope(word))
	}
	x.Created, x.Expires, x.Gone = moment(created), moment(expires), gone > 0
	if used > 0 {
		x.Used = moment(used)
	}
	return x, err
}

// Tokens lists every token, the ended as well, the latest first.
func (s *Store) Tokens(ctx context.Context) ([]Token, error) {
	rows, err := s.read.QueryContext(ctx, `SELECT `+tokenColumns+` FROM tokens k WHERE k.tenant_id = $1 ORDER BY k.id DESC`, s.tenant)
	return gathered(rows, err, func(scan scan) (Token, error) { return scanToken(scan) })
}

// TokenByHash returns a token that was not ended, and the person in whose name it
// asks. The error wraps [ErrNone] when there is none or the person is gone. A
// token past its time is returned: who asks says so.
func (s *Store) TokenByHash(ctx context.Context, hash string) (Token, Person, error) {
	var p Person
	var joined, left int64
	x, err := scanToken(s.read.QueryRowContext(ctx, `SELECT `+tokenColumns+`, p.id, p.login, p.name, p.role, p.created_ms, p.gone_ms, p.units, p.decimal_mark, p.language
		FROM tokens k JOIN people p ON p.tenant_id = k.tenant_id AND p.id = k.person_id
		WHERE k.tenant_id = $1 AND k.token_hash = $2 AND k.gone_ms = 0 AND p.gone_ms = 0`, s.tenant, hash).Scan,
		&p.ID, &p.Login, &p.Name, &p.Role, &joined, &left, &p.Units, &p.Decimal, &p.Language)
	p.Created = moment(joined)
	return x, p, found(err)
}

// UsedToken keeps that a token was used.
func (s *Store) UsedToken(ctx context.Context, id string) error {
	err := s.Change(ctx, func(t *Tx) error {
		return t.Exec(`UPDATE tokens SET used_ms = $3 WHERE tenant_id = $1 AND id = $2`, t.tenant, id, millis(t.now))
	})
	if err != nil {
		return fmt.Errorf("keep that a token was used: %w", err)
	}
	return nil
}

// EndToken ends a token. The error wraps [ErrNone] when there is none that lasts.
func (s *Store) EndToken(ctx context.Context, by, id string) error {
	err := s.Change(ctx, func(t *Tx) error {
		if err := t.audit(by, "token.ended", id, ""); err != nil {
			return err
		}
		n, err := t.changed(`UPDATE tokens SET gone_ms = $3 WHERE tenant_id = $1 AND id = $2 AND gone_ms = 0`, t.tenant, id, millis(t.now))
		if err == nil && n == 0 {
			return ErrNone
		}
		return err
	})
	if err != nil {
		return fmt.Errorf("end a token: %w", err)
	}
	return nil
}
