package catalog

import (
	"errors"
	"math"
	"strings"
	"testing"

	"rinsewright/membrane"
)

func TestTheBuiltInCatalogueIsReadable(t *testing.T) {
	c, err := Generic()
	if err != nil {
		t.Fatal(err)
	}
	for kind := range needs {
		if kind != "" && len(c.Of(kind)) == 0 {
			t.Errorf("no part of kind %q", kind)
		}
	}
	for _, p := range c.Parts {
		if !strings.Contains(p.Note, "typical, invented price") {
			t.Errorf("%s does not say where its numbers come from", p.Name)
		}
		if p.Price <= 0 {
			t.Errorf("%s has no price", p.Name)
		}
	}
}

// TestEveryElementCanBe runs each data sheet backwards: a sheet that no element
// can satisfy would end every sizing that meets it.
func TestEveryElementCanBe(t *testing.T) {
	c, err := Generic()
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range c.Of(Element) {
		sheet := membrane.Sheet{
			Name: p.Name, Area: p.Area, PermeateFlow: p.Flow, Rejection: p.Rejection, TestPressure: p.Pressure,
			TestSalt: p.TestSalt, TestTemperature: p.Temperature, TestRecovery: p.Recovery, Length: p.Length,
		}
		e, _, err := membrane.FromSheet(sheet)
		if err != nil {
			t.Errorf("%s: %v", p.Name, err)
			continue
		}
		// common practice, no source: thin film elements for tap pressure pass
		// 3 to 8 L/(m²·h·bar), brackish ones 2 to 5.
		if a := float64(e.WaterPermeability) * 3.6e11; !(1.5 < a && a < 10) {
			t.Errorf("%s passes %.1f L/(m²·h·bar), which no thin film does", p.Name, a)
		}
	}
}

func TestReadSaysWhatIsWrongAndWhere(t *testing.T) {
	const head = "kind,name,size,flow,pressure,rejection,area,volume,price\n"
	for _, row := range []struct{ text, says string }{
		{"", "no line that names the columns"},
		{"kind,name\n", "price"},
		{"kind,name,price,colour\n", "colour"},
		{head + "tank,small,,,,,,55 gal,\n", "line 2, column price"},
		{head + "tank,small,,,,,,55 psi,10\n", `line 2, column volume: read "55 psi"`},
		{head + "tank,small,,,,,,NaN gal,10\n", "column volume"},
		{head + "tank,small,,,,,,-5 gal,10\n", "column volume"},
		{head + "tank,small,,,,,,55 gal,-1\n", "column price"},
		{head + "tub,small,,,,,,55 gal,1\n", `column kind: read "tub"`},
		{head + "tank,small,,,,,,55 gal,1\ntank,small,,,,,,55 gal,1\n", "listed twice"},
		{head + "element,e,2540,750 gpd,100 psi,98 %,28 ft2,,1\n", "no housing"},
		{"# currency: dollars\n" + head, "three letters"},
		{head + "tank,small\n", "wrong number of fields"},
	} {
		_, err := Read([]byte(row.text))
		if err == nil || !errors.Is(err, ErrRead) || !strings.Contains(err.Error(), row.says) {
			t.Errorf("reading %q: got %v, wanted it to say %q", row.text, err, row.says)
		}
	}
}

func TestColumnsStandInAnyOrder(t *testing.T) {
	c, err := Read([]byte("# currency: eur\nprice,volume,name,kind\n12.34,200 L,barrel,tank\n"))
	if err != nil {
		t.Fatal(err)
	}
	p := c.Parts[0]
	if c.Currency != "EUR" || p.Price != 1234 || math.Abs(p.Volume.Litres()-200) > 1e-9 || p.Kind != Tank {
		t.Errorf("got %+v in %s", p, c.Currency)
	}
}

func FuzzRead(f *testing.F) {
	f.Add([]byte(generic))
	f.Add([]byte("kind,name,price,volume\ntank,a,Inf,1 L\n"))
	f.Add([]byte("kind,name,price,volume\ntank,a,1,1e999 L\n"))
	f.Add([]byte("kind,name,price,volume\ntank,a,-0,0 L\n"))
	f.Fuzz(func(t *testing.T, text []byte) {
		c, err := Read(text)
		if err != nil {
			if !errors.Is(err, ErrRead) {
				t.Fatalf("error does not wrap ErrRead: %v", err)
			}
			return
		}
		for _, p := range c.Parts {
			for _, x := range []float64{float64(p.Flow), float64(p.Pressure), float64(p.Volume), float64(p.Area), float64(p.Rejection), float64(p.Fit)} {
				if math.IsNaN(x) || math.IsInf(x, 0) || x < 0 {
					t.Fatalf("%q holds %g", p.Name, x)
				}
			}
			if p.Price < 0 || p.Kind == Tank && !(p.Volume > 0) {
				t.Fatalf("%+v", p)
			}
		}
	})
}
