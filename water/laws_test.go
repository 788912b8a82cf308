package water

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"

	"rinsewright/internal/check"
	"rinsewright/quantity"
)

// anyWater draws an electrically neutral water such as wells, rivers and their
// concentrates are.
func anyWater(t *rapid.T, label string) Water {
	w := Water{Temperature: quantity.Celsius(rapid.Float64Range(1, 45).Draw(t, label+" t"))}
	draw := func(c Component, high float64) {
		w.Total[c] = concentration(rapid.Float64Range(0, high).Draw(t, label+" "+c.String()))
	}
	for c, high := range [NComponents]float64{
		Calcium: 8, Magnesium: 5, Potassium: 1, Strontium: 0.05, Barium: 0.002, Iron: 0.05, Manganese: 0.01,
		Ammonia: 0.1, Chloride: 20, Sulphate: 8, Nitrate: 1, Fluoride: 0.1, Silica: 1, Boron: 0.1, Phosphate: 0.02,
	} {
		if high > 0 {
			draw(Component(c), high)
		}
	}
	alkalinity := rapid.Float64Range(0.05, 8).Draw(t, label+" alkalinity")
	w.Alkalinity = charge(alkalinity)
	w.Total[Carbon] = concentration(alkalinity * rapid.Float64Range(0.95, 1.6).Draw(t, label+" carbon"))
	if missing := -float64(w.ChargeImbalance()); missing > 0 {
		w.Total[Sodium] = concentration(missing)
	} else {
		w.Total[Chloride] -= concentration(missing)
	}
	return w
}

func TestSpeciesAddUpAndAreNeutral(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		w := anyWater(rt, "w")
		s, err := Equilibrate(w)
		if err != nil {
			rt.Fatal(err)
		}
		balanced(t, w, s)
		var net, gross float64
		s.EachSpecies(func(_ string, z int, c quantity.MolarConc) {
			net += float64(z) * float64(c)
			gross += math.Abs(float64(z)) * float64(c)
		})
		if math.Abs(net) > 1e-7*gross {
			rt.Errorf("species carry a net charge of %g of %g eq/m³", net, gross)
		}
	})
}

func TestMixingAndConcentratingConserve(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		a, b := anyWater(rt, "a"), anyWater(rt, "b")
		x := rapid.Float64Range(0, 1).Draw(rt, "share")
		mixed := Blend(a, b, quantity.Ratio(x))
		ma, _ := perKilogram(&a)
		mb, _ := perKilogram(&b)
		mm, _ := perKilogram(&mixed)
		for c := range NComponents {
			if want := x*ma.total[c] + (1-x)*mb.total[c]; math.Abs(mm.total[c]-want) > 1e-8*(want+1e-9) {
				rt.Errorf("%s: %g mol/kg after mixing, wanted %g", c, mm.total[c], want)
			}
		}
		factor := rapid.Float64Range(0.2, 5).Draw(rt, "factor")
		back := a.Concentrate(factor).Concentrate(1 / factor)
		if math.Abs(float64(back.Total[Chloride]-a.Total[Chloride])) > 1e-7*float64(a.Total[Chloride])+1e-12 {
			rt.Errorf("concentrating and diluting again left %v of chloride %v", back.Total[Chloride], a.Total[Chloride])
		}
		if imbalance := mixed.ChargeImbalance(); math.Abs(float64(imbalance)) > 1e-6 {
			rt.Errorf("two neutral waters mixed to one with %v of charge", imbalance)
		}
	})
}

func TestWhatPhysicsMakesMonotone(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		w := anyWater(rt, "w")
		s, err := Equilibrate(w)
		if err != nil {
			rt.Fatal(err)
		}
		more := w
		more.Total[Carbon] += 0.2
		sour, err := Equilibrate(more)
		if err != nil {
			rt.Fatal(err)
		}
		if !(sour.PH < s.PH) || !(sour.CO2Pressure() > s.CO2Pressure()) {
			rt.Errorf("CO2 added: pH %.4f to %.4f, pressure %v to %v", s.PH, sour.PH, s.CO2Pressure(), sour.CO2Pressure())
		}
		strong, err := Equilibrate(w.Concentrate(1.5))
		if err != nil {
			rt.Fatal(err)
		}
		if !(strong.Conductivity() > s.Conductivity()) || !(strong.OsmoticPressure() > s.OsmoticPressure()) || !(strong.Density() > s.Density()) {
			rt.Error("a concentrate conducts, pulls or weighs less than its feed")
		}
		if !(strong.SaturationIndex(AmorphousSilica) >= s.SaturationIndex(AmorphousSilica)) {
			rt.Error("silica came further from settling in a concentrate")
		}
		warm, err := Equilibrate(w.At(w.Temperature + 5))
		if err != nil {
			rt.Fatal(err)
		}
		if !(warm.Conductivity() > s.Conductivity()) {
			rt.Error("a water conducts less when warm")
		}
	})
}

func TestAirTakesAlkalinityNowhere(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		w := anyWater(rt, "w")
		aired, s, err := OpenToAir(w, AirCO2)
		if err != nil {
			rt.Fatal(err)
		}
		if math.Abs(s.MolalityOfAlkalinity()*float64(s.WaterContent())/float64(w.Alkalinity)-1) > 1e-3 {
			rt.Errorf("alkalinity %v became %v", w.Alkalinity, aired.Alkalinity)
		}
		if p := float64(s.CO2Pressure() / AirCO2); math.Abs(p-1) > 1e-6 {
			rt.Errorf("CO2 pressure is %.8f of the air's", p)
		}
	})
}

func TestRefusals(t *testing.T) {
	good := Water{Temperature: quantity.Celsius(20), Alkalinity: 1}
	good.Total[Carbon], good.Total[Sodium] = 1, 1
	for name, change := range map[string]func(*Water){
		"NaN sodium":      func(w *Water) { w.Total[Sodium] = quantity.MolarConc(math.NaN()) },
		"negative carbon": func(w *Water) { w.Total[Carbon] = -1 },
		"infinite":        func(w *Water) { w.Total[Calcium] = quantity.MolarConc(math.Inf(1)) },
		"ice":             func(w *Water) { w.Temperature = quantity.Celsius(-1) },
		"steam":           func(w *Water) { w.Temperature = quantity.Celsius(99) },
		"NaN alkalinity":  func(w *Water) { w.Alkalinity = quantity.EquivConc(math.NaN()) },
	} {
		w := good
		change(&w)
		_, err := Equilibrate(w)
		var r *RangeError
		if !errors.As(err, &r) || !errors.Is(err, ErrRange) {
			t.Errorf("%s: got %v, wanted a range error", name, err)
		}
	}
	if _, _, err := WithPH(good, 2); !errors.Is(err, ErrRange) {
		t.Errorf("pH 2: got %v", err)
	}
	poor := good
	poor.Alkalinity, poor.Total[Silica] = 0.01, 2
	if _, _, err := WithPH(poor, 10); !errors.Is(err, ErrImpossible) {
		t.Errorf("silicate above the alkalinity: got %v", err)
	}
	if _, _, err := OpenToAir(good, 0); !errors.Is(err, ErrRange) {
		t.Errorf("air without CO2: got %v", err)
	}
}

func TestSpeciationAllocatesNothing(t *testing.T) {
	w := analysed(t)["W011"]
	if n := testing.AllocsPerRun(20, func() {
		if _, err := Equilibrate(w); err != nil {
			t.Fatal(err)
		}
	}); n != 0 {
		t.Errorf("%v allocations a speciation", n)
	}
}

func TestSums(t *testing.T) {
	table := check.Ref(t, "testdata/ref/tds.csv")
	for _, r := range table.Rows {
		var w Water
		for c, column := range map[Component]string{Calcium: "Ca", Magnesium: "Mg", Sodium: "Na", Potassium: "K", Chloride: "Cl", Sulphate: "SO4", Fluoride: "F", Silica: "SiO2"} {
			if r.Text(column) != "" {
				w.Total[c] = c.Molar(quantity.MilligramsPerLitre(r.Number(column)))
			}
		}
		w.Alkalinity = quantity.EquivConc(Carbon.Molar(quantity.MilligramsPerLitre(r.Number("HCO3"))))
		check.Within(t, w.ResidueAt180().MilligramsPerLitre(), r.Number("dissolved_solids_calculated_published"), 0.015, table.Source())
		check.Within(t, w.Hardness().MilligramsPerLitreCaCO3(), r.Number("hardness_published"), 0.02, table.Source())
	}
	balance := check.Ref(t, "testdata/ref/charge_balance.csv")
	for _, r := range balance.Rows {
		cations, anions := r.Number("Cation_sum"), r.Number("Anion_sum")
		w := Water{Alkalinity: charge(anions)}
		w.Total[Sodium] = concentration(cations)
		check.Near(t, 100*float64(w.ChargeBalance()), r.Number("Pct_Diff"), 0.02, balance.Source())
	}
	degrees := check.Ref(t, "testdata/ref/hardness.csv")
	agree := 0
	for _, r := range degrees.Rows {
		var w Water
		w.Total[Calcium] = Calcium.Molar(quantity.MilligramsPerLitre(r.Number("Ca")))
		w.Total[Magnesium] = Magnesium.Molar(quantity.MilligramsPerLitre(r.Number("Mg")))
		german := w.Hardness().MilligramsPerLitreCaCO3() / 17.848
		check.Near(t, german, r.Number("hardness_dH_from_Ca_Mg"), 0.05, degrees.Source())
		if math.Abs(german-r.Number("hardness_dH_published")) < 0.4 {
			agree++
		}
	}
	if agree < len(degrees.Rows)*3/4 {
		t.Errorf("only %d of %d printed hardnesses agree with their calcium and magnesium", agree, len(degrees.Rows))
	}
}
