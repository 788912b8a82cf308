package store_test

import (
	"net/url"
	"path/filepath"
	"testing"

	"rinsewright/internal/check"
	"rinsewright/internal/store/storetest"
)

func TestSQLite(t *testing.T) {
	storetest.Suite{
		Driver: "sqlite",
		Often:  check.Often,
		Fresh:  func(t testing.TB) string { return filepath.Join(t.TempDir(), "what is 100% kept?.sqlite") },
		Raw: func(address string) string {
			return "file:" + (&url.URL{Path: address}).EscapedPath() + "?_pragma=busy_timeout(5000)"
		},
	}.Run(t)
}

func TestPostgreSQL(t *testing.T) {
	server := storetest.StartPostgres(t)
	storetest.Suite{Driver: "pgx", Fresh: server.Database, Often: check.Often}.Run(t)
}
