package store_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// foreign are features that SQLite, PostgreSQL and the databases that speak its
// language across machines do not all have, each with why it stays out.
var foreign = map[string]*regexp.Regexp{
	"a counter of the database, which machines would have to share": regexp.MustCompile(`(?i)\b(BIG|SMALL)?SERIAL\b|\bSEQUENCE\b|\bAUTOINCREMENT\b|\bGENERATED\b|\bNEXTVAL\b`),
	"a cast that PostgreSQL alone writes so":                        regexp.MustCompile(`::`),
	"a lock that one machine holds":                                 regexp.MustCompile(`(?i)\bLOCK\s+TABLE\b|ADVISORY|\bFOR\s+(UPDATE|SHARE)\b|\bSKIP\s+LOCKED\b`),
	"a message between sessions":                                    regexp.MustCompile(`(?i)\b(LISTEN|NOTIFY)\b`),
	"code in the database":                                          regexp.MustCompile(`(?i)\b(TRIGGER|FUNCTION|PROCEDURE|RULE)\b`),
	"types that one of them lacks":                                  regexp.MustCompile(`(?i)\bJSONB?\b|\bARRAY\b|\[\]|\bUUID\b|\bTIMESTAMPTZ?\b|\bBOOLEAN\b|\bENUM\b|\bINET\b|\bBYTEA\b|\bBLOB\b`),
	"an operator that one of them lacks":                            regexp.MustCompile(`->|@>|\bILIKE\b|~\*|\bGLOB\b|\bREGEXP\b|\bSIMILAR\b`),
	"a constraint that some of them lack":                           regexp.MustCompile(`(?i)\bDEFERRABLE\b|\bEXCLUDE\b|\bINHERITS\b|\bCHECK\s*\(`),
	"a clock of the database, where ours is handed in":              regexp.MustCompile(`(?i)\bNOW\(\)|\bCURRENT_(TIME|DATE|TIMESTAMP)\b|STRFTIME|DATE_TRUNC`),
	"a parameter without a number":                                  regexp.MustCompile(`\?\s*[,)]|=\s*\?`),
	"an upsert that SQLite alone writes so":                         regexp.MustCompile(`(?i)\bINSERT\s+OR\b|\bREPLACE\s+INTO\b`),
	"hidden numbers of rows":                                        regexp.MustCompile(`(?i)\bROWID\b|\bCTID\b|\bOID\b`),
}

// statement is how a statement begins.
var statement = regexp.MustCompile(`(?i)^\s*(SELECT|INSERT|UPDATE|DELETE|CREATE|ALTER|DROP|WITH|REPLACE|LOCK|LISTEN|NOTIFY)\s`)

// Every statement of ours keeps to what all those databases understand.
func TestTheStatementsKeepToTheSharedSubset(t *testing.T) {
	looked := 0
	for where, text := range statements(t) {
		looked++
		for why, words := range foreign {
			if bad := words.FindString(text); bad != "" {
				t.Errorf("%s: %q is %s\n%s", where, bad, why, text)
			}
		}
	}
	if looked < 60 {
		t.Errorf("only %d statements were found", looked)
	}
	for _, planted := range []string{`SELECT id::text FROM sites`, `CREATE TABLE x (id BIGSERIAL)`, `SELECT pg_advisory_lock(1)`, `UPDATE sites SET name = ?`, `SELECT data->>'x' FROM y`, `INSERT OR IGNORE INTO sites`} {
		seen := false
		for _, words := range foreign {
			seen = seen || words.MatchString(planted)
		}
		if !seen {
			t.Errorf("control: %s went unseen", planted)
		}
	}
}

// statements are those in the code and the steps of the tables, by where they
// stand.
func statements(t *testing.T) map[string]string {
	t.Helper()
	all := map[string]string{}
	files := token.NewFileSet()
	err := filepath.WalkDir(".", func(path string, d fs.DirEntry, err error) error {
		name := d.Name()
		switch {
		case err != nil:
			return err
		case d.IsDir() && name == "storetest":
			return fs.SkipDir
		case strings.HasSuffix(name, ".sql"):
			text, err := os.ReadFile(path)
			all[path] = regexp.MustCompile(`(?m)^--.*$`).ReplaceAllString(string(text), "")
			return err
		case !strings.HasSuffix(name, ".go") || strings.HasSuffix(name, "_test.go"):
			return nil
		}
		parsed, err := parser.ParseFile(files, path, nil, 0)
		if err != nil {
			return err
		}
		ast.Inspect(parsed, func(n ast.Node) bool {
			if lit, ok := n.(*ast.BasicLit); ok && lit.Kind == token.STRING {
				if text, err := strconv.Unquote(lit.Value); err == nil && statement.MatchString(text) {
					all[files.Position(lit.Pos()).String()] = text
				}
			}
			return true
		})
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return all
}

// The tenant stands first in every key and index, so that rows of one tenant
// lie together and can be put on a machine of their own.
func TestTheTenantStandsFirstInEveryKey(t *testing.T) {
	keys := regexp.MustCompile(`(?i)(PRIMARY KEY|UNIQUE|INDEX [a-z_]+ ON [a-z_]+)\s*\(([a-z_]+)`)
	tables := regexp.MustCompile(`(?is)CREATE TABLE (\w+) \((.*?)\n\);`)
	found := 0
	for where, text := range statements(t) {
		if !strings.HasSuffix(where, ".sql") {
			continue
		}
		for _, k := range keys.FindAllStringSubmatch(text, -1) {
			if found++; k[2] != "tenant_id" {
				t.Errorf("%s: %s begins with %s", where, k[1], k[2])
			}
		}
		for _, table := range tables.FindAllStringSubmatch(text, -1) {
			if !strings.Contains(table[2], "PRIMARY KEY (tenant_id") {
				t.Errorf("%s: table %s has no key that begins with the tenant", where, table[1])
			}
			for _, line := range strings.Split(strings.TrimSpace(table[2]), "\n") {
				if word := strings.Fields(line)[0]; word != "PRIMARY" && word != "UNIQUE" && !strings.Contains(line, "NOT NULL") {
					t.Errorf("%s: %s of table %s may be NULL", where, word, table[1])
				}
			}
		}
	}
	if found < 20 {
		t.Errorf("only %d keys were found", found)
	}
}
