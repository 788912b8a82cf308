package sitefile

import (
	"errors"
	"reflect"
	"strings"
	"testing"

	"rinsewright/quantity"
	"rinsewright/site"
)

// Each row is what a person says and what the file then holds; common
// practice, no source: how people shorten words.
func TestAPromptHearsMoreThanAFile(t *testing.T) {
	for _, row := range []struct{ key, said, want string }{
		{"supply.source", "CITY", "city"},
		{"supply.source", "w", "well"},
		{"supply.disinfectant", "chlori", "chlorine"},
		{"supply.disinfectant", "Chlora", "chloramine"},
		{"tank.kind", "press", "pressurised"},
		{"resin.place", "before", "before tank"},
		{"demand.busiest_weekday", "sat", "Saturday"},
		{"demand.first_month", "May", "5"},
		{"demand.last_month", "oct", "10"},
		{"demand.opens", "8", "08:00"},
		{"demand.opens", "8:30", "08:30"},
		{"demand.closes", "7pm", "19:00"},
		{"demand.closes", "12 am", "00:00"},
		{"line.tube", "1/2 in", "1/2"},
		{"line.tube", `3/4"`, "3/4"},
		{"membrane.parallel", "yes", "true"},
		{"prices.currency", "usd", "USD"},
		{"sample.scale", "nacl", "NaCl"},
		{"sample.scale", "4", "442"},
		{"sample.scale", "0.55", "0.55"},
		{"supply.static_pressure", " 60 psi ", "60 psi"},
		{"site.name", `the "old" dock`, `the "old" dock`},
	} {
		s := &site.Site{}
		if err := Set(s, row.key, row.said, quantity.Locale{}); err != nil {
			t.Errorf("%s said as %q is refused: %v", row.key, row.said, err)
		} else if got := Get(s, row.key); got != row.want {
			t.Errorf("%s said as %q is %q, want %q", row.key, row.said, got, row.want)
		}
	}
}

func TestWhatCouldMeanTwoThingsIsRefused(t *testing.T) {
	for _, row := range []struct{ key, said string }{
		{"supply.disinfectant", "chlor"},
		{"line.tube", "3"},
		{"demand.busiest_weekday", "t"},
		{"demand.first_month", "ma"},
		{"demand.first_month", "Ju"},
		{"demand.opens", "25"},
		{"demand.opens", "13 pm"},
		{"membrane.parallel", "perhaps"},
		{"sample.scale", "2"},
	} {
		if err := Set(&site.Site{}, row.key, row.said, quantity.Locale{}); err == nil {
			t.Errorf("%s took %q", row.key, row.said)
		}
	}
}

func TestARefusedKeyLeavesTheSiteAsItWas(t *testing.T) {
	for _, row := range []struct{ key, said, wanted string }{
		{"carbon.volume", "60 psi", "volume"},
		{"carbon.colour", "black", "one of kind"},
		{"carbon.volume", "", ""}, // nothing to forget, and no carbon from it
		{"resin.volume", "1 psi", "volume"},
		{"resin.3.volume", "1 ft3", "the next one"},
		{"resin.0.volume", "1 ft3", "section.key"},
		{"membrane.2.count", "1", "section.key"},
		{"supply", "yes", "section.key"},
		{"tank", "perhaps", "yes or no"},
		{"sample.1x.strength", "1 ppm", "section.key"},
		{"site.name", "bell \a", "plain text"},
		{"site.name", "half \xff", "plain text"},
		{"plinth.height", "1 m", "one of site"},
		{"supply.static_pressure", "60", "pressure"},
	} {
		s := &site.Site{}
		err := Set(s, row.key, row.said, quantity.Locale{})
		if !reflect.DeepEqual(s, &site.Site{}) {
			t.Errorf("%s = %q left %+v", row.key, row.said, s)
		}
		if row.wanted == "" {
			if err != nil {
				t.Errorf("%s = %q: %v", row.key, row.said, err)
			}
			continue
		}
		var ps Problems
		if !errors.As(err, &ps) || len(ps) != 1 || !strings.Contains(ps[0].Wanted, row.wanted) {
			t.Errorf("%s = %q: got %v, want %q in what was wanted", row.key, row.said, err, row.wanted)
		}
	}
}

func TestPartsAreHungAndTakenAway(t *testing.T) {
	s := &site.Site{}
	for _, said := range [][2]string{{"tank", "yes"}, {"filter", "y"}, {"filter.2.rating", "5 um"}, {"filter.3", "yes"}} {
		if err := Set(s, said[0], said[1], quantity.Locale{}); err != nil {
			t.Fatal(err)
		}
	}
	if !Has(s, "tank") || !Has(s, "filter.3") || Has(s, "filter.4") || Has(s, "carbon") {
		t.Errorf("a tank and three filters are %+v", s.Rig)
	}
	if err := Set(s, "filter.1", "no", quantity.Locale{}); err != nil {
		t.Fatal(err)
	}
	if got := Get(s, "filter.1.rating"); got != "5 um" || Has(s, "filter.3") {
		t.Errorf("with the first filter gone the second is first; got %q", got)
	}
	Remove(s, "filter")
	Remove(s, "tank")
	Remove(s, "supply")
	if !reflect.DeepEqual(s, &site.Site{}) {
		t.Errorf("all was taken away, left %+v", s)
	}
}

func TestACopySharesNothing(t *testing.T) {
	s := &site.Site{}
	comma := quantity.Locale{DecimalComma: true}
	for _, said := range [][2]string{{"supply.static_pressure", "3,8 bar"}, {"sample.iron", "0,3 mg/L"}, {"sample.scale", "0,55"}, {"sample.pH", "7,4"}, {"tank.kind", "vented"}, {"prices.water", "1,50"}} {
		if err := Set(s, said[0], said[1], comma); err != nil {
			t.Fatal(err)
		}
	}
	c, err := Copy(s, comma)
	if err != nil || !reflect.DeepEqual(s, c) {
		t.Fatalf("got %+v, %v; want %+v", c, err, s)
	}
	for _, said := range [][2]string{{"sample.iron", "1 mg/L"}, {"tank.kind", "pressurised"}} {
		if err := Set(c, said[0], said[1], comma); err != nil {
			t.Fatal(err)
		}
	}
	if Get(s, "sample.iron") != "0,3 mg/L" || Get(s, "tank.kind") != "vented" {
		t.Error("changing the copy changed the site")
	}
}

// Whatever is set over any key, a site that Read would take comes back from a
// file as it was, and a refusal changes nothing.
func FuzzSet(f *testing.F) {
	keys := append(Keys(), sectionNames()...)
	for i := range keys {
		for _, text := range []string{"", "NaN psi", "1e400 gal", "-3", "0", "60 psi", "14 C", "\xff", "\x7f", "a\"b\\c", "yes", "1/2", "\u200b5 psi", "５ psi", "1\u00a0000 gal"} {
			f.Add(uint16(i), uint8(0), text, false)
		}
	}
	f.Add(uint16(7), uint8(1), "3,8 bar", true)
	f.Fuzz(func(t *testing.T, which uint16, number uint8, text string, comma bool) {
		loc := quantity.Locale{DecimalComma: comma}
		key := keys[int(which)%len(keys)]
		if name, last, ok := strings.Cut(key, "."); ok && number > 0 {
			key = name + "." + string('0'+rune(number%10)) + "." + last
		}
		s := &site.Site{Name: "A"}
		if err := Set(s, key, text, loc); err != nil {
			if !reflect.DeepEqual(s, &site.Site{Name: "A"}) {
				t.Fatalf("%s = %q was refused and left %+v", key, text, s)
			}
			return
		}
		data := Write(s, loc)
		again, err := Read("f", data)
		if err == nil {
			if !reflect.DeepEqual(s, again) {
				t.Fatalf("%s = %q changed on its way through a file:\n%s", key, text, data)
			}
			return
		}
		if len(s.Problems()) == 0 {
			t.Fatalf("%s = %q was taken, written, and is refused: %v", key, text, err)
		}
	})
}
