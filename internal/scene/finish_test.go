package scene

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

func printedBytes(t *testing.T, shapes ...Shape) []byte {
	t.Helper()
	d := plainSheet(shapes...)
	d.Sheets = append(d.Sheets, d.Sheets[0]) // a second place for the hash
	var b bytes.Buffer
	if err := d.PDF(&b); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// A document prints its own hash, and whoever changes one byte of it, wherever,
// breaks it.
func TestADocumentPrintsItsOwnHash(t *testing.T) {
	pdf := printedBytes(t,
		Text{X: 50, Y: 50, Size: 10, Tone: Ink, Content: "Ċ endstream endobj (xref) 19.5 µS/cm"}, Text{X: 50, Y: 80, Size: 7, Tone: Muted, Content: HashPlace},
		Text{X: 300, Y: 300, Size: 90, Tone: Fill, Turn: 54, Anchor: Middle, Content: "DRAFT"},
	)
	printed, holds := Hashed(pdf)
	if len(printed) != 64 || printed == HashPlace || !holds {
		t.Fatalf("it prints %q, which holds: %v", printed, holds)
	}
	for at := 0; at < len(pdf); at += 97 {
		other := bytes.Clone(pdf)
		other[at] ^= 1
		if _, holds := Hashed(other); holds {
			t.Fatalf("byte %d of %d was changed, and the hash holds", at, len(pdf))
		}
	}
	if _, holds := Hashed(append(bytes.Clone(pdf), '\n')); holds {
		t.Error("something was added, and the hash holds")
	}
	file := filepath.Join(t.TempDir(), "one.pdf")
	if err := os.WriteFile(file, pdf, 0o600); err != nil {
		t.Fatal(err)
	}
	for _, reader := range [][]string{{"pdftotext", file, "-"}, {"mutool", "draw", "-q", "-N", "-F", "txt", "-o", "-", file}} {
		c := exec.Command(reader[0], reader[1:]...)
		var out, complaint bytes.Buffer
		c.Stdout, c.Stderr = &out, &complaint
		if err := c.Run(); err != nil || complaint.Len() > 0 {
			t.Fatalf("%s: %v %s (tools/needs.sh papers installs it)", reader[0], err, complaint.String())
		}
		if n := strings.Count(out.String(), printed); n != 2 {
			t.Errorf("%s reads the hash %d times, want once a page", reader[0], n)
		}
		if !strings.Contains(out.String(), "Ċ endstream endobj (xref) 19.5 µS/cm") {
			t.Errorf("%s reads %q", reader[0], out.String())
		}
	}
}

func TestADocumentWithoutAPlaceHasNoHash(t *testing.T) {
	if printed, holds := Hashed(printedBytes(t, Text{X: 50, Y: 50, Size: 10, Tone: Ink, Content: "plain"})); printed != "" || holds {
		t.Errorf("it prints %q, which holds: %v", printed, holds)
	}
}
