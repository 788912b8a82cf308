package sitefile

import (
	"bytes"
	"os"
	"strings"
	"testing"

	"rinsewright/quantity"
	"rinsewright/site"
)

// ownWords is a file as a person keeps it, invented.
const ownWords = `rinsewright = 1

# Ask for Lou at the gate; the dog is friendly.
[site]
name = "Gull Point"   # the old name was longer

[supply]
static_pressure = "60 psi" # gauge on the # 2 bib
source = 'city'

[[sample]]
place = "raw"
strength = "428 ppm"

[tank]
volume = "300 gal"
`

func updated(t *testing.T, data string, said ...string) (string, *site.Site) {
	t.Helper()
	s, err := Read("f", []byte(data))
	if err != nil {
		t.Fatal(err)
	}
	for i := 0; i < len(said); i += 2 {
		if err := Set(s, said[i], said[i+1], quantity.Locale{}); err != nil {
			t.Fatal(err)
		}
	}
	out := Update([]byte(data), s, quantity.Locale{})
	again, err := Read("f", out)
	if err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	if !bytes.Equal(Write(again, quantity.Locale{}), Write(s, quantity.Locale{})) {
		t.Fatalf("the update holds something else:\n%s", out)
	}
	return string(out), s
}

func TestAnUpdateKeepsAPersonsOwnWords(t *testing.T) {
	out, _ := updated(t, ownWords, "supply.static_pressure", "62 psi", "supply.source", "well", "sample.strength", "", "sample.conductivity", "590 uS/cm", "site.use", "boats", "carbon.kind", "block")
	for _, line := range []string{
		"# Ask for Lou at the gate; the dog is friendly.",
		`name = "Gull Point"   # the old name was longer`,
		`static_pressure = "62 psi" # gauge on the # 2 bib`,
		`source = "well"`,
		`# strength = "428 ppm"`,
		`conductivity = "590 uS/cm"`,
		`[carbon]`,
	} {
		if !strings.Contains(out, line) {
			t.Errorf("want the line %q in:\n%s", line, out)
		}
	}
	if same, _ := updated(t, ownWords); same != ownWords {
		t.Errorf("nothing was said, and the file changed:\n%s", same)
	}
}

func TestAPriceToldAnewMakesWay(t *testing.T) {
	bill := ownWords + "[prices]\nresin_per_ft3 = 220 # Lou's\nfilter = 9\n"
	out, _ := updated(t, bill, "prices.resin", "8")
	if !strings.Contains(out, "# resin_per_ft3 = 220") || !strings.Contains(out, "\nresin = 8.00") || !strings.Contains(out, "\nfilter = 9\n") {
		t.Errorf("the price of resin stands twice, or another moved:\n%s", out)
	}
}

func TestAnUpdateThatCannotBeMadeLineByLineIsWrittenWhole(t *testing.T) {
	if out, s := updated(t, ownWords, "tank", "no"); strings.Contains(out, "300 gal\"\n") || Has(s, "tank") {
		t.Errorf("the tank is still there:\n%s", out)
	}
	several := strings.Replace(ownWords, `"Gull Point"   #`, "\"\"\"\nGull\nPoint\"\"\" #", 1)
	if out, s := updated(t, several, "site.name", "Gull"); s.Name != "Gull" {
		t.Errorf("a name over several lines is:\n%s", out)
	}
}

// Whatever a file looks like and whatever is set in it, the update holds
// exactly the site.
func FuzzUpdate(f *testing.F) {
	keys := Keys()
	marina, err := os.ReadFile("../../testdata/sites/cormorant-reach/site.toml")
	if err != nil {
		f.Fatal(err)
	}
	for i, key := range keys {
		_, example := Example(key)
		f.Add([]byte(ownWords), uint16(i), example)
		f.Add(marina, uint16(i), example)
		f.Add(marina, uint16(i), "")
	}
	f.Add([]byte("rinsewright=1\nsite.name=\"x\"\n"), uint16(0), "A")
	f.Add([]byte("rinsewright = 1\r\n[site]\r\nname = \"A\" # b\r\n"), uint16(0), "B")
	f.Fuzz(func(t *testing.T, data []byte, which uint16, text string) {
		s, err := Read("f", data)
		if err != nil {
			return
		}
		loc := Locale(data)
		if err := Set(s, keys[int(which)%len(keys)], text, loc); err != nil || len(s.Problems()) > 0 {
			return
		}
		again, err := Read("f", Update(data, s, loc))
		if err != nil {
			t.Fatalf("an update of %q is refused: %v", data, err)
		}
		if !bytes.Equal(Write(again, loc), Write(s, loc)) {
			t.Fatalf("an update of %q with %s = %q holds something else", data, keys[int(which)%len(keys)], text)
		}
	})
}

func TestCuttingAVisitLeavesTheRestToTheLetter(t *testing.T) {
	file := visit + "\n[[visit]] # the second\ndate = \"2026-07-02\"\n# between\n[[visit]]\ndate = \"2026-07-03\"\n"
	got, err := Cut([]byte(file), "visit", func(n int) bool { return n == 1 })
	if err != nil {
		t.Fatal(err)
	}
	if want := visit + "\n[[visit]]\ndate = \"2026-07-03\"\n"; string(got) != want {
		t.Errorf("left\n%s\nwant\n%s", got, want)
	}
	if got, err := Cut([]byte(file), "visit", func(int) bool { return false }); err != nil || string(got) != file {
		t.Errorf("cutting nothing changed the file (%v)", err)
	}
}
