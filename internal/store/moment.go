package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
)

// Moment is all of the data as it was at one moment, whatever is changed while
// it is read.
type Moment struct {
	tx       *sql.Tx
	postgres bool
	Version  int64 // of the data: the last step that brought its tables here
	Tables   []Table
}

// AtOneMoment lets look read all of the data as it is now. Changes go on.
func (s *Store) AtOneMoment(ctx context.Context, look func(*Moment) error) error {
	o := &sql.TxOptions{ReadOnly: true}
	if s.postgres {
		o.Isolation = sql.LevelRepeatableRead
	}
	tx, err := s.read.BeginTx(ctx, o)
	if err != nil {
		return fmt.Errorf("read all of the data: %w", err)
	}
	m := &Moment{tx: tx, postgres: s.postgres}
	// The first question fixes the moment.
	err = tx.QueryRowContext(ctx, `SELECT MAX(version_id) FROM goose_db_version`).Scan(&m.Version)
	if err == nil {
		m.Tables, err = tables(ctx, tx, s.postgres)
	}
	if err == nil {
		err = look(m)
	}
	if err = errors.Join(err, tx.Rollback()); err != nil {
		return fmt.Errorf("read all of the data: %w", err)
	}
	return nil
}

// Rows hands out each row of a table, in the order of its key, its values in
// the order of the table's columns. The slice is used again for the next row.
func (m *Moment) Rows(ctx context.Context, t Table, each func(values []any) error) (err error) {
	rows, err := m.tx.QueryContext(ctx, t.all(m.postgres))
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, rows.Close()) }()
	values, into := make([]any, len(t.Columns)), make([]any, len(t.Columns))
	for i := range values {
		into[i] = &values[i]
	}
	for rows.Next() {
		if err := rows.Scan(into...); err != nil {
			return err
		}
		if err := each(values); err != nil {
			return err
		}
	}
	return rows.Err()
}
