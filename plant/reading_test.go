package plant

import (
	"testing"
)

// A person is shown each gauge by its own words, and a program finds each by
// one name only.
func TestEveryGaugeIsNamedOnceInWords(t *testing.T) {
	seen := map[string]bool{}
	for _, g := range Gauges() {
		if g.Title() == string(g) || seen[string(g)] || seen[g.Title()] {
			t.Errorf("%s: title %q, or a name that stands twice", g, g.Title())
		}
		seen[string(g)], seen[g.Title()] = true, true
	}
}
