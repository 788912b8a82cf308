package sitefile

import (
	"os"
	"testing"
)

func TestTheReferencePageIsTheFormat(t *testing.T) {
	const page = "../../docs/reference/site-file.md"
	want := Reference()
	if os.Getenv("UPDATE") != "" {
		if err := os.WriteFile(page, []byte(want), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	got, err := os.ReadFile(page)
	if err != nil {
		t.Fatal(err)
	}
	if string(got) != want {
		t.Errorf("%s is not what the format says: UPDATE=1 go test ./internal/sitefile", page)
	}
}
