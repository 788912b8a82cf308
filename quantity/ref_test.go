package quantity

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"
)

// readRef returns the rows of an outside table below its heading, and checks
// that the table says where it came from.
func readRef(t *testing.T, path string) [][]string {
	t.Helper()
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	lines := strings.SplitN(string(text), "\n", 5)
	for i, want := range []string{"# source:", "# where:", "# kind:", "# unit:"} {
		if !strings.HasPrefix(lines[i], want) {
			t.Fatalf("%s: line %d is %q, want %s", path, i+1, lines[i], want)
		}
	}
	rows, err := csv.NewReader(strings.NewReader(lines[4])).ReadAll()
	if err != nil || len(rows) < 2 {
		t.Fatalf("%s: %d rows, %v", path, len(rows), err)
	}
	return rows[1:]
}

func number(t *testing.T, s string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return x
}

// near fails on NaN too.
func near(got, want, relative float64) bool { return math.Abs(got-want) <= relative*math.Abs(want) }

// Standard atomic weights in g/mol, published: [CIAAW2021], abridged to five figures.
const (
	weightH, weightC, weightN, weightO   = 1.0080, 12.011, 14.007, 15.999
	weightNa, weightMg, weightSi         = 22.990, 24.305, 28.085
	weightS, weightCl, weightK, weightCa = 32.06, 35.45, 39.098, 40.078
)

// gramsPerEquivalent is the mass that carries one mole of charge. Carbon dioxide
// and silica load a strong anion resin as one charge each.
var gramsPerEquivalent = map[string]float64{
	"mg/L Ca":   weightCa / 2,
	"mg/L Mg":   weightMg / 2,
	"mg/L Na":   weightNa,
	"mg/L K":    weightK,
	"mg/L HCO3": weightH + weightC + 3*weightO,
	"mg/L Cl":   weightCl,
	"mg/L SO4":  (weightS + 4*weightO) / 2,
	"mg/L NO3":  weightN + 3*weightO,
	"mg/L CO2":  weightC + 2*weightO,
	"mg/L SiO2": weightSi + 2*weightO,
}

// convert turns 1 of the row's from into its to, by way of this package.
func convert(t *testing.T, from, to string) float64 {
	t.Helper()
	if grams, ok := gramsPerEquivalent[from]; ok {
		return EquivConc(1 / grams).AsCaCO3().MilligramsPerLitreCaCO3() // mg/L over g/mol is eq/m³
	}
	switch from + " -> " + to {
	case "eq/L resin -> kgr CaCO3/ft3":
		return in(t, parse[EquivConc](t, "1 eq/L").AsCaCO3(), to)
	case "gpg -> mg/L CaCO3", "deg dH -> mg/L CaCO3", "deg fH -> mg/L CaCO3":
		return in(t, parse[CaCO3Conc](t, "1 "+from), to)
	case "gal/1000 ft2 -> um film":
		return in(t, parse[Length](t, "1 "+from), "um")
	case "gfd -> LMH":
		return in(t, parse[Flux](t, "1 "+from), to)
	case "psi -> kPa":
		return in(t, parse[Pressure](t, "1 "+from), to)
	case "gpm -> L/min":
		return in(t, parse[Flow](t, "1 "+from), to)
	case "bar -> kWh/m3":
		return in(t, parse[Pressure](t, "1 "+from).Work(CubicMetres(1)), "kWh")
	}
	t.Fatalf("no conversion from %s to %s", from, to)
	return 0
}

func parse[Q Quantity](t *testing.T, text string) Q {
	t.Helper()
	q, err := Parse[Q](text, Locale{})
	if err != nil {
		t.Fatal(err)
	}
	return q
}

func in[Q Quantity](t *testing.T, q Q, unit string) float64 {
	t.Helper()
	x, err := In(q, unit)
	if err != nil {
		t.Fatal(err)
	}
	return x
}

// wider holds a row to another tolerance, and why. The table's gfd is 1.69767
// LMH, but a gallon of 3.785411784 L on a square foot of 0.09290304 m² in 24 h is
// 1.697743 by definition, and so is the table's own film of 40.7458 µm over 24.
var wider = map[string]float64{"gfd": 5e-5}

func TestUnitsAgreeWithOutsideFactors(t *testing.T) {
	for _, row := range readRef(t, "testdata/ref/units.csv") {
		from, to, want, tol := row[0], row[1], number(t, row[2]), number(t, row[3])
		tol = max(tol, wider[from])
		if got := convert(t, from, to); !near(got, want, tol) {
			t.Errorf("1 %s is %v %s, want %v within %v", from, got, to, want, tol)
		}
	}
}

func TestGallonPerSquareFootDayFollowsItsDefinition(t *testing.T) {
	// published: [SP811] gallon 3.785411784 L, square foot 0.09290304 m², exact.
	want := 3.785411784 / 0.09290304 / 24
	if got := GallonsPerSquareFootDay(1).LitresPerSquareMetreHour(); !near(got, want, 1e-14) {
		t.Errorf("1 gfd is %v LMH, want %v", got, want)
	}
}

func TestUnitsAgreeWithSP811(t *testing.T) {
	for _, row := range readRef(t, "testdata/ref/sp811.csv") {
		want, read := number(t, row[1]), false
		for _, d := range doors {
			got, err := d.parse(row[0], Locale{})
			if err != nil {
				continue
			}
			read = true
			if !near(got, want, 5e-7) { // half of the seventh figure
				t.Errorf("%s of %s is %v, want %v", row[0], d.kind, got, want)
			}
		}
		if !read {
			t.Errorf("%q is read by no kind", row[0])
		}
	}
}
