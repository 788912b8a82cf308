package check

import (
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// listener is a test that notes what it is told instead of failing.
type listener struct {
	testing.TB
	said []string
}

func (l *listener) Helper()                   {}
func (l *listener) Name() string              { return "listener" }
func (l *listener) Errorf(f string, _ ...any) { l.said = append(l.said, f) }

const exact = "published: SI Brochure, 9th edition, 2019, section 2.3.1"

func TestNearFailsWhatItShould(t *testing.T) {
	nan := math.NaN()
	for _, c := range []struct {
		name           string
		got, want, tol float64
		source         string
		fails          bool
	}{
		{"equal", 1, 1, 0, exact, false},
		{"at the tolerance", 1.5, 1, 0.5, exact, false},
		{"beyond the tolerance", 1.51, 1, 0.5, exact, true},
		{"below it", 0.49, 1, 0.5, exact, true},
		{"got not a number", nan, 1, 0.5, exact, true},
		{"wanted not a number", 1, nan, 0.5, exact, true},
		{"tolerance not a number", 1, 1, nan, exact, true},
		{"tolerance without end", 1, 1, math.Inf(1), exact, true},
		{"tolerance negative", 1, 1, -1, exact, true},
		{"no source", 1, 1, 0, "", true},
		{"source of no kind", 1, 1, 0, "a book I read", true},
		{"kind without a source", 1, 1, 0, "published: ", true},
		{"common practice", 1, 1, 0, "common practice, no source", false},
		{"from memory", 1, 1, 0, "from memory, unverified: of a lecture", false},
	} {
		t.Run(c.name, func(t *testing.T) {
			l := &listener{TB: t}
			Near(l, c.got, c.want, c.tol, c.source)
			if fails := len(l.said) != 0; fails != c.fails {
				t.Errorf("fails = %v, want %v (%q)", fails, c.fails, l.said)
			}
		})
	}
}

func TestWithinTakesAShareOfWhatIsWanted(t *testing.T) {
	type Pressure float64
	for _, c := range []struct {
		got, want Pressure
		fails     bool
	}{{101, 100, false}, {101.1, 100, true}, {-99, -100, false}, {-98.9, -100, true}} {
		l := &listener{TB: t}
		Within(l, c.got, c.want, 0.01, exact)
		if fails := len(l.said) != 0; fails != c.fails {
			t.Errorf("Within(%v, %v, 1 %%) fails = %v, want %v", c.got, c.want, fails, c.fails)
		}
	}
}

func TestComparisonsAreRecordedOnRequest(t *testing.T) {
	dir := t.TempDir()
	t.Setenv(Folder, dir)
	Near(t, 2.0, 2.0, 0, exact)
	Within(t, 3.0, 3.0, 0.1, exact)
	b, err := os.ReadFile(filepath.Join(dir, "internal-check.jsonl"))
	if err != nil {
		t.Fatal(err)
	}
	lines := strings.Split(strings.TrimSpace(string(b)), "\n")
	if len(lines) != 2 {
		t.Fatalf("recorded %d rows, want 2", len(lines))
	}
	var row Row
	if err := json.Unmarshal([]byte(lines[1]), &row); err != nil {
		t.Fatal(err)
	}
	if row.Test != t.Name() || row.Got != 3 || row.Package != "internal/check" || row.Source != exact || math.Abs(row.Tolerance-0.3) > 1e-15 {
		t.Errorf("recorded %+v", row)
	}
}

const head = "# source: a book\n# where: table 2\n# kind: published\n# unit: Pa\n"

func TestTableIsReadByColumnName(t *testing.T) {
	path := filepath.Join(t.TempDir(), "a.csv")
	if err := os.WriteFile(path, []byte(head+"# note: made up\nid,x\na, 1.5\n# left out\nb,2\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	table := Ref(t, path)
	if len(table.Rows) != 2 || table.Rows[0].Text("id") != "a" || table.Rows[0].Number("x") != 1.5 || table.Rows[1].Number("x") != 2 {
		t.Errorf("read %+v", table.Rows)
	}
	if got := table.Source(); got != "published: a book, table 2" {
		t.Errorf("source %q", got)
	}
	if table.About["unit"] != "Pa" || table.About["note"] != "made up" {
		t.Errorf("about %v", table.About)
	}
}

func TestTableWithoutItsHeadIsRefused(t *testing.T) {
	for name, text := range map[string]string{
		"no head":         "id,x\na,1\n",
		"no unit":         strings.Replace(head, "# unit: Pa\n", "", 1) + "id\na\n",
		"a kind unheard":  strings.Replace(head, "published", "computed", 1) + "id\na\n",
		"no rows":         head + "id,x\n",
		"a row too short": head + "id,x\na\n",
	} {
		if _, err := ParseTable([]byte(text)); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
}
