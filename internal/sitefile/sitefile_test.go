package sitefile

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"rinsewright/quantity"
)

func TestExampleSitesReadWithoutAProblem(t *testing.T) {
	files, err := filepath.Glob("../../testdata/sites/*/site.toml")
	if err != nil || len(files) == 0 {
		t.Fatalf("no example sites: %v", err)
	}
	for _, name := range files {
		data, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		s, err := Read("site.toml", data)
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		if s.Origin != "invented" {
			t.Errorf("%s: origin is %q; every example says it is invented", name, s.Origin)
		}
	}
}

func TestWhatIsWrittenReadsBackAsTheSameSite(t *testing.T) {
	for _, name := range []string{"../../testdata/sites/cormorant-reach/site.toml"} {
		data, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		first, err := Read(name, data)
		if err != nil {
			t.Fatal(err)
		}
		written := Write(first, quantity.Locale{})
		second, err := Read("written", written)
		if err != nil {
			t.Fatalf("what Write made is refused: %v\n%s", err, written)
		}
		if !reflect.DeepEqual(first, second) {
			t.Errorf("the site changed on its way through a file:\n%s", written)
		}
		if again := Write(second, quantity.Locale{}); !bytes.Equal(written, again) {
			t.Error("writing twice gives two different files")
		}
	}
}

const head = "rinsewright = 1\n[site]\nname = \"A\"\n"

// Each row is one mistake a person makes, and what they must be told. The
// places are counted by hand.
func TestEveryMistakeIsToldWithItsPlaceAndAnExample(t *testing.T) {
	for _, row := range []struct{ about, file, where, read, wanted string }{
		{"a flow where a pressure belongs", head + "[supply]\nstatic_pressure = \"3 gpm\"\n", "f:5:1", "3 gpm", "pressure"},
		{"a tap without pressure", head + "[supply]\nstatic_pressure = \"0 psi\"\n", "f:5:1", "0 psi", "between"},
		{"a tap at 400 °C", head + "[supply]\ncoldest = \"400 C\"\n", "f:5:1", "400 C", "between"},
		{"not a number", head + "[supply]\nstatic_pressure = \"NaN psi\"\n", "f:5:1", "NaN", "pressure"},
		{"a number without its unit", head + "[supply]\nstatic_pressure = 60\n", "f:5:1", "60", "unit"},
		{"an unknown key", head + "[supply]\nstatic_presure = \"60 psi\"\n", "f:5:1", "static_presure", "static_pressure"},
		{"an unknown section", head + "[suply]\n", "f:4:2", "suply", "supply"},
		{"one bracket for a list", head + "[sample]\n", "f:4:2", "[sample]", "double"},
		{"the same key twice", head + "[supply]\ncoldest = \"6 C\"\ncoldest = \"7 C\"\n", "f:6", "coldest", "TOML"},
		{"no version", "[site]\nname = \"A\"\n", "f:1:1", "no file version", "version"},
		{"running above static", head + "[supply]\nstatic_pressure = \"40 psi\"\nrunning_pressure = \"50 psi\"\nrunning_flow = \"3 gpm\"\n", "f:6:1", "above", "at or below"},
		{"pH of 70", head + "[[sample]]\nplace = \"raw\"\npH = 70\n", "f:6:1", "70", "pH"},
		{"not TOML", "rinsewright = = 1\n", "f:1:", "TOML", "TOML"},
	} {
		t.Run(row.about, func(t *testing.T) {
			s, err := Read("f", []byte(row.file))
			var ps Problems
			if s != nil || !errors.As(err, &ps) {
				t.Fatalf("got site %v, error %v; want problems only", s, err)
			}
			p := ps[0]
			if !strings.HasPrefix(p.Where, row.where) || !strings.Contains(p.String(), row.read) || !strings.Contains(p.String(), row.wanted) {
				t.Errorf("told %q\nwant %s … read %s … wanted %s", p, row.where, row.read, row.wanted)
			}
			if strings.Contains(p.String(), "\n") {
				t.Errorf("one line, please: %q", p)
			}
		})
	}
}

func TestAllMistakesAreToldAtOnce(t *testing.T) {
	_, err := Read("f", []byte(head+"[supply]\ncoldest = \"warm\"\nstatic_pressure = \"x\"\n[tank]\nvolume = \"-3 gal\"\nfoo = 1\n"))
	var ps Problems
	if !errors.As(err, &ps) || len(ps) != 4 {
		t.Fatalf("got %d problems, want 4:\n%v", len(ps), err)
	}
}

func TestADecimalCommaIsReadOnlyWhereTheFileSaysSo(t *testing.T) {
	file := head + "[supply]\nstatic_pressure = \"3,8 bar\"\n"
	if _, err := Read("f", []byte(file)); err == nil {
		t.Error("3,8 bar was taken in a file with a decimal point")
	}
	s, err := Read("f", []byte("decimal = \"comma\"\n"+file))
	if err != nil {
		t.Fatal(err)
	}
	if got := s.Supply.StaticPressure.Value.Bar(); got != 3.8 {
		t.Errorf("3,8 bar read as %v bar", got)
	}
}

func FuzzRead(f *testing.F) {
	files, _ := filepath.Glob("../../testdata/sites/*/site.toml")
	for _, name := range files {
		data, err := os.ReadFile(name)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data)
	}
	for _, s := range []string{"", head, "rinsewright=1\n[[sample]]\npH=NaN\n", head + "[supply]\ncoldest=\"NaN C\"\n", head + "[tank]\nvolume=\"1e400 gal\"\n", "a=[{b=1}]", head + "[resin]\n[[resin]]\n[[resin]]\n", visit, started} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		s, err := Read("f", data)
		if err != nil {
			if s != nil {
				t.Fatal("half a site was read")
			}
			return
		}
		again, err := Read("again", Write(s, quantity.Locale{DecimalComma: Locale(data).DecimalComma}))
		if err != nil {
			t.Fatalf("a site that was read cannot be written and read again: %v", err)
		}
		if !reflect.DeepEqual(s, again) {
			t.Fatal("the site changed on its way through a file")
		}
	})
}
