package check

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func TestComparisonsKnowTheColumnTheyWereReadFrom(t *testing.T) {
	dir := t.TempDir()
	t.Setenv(Folder, dir)
	table := filepath.Join(dir, "a.csv")
	if err := os.WriteFile(table, []byte("# source: a book\n# where: table 2\n# kind: published\n# unit: Pa\nid,x\na,1.5\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	ref := Ref(t, table)
	Near(t, 1.5, ref.Rows[0].Number("x"), 0.1, ref.Source())
	Near(t, 2.5, 2.5, 0.1, ref.Source())
	found, err := filepath.Glob(filepath.Join(dir, "*.jsonl"))
	if err != nil || len(found) != 1 {
		t.Fatalf("recorded %v, %v", found, err)
	}
	b, err := os.ReadFile(found[0])
	if err != nil {
		t.Fatal(err)
	}
	lines := strings.Split(strings.TrimSpace(string(b)), "\n")
	if len(lines) != 2 || !strings.Contains(lines[0], `"column":"x"`) || strings.Contains(lines[1], "column") {
		t.Errorf("recorded %q", lines)
	}
}
