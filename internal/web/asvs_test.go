package web

import (
	"bytes"
	"cmp"
	"encoding/csv"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// demand is one requirement of the standard, and what shows that it is met.
type demand struct {
	number string
	level  int
	state  string // met, not met, not here
	gist   string
	tests  []string
	says   string
}

const (
	demandsFile  = "testdata/ref/asvs.csv"
	securityPage = "../../docs/reference/security.md"
	byHand       = "## What the rows rely on\n"
)

func (d demand) chapter() int {
	word, _, _ := strings.Cut(d.number, ".")
	n, _ := strconv.Atoi(word) // what is no number is no chapter
	return n
}

func demands(t *testing.T) (all []demand) {
	t.Helper()
	text, err := os.ReadFile(demandsFile)
	if err != nil {
		t.Fatal(err)
	}
	r := csv.NewReader(bytes.NewReader(text))
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for _, row := range rows[1:] {
		level, err := strconv.Atoi(row[1])
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, demand{row[0], level, row[2], row[3], strings.Fields(row[4]), row[5]})
	}
	return all
}

// testsOf are the names of all tests of the program.
func testsOf(t *testing.T, root string) map[string]bool {
	t.Helper()
	names := map[string]bool{}
	begins := regexp.MustCompile(`(?m)^func ((?:Test|Fuzz)\w+)\(`)
	err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(path, "_test.go") {
			return err
		}
		text, err := os.ReadFile(path)
		for _, m := range begins.FindAllSubmatch(text, -1) {
			names[string(m[1])] = true
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return names
}

// wrongRow says what a row lacks.
func wrongRow(d demand, known map[string]bool) string {
	switch {
	case !slices.Contains([]string{"met", "not met", "not here"}, d.state):
		return "the state " + strconv.Quote(d.state) + " is none"
	case d.gist == "":
		return "nothing says what is asked"
	case d.says == "" && (d.state != "met" || len(d.tests) == 0):
		return "nothing says why"
	}
	for _, name := range d.tests {
		if !known[name] {
			return "there is no test " + name
		}
	}
	return ""
}

// published: OWASP ASVS 5.0.0: so many requirements of level 1 and of level 2 are
// in each of its chapters.
var demanded = map[int][2]int{1: {8, 19}, 2: {4, 7}, 3: {8, 11}, 4: {2, 8}, 5: {4, 5}, 6: {13, 22}, 7: {6, 12}, 8: {4, 3}, 9: {4, 3}, 10: {5, 24}, 11: {3, 11}, 12: {3, 6}, 13: {1, 12}, 14: {2, 7}, 15: {3, 10}, 16: {0, 16}, 17: {0, 7}}

// Every requirement of the standard's levels 1 and 2 has a test that exists, or a
// sentence; and each that is not met says so and why.
func TestEveryDemandOfTheStandardHasEvidence(t *testing.T) {
	known := testsOf(t, "../..")
	counts, seen := map[int][2]int{}, map[string]bool{}
	for _, d := range demands(t) {
		if wrong := wrongRow(d, known); wrong != "" {
			t.Errorf("%s: %s", d.number, wrong)
		}
		if seen[d.number] {
			t.Errorf("%s stands there twice", d.number)
		}
		seen[d.number] = true
		if d.level <= 2 {
			c := counts[d.chapter()]
			c[d.level-1]++
			counts[d.chapter()] = c
		}
	}
	for chapter, want := range demanded {
		if counts[chapter] != want {
			t.Errorf("chapter %d has %v rows, want %v", chapter, counts[chapter], want)
		}
	}
	for _, bad := range []demand{{state: "unknown", gist: "x", says: "x"}, {state: "met", gist: "x"}, {state: "not met", gist: "x", tests: []string{"TestLoopback"}}, {state: "met", gist: "x", tests: []string{"TestNobodyWroteThis"}}} {
		if wrongRow(bad, known) == "" {
			t.Errorf("control: %+v passes", bad)
		}
	}
}

func TestTheSecurityPageIsTheTable(t *testing.T) {
	got, err := os.ReadFile(securityPage)
	if err != nil {
		t.Fatal(err)
	}
	_, rest, ok := strings.Cut(string(got), byHand)
	if !ok {
		t.Fatalf("%s has no part by hand", securityPage)
	}
	want := writtenDemands(demands(t)) + byHand + rest
	if os.Getenv("UPDATE") != "" {
		err = os.WriteFile(securityPage, []byte(want), 0o644)
	} else if string(got) != want {
		t.Errorf("%s is not what %s says; write it anew by UPDATE=1 go test ./internal/web -run TheSecurityPage", securityPage, demandsFile)
	}
	if err != nil {
		t.Fatal(err)
	}
}

// writtenDemands is the table for people, what is not met first.
func writtenDemands(all []demand) string {
	of := map[string][]demand{}
	tested := 0
	for _, d := range all {
		of[d.state] = append(of[d.state], d)
		if d.state == "met" && len(d.tests) > 0 {
			tested++
		}
	}
	var b strings.Builder
	fmt.Fprintf(&b, "# Security, requirement by requirement\n\nThe OWASP Application Security Verification Standard 5.0.0 (CC BY-SA 4.0) asks for 253 things at its levels 1 and 2; one of level 3, about tables, is added. The words here are\n"+
		"ours, the standard's stand under the numbers there. The page is written from `internal/web/%s` by a test, which fails when a row has no evidence or names a test that\ndoes not exist. "+
		"The program's own authors filled it in; nobody else has looked.\n\n| | requirements |\n|---|---|\n| met, shown by a test | %d |\n| met, shown by a sentence | %d |\n| **not met** | %d |\n| about something that the program does not have | %d |\n| all | %d |\n",
		demandsFile, tested, len(of["met"])-tested, len(of["not met"]), len(of["not here"]), len(all))
	for _, part := range [][2]string{{"not met", "Not met"}, {"met", "Met"}, {"not here", "About something that is not here"}} {
		fmt.Fprintf(&b, "\n## %s\n\n| number | level | asked | evidence |\n|---|---|---|---|\n", part[1])
		for _, d := range of[part[0]] {
			names := ""
			for _, name := range d.tests {
				names += "`" + name + "` "
			}
			fmt.Fprintf(&b, "| %s | %d | %s | %s |\n", d.number, d.level, d.gist, cmp.Or(strings.TrimSpace(d.says+" "+names), "none"))
		}
	}
	return b.String() + "\n"
}
