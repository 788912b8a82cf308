package cli

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"rinsewright/internal/sitefile"
	"rinsewright/testdata/sites"
)

// filledSheet writes cells under the heads of the blank log sheet.
func filledSheet(cells map[string]string) string {
	heads := strings.Split(strings.TrimSpace(sitefile.LogSheet()), ",")
	row := make([]string, len(heads))
	for i, h := range heads {
		row[i] = cells[h]
	}
	return sitefile.LogSheet() + strings.Join(row, ",") + "\n"
}

// broughtBack imports a sheet into a copy of an example site.
func broughtBack(t *testing.T, sheet string) (file, told string, code int) {
	t.Helper()
	data, err := sites.File("fennel-lane")
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	file = filepath.Join(dir, "site.toml")
	for name, text := range map[string]string{file: string(data), filepath.Join(dir, "log.csv"): sheet} {
		if err := os.WriteFile(name, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	var out, wrong bytes.Buffer
	code = Run(Desk{Context: context.Background(), Out: &out, Err: &wrong}, []string{"log", file, "--import", filepath.Join(dir, "log.csv"), "--save"})
	return file, out.String() + wrong.String(), code
}

// The blank sheet that is handed over comes back as the visit that was written
// on it. Invented: a visit to a wash.
func TestAFilledLogSheetComesBackAsAVisit(t *testing.T) {
	file, told, code := broughtBack(t, filledSheet(map[string]string{
		"date": "2026-07-04", "at": "09:30", "by": "ab", "minutes running": "20", "feed_temperature C": "14", "permeate_strength ppm NaCl": "9",
		"gun_strength ppm NaCl": "1.5 uS/cm", "permeate_meter gal": "12850", "polished_strength ppm NaCl": "-", "changed": "lead resin; Sediment filter", "words": "swapped both",
	}))
	if code != ExitGood {
		t.Fatalf("exit %d: %s", code, told)
	}
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	s, err := sitefile.Read("site.toml", data)
	if err != nil {
		t.Fatal(err)
	}
	v := s.Log[len(s.Log)-1]
	if v.Date != "2026-07-04" || v.At != "09:30" || v.By != "ab" || v.Words != "swapped both" || len(v.Changed) != 2 || v.Changed[1] != "sediment filter" {
		t.Errorf("visit reads %+v", v)
	}
	var lines []string
	for _, r := range v.Read {
		lines = append(lines, r.String())
	}
	want := "feed_temperature = 14 C, after 20 min|permeate_strength = 9 ppm NaCl, after 20 min|gun_strength = 1.5 uS/cm, after 20 min|permeate_meter = 12850 gal"
	if got := strings.Join(lines, "|"); got != want {
		t.Errorf("readings are %s, want %s", got, want)
	}
}

func TestMistakesOnALogSheetAreToldWithTheirPlace(t *testing.T) {
	for _, row := range []struct {
		cells map[string]string
		want  string
	}{
		{map[string]string{"date": "2026-07-04", "feed_temperature C": "14", "permeate_strength ppm NaCl": "nine"}, "row 2, permeate_strength ppm NaCl"},
		{map[string]string{"date": "2026-07-04", "feed_temperature C": "14", "at": "half past"}, `wanted a time of day such as 14:30`},
		{map[string]string{"by": "ab", "feed_temperature C": "14"}, "no row of the old log has a day and a reading"},
		{map[string]string{"date": "2026-07-04", "feed_temperature C": "14", "changed": "lead resim"}, `lead resin`},
	} {
		if _, told, _ := broughtBack(t, filledSheet(row.cells)); !strings.Contains(strings.Join(strings.Fields(told), " "), row.want) {
			t.Errorf("told %q, want %q in it", told, row.want)
		}
	}
}
