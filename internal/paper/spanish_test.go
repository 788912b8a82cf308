package paper_test

import (
	"regexp"
	"slices"
	"testing"

	"rinsewright/internal/paper"
	"rinsewright/testdata/sites"
)

// No paper of an example site, nor of an option, falls back to English.
func TestEveryPhraseHasItsSpanish(t *testing.T) {
	for _, name := range sites.Names {
		for _, option := range []string{"", "A", "B", "C"} {
			j := plainJob()
			j.Language, j.Option = "es", option
			for _, k := range paper.Kinds {
				made, err := k.Make(record(t, name), j)
				if err != nil {
					continue // nothing to put on it
				}
				for _, phrase := range made.Unsaid {
					t.Errorf("%s of %s: %q has no Spanish: add it to internal/say/spanish/paper.csv", k.Name, name, phrase)
				}
			}
		}
	}
}

// The same numbers stand on the Spanish paper as on the English one.
func TestSpanishPapersHoldTheSameNumbers(t *testing.T) {
	number := regexp.MustCompile(`\d(?:[\d.,/]*\d)?`)
	for _, name := range sites.Names {
		for _, kind := range []string{"owner", "warranty", "service"} {
			k, _ := paper.KindNamed(kind)
			var found [2][]string
			for i, language := range paper.Languages {
				j := plainJob()
				j.Language = language
				made, err := k.Make(record(t, name), j)
				if err != nil {
					t.Fatal(err)
				}
				for _, f := range made.Facts {
					found[i] = append(found[i], number.FindAllString(f.Name+" "+f.Value, -1)...)
				}
				slices.Sort(found[i])
			}
			if !slices.Equal(found[0], found[1]) {
				t.Errorf("%s of %s: the numbers differ between languages:\n%v\n%v", kind, name, found[0], found[1])
			}
		}
	}
}
