package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"github.com/pressly/goose/v3"
)

// OnDisk opens SQLite through a disk of storetest/disk, with pragmas of its own.
func OnDisk(disk string, pragmas ...string) Options {
	return Options{Disk: disk, pragmas: slices.Clone(pragmas)}
}

// Newest is the version of the data that this program writes.
func Newest() int64 {
	p, err := connection{dialect: goose.DialectSQLite3, write: &sql.DB{}}.steps()
	if err != nil {
		panic(err)
	}
	return newest(p)
}

// AsOf writes the data of a store as SQL in the tables of an earlier version.
func AsOf(ctx context.Context, version int64, from *Store, dir string) (text string, err error) {
	c, err := connect(ctx, filepath.Join(dir, fmt.Sprint("as-of-", version)), Options{})
	if err != nil {
		return "", err
	}
	defer func() { err = errors.Join(err, c.close()) }()
	p, err := c.steps()
	if err != nil {
		return "", err
	}
	if _, err := p.UpTo(ctx, version); err != nil {
		return "", err
	}
	var b strings.Builder
	rows, err := c.write.QueryContext(ctx, `SELECT sql FROM sqlite_master WHERE sql IS NOT NULL AND name NOT LIKE 'goose%' AND name NOT LIKE 'sqlite%' ORDER BY rowid`)
	made, err := gathered(rows, err, func(scan scan) (s string, err error) { err = scan(&s); return s, err })
	if err != nil {
		return "", err
	}
	for _, s := range made {
		b.WriteString(s + ";\n")
	}
	old, err := tables(ctx, c.write, false)
	if err != nil {
		return "", err
	}
	err = from.AtOneMoment(ctx, func(m *Moment) error {
		for _, t := range m.Tables {
			i := slices.IndexFunc(old, func(o Table) bool { return o.Name == t.Name })
			if i < 0 {
				continue
			}
			if err := m.Rows(ctx, t, func(values []any) error {
				b.WriteString(insertAsOf(old[i], t, values))
				return nil
			}); err != nil {
				return err
			}
		}
		return nil
	})
	return b.String(), err
}

// insertAsOf is a row of a table of today in the table as it was: columns that
// have gone since are empty.
func insertAsOf(old, now Table, values []any) string {
	var out []string
	for _, c := range old.Columns {
		text := map[Kind]string{Text: "''", Whole: "0", Number: "0"}[c.Kind]
		if i := slices.Index(now.Names(), c.Name); i >= 0 {
			text = fmt.Sprint(values[i])
			if c.Kind == Text {
				text = "'" + strings.ReplaceAll(text, "'", "''") + "'"
			}
		}
		out = append(out, text)
	}
	return "INSERT INTO " + old.Name + " (" + strings.Join(old.Names(), ", ") + ") VALUES (" + strings.Join(out, ", ") + ");\n"
}
