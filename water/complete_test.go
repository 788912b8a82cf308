package water

import (
	"errors"
	"math"
	"math/rand/v2"
	"reflect"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"rinsewright/internal/check"
	"rinsewright/quantity"
)

func milligrams(x float64) quantity.Entry[quantity.MassConc] {
	return quantity.Told(quantity.MilligramsPerLitre(x))
}

// sampleOf is a full analysis as a laboratory would print it.
func sampleOf(a Analysis) Sample {
	s := Sample{
		Place: "raw", Instrument: "laboratory", PH: quantity.Told(quantity.PH(a.PH)), Temperature: quantity.Told(a.Temperature),
		Alkalinity: quantity.Told(a.Alkalinity), Ions: map[Component]quantity.Entry[quantity.MassConc]{},
	}
	for c, mass := range a.Mass {
		if Component(c) != Carbon {
			s.Ions[Component(c)] = quantity.Told(mass)
		}
	}
	return s
}

func TestFullAnalysisPassesUnchanged(t *testing.T) {
	for id, a := range analyses(t) {
		want, solution, err := a.Water()
		if err != nil {
			t.Fatal(err)
		}
		c, err := Complete(sampleOf(a), CityPrior())
		if err != nil {
			t.Fatalf("%s: %v", id, err)
		}
		if !c.Full || len(c.Contradictions) > 0 {
			t.Errorf("%s: full %v, contradictions %q", id, c.Full, c.Contradictions)
		}
		for ion := range NComponents {
			if math.Abs(float64(c.Water.Total[ion]-want.Total[ion])) > 1e-12*(1+float64(want.Total[ion])) {
				t.Errorf("%s: %s was %g and is %g mol/m³", id, ion, want.Total[ion], c.Water.Total[ion])
			}
		}
		check.Near(t, c.Solution.PH, solution.PH, 1e-9, "reference code: PHREEQC 3.8.8 input analyses, pH as given")
		check.Near(t, float64(c.Imbalance), 0, 2e-4, "reference code: PHREEQC 3.8.8 input analyses, balanced and rounded to 0.0012 %; pH and alkalinity hold 0.02 %")
	}
}

func TestChargeErrorIsReportedAndAnIonTakesItOnlyWhenAsked(t *testing.T) {
	for _, r := range check.Ref(t, "testdata/ref/ec20.csv").Rows[:12] {
		want := r.Number("charge_balance_pct") / 100
		s := Sample{
			Instrument: "laboratory", PH: quantity.Told(quantity.PH(r.Number("pH"))), Temperature: quantity.Told(quantity.Celsius(12)),
			Alkalinity: quantity.Told(Carbon.AsCaCO3(Carbon.Molar(quantity.MilligramsPerLitre(r.Number("HCO3_mg_L"))))),
			Ions: map[Component]quantity.Entry[quantity.MassConc]{
				Calcium: milligrams(r.Number("Ca_mg_L")), Magnesium: milligrams(r.Number("Mg_mg_L")),
				Sodium: milligrams(r.Number("Na_mg_L")), Potassium: milligrams(r.Number("K_mg_L")), Ammonia: milligrams(r.Number("NH4_mg_L")),
				Chloride: milligrams(r.Number("Cl_mg_L")), Sulphate: milligrams(r.Number("SO4_mg_L")), Nitrate: milligrams(r.Number("NO3_mg_L")),
			},
		}
		if r.Number("pH") < 5 {
			continue // its acid is a cation of its own
		}
		c, err := Complete(s, WellPrior())
		if err != nil {
			t.Fatal(err)
		}
		check.Near(t, float64(c.Imbalance), want, 0.004, "published: charge balances of [Stuyfzand1987]'s analyses, recomputed")
		check.Near(t, float64(c.Neutral.ChargeImbalance()), 0, 1e-4, "published: electroneutrality, law")
		taken, err := c.BalancedBy(Chloride)
		if err != nil {
			t.Fatal(err)
		}
		check.Near(t, float64(taken.ChargeImbalance()), 0, 1e-9, "published: electroneutrality, law")
	}
	if _, err := (Completion{}).BalancedBy(Silica); !errors.Is(err, ErrRange) {
		t.Errorf("silica carries no charge, and the error is %v", err)
	}
}

func TestCompletedWaterAgreesWithItsReadings(t *testing.T) {
	s := meterAndKits()
	c, err := Complete(s, CityPrior())
	if err != nil {
		t.Fatal(err)
	}
	for _, row := range []struct {
		name             string
		got, read, limit float64
	}{
		{"conductivity", float64(c.Conductivity), float64(c.Read), 0.03 * float64(c.Read)},
		{"hardness", c.Water.Hardness().GrainsPerGallon(), 14, 1},
		{"alkalinity", c.Water.Alkalinity.AsCaCO3().MilligramsPerLitreCaCO3(), 180, 15},
		{"pH", c.Solution.PH, 7.4, 0.1},
		{"temperature", c.Water.Temperature.Celsius(), 14, 0.75},
	} {
		if !(math.Abs(row.got-row.read) <= row.limit) {
			t.Errorf("%s was read as %g, the water has %g", row.name, row.read, row.got)
		}
	}
	check.Near(t, float64(c.Water.ChargeImbalance()), 0, 1e-9, "published: electroneutrality, law")
	if len(c.Contradictions) > 0 || c.Full {
		t.Errorf("contradictions %q, full %v", c.Contradictions, c.Full)
	}
}

// anySample draws what a person could type, sane or not.
func anySample(t *rapid.T) Sample {
	told := func(name string, low, high float64) (float64, bool) {
		return rapid.Float64Range(low, high).Draw(t, name), rapid.Bool().Draw(t, name+" read")
	}
	var s Sample
	if x, ok := told("µS/cm", 1, 30000); ok {
		s.Strength.Conductivity = quantity.Told(quantity.MicrosiemensPerCm(x))
	} else if x, ok := told("ppm", 1, 9000); ok {
		s.Strength.PPM = quantity.Told(quantity.MilligramsPerLitre(x))
		s.Strength.Scale = rapid.SampledFrom([]string{"", "NaCl", "442", "KCl", "0.55"}).Draw(t, "scale")
	}
	if x, ok := told("hardness", 0, 1500); ok {
		s.Hardness = quantity.Told(quantity.MilligramsPerLitreCaCO3(x))
	}
	if x, ok := told("alkalinity", 0, 800); ok {
		s.Alkalinity = quantity.Told(quantity.MilligramsPerLitreCaCO3(x))
	}
	if x, ok := told("pH", 5, 9.8); ok {
		s.PH = quantity.Told(quantity.PH(x))
	}
	if x, ok := told("°C", 1, 40); ok {
		s.Temperature = quantity.Told(quantity.Celsius(x))
	}
	s.Ions, s.Below = map[Component]quantity.Entry[quantity.MassConc]{}, map[Component]quantity.MassConc{}
	for _, c := range []Component{Calcium, Sodium, Chloride, Sulphate, Silica, Iron, Barium, Fluoride} {
		if x, ok := told(c.String(), 0, 60); ok {
			s.Ions[c] = milligrams(x)
		} else if rapid.Bool().Draw(t, c.String()+" below") {
			s.Below[c] = quantity.MilligramsPerLitre(x)
		}
	}
	return s
}

func TestAnySampleGivesANeutralWaterOrAReason(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := anySample(t)
		all, err := Ensemble(s, CityPrior(), 7, 8)
		if err != nil {
			if !errors.Is(err, ErrNoStrength) && !errors.Is(err, ErrRange) && !errors.Is(err, ErrImpossible) && !errors.Is(err, ErrNoConvergence) {
				t.Fatalf("refused for no reason of ours: %v", err)
			}
			return
		}
		for _, c := range all {
			for ion, x := range c.Water.Total {
				if !(x >= 0 && x < maxTotal) {
					t.Fatalf("%s is %g", Component(ion), x)
				}
			}
			if off := float64(c.Neutral.ChargeImbalance()); math.Abs(off) > 1e-9*(1+float64(c.Water.Alkalinity)) {
				t.Fatalf("%g eq/m³ of charge too much", off)
			}
			if !(c.Conductivity > 0) || math.IsInf(float64(c.Conductivity), 0) {
				t.Fatalf("conducts %g", c.Conductivity)
			}
		}
	})
}

func FuzzComplete(f *testing.F) {
	f.Add(0.06, 0.2, 0.15, 7.5, 285.0, 0.01)
	f.Add(math.NaN(), math.Inf(1), math.Inf(-1), 0.0, -1.0, 0.0)
	f.Add(0.0, 0.0, 0.0, 3.0, 273.15, 200.0)
	f.Add(20.0, 1e-9, 90.0, 11.5, 333.0, 1e-12)
	f.Fuzz(func(t *testing.T, siemens, hardness, alkalinity, pH, kelvins, chloride float64) {
		s := Sample{
			Strength: Strength{Conductivity: quantity.Told(quantity.Conductivity(siemens))}, Hardness: quantity.Told(quantity.CaCO3Conc(hardness)),
			Alkalinity: quantity.Told(quantity.CaCO3Conc(alkalinity)), PH: quantity.Told(quantity.PH(pH)), Temperature: quantity.Told(quantity.Temperature(kelvins)),
			Ions: map[Component]quantity.Entry[quantity.MassConc]{Chloride: quantity.Told(quantity.MassConc(chloride))},
		}
		c, err := Complete(s, CityPrior())
		if err == nil {
			finite(t, c.Solution)
		}
	})
}

func TestReadingsThatCannotAllBeTrueAreNamed(t *testing.T) {
	kits := func(change func(*Sample)) Sample {
		s := meterAndKits()
		change(&s)
		return s
	}
	for _, row := range []struct {
		name   string
		sample Sample
		names  []string // one of these must be accused first
	}{
		{"a pen on the wrong range", kits(func(s *Sample) { s.Strength.PPM = milligrams(29) }), []string{"conductivity"}},
		{"hardness of 60 grains in 290 ppm", kits(func(s *Sample) { s.Hardness = quantity.Told(quantity.GrainsPerGallon(60)) }), []string{"hardness"}},
		{"alkalinity of 1,800 for 180", kits(func(s *Sample) { s.Alkalinity = quantity.Told(quantity.MilligramsPerLitreCaCO3(1800)) }), []string{"alkalinity"}},
		{"chloride of 900 mg/L in 290 ppm", kits(func(s *Sample) {
			s.Ions = map[Component]quantity.Entry[quantity.MassConc]{Chloride: milligrams(900)}
		}), []string{"chloride"}},
	} {
		c, err := Complete(row.sample, CityPrior())
		if err != nil {
			t.Errorf("%s: %v", row.name, err)
			continue
		}
		if len(c.Contradictions) != 1 || !strings.HasPrefix(c.Contradictions[0], row.names[0]+" reads") {
			t.Errorf("%s: said %q, wanted %s accused first", row.name, c.Contradictions, row.names[0])
			continue
		}
		for _, f := range c.Fits {
			if f.Reading == row.names[0] && !(f.Apart > 3) {
				t.Errorf("%s: %s stands apart by %.1f", row.name, f.Reading, f.Apart)
			}
		}
	}
}

func TestHonestReadingsAreSeldomAccused(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 8))
	accused, tried := 0, 0
	for _, h := range hiddenWaters(t) {
		c, err := Complete(h.readingsOf(rng), h.prior())
		if err != nil {
			t.Errorf("%s: %v", h.id, err)
			continue
		}
		tried++
		if len(c.Contradictions) > 0 {
			accused++
			t.Logf("%s: %s", h.id, c.Contradictions[0])
		}
	}
	if accused*20 > tried {
		t.Errorf("%d of %d honest samples are said to contradict themselves", accused, tried)
	}
}

func TestPenWithoutAScaleCarriesTheDoubtOfIt(t *testing.T) {
	width := func(scale string) float64 {
		s := Sample{Strength: Strength{PPM: milligrams(290), Scale: scale}, Instrument: "pen, ±2 %"}
		all, err := Ensemble(s, CityPrior(), 1, 256)
		if err != nil {
			t.Fatal(err)
		}
		low, high := Band(all, func(c Completion) float64 { return math.Log(float64(c.Conductivity)) })
		return high - low
	}
	known, unknown := width("NaCl"), width("")
	if !(unknown > 0.45 && unknown < 0.75 && known < 0.2) {
		t.Errorf("the band of the conductivity is %.0f %% wide with a scale and %.0f %% without", 100*known, 100*unknown)
	}
}

func TestBoundStaysABound(t *testing.T) {
	s := meterAndKits()
	s.Below = map[Component]quantity.MassConc{Sulphate: quantity.MilligramsPerLitre(2)}
	all, err := Ensemble(s, CityPrior(), 1, 64)
	if err != nil {
		t.Fatal(err)
	}
	low, high := Band(all, func(c Completion) float64 { return Sulphate.Mass(c.Water.Total[Sulphate]).MilligramsPerLitre() })
	if !(high < 2.6 && low < 2) {
		t.Errorf("below 2 mg/L, and the band is %.2f to %.2f", low, high)
	}
}

func TestSameSeedGivesTheSameWaters(t *testing.T) {
	first, err := Ensemble(meterAndKits(), CityPrior(), 9, 16)
	if err != nil {
		t.Fatal(err)
	}
	second, _ := Ensemble(meterAndKits(), CityPrior(), 9, 16)
	other, _ := Ensemble(meterAndKits(), CityPrior(), 10, 16)
	if !reflect.DeepEqual(first, second) || reflect.DeepEqual(first, other) {
		t.Error("a seed does not stand for its waters")
	}
}

func TestSamplesThatSayNothingAreRefused(t *testing.T) {
	for _, s := range []Sample{{}, {PH: quantity.Told(quantity.PH(7))}, {Ions: map[Component]quantity.Entry[quantity.MassConc]{Silica: milligrams(20)}}} {
		if _, err := Complete(s, CityPrior()); !errors.Is(err, ErrNoStrength) {
			t.Errorf("%+v: %v", s, err)
		}
	}
	if _, err := Ensemble(meterAndKits(), CityPrior(), 1, 0); !errors.Is(err, ErrRange) {
		t.Errorf("no waters: %v", err)
	}
}

// What is foretold of a reading comes true when it is taken.
func TestNextReadingNarrowsAsForetold(t *testing.T) {
	s := Sample{Strength: Strength{Conductivity: quantity.Told(quantity.MicrosiemensPerCm(620))}, Temperature: quantity.Told(quantity.Celsius(14))}
	before, err := Ensemble(s, CityPrior(), 1, 512)
	if err != nil {
		t.Fatal(err)
	}
	scale := Answer{Name: "scale", Of: func(c Completion) float64 { return c.Solution.SaturationIndex(Calcite) }}
	next := map[string]NextReading{}
	for _, n := range NextReadings(s, before, scale) {
		next[n.Name] = n
	}
	best, err := Complete(s, CityPrior())
	if err != nil {
		t.Fatal(err)
	}
	for name, take := range map[string]func(*Sample){
		"pH":         func(s *Sample) { s.PH = quantity.Told(quantity.PH(best.Solution.PH)) },
		"alkalinity": func(s *Sample) { s.Alkalinity = quantity.Told(best.Water.Alkalinity.AsCaCO3()) },
		"hardness":   func(s *Sample) { s.Hardness = quantity.Told(best.Water.Hardness()) },
	} {
		taken := s
		take(&taken)
		after, err := Ensemble(taken, CityPrior(), 2, 512)
		if err != nil {
			t.Fatal(err)
		}
		came := 1 - math.Sqrt(covariance(figures(after, scale.Of), figures(after, scale.Of))/covariance(figures(before, scale.Of), figures(before, scale.Of)))
		if foretold := float64(next[name].Narrows); math.Abs(foretold-came) > 0.12 {
			t.Errorf("%s: foretold to narrow by %.0f %%, narrowed by %.0f %%", name, 100*foretold, 100*came)
		}
	}
	if lab := next["a laboratory's full analysis"]; !(lab.Narrows > next["pH"].Narrows && lab.PerHour < next["pH"].PerHour) {
		t.Errorf("a laboratory tells more than a pH and costs more: %+v against %+v", lab, next["pH"])
	}
}

func TestSulphateFollowsHardnessAndChlorideFollowsSodium(t *testing.T) {
	ratio := func(grains float64) float64 {
		s := meterAndKits()
		s.Alkalinity, s.Hardness = quantity.Told(quantity.MilligramsPerLitreCaCO3(80)), quantity.Told(quantity.GrainsPerGallon(grains))
		c, err := Complete(s, CityPrior())
		if err != nil {
			t.Fatal(err)
		}
		return float64(Sulphate.Equivalents(c.Water.Total[Sulphate])) / float64(Chloride.Equivalents(c.Water.Total[Chloride]))
	}
	if hard, soft := ratio(14), ratio(2); !(hard > 1.3*soft) {
		t.Errorf("sulphate over chloride is %.2f in hard water and %.2f in soft water of the same strength", hard, soft)
	}
}
