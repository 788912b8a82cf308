package store

import (
	"context"
	"fmt"
	"strings"
	"time"
)

// Role is what a person may do.
type Role string

// The roles: an owner may do everything, a tech may change sites and log
// readings, a reader may look.
const (
	Owner  Role = "owner"
	Tech   Role = "tech"
	Reader Role = "read-only"
)

// Roles lists them in the order a page offers them.
var Roles = []Role{Owner, Tech, Reader}

// Person is someone who may sign in.
type Person struct {
	ID       string
	Login    string // lower case
	Name     string
	Role     Role
	Password string // hashed by the caller
	Created  time.Time
	Gone     bool
	Units    string // "us" or "si"; empty is as everyone reads
	Decimal  string // "point" or "comma"; empty is as everyone writes
	Language string // "en" or "es"; empty is as everyone reads
}

// AddFirst adds the first person, an owner. The error wraps [ErrTaken] when
// there is one already, however many ask at once.
func (s *Store) AddFirst(ctx context.Context, p Person) (Person, error) {
	p.Role = Owner
	return s.addPerson(ctx, "", p, func(t *Tx) error {
		var n int64
		if err := t.row(`SELECT COUNT(*) FROM people WHERE tenant_id = $1`, t.tenant).Scan(&n); err != nil {
			return err
		}
		if n > 0 {
			return ErrTaken
		}
		return nil
	})
}

// AddPerson adds a person. The error wraps [ErrTaken] when the login is used.
func (s *Store) AddPerson(ctx context.Context, by string, p Person) (Person, error) {
	return s.addPerson(ctx, by, p, func(*Tx) error { return nil })
}

func (s *Store) addPerson(ctx context.Context, by string, p Person, may func(*Tx) error) (Person, error) {
	p.Login = strings.ToLower(strings.TrimSpace(p.Login))
	p.ID, p.Created = NewID(s.now()), moment(millis(s.now()))
	err := s.Change(ctx, func(t *Tx) error {
		if err := plain(p.Login, p.Name); err != nil {
			return err
		}
		// Locks the audit first, so that two processes cannot both find no one.
		if err := t.audit(or(by, p.ID), "person.added", p.ID, p.Login+", "+string(p.Role)); err != nil {
			return err
		}
		if err := may(t); err != nil {
			return err
		}
		n, err := t.changed(`INSERT INTO people (tenant_id, id, login, name, role, password, created_ms, gone_ms) VALUES ($1, $2, $3, $4, $5, $6, $7, 0)
			ON CONFLICT (tenant_id, login) DO NOTHING`, t.tenant, p.ID, p.Login, p.Name, string(p.Role), p.Password, millis(p.Created))
		if err == nil && n == 0 {
			return ErrTaken
		}
		return err
	})
	if err != nil {
		return Person{}, fmt.Errorf("add person %s: %w", p.Login, err)
	}
	return p, nil
}

func or(a, b string) string {
	if a != "" {
		return a
	}
	return b
}

const personColumns = `id, login, name, role, password, created_ms, gone_ms, units, decimal_mark, language`

func scanPerson(scan scan) (p Person, err error) {
	var created, gone int64
	err = scan(&p.ID, &p.Login, &p.Name, &p.Role, &p.Password, &created, &gone, &p.Units, &p.Decimal, &p.Language)
	p.Created, p.Gone = moment(created), gone > 0
	return p, err
}

// People lists everyone, the gone as well, in the order they came.
func (s *Store) People(ctx context.Context) ([]Person, error) {
	rows, err := s.read.QueryContext(ctx, `SELECT `+personColumns+` FROM people WHERE tenant_id = $1 ORDER BY id`, s.tenant)
	return gathered(rows, err, scanPerson)
}

// PersonByLogin returns someone who may sign in.
func (s *Store) PersonByLogin(ctx context.Context, login string) (Person, error) {
	p, err := scanPerson(s.read.QueryRowContext(ctx, `SELECT `+personColumns+` FROM people WHERE tenant_id = $1 AND login = $2 AND gone_ms = 0`,
		s.tenant, strings.ToLower(strings.TrimSpace(login))).Scan)
	return p, found(err)
}

// ChangePerson sets role, gone and, when it is not empty, the password. The
// last owner stays an owner: the error wraps [ErrConflict].
func (s *Store) ChangePerson(ctx context.Context, by string, p Person) error {
	err := s.Change(ctx, func(t *Tx) error {
		gone := int64(0)
		if p.Gone {
			gone = millis(t.now)
		}
		if err := t.audit(by, "person.changed", p.ID, fmt.Sprintf("%s, gone %v, new password %v", p.Role, p.Gone, p.Password != "")); err != nil {
			return err
		}
		n, err := t.changed(`UPDATE people SET role = $3, gone_ms = $4 WHERE tenant_id = $1 AND id = $2`, t.tenant, p.ID, string(p.Role), gone)
		if err != nil {
			return err
		}
		if n == 0 {
			return ErrNone
		}
		if p.Password != "" {
			if err := t.Exec(`UPDATE people SET password = $3 WHERE tenant_id = $1 AND id = $2`, t.tenant, p.ID, p.Password); err != nil {
				return err
			}
		}
		var owners int64
		if err := t.row(`SELECT COUNT(*) FROM people WHERE tenant_id = $1 AND role = 'owner' AND gone_ms = 0`, t.tenant).Scan(&owners); err != nil {
			return err
		}
		if owners == 0 {
			return ErrConflict
		}
		// Whoever was signed in with the old password or role signs in again.
		return t.Exec(`DELETE FROM sessions WHERE tenant_id = $1 AND person_id = $2`, t.tenant, p.ID)
	})
	if err != nil {
		return fmt.Errorf("change person %s: %w", p.ID, err)
	}
	return nil
}

// Reads sets how a person reads: units, decimals and language.
func (s *Store) Reads(ctx context.Context, person, units, decimal, language string) error {
	err := s.Change(ctx, func(t *Tx) error {
		if err := t.audit(person, "person.reads", person, strings.TrimSpace(units+" "+decimal+" "+language)); err != nil {
			return err
		}
		n, err := t.changed(`UPDATE people SET units = $3, decimal_mark = $4, language = $5 WHERE tenant_id = $1 AND id = $2`, t.tenant, person, units, decimal, language)
		if err == nil && n == 0 {
			return ErrNone
		}
		return err
	})
	if err != nil {
		return fmt.Errorf("keep how %s reads: %w", person, err)
	}
	return nil
}
