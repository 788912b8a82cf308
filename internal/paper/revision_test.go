package paper_test

import (
	"bytes"
	"errors"
	"os"
	"strings"
	"testing"

	"rinsewright/internal/paper"
	"rinsewright/internal/paper/layout"
)

func issue(t *testing.T, r paper.Register, letter, input string) (paper.Made, []byte) {
	t.Helper()
	k, _ := paper.KindNamed("service")
	j := plainJob()
	j.Hash, j.Revisions = input, r["service"]
	draft, err := k.Make(record(t, "fennel-lane"), j)
	if err != nil {
		t.Fatal(err)
	}
	j.Issue = &paper.Revision{Letter: letter, Date: "2026-06-13", By: "A. Finch", Change: "first issue", Input: input, File: "service-" + letter + ".pdf", Facts: draft.Facts}
	made, err := k.Make(record(t, "fennel-lane"), j)
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := made.Document.PDF(&b); err != nil {
		t.Fatal(err)
	}
	r.Enter("service", *j.Issue, b.Bytes())
	return made, b.Bytes()
}

func TestAnIssuedPaperStaysAsItIs(t *testing.T) {
	r := paper.Register{}
	made, pdf := issue(t, r, r.Next("service"), "0123456789ab")
	if r.Differs("service", made.Facts) {
		t.Error("the same facts count as a change")
	}
	whole := func(string) ([]byte, error) { return pdf, nil }
	if err := r.Verify(whole); err != nil {
		t.Error(err)
	}
	for name, read := range map[string]func(string) ([]byte, error){
		"one byte else": func(string) ([]byte, error) { return append(bytes.Clone(pdf[:len(pdf)-1]), '!'), nil },
		"gone":          func(string) ([]byte, error) { return nil, os.ErrNotExist },
	} {
		if err := r.Verify(read); !errors.Is(err, paper.ErrIssued) || !strings.Contains(err.Error(), "service-A.pdf") {
			t.Errorf("%s: error %v, want one that wraps ErrIssued and names the file", name, err)
		}
	}
	text, err := r.Text()
	if err != nil {
		t.Fatal(err)
	}
	back, err := paper.ReadRegister(text)
	if err != nil || back.Next("service") != "B" || back.Verify(whole) != nil {
		t.Errorf("the register does not read back: %v", err)
	}
}

func TestLettersOfRevisions(t *testing.T) {
	r := paper.Register{}
	for _, row := range []struct {
		issued int
		want   string
	}{{0, "A"}, {1, "B"}, {25, "Z"}, {26, "AA"}, {27, "AB"}, {52, "BA"}} {
		r["quote"] = make([]paper.Revision, row.issued)
		if got := r.Next("quote"); got != row.want {
			t.Errorf("after %d issues comes %s, want %s", row.issued, got, row.want)
		}
	}
}

func TestChangesAreTold(t *testing.T) {
	was := []layout.Fact{{Section: "Price", Name: "first cost", Value: "1954 USD"}, {Section: "Parts", Name: "tank", Value: "1"}, {Section: "Parts", Name: "tank", Value: "2"}, {Name: "gone", Value: "x"}}
	is := []layout.Fact{{Section: "Price", Name: "first cost", Value: "2423 USD"}, {Section: "Parts", Name: "tank", Value: "1"}, {Section: "Parts", Name: "tank", Value: "3"}, {Name: "new", Value: "y"}}
	want := []paper.Change{{"Price", "first cost", "1954 USD", "2423 USD"}, {"Parts", "tank", "2", "3"}, {"", "new", "", "y"}, {"", "gone", "x", ""}}
	got := paper.Changes(was, is)
	if len(got) != len(want) {
		t.Fatalf("changes are %v, want %v", got, want)
	}
	for i := range want {
		if got[i] != want[i] {
			t.Errorf("change %d is %v, want %v", i+1, got[i], want[i])
		}
	}
}

func TestARevisionShowsWhatChanged(t *testing.T) {
	r := paper.Register{}
	issue(t, r, "A", "0123456789ab")
	r["service"][0].Facts[0].Value = "what it said before"
	made, _ := issue(t, r, "B", "ba9876543210")
	text := strings.Join(operations(made.Document), "\n")
	for _, want := range []string{"What changed since revision A", "what it said before", "revision B", "ba9876543210"} {
		if !strings.Contains(text, want) {
			t.Errorf("revision B does not say %q", want)
		}
	}
	if strings.Contains(text, "DRAFT") {
		t.Error("an issued paper is marked as a draft")
	}
}
