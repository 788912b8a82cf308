package water

import (
	"errors"
	"fmt"
	"math"
	"testing"

	"rinsewright/internal/check"
	"rinsewright/quantity"
)

func TestLangelierExample(t *testing.T) {
	const source = "from memory, unverified: the published short-form example, TDS 320, Ca 150, alkalinity 34, pH 7.5"
	at := func(celsius float64) float64 {
		x, err := LangelierPH(quantity.MilligramsPerLitre(320), quantity.Celsius(celsius), quantity.MilligramsPerLitreCaCO3(150), quantity.MilligramsPerLitreCaCO3(34))
		if err != nil {
			t.Fatal(err)
		}
		return x
	}
	check.Near(t, at(25), 8.231, 0.02, source)
	check.Near(t, 7.5-at(25), -0.731, 0.02, source)
	check.Near(t, 7.5-at(82), 0.266, 0.02, source)
}

// Langelier's number and the calcite index agree in sign where both are clear,
// and never by accident in size: this holds the distance the documentation states.
func TestLangelierIsNotTheCalciteIndex(t *testing.T) {
	for id, w := range analysed(t) {
		s, err := Equilibrate(w)
		if err != nil {
			t.Fatal(err)
		}
		lsi, err := Langelier(w, s.PH)
		if errors.Is(err, ErrRange) {
			continue
		}
		if d := lsi - s.SaturationIndex(Calcite); !(d > -0.35 && d < 0.05) {
			t.Errorf("%s: Langelier %.2f, calcite index %.2f", id, lsi, s.SaturationIndex(Calcite))
		}
		rsi, err := Ryznar(w, s.PH)
		if err != nil || math.Abs(rsi-(s.PH-2*lsi)) > 1e-9 {
			t.Errorf("%s: Ryznar %v, %v", id, rsi, err)
		}
	}
}

func TestStiffDavisMeetsTheCalciteIndexInBrackishWater(t *testing.T) {
	for id, w := range analysed(t) {
		strong := w.Concentrate(4)
		s, err := Equilibrate(strong)
		if err != nil || s.IonicStrength < 0.05 {
			continue
		}
		x, err := StiffDavis(strong, s.PH)
		if err != nil {
			t.Fatal(err)
		}
		if d := x - s.SaturationIndex(Calcite); !(d > -0.55 && d < -0.15) {
			t.Errorf("%s: Stiff and Davis %.2f, calcite index %.2f", id, x, s.SaturationIndex(Calcite))
		}
	}
}

func TestShortFormCO2IsLowInTheCold(t *testing.T) {
	w := Water{Temperature: quantity.Celsius(10), Alkalinity: quantity.MilligramsPerLitreCaCO3(100).Equivalents()}
	w.Total[Sodium] = quantity.MolarConc(w.Alkalinity)
	_, s, err := WithPH(w, 7)
	if err != nil {
		t.Fatal(err)
	}
	short, err := FreeCO2FromPHAlkalinity(7, quantity.MilligramsPerLitreCaCO3(100))
	if err != nil {
		t.Fatal(err)
	}
	check.Near(t, short.MilligramsPerLitre(), 20, 1e-9, "from memory, unverified: Standard Methods 4500-CO2, 2 x 100 x 10^-1")
	full := CarbonDioxideMass(s.CO2())
	if ratio := float64(short / full); !(ratio > 0.7 && ratio < 0.9) {
		t.Errorf("short form gives %.2f of the CO2 at 10 °C, the documentation says a fifth low", ratio)
	}
}

func TestPenScales(t *testing.T) {
	const trade = "common practice, no source: conversion figures of dissolved-solids pens at 84 µS/cm"
	for _, row := range []struct {
		scale Scale
		want  float64 // ppm at 84 µS/cm
		low   float64 // ppm per µS/cm at 1000
		high  float64
	}{{ScaleNaCl, 38, 0.46, 0.52}, {ScaleKCl, 40, 0.48, 0.57}, {Scale442, 50.5, 0.64, 0.85}} {
		got, err := row.scale.Reading(quantity.MicrosiemensPerCm(84))
		if err != nil {
			t.Fatal(err)
		}
		check.Within(t, got.MilligramsPerLitre(), row.want, 0.06, trade)
		thousand, _ := row.scale.Reading(quantity.MicrosiemensPerCm(1000))
		if f := thousand.MilligramsPerLitre() / 1000; !(f > row.low && f < row.high) {
			t.Errorf("%v: %.3f ppm per µS/cm at 1000", row.scale, f)
		}
		for _, k := range []float64{0.06, 1, 84, 1413, 12880} {
			ppm, err := row.scale.Reading(quantity.MicrosiemensPerCm(k))
			if err != nil {
				t.Fatal(err)
			}
			back, err := row.scale.Conductivity(ppm)
			if err != nil || math.Abs(back.MicrosiemensPerCm()/k-1) > 1e-9 {
				t.Errorf("%v: %v µS/cm read as %v, which is %v µS/cm (%v)", row.scale, k, ppm, back.MicrosiemensPerCm(), err)
			}
		}
		if zero, _ := row.scale.Reading(quantity.MicrosiemensPerCm(0.03)); zero != 0 {
			t.Errorf("%v shows %v in water purer than water", row.scale, zero)
		}
	}
	half, err := CustomScale(0.5)
	if err != nil {
		t.Fatal(err)
	}
	ppm, _ := half.Reading(quantity.MicrosiemensPerCm(1000))
	check.Near(t, ppm.MilligramsPerLitre(), 500, 1e-9, "common practice, no source: a 0.5 pen shows 500 ppm at 1000 µS/cm")
	for _, bad := range []float64{0, -1, math.NaN(), 5} {
		if _, err := CustomScale(bad); !errors.Is(err, ErrRange) {
			t.Errorf("factor %v: %v", bad, err)
		}
	}
	if _, err := (Scale{}).Reading(1); !errors.Is(err, ErrRange) {
		t.Errorf("no scale: %v", err)
	}
}

func TestComponentsConvertBackAndForth(t *testing.T) {
	for c := range NComponents {
		if got := c.Molar(c.Mass(2.5)); math.Abs(float64(got)-2.5) > 1e-12 {
			t.Errorf("%s: 2.5 mol/m³ came back as %v", c, got)
		}
		if c.Charge() != 0 {
			if got := c.FromCaCO3(c.AsCaCO3(2.5)); math.Abs(float64(got)-2.5) > 1e-12 {
				t.Errorf("%s: 2.5 mol/m³ came back from CaCO3 as %v", c, got)
			}
		}
		if c.Formula() == "" || c.String() == "" {
			t.Errorf("component %d has no name", c)
		}
	}
	check.Within(t, Calcium.AsCaCO3(Calcium.Molar(quantity.MilligramsPerLitre(40.08))).MilligramsPerLitreCaCO3(), 100.09, 1e-3,
		"common practice, no source: calcium times 2.497 is hardness as CaCO3")
}

func TestDescriptionsFollowTheContract(t *testing.T) {
	a := Analysis{PH: 7.6, Alkalinity: quantity.MilligramsPerLitreCaCO3(180), Temperature: quantity.Celsius(14)}
	for c, mg := range map[Component]float64{Calcium: 70, Magnesium: 14, Sodium: 22, Chloride: 40, Sulphate: 42, Silica: 11} {
		a.Mass[c] = quantity.MilligramsPerLitre(mg)
	}
	whole, err := DescribeWater(a)
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(whole.Solution.PH-7.6) > 1e-6 {
		t.Errorf("pH %v", whole.Solution.PH)
	}
	double, err := DescribeConcentrate(a, 2)
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(double.Solution.MolalityOf(Calcium)/whole.Solution.MolalityOf(Calcium)-2) > 1e-9 {
		t.Error("a concentrate of 2 does not hold twice the calcium per kg of water")
	}
	same, err := DescribeBlend(a, a, 0.3)
	if err != nil || math.Abs(same.Solution.PH-7.6) > 1e-4 {
		t.Errorf("a water blended with itself: pH %v, %v", same.Solution.PH, err)
	}
	sour, dose, err := DescribeDose(a, 6.5, HydrochloricAcid)
	if err != nil || math.Abs(sour.Solution.PH-6.5) > 1e-9 || !(dose.Mass > 0) {
		t.Errorf("dosed to pH %v with %v, %v", sour.Solution.PH, dose, err)
	}
	balance, settled, err := DescribeCalcite(a, 2)
	if err != nil || math.Abs(balance.Index[Calcite]) > 1e-6 || !(settled.Mass > 0) {
		t.Errorf("calcite index %v after %v settled, %v", balance.Index[Calcite], settled, err)
	}
	aired, err := DescribeOpenToAir(a)
	if err != nil || !(aired.Solution.PH > 7.6) {
		t.Errorf("hard water left open to air: pH %v, %v", aired.Solution.PH, err)
	}
	permeate, err := DescribePermeate(Recipe{SodiumChloride: quantity.MilligramsPerLitre(5), CarbonDioxide: quantity.MilligramsPerLitre(5), Temperature: quantity.Celsius(25)})
	if err != nil || !(permeate.Solution.PH < 6) {
		t.Errorf("permeate with CO2: pH %v, %v", permeate.Solution.PH, err)
	}
	for _, factor := range []float64{0, -1, math.NaN(), 1e9} {
		if _, err := DescribeConcentrate(a, factor); !errors.Is(err, ErrRange) {
			t.Errorf("factor %v: %v", factor, err)
		}
	}
}

func TestDoorsGiveTheReferenceTables(t *testing.T) {
	all := analyses(t)
	blends := check.Ref(t, "testdata/ref/blends.csv")
	for _, r := range blends.Rows {
		d, err := DescribeBlend(all[r.Text("water_a")], all[r.Text("water_b")], quantity.Ratio(r.Number("fraction_a_by_water_mass")))
		if err != nil {
			t.Fatal(err)
		}
		check.Near(t, d.Solution.PH, r.Number("pH"), 0.003, blends.Source())
		check.Near(t, d.Index[Calcite], r.Number("SI_calcite"), 0.003, blends.Source())
	}
	calcite := check.Ref(t, "testdata/ref/calcite_equilibrium.csv")
	for _, r := range calcite.Rows {
		d, settled, err := DescribeCalcite(all[r.Text("id")], r.Number("concentration_factor_watermass"))
		if err != nil {
			t.Fatal(err)
		}
		want := r.Number("calcite_precipitated_mg_per_kg_final_water")
		check.Near(t, settled.Mass.MilligramsPerLitre()/float64(d.Solution.WaterContent())*1000, want, 0.005*math.Abs(want)+0.2, calcite.Source())
	}
	permeate := check.Ref(t, "testdata/ref/permeate.csv")
	for _, r := range permeate.Rows {
		d, err := DescribePermeate(Recipe{
			SodiumChloride: quantity.MilligramsPerLitre(r.Number("NaCl_mgL")), SodiumBicarbonate: quantity.MilligramsPerLitre(r.Number("NaHCO3_mgL")),
			CarbonDioxide: quantity.MilligramsPerLitre(r.Number("CO2_added_mgL_as_CO2")), Calcium: quantity.MilligramsPerLitre(r.Number("Ca_as_CaCl2_mgL_Ca")),
			Silica: quantity.MilligramsPerLitre(r.Number("SiO2_mgL")), Temperature: quantity.Celsius(r.Number("temp_C")),
		})
		if err != nil {
			t.Fatal(err)
		}
		check.Near(t, d.Solution.PH, r.Number("pH"), 0.003, permeate.Source())
		check.Within(t, d.Solution.IonicStrength, r.Number("ionic_strength_molkgw"), 0.001, permeate.Source())
		check.Near(t, CarbonDioxideMass(d.Solution.CO2()).MilligramsPerLitre(), r.Number("CO2aq_mgL"), 0.005*r.Number("CO2aq_mgL")+1e-4, permeate.Source())
	}
}

// The saturation pH of the short-form example, and how far it is from pH 7.5.
func ExampleLangelierPH() {
	pHs, _ := LangelierPH(quantity.MilligramsPerLitre(320), quantity.Celsius(25),
		quantity.MilligramsPerLitreCaCO3(150), quantity.MilligramsPerLitreCaCO3(34))
	fmt.Printf("pHs %.2f, index %.1f\n", pHs, 7.5-pHs)
	// Output: pHs 8.23, index -0.7
}

// One pen reading on two scales is two waters.
func ExampleScale_Reading() {
	k := quantity.MicrosiemensPerCm(1000)
	salt, _ := ScaleNaCl.Reading(k)
	natural, _ := Scale442.Reading(k)
	fmt.Printf("%.0f ppm NaCl, %.0f ppm 442\n", salt.MilligramsPerLitre(), natural.MilligramsPerLitre())
	// Output: 492 ppm NaCl, 677 ppm 442
}
