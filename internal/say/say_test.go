package say

import (
	"regexp"
	"slices"
	"testing"
	"time"
)

// A number that is filled into the English is filled into the Spanish; otherwise
// a page would say one number in the place of another, or none.
func TestSpanishFillsInWhatEnglishDoes(t *testing.T) {
	verb := regexp.MustCompile(`%(?:\[\d\])?((?:\.\d)?[sdfgq])`)
	number := regexp.MustCompile(`\d(?:[\d.]*\d)?`)
	filled := func(text string) (all []string) {
		for _, m := range verb.FindAllStringSubmatch(text, -1) {
			all = append(all, m[1])
		}
		slices.Sort(all)
		return all
	}
	numbers := func(text string) []string {
		all := number.FindAllString(verb.ReplaceAllString(text, ""), -1)
		slices.Sort(all)
		return all
	}
	for _, row := range Rows() {
		if en, es := filled(row.English), filled(row.Spanish); !slices.Equal(en, es) {
			t.Errorf("%s: %q fills in %v, its Spanish %v", row.File, row.English, en, es)
		}
		if en, es := numbers(row.English), numbers(row.Spanish); !slices.Equal(en, es) {
			t.Errorf("%s: %q has the numbers %v, its Spanish %v", row.File, row.English, en, es)
		}
		if row.Spanish == "" {
			t.Errorf("%s: %q has no Spanish", row.File, row.English)
		}
	}
}

// One sentence has one translation, wherever it is said.
func TestAPhraseStandsOnceInTheCatalogue(t *testing.T) {
	seen := map[string]string{}
	for _, row := range Rows() {
		if file, ok := seen[row.English]; ok {
			t.Errorf("%q stands in %s and in %s", row.English, file, row.File)
		}
		seen[row.English] = row.File
	}
}

func TestAPhraseIsFoundAsItStandsOrByItsShape(t *testing.T) {
	s := Of("es",
		"tank", "tanque",
		"the %s is %d days old", "%s: %d días de edad",
		"read by %s, kept by %s", "guardado por %[2]s, leído por %[1]s",
		"no site is called %q", "ninguna instalación se llama %q",
		"%d of %d", "%d de %d",
	)
	for _, c := range []struct{ en, want string }{
		{"tank", "tanque"},
		{"the tank is 3 days old", "tanque: 3 días de edad"},
		{"the tank is three days old", "the tank is three days old"},
		{"read by Kit, kept by Uma", "guardado por Uma, leído por Kit"},
		{`no site is called "tank"`, `ninguna instalación se llama "tank"`},
		{"3 of 5", "3 de 5"},
		{"12.5 psi", "12.5 psi"},
		{"17", "17"},
	} {
		if got := s.Say(c.en); got != c.want {
			t.Errorf("%q: got %q, want %q", c.en, got, c.want)
		}
	}
	if got := s.Unsaid(); !slices.Equal(got, []string{`"tank"`, "Kit", "Uma", "the tank is three days old"}) {
		t.Errorf("what had no Spanish: %q", got)
	}
}

func TestOneAndMany(t *testing.T) {
	s := Of("es", "One reading is here.", "Hay una lectura.", "%d readings are here.", "Hay %d lecturas.")
	for n, want := range map[int]string{0: "Hay 0 lecturas.", 1: "Hay una lectura.", 2: "Hay 2 lecturas."} {
		if got := s.Count(n, "One reading is here.", "%d readings are here."); got != want {
			t.Errorf("%d: got %q, want %q", n, got, want)
		}
	}
}

func TestDatesHaveTheirMonthInWords(t *testing.T) {
	at := time.Date(2026, 3, 7, 14, 5, 0, 0, time.UTC)
	for language, want := range map[string]string{"en": "7 March 2026, 14:05", "es": "7 de marzo de 2026, 14:05"} {
		if got := In(language).Clock(at); got != want {
			t.Errorf("%s: got %q, want %q", language, got, want)
		}
	}
}
