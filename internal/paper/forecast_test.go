package paper

import (
	"os"
	"strings"
	"testing"
	"time"

	"rinsewright/internal/sitefile"
	"rinsewright/study"
)

func TestTheForecastsPageHoldsDatesAndTrends(t *testing.T) {
	data, err := os.ReadFile("../../testdata/sites/cormorant-reach/site.toml")
	if err != nil {
		t.Fatal(err)
	}
	s, err := sitefile.Read("site.toml", data)
	if err != nil {
		t.Fatal(err)
	}
	s.Name = `Reach <script>alert(1)</script>`
	f, err := study.Forecast(s, study.Options{}, time.Time{})
	if err != nil {
		t.Fatal(err)
	}
	var b strings.Builder
	if err := ForecastPage(&b, f, Options{Version: "test"}); err != nil {
		t.Fatal(err)
	}
	page := b.String()
	for _, want := range []string{"resin: ", "Permeate flow, normalised", "Readings that do not fit", "carbon dioxide", "lift with two"} {
		if !strings.Contains(page, want) {
			t.Errorf("no %q on the page", want)
		}
	}
	if strings.Contains(page, "<script>") {
		t.Error("a site's name runs as a script")
	}
}
