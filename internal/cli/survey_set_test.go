package cli

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"rinsewright/internal/sitefile"
)

func TestSetWritesWithoutAsking(t *testing.T) {
	file := filepath.Join(t.TempDir(), "a.toml")
	out, code := surveyOf(t, file, "not read\n", "--set", "sample.strength=428 ppm", "--set", "demand.normal_day=12", "--set", "membrane=yes", "--set", "filter.1.rating=5 um", "--set", "filter.2.rating=1 um", "--set", "tank.kind=press")
	if code != ExitGood || !strings.Contains(out, "Next: rinsewright check") || strings.Contains(out, "What does") {
		t.Fatalf("exit %d:\n%s", code, out)
	}
	s := surveyedSite(t, file)
	wantKeys(t, s, map[string]string{"site.name": "a", "sample.place": "raw", "sample.strength": "428 ppm", "filter.2.rating": "1 um", "tank.kind": "pressurised"})
	if s.Rig.Membrane == nil {
		t.Error("membrane=yes hangs no membrane")
	}
	_, code = surveyOf(t, file, "", "--set", "membrane=no", "--set", "filter.1=no", "--set", "demand.normal_day=")
	s = surveyedSite(t, file)
	wantKeys(t, s, map[string]string{"filter.1.rating": "1 um", "filter.2.rating": "", "demand.normal_day": ""})
	if code != ExitGood || s.Rig.Membrane != nil {
		t.Errorf("exit %d; membrane=no left %+v", code, s.Rig.Membrane)
	}
}

func TestEveryProblemOfSetIsToldAndNothingIsWritten(t *testing.T) {
	file := filepath.Join(t.TempDir(), "a.toml")
	surveyOf(t, file, ten)
	before, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	out, code := surveyOf(t, file, "", "--set", "supply.static_pressure=3 gpm", "--set", "supply.colour=blue", "--set", "nonsense", "--set", "site.name=Another", "--set", "resin.9.volume=1 ft3")
	for _, say := range []string{`--set supply.static_pressure: read "3 gpm", a flow; wanted a pressure`, `"colour" in [supply]`, `"nonsense" without =`, "resin.2", "nothing was written"} {
		if !strings.Contains(out, say) {
			t.Errorf("want %q in:\n%s", say, out)
		}
	}
	after, _ := os.ReadFile(file)
	if code != ExitBad || !bytes.Equal(before, after) {
		t.Errorf("exit %d, and the file changed: %v", code, !bytes.Equal(before, after))
	}
	if out, code = surveyOf(t, file, "", "--set", "supply.running_pressure=50 psi"); code != ExitBad || !strings.Contains(out, "running_flow") {
		t.Errorf("half a pair: exit %d:\n%s", code, out)
	}
	if _, code = surveyOf(t, file, "", "--set", "supply.running_flow=4 gpm", "--set", "supply.running_pressure=50 psi"); code != ExitGood {
		t.Errorf("both halves: exit %d", code)
	}
}

func TestAskGoesOnAfterSet(t *testing.T) {
	file := filepath.Join(t.TempDir(), "a.toml")
	out, code := surveyOf(t, file, "\n\n\n", "--set", "site.name=Set here", "--set", "supply.source=well", "--ask")
	if code != ExitGood || !strings.Contains(out, "[Set here] >") || !strings.Contains(out, "[well] >") {
		t.Errorf("exit %d:\n%s", code, out)
	}
	wantKeys(t, surveyedSite(t, file), map[string]string{"site.name": "Set here", "supply.source": "well"})
}

func TestSurveyAsJSON(t *testing.T) {
	file := filepath.Join(t.TempDir(), "a.toml")
	out, code := surveyOf(t, file, "", "--json", "--set", "sample.strength=428 ppm")
	var told surveyJSON
	if err := json.Unmarshal([]byte(out), &told); err != nil {
		t.Fatalf("%v in:\n%s", err, out)
	}
	if code != ExitGood || told.Schema != "rinsewright.survey/1" || !told.Written || len(told.Missing) != 2 || len(told.Errors) != 0 {
		t.Errorf("exit %d: %+v", code, told)
	}
	if want := (answerJSON{"sample.1.strength", "428 ppm"}); len(told.Answers) != 3 || told.Answers[2] != want {
		t.Errorf("answers are %+v", told.Answers)
	}
	out, code = surveyOf(t, file, "", "--json", "--set", "sample.strength=428 psi")
	told = surveyJSON{}
	if err := json.Unmarshal([]byte(out), &told); err != nil || code != ExitBad || len(told.Errors) != 1 {
		t.Errorf("exit %d, %v: %s", code, err, out)
	}
}

func TestAFileIsNeverLost(t *testing.T) {
	dir := t.TempDir()
	broken := filepath.Join(dir, "broken.toml")
	const text = "rinsewright = 1\n[site]\nname = 3\n"
	if err := os.WriteFile(broken, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	out, code := surveyOf(t, broken, ten)
	kept, _ := os.ReadFile(broken)
	if code != ExitBad || string(kept) != text || !strings.Contains(out, "broken.toml:3:1") {
		t.Errorf("exit %d; the file is %q:\n%s", code, kept, out)
	}
	if out, code = surveyOf(t, filepath.Join(dir, "no", "such.toml"), ten); code != ExitBad || strings.Contains(out, "What is the place called") {
		t.Errorf("a folder that is not there: exit %d, asked in vain:\n%s", code, out)
	}
	if _, code = surveyOf(t, dir, ten); code != ExitBad {
		t.Errorf("a folder for a file: exit %d", code)
	}
}

func TestAFileThatSomeoneElseChangedIsNotOverwritten(t *testing.T) {
	file := filepath.Join(t.TempDir(), "a.toml")
	surveyOf(t, file, ten)
	other := []byte("rinsewright = 1\n[site]\nname = \"Other\"\n")
	in := &meanwhile{then: func() {
		if err := os.WriteFile(file, other, 0o644); err != nil {
			t.Error(err)
		}
	}}
	var screen, complaints bytes.Buffer
	code := Run(Desk{Context: context.Background(), In: in, Out: &screen, Err: &complaints}, []string{"survey", file})
	kept, _ := os.ReadFile(file)
	if code != ExitBad || !bytes.Equal(kept, other) {
		t.Errorf("exit %d; the file is %q", code, kept)
	}
	_, held, ok := strings.Cut(screen.String(), "this is what the file would hold:\n")
	s, err := sitefile.Read("a", []byte(held))
	if !ok || err != nil || s.Name != "Mine" {
		t.Errorf("the answers are lost: %v\n%s", err, screen.String())
	}
}

// meanwhile answers one question, and then something happens.
type meanwhile struct {
	then func()
	said bool
}

func (m *meanwhile) Read(p []byte) (int, error) {
	if m.said {
		m.then()
		return 0, errors.New("the line is cut")
	}
	m.said = true
	return copy(p, "Mine\n"), nil
}

func TestAPersonsOwnRemarksStay(t *testing.T) {
	file := filepath.Join(t.TempDir(), "a.toml")
	const text = "rinsewright = 1\n\n# ask for Lou\n[site]\nname = \"A\"  # the old name\n"
	if err := os.WriteFile(file, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	surveyOf(t, file, "B\nwell\ndone\n")
	got, _ := os.ReadFile(file)
	if !strings.Contains(string(got), "# ask for Lou\n[site]\nname = \"B\"  # the old name\n") {
		t.Errorf("the remarks are gone:\n%s", got)
	}
}

func TestALinkStaysALink(t *testing.T) {
	dir := t.TempDir()
	file, link := filepath.Join(dir, "a.toml"), filepath.Join(dir, "link.toml")
	surveyOf(t, file, ten)
	if err := os.Symlink(file, link); err != nil {
		t.Fatal(err)
	}
	surveyOf(t, link, "Renamed\ndone\n")
	info, err := os.Lstat(link)
	if err != nil || info.Mode()&os.ModeSymlink == 0 {
		t.Errorf("the link became %v, %v", info, err)
	}
	wantKeys(t, surveyedSite(t, file), map[string]string{"site.name": "Renamed"})
}
