package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"slices"
)

// ErrNotEmpty marks a place where data already is.
var ErrNotEmpty = errors.New("there is data already")

// Filling is an empty database that is being filled.
type Filling struct {
	ctx    context.Context
	tx     *sql.Tx
	ready  map[string]*sql.Stmt
	tables []Table
}

// Fill makes the tables of data of a version at an address where there is none
// and lets fill put rows in, all of them or none. The error wraps [ErrNotEmpty]
// when there is something and [ErrNewer] when this program does not know the
// version.
func Fill(ctx context.Context, address string, version int64, fill func(*Filling) error) error {
	opened, err := connect(ctx, address, Options{})
	if err != nil {
		return fmt.Errorf("open an empty database: %w", err)
	}
	err = opened.fill(ctx, isPostgres(address), version, fill)
	if err = errors.Join(err, opened.close()); err != nil {
		return fmt.Errorf("fill a database: %w", err)
	}
	return nil
}

func (c connection) fill(ctx context.Context, postgres bool, version int64, fill func(*Filling) error) error {
	p, err := c.steps()
	if err != nil {
		return err
	}
	if to := newest(p); version > to {
		return newer(version, to)
	}
	there, err := tables(ctx, c.write, postgres)
	if err != nil {
		return err
	}
	if len(there) > 0 {
		return ErrNotEmpty
	}
	if _, err := p.UpTo(ctx, version); err != nil {
		return err
	}
	f := &Filling{ctx: ctx, ready: map[string]*sql.Stmt{}}
	if f.tables, err = tables(ctx, c.write, postgres); err != nil {
		return err
	}
	if f.tx, err = c.write.BeginTx(ctx, nil); err != nil {
		return err
	}
	if err := fill(f); err != nil {
		return errors.Join(err, f.tx.Rollback())
	}
	return f.tx.Commit()
}

// Table returns the table of a name when it has these columns and no others.
func (f *Filling) Table(name string, columns []string) (Table, error) {
	for _, t := range f.tables {
		if t.Name == name && slices.Equal(t.Names(), columns) {
			return t, nil
		}
	}
	return Table{}, fmt.Errorf("table %.60q with columns %.400q: %w", name, columns, ErrNone)
}

// Put adds a row, its values in the order of the table's columns: string,
// int64 or float64 as their kinds ask.
func (f *Filling) Put(t Table, values []any) error {
	s := f.ready[t.Name]
	if s == nil {
		var err error
		if s, err = f.tx.PrepareContext(f.ctx, t.put()); err != nil {
			return err
		}
		f.ready[t.Name] = s
	}
	_, err := s.ExecContext(f.ctx, values...)
	return err
}
