package water

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"rinsewright/internal/check"
	"rinsewright/quantity"
)

func readReport(t *testing.T, text string, o ReportOptions) Report {
	t.Helper()
	r, err := ReadReport(text, o)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func TestUnitsAndFormsOfALaboratoryBecomeTheIon(t *testing.T) {
	source := "published: atomic weights; Ca 40.08, N 14.0067, O 15.9994, Si 28.0855"
	for _, row := range []struct {
		header, cell string
		ion          Component
		want         float64 // mg/L of the ion
	}{
		{"Calcium (mg/L)", "82", Calcium, 82},
		{"Ca_mgL", "82", Calcium, 82},
		{"Calcium as CaCO3, mg/L", "100.087", Calcium, 40.08},
		{"Calcium mmol/l", "1", Calcium, 40.08},
		{"Mg [meq/L]", "1", Magnesium, 12.156},
		{"Nitrate as N (mg/L)", "10", Nitrate, 44.27},
		{"NO3-N mg/L", "10", Nitrate, 44.27},
		{"Nitrate (mg/L as NO3)", "10", Nitrate, 10},
		{"NH4-N (ug/L)", "1000", Ammonia, 1.288},
		{"Silica, mg/L as Si", "10", Silica, 21.39},
		{"Si (mg/L)", "10", Silica, 21.39},
		{"SiO₂ mg/L", "21.4", Silica, 21.4},
		{"Iron, dissolved (µg/L)", "50", Iron, 0.05},
		{"Sulfate by IC, mg/L", "71", Sulphate, 71},
		{"Sulphate as S mg/L", "10", Sulphate, 29.96},
		{"Chloride ppm", "7.8", Chloride, 7.8},
	} {
		r := readReport(t, row.header+";x\n"+row.cell+";", ReportOptions{})
		got := r.Samples[0].Sample.Ions[row.ion].Value.MilligramsPerLitre()
		if math.Abs(got/row.want-1) > 2e-3 {
			t.Errorf("%s %s is %.4g mg/L of %s, wanted %.4g (%s)", row.header, row.cell, got, row.ion, row.want, source)
		}
	}
}

func TestHardnessAlkalinityAndMetersOfALaboratory(t *testing.T) {
	r := readReport(t, "Sample,Date,Total hardness °dH,Alkalinity (mg/L as CaCO3),Conductivity (µS/cm),pH,Temp °F,Free chlorine mg/L\nPump house,2026-06-13T09:00,15.8,250,612,7.4,57.2,0.4\n", ReportOptions{})
	s := r.Samples[0]
	source := "published: definitions of the units, 1 °dH is 10 mg/L of CaO"
	check.Near(t, s.Sample.Hardness.Value.MilligramsPerLitreCaCO3(), 282, 0.3, source)
	check.Near(t, s.Sample.Alkalinity.Value.MilligramsPerLitreCaCO3(), 250, 1e-6, source)
	check.Near(t, s.Sample.Strength.Conductivity.Value.MicrosiemensPerCm(), 612, 1e-6, source)
	check.Near(t, s.Sample.Temperature.Value.Celsius(), 14, 1e-6, source)
	check.Near(t, s.Sample.FreeChlorine.Value.MilligramsPerLitre(), 0.4, 1e-9, source)
	if s.Name != "Pump house" || s.Sample.Date != "2026-06-13" || s.Sample.PH.Value != 7.4 {
		t.Errorf("read %+v", s)
	}
}

func TestBicarbonateStandsForAlkalinityAsTheIonOrAsCaCO3(t *testing.T) {
	source := "published: molar masses; 61.017 g of HCO3 and 50.04 g of CaCO3 carry one mole of charge"
	asIon := readReport(t, "HCO3 mg/L,Ca mg/L\n305.1,80\n", ReportOptions{})
	check.Near(t, asIon.Samples[0].Sample.Alkalinity.Value.MilligramsPerLitreCaCO3(), 250.2, 0.2, source)
	asSalt := readReport(t, "Bicarbonate as CaCO3 mg/L,Ca mg/L\n250,80\n", ReportOptions{})
	check.Near(t, asSalt.Samples[0].Sample.Alkalinity.Value.MilligramsPerLitreCaCO3(), 250, 0.2, source)
}

func TestBelowDetectionStaysABound(t *testing.T) {
	r := readReport(t, "Iron mg/L,Calcium mg/L,Nitrate mg/L\n<0.05,80,n.d.\n", ReportOptions{})
	s := r.Samples[0].Sample
	if s.Ions[Iron].Known || s.Below[Iron] != quantity.MilligramsPerLitre(0.05) {
		t.Errorf("iron <0.05 was read as %v, bound %v", s.Ions[Iron], s.Below[Iron])
	}
	if s.looked(Nitrate) || len(r.Problems) != 1 {
		t.Errorf("n.d. without a bound says nothing: %v, problems %q", s, r.Problems)
	}
}

func TestLongTablesAndUnitRowsAndDecimalCommas(t *testing.T) {
	long := "Sample;Parameter;Result;Unit\nA;Calcium;82,5;mg/L\nA;Nitrate;<0,5;mg/L as N\nB;Calcium;12;mg/L\nB;pH;7,1;\nB;Colour;5;Hazen\n"
	r := readReport(t, long, ReportOptions{DecimalComma: true})
	if len(r.Samples) != 2 || r.Samples[0].Name != "A" || r.Samples[1].Sample.PH.Value != 7.1 {
		t.Fatalf("read %+v", r)
	}
	if got := r.Samples[0].Sample.Ions[Calcium].Value.MilligramsPerLitre(); math.Abs(got-82.5) > 1e-9 {
		t.Errorf("82,5 mg/L was read as %g", got)
	}
	check.Near(t, r.Samples[0].Sample.Below[Nitrate].MilligramsPerLitre(), 0.5*62.0049/14.0067, 1e-3, "published: atomic weights")
	row := readReport(t, "id,Ca,NO3,Alkalinity\n,mg/L,mg/L as N,mg/L as CaCO3\nx,80,1,200\n", ReportOptions{})
	check.Near(t, row.Samples[0].Sample.Ions[Nitrate].Value.MilligramsPerLitre(), 4.427, 2e-3, "published: atomic weights")
	mapped := readReport(t, "Kalzium;Kuerzel\n80;x\n", ReportOptions{Columns: map[string]string{"Kalzium": "calcium mg/L as CaCO3", "Kuerzel": "sample"}})
	check.Near(t, mapped.Samples[0].Sample.Ions[Calcium].Value.MilligramsPerLitre(), 32.03, 0.02, "published: atomic weights")
	if mapped.Samples[0].Name != "x" {
		t.Errorf("sample %q", mapped.Samples[0].Name)
	}
}

func TestTablesThatAreNoneAreRefused(t *testing.T) {
	for _, text := range []string{"", "a\n", "colour,smell\n1,2\n", "Calcium\n80\n", "Calcium mg/L\n\n"} {
		if _, err := ReadReport(text, ReportOptions{}); !errors.Is(err, ErrReport) {
			t.Errorf("%q: %v", text, err)
		}
	}
}

// Tap-water zones as municipalities print them: those rows whose hardness is
// not that of their calcium and magnesium are flagged, the others pass.
func TestInconsistentHardnessRowsAreSuspected(t *testing.T) {
	table := check.Ref(t, "testdata/ref/hardness.csv")
	var b strings.Builder
	b.WriteString("Sample,Total hardness °dH,Na mg/L,K mg/L,Ca mg/L,Mg mg/L,Cl mg/L,NO3 mg/L,SO4 mg/L\n")
	for _, r := range table.Rows {
		fmt.Fprintf(&b, "%s,%s,%s,%s,%s,%s,%s,%s,%s\n", r.Text("row"), r.Text("hardness_dH_published"), r.Text("Na"), r.Text("K"), r.Text("Ca"), r.Text("Mg"), r.Text("Cl"), r.Text("NO3"), r.Text("SO4"))
	}
	report := readReport(t, b.String(), ReportOptions{})
	if len(report.Samples) != len(table.Rows) {
		t.Fatalf("%d samples of %d rows", len(report.Samples), len(table.Rows))
	}
	flagged := 0
	for i, r := range table.Rows {
		apart := math.Abs(r.Number("hardness_dH_published") - r.Number("hardness_dH_from_Ca_Mg"))
		suspected := false
		for _, s := range report.Samples[i].Suspicions {
			suspected = suspected || s.Of == "hardness"
		}
		if suspected {
			flagged++
		}
		if apart > 0.5 && !suspected || apart < 0.35 && suspected {
			t.Errorf("row %s: %.2f °dH apart, suspected %v (%s)", r.Text("row"), apart, suspected, table.Source())
		}
	}
	t.Logf("%d of %d rows flagged", flagged, len(table.Rows))
}

func TestMissingAlkalinityIsSuspected(t *testing.T) {
	table := check.Ref(t, "testdata/ref/charge_balance.csv")
	text := "Sample,Ca meq/L,Mg meq/L,Na meq/L,K meq/L,Alkalinity meq/L,Cl meq/L,SO4 meq/L,NO3 meq/L,F meq/L\n"
	for _, r := range table.Rows {
		text += strings.Join([]string{r.Text("SAMPLE"), r.Text("Ca"), r.Text("Mg"), r.Text("Na"), r.Text("K"), r.Text("Alk"), r.Text("Cl"), r.Text("SO4"), r.Text("NO2NO3"), r.Text("F")}, ",") + "\n"
	}
	for i, s := range readReport(t, text, ReportOptions{}).Samples {
		published := table.Rows[i].Number("Pct_Diff")
		if got := len(s.Suspicions) > 0; got != (math.Abs(published) > 10) {
			t.Errorf("%s: published balance %.2f %%, suspicions %v", s.Name, published, s.Suspicions)
		}
		if published > 80 && !strings.Contains(s.Suspicions[0].Why, "alkalinity is missing") {
			t.Errorf("%s: %s", s.Name, s.Suspicions[0].Why)
		}
	}
}

func FuzzReadReport(f *testing.F) {
	f.Add("Sample,Ca mg/L\nx,<0.05\n", false)
	f.Add("Parameter;Result;Unit\nCalcium;8,5;mg/L\n", true)
	f.Add("Ca mg/L,pH\nNaN,Inf\n1e400,-3\n", false)
	f.Fuzz(func(t *testing.T, text string, comma bool) {
		r, err := ReadReport(text, ReportOptions{DecimalComma: comma})
		if err != nil {
			return
		}
		for _, s := range r.Samples {
			for c, e := range s.Sample.Ions {
				if math.IsNaN(float64(e.Value)) || math.IsInf(float64(e.Value), 0) || e.Value < 0 {
					t.Errorf("%s is %v", c, e.Value)
				}
			}
		}
	})
}
