package catalog

import (
	"errors"
	"strings"
	"testing"
)

// Invented rows; the days are counted by hand.
func TestAPriceIsOldByItsOwnDayOrTheLists(t *testing.T) {
	c, err := Read([]byte("# currency: EUR\n# date: 2026-01-10,,,\nkind,name,price,volume,priced\ntank,a,12,55 gal,\ntank,b,13,55 gal,2026-06-01\ntank,c,14,55 gal,2025-06-01\n"))
	if err != nil || c.Date != "2026-01-10" {
		t.Fatalf("date %q, %v", c.Date, err)
	}
	for on, want := range map[string]string{"2026-07-10": "c", "2026-07-11": "a c", "2026-12-02": "a b c", "not a day": ""} {
		var names []string
		for _, p := range c.OlderThan(6, on) {
			names = append(names, p.Name)
		}
		if got := strings.Join(names, " "); got != want {
			t.Errorf("older than six months on %s: %q, want %q", on, got, want)
		}
	}
}

func TestEveryBadRowIsToldByItsLine(t *testing.T) {
	_, err := Read([]byte("kind,name,price,volume,priced\ntank,a,x,55 gal,\n\ntank,b,12,55,\ntank,c,12,55 gal,June\ntank,d,12,55 gal,\n"))
	var all Problems
	if !errors.As(err, &all) || !errors.Is(err, ErrRead) || len(all) != 3 {
		t.Fatalf("got %v", err)
	}
	for i, want := range []string{"line 2, column price", "line 4, column volume", "line 5, column priced"} {
		if !strings.Contains(all[i].Error(), want) {
			t.Errorf("%q does not tell %s", all[i], want)
		}
	}
	var many strings.Builder
	many.WriteString("kind,name,price\n")
	for range 30 {
		many.WriteString("tank,a,x\n")
	}
	if _, err = Read([]byte(many.String())); !strings.HasSuffix(err.Error(), "and 10 more") {
		t.Errorf("thirty bad rows: %v", err)
	}
}

func TestAQuoteAheadOfWhatLooksLikeAFormulaIsDropped(t *testing.T) {
	c, err := Read([]byte("kind,name,price,volume\ntank,'=2+2,12,55 gal\ntank,'tis one,12,55 gal\n"))
	if err != nil || c.Parts[0].Name != "=2+2" || c.Parts[1].Name != "'tis one" {
		t.Errorf("%+v, %v", c, err)
	}
}
