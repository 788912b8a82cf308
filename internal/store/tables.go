package store

import (
	"cmp"
	"context"
	"database/sql"
	"fmt"
	"slices"
	"strings"
)

// Table is one table of the data, with its columns in the order of their
// names. Tables whose rows belong to no tenant are the machinery's.
type Table struct {
	Name    string
	Columns []Column
	key     []string // columns of its primary key, in order
}

// Column is a column and what kind of value it holds.
type Column struct {
	Name string
	Kind Kind
}

// Kind is what a column holds: both databases know these three only.
type Kind string

// The kinds.
const (
	Text   Kind = "text"
	Whole  Kind = "whole"
	Number Kind = "number"
)

// Names are the names of the columns.
func (t Table) Names() (names []string) {
	for _, c := range t.Columns {
		names = append(names, c.Name)
	}
	return names
}

// passing are tables that no backup holds: who is signed in signs in again,
// tokens of programs are made anew, so that none that was withdrawn comes back
// to life, and what is computed anew.
var passing = []string{"sessions", "tokens", "half_ways", "kept_answers", "claims", "glances"}

// asker is a database or a transaction.
type asker interface {
	QueryContext(ctx context.Context, query string, args ...any) (*sql.Rows, error)
}

const (
	tablesOfSQLite = `SELECT m.name, c.name, c.type, c.pk FROM sqlite_master m JOIN pragma_table_info(m.name) c WHERE m.type = 'table'`

	tablesOfPostgres = `SELECT c.table_name, c.column_name, c.data_type, COALESCE(k.ordinal_position, 0) FROM information_schema.columns c
		LEFT JOIN information_schema.table_constraints t ON t.table_schema = c.table_schema AND t.table_name = c.table_name AND t.constraint_type = 'PRIMARY KEY'
		LEFT JOIN information_schema.key_column_usage k ON k.table_schema = t.table_schema AND k.constraint_name = t.constraint_name AND k.table_name = c.table_name AND k.column_name = c.column_name
		WHERE c.table_schema = current_schema()`
)

// tables lists the tables of tenants that hold more than what is computed anew,
// by name.
func tables(ctx context.Context, db asker, postgres bool) (all []Table, _ error) {
	type one struct {
		table, column, kind string
		key                 int
	}
	query := tablesOfSQLite
	if postgres {
		query = tablesOfPostgres
	}
	rows, err := db.QueryContext(ctx, query)
	columns, err := gathered(rows, err, func(scan scan) (o one, err error) {
		err = scan(&o.table, &o.column, &o.kind, &o.key)
		return o, err
	})
	if err != nil {
		return nil, err
	}
	slices.SortFunc(columns, func(a, b one) int {
		return cmp.Or(strings.Compare(a.table, b.table), strings.Compare(a.column, b.column))
	})
	for _, o := range columns {
		if len(all) == 0 || all[len(all)-1].Name != o.table {
			all = append(all, Table{Name: o.table})
		}
		t := &all[len(all)-1]
		t.Columns = append(t.Columns, Column{o.column, kindOf(o.kind)})
		if o.key > 0 {
			t.key = append(t.key, fmt.Sprintf("%02d %s", o.key, o.column))
		}
	}
	all = slices.DeleteFunc(all, func(t Table) bool { return !t.ofTenants() || slices.Contains(passing, t.Name) })
	for i := range all {
		if err := all[i].sound(); err != nil {
			return nil, err
		}
	}
	return all, nil
}

func (t Table) ofTenants() bool {
	return slices.ContainsFunc(t.Columns, func(c Column) bool { return c.Name == "tenant_id" })
}

// sound puts the key in order and refuses what a backup could not give back.
func (t *Table) sound() error {
	slices.Sort(t.key)
	for i, k := range t.key {
		_, t.key[i], _ = strings.Cut(k, " ")
	}
	for _, c := range t.Columns {
		if c.Kind == "" {
			return fmt.Errorf("column %s of table %s is of a kind that no backup holds", c.Name, t.Name)
		}
	}
	if len(t.key) == 0 {
		return fmt.Errorf("table %s has no primary key", t.Name)
	}
	return nil
}

func kindOf(declared string) Kind {
	switch strings.ToLower(declared) {
	case "text", "character varying":
		return Text
	case "bigint", "integer":
		return Whole
	case "double precision", "real":
		return Number
	}
	return ""
}

// all asks for every row, in an order that both databases share.
func (t Table) all(postgres bool) string {
	order := quoted(t.key)
	for i, name := range t.key {
		if postgres && slices.Contains(t.Columns, Column{name, Text}) {
			order[i] += ` COLLATE "C"`
		}
	}
	return `SELECT ` + strings.Join(quoted(t.Names()), ", ") + ` FROM "` + t.Name + `" ORDER BY ` + strings.Join(order, ", ")
}

// put adds a row.
func (t Table) put() string {
	marks := make([]string, len(t.Columns))
	for i := range marks {
		marks[i] = fmt.Sprintf("$%d", i+1)
	}
	return `INSERT INTO "` + t.Name + `" (` + strings.Join(quoted(t.Names()), ", ") + `) VALUES (` + strings.Join(marks, ", ") + `)`
}

func quoted(names []string) (out []string) {
	for _, n := range names {
		out = append(out, `"`+n+`"`)
	}
	return out
}
