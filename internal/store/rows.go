package store

import (
	"database/sql"
	"errors"
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

type scan func(into ...any) error

// gathered reads every row of a query.
func gathered[T any](rows *sql.Rows, err error, one func(scan) (T, error)) (all []T, _ error) {
	if err != nil {
		return nil, fmt.Errorf("ask the store: %w", err)
	}
	defer func() { _ = rows.Close() }() // Err below tells what matters
	for rows.Next() {
		x, err := one(rows.Scan)
		if err != nil {
			return nil, fmt.Errorf("ask the store: %w", err)
		}
		all = append(all, x)
	}
	if err := rows.Err(); err != nil {
		return nil, fmt.Errorf("ask the store: %w", err)
	}
	return all, nil
}

// found turns "no rows" into ErrNone.
func found(err error) error {
	if errors.Is(err, sql.ErrNoRows) {
		return ErrNone
	}
	if err != nil {
		return fmt.Errorf("ask the store: %w", err)
	}
	return nil
}

// plain refuses text that one of the databases could not give back as it was.
func plain(texts ...string) error {
	for _, s := range texts {
		if !utf8.ValidString(s) || strings.ContainsFunc(s, func(r rune) bool { return unicode.IsControl(r) && r != '\n' && r != '\t' && r != '\r' }) {
			return ErrText
		}
	}
	return nil
}

func flag(b bool) int64 {
	if b {
		return 1
	}
	return 0
}
