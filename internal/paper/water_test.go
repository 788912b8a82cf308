package paper

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"rinsewright/internal/sitefile"
	"rinsewright/quantity"
	"rinsewright/site"
	"rinsewright/study"
)

func watered(t testing.TB, name string, change func(*site.Site)) *study.WaterSheet {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("../../testdata/sites", name, "site.toml"))
	if err != nil {
		t.Fatal(err)
	}
	s, err := sitefile.Read("site.toml", data)
	if err != nil {
		t.Fatal(err)
	}
	if change != nil {
		change(s)
	}
	w, err := study.Water(context.Background(), s, study.Options{Seed: 1})
	if err != nil {
		t.Fatal(err)
	}
	return w
}

func TestWaterPageSaysWhatTheSheetSays(t *testing.T) {
	w := watered(t, "cormorant-reach", func(s *site.Site) {
		awful(s)
		s.Samples[0].Hardness = quantity.Told(quantity.GrainsPerGallon(60))
	})
	var b bytes.Buffer
	if err := WaterPage(&b, w, Options{Units: quantity.SI}); err != nil {
		t.Fatal(err)
	}
	page := b.String()
	for _, r := range w.Rows {
		if !strings.Contains(page, "<td>"+r.Name+"</td>") {
			t.Errorf("the page does not hold %q", r.Name)
		}
	}
	for _, text := range append(append([]string{"The readings do not fit each other.", "20 % recovery", "80 % recovery"}, w.NotLooked...), w.Next[0].Name) {
		if !strings.Contains(page, text) {
			t.Errorf("the page does not say %q", text)
		}
	}
	for _, outside := range []string{"<b>Very</b>", "https://", "<script", "javascript:"} {
		if strings.Contains(page, outside) {
			t.Errorf("the page holds %q", outside)
		}
	}
}

func TestWaterPageFitsAPhoneAndADesk(t *testing.T) {
	for name, change := range map[string]func(*site.Site){"cormorant-reach": awful, "long-barrow": nil} {
		file := filepath.Join(t.TempDir(), "water.html")
		var b bytes.Buffer
		if err := WaterPage(&b, watered(t, name, change), Options{}); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(file, b.Bytes(), 0o600); err != nil {
			t.Fatal(err)
		}
		for _, width := range []int64{380, 1440} {
			browse(t, file, width)
		}
	}
}
