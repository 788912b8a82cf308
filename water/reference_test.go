package water

import (
	"math"
	"os"
	"sort"
	"testing"

	"rinsewright/internal/check"
	"rinsewright/quantity"
)

// analyses reads the analyses of the reference table.
func analyses(t testing.TB) map[string]Analysis {
	t.Helper()
	columns := map[Component]string{
		Calcium: "Ca_mgL", Magnesium: "Mg_mgL", Sodium: "Na_mgL", Potassium: "K_mgL", Barium: "Ba_mgL",
		Strontium: "Sr_mgL", Iron: "Fe2_mgL", Ammonia: "NH4_mgL", Chloride: "Cl_mgL", Sulphate: "SO4_mgL", Nitrate: "NO3_mgL",
		Fluoride: "F_mgL", Boron: "B_mgL", Silica: "SiO2_mgL",
	}
	all := map[string]Analysis{}
	for _, r := range check.Ref(t, "testdata/ref/waters.csv").Rows {
		a := Analysis{
			PH: r.Number("pH"), Temperature: quantity.Celsius(r.Number("temp_C")),
			Alkalinity: quantity.MilligramsPerLitreCaCO3(r.Number("alk_mgL_CaCO3")),
		}
		for c, column := range columns {
			a.Mass[c] = quantity.MilligramsPerLitre(r.Number(column))
		}
		all[r.Text("id")] = a
	}
	return all
}

// analysed reads the waters of the reference table.
func analysed(t testing.TB) map[string]Water {
	t.Helper()
	all := map[string]Water{}
	for id, a := range analyses(t) {
		w, _, err := a.Water()
		if err != nil {
			t.Fatalf("%s: %v", id, err)
		}
		all[id] = w
	}
	return all
}

// spread collects deviations by column and prints median, 90 % and worst.
type spread map[string][]float64

func (d spread) add(column string, deviation float64) {
	d[column] = append(d[column], math.Abs(deviation))
}

func (d spread) log(t testing.TB, title string) {
	if os.Getenv("SPREAD") == "" {
		return
	}
	names := make([]string, 0, len(d))
	for n := range d {
		names = append(names, n)
	}
	sort.Strings(names)
	for _, n := range names {
		x := append([]float64(nil), d[n]...)
		sort.Float64s(x)
		t.Logf("%-12s %-28s median %.2g  90%% %.2g  worst %.2g  (%d)", title, n, x[len(x)/2], x[len(x)*9/10], x[len(x)-1], len(x))
	}
}

var indexColumns = map[string]Mineral{
	"SI_calcite": Calcite, "SI_aragonite": Aragonite, "SI_gypsum": Gypsum, "SI_barite": Barite,
	"SI_celestite": Celestite, "SI_fluorite": Fluorite, "SI_SiO2a": AmorphousSilica, "SI_brucite": Brucite,
}

// The goal is 0.03 (barite 0.05, brucite 0.06); the tests hold what is reached,
// so that a wrong digit shows.
const indexTolerance = 0.004

// compareSolution holds s against a row of a reference table.
func compareSolution(t *testing.T, d spread, r check.TableRow, s Solution, source string) {
	t.Helper()
	d.add("pH", s.PH-r.Number("pH"))
	check.Near(t, s.PH, r.Number("pH"), 0.003, source)
	d.add("ionic strength rel", s.IonicStrength/r.Number("ionic_strength_molkgw")-1)
	check.Within(t, s.IonicStrength, r.Number("ionic_strength_molkgw"), 0.001, source)
	for column, got := range map[string]float64{
		"CO2aq_molkgw": s.Molality(s.CO2()), "HCO3_molkgw": s.Molality(s.Bicarbonate()),
		"CO3_molkgw": s.Molality(s.Carbonate()), "C4_total_molkgw": s.MolalityOf(Carbon), "alkalinity_eqkgw": s.MolalityOfAlkalinity(),
	} {
		d.add(column+" rel", got/r.Number(column)-1)
		check.Within(t, got, r.Number(column), 0.005, source)
	}
	for column, mineral := range indexColumns {
		text := r.Text(column)
		if text == "" || r.Number(column) < -90 {
			continue
		}
		got := s.SaturationIndex(mineral)
		d.add(column, got-r.Number(column))
		check.Near(t, got, r.Number(column), indexTolerance, source)
	}
	logP := math.Log10(float64(s.CO2Pressure()) / 101325)
	d.add("logPCO2", logP-r.Number("logPCO2"))
	check.Near(t, logP, r.Number("logPCO2"), 0.004, source)
}

func TestSpeciationAgreesWithTheReferenceCode(t *testing.T) {
	waters := analysed(t)
	table := check.Ref(t, "testdata/ref/speciation.csv")
	d := spread{}
	for _, r := range table.Rows {
		t.Run(r.Text("id"), func(t *testing.T) {
			s, err := Equilibrate(waters[r.Text("id")])
			if err != nil {
				t.Fatal(err)
			}
			compareSolution(t, d, r, s, table.Source())
			for column, c := range map[string]Component{"log10_gamma_Na": Sodium, "log10_gamma_Ca": Calcium, "log10_gamma_SO4": Sulphate} {
				d.add(column, s.log10Gamma(int(c))-r.Number(column))
			}
			for column, f := range map[string]formed{"H3SiO4_molkgw": sH3SiO4, "CaHCO3_molkgw": sCaHCO3, "CaCO3aq_molkgw": sCaCO3, "CaSO4aq_molkgw": sCaSO4, "MgSO4aq_molkgw": sMgSO4, "OH_molkgw": sOH} {
				if r.Number(column) > 0 {
					d.add(column+" rel", s.species[f]/r.Number(column)-1)
				}
			}
			d.add("steps", float64(s.Steps()))
		})
	}
	d.log(t, "speciation")
}

func TestConcentratesAgreeWithTheReferenceCode(t *testing.T) {
	waters := analysed(t)
	table := check.Ref(t, "testdata/ref/concentrate.csv")
	d := spread{}
	for _, r := range table.Rows {
		t.Run(r.Text("id")+"x"+r.Text("concentration_factor_watermass"), func(t *testing.T) {
			s, err := Equilibrate(waters[r.Text("id")].Concentrate(r.Number("concentration_factor_watermass")))
			if err != nil {
				t.Fatal(err)
			}
			compareSolution(t, d, r, s, table.Source())
		})
	}
	d.log(t, "concentrate")
}

func TestBlendsAgreeWithTheReferenceCode(t *testing.T) {
	waters := analysed(t)
	table := check.Ref(t, "testdata/ref/blends.csv")
	d := spread{}
	for _, r := range table.Rows {
		t.Run(r.Text("blend_id"), func(t *testing.T) {
			a, oka := waters[r.Text("water_a")]
			b, okb := waters[r.Text("water_b")]
			if !oka || !okb {
				t.Fatalf("no water %s or %s", r.Text("water_a"), r.Text("water_b"))
			}
			s, err := Equilibrate(Blend(a, b, quantity.Ratio(r.Number("fraction_a_by_water_mass"))))
			if err != nil {
				t.Fatal(err)
			}
			compareSolution(t, d, r, s, table.Source())
		})
	}
	d.log(t, "blends")
}

func TestPermeatesAgreeWithTheReferenceCode(t *testing.T) {
	table := check.Ref(t, "testdata/ref/permeate.csv")
	d := spread{}
	for _, r := range table.Rows {
		t.Run(r.Text("id"), func(t *testing.T) {
			s, err := Equilibrate(permeateOf(r))
			if err != nil {
				t.Fatal(err)
			}
			d.add("pH", s.PH-r.Number("pH"))
			check.Near(t, s.PH, r.Number("pH"), 0.003, table.Source())
			d.add("steps", float64(s.Steps()))
		})
	}
	d.log(t, "permeate")
}

func permeateOf(r check.TableRow) Water {
	w := Water{Temperature: quantity.Celsius(r.Number("temp_C"))}
	nacl := r.Number("NaCl_mgL") / 58.4428 // mol/m³
	soda := r.Number("NaHCO3_mgL") / 84.0089
	calcium := r.Number("Ca_as_CaCl2_mgL_Ca") / 40.08
	w.Total[Sodium] = quantity.MolarConc(nacl + soda)
	w.Total[Chloride] = quantity.MolarConc(nacl + 2*calcium)
	w.Total[Calcium] = quantity.MolarConc(calcium)
	w.Total[Silica] = quantity.MolarConc(r.Number("SiO2_mgL") / 60.0843)
	w.Total[Carbon] = quantity.MolarConc(soda) + CarbonDioxideMolar(quantity.MilligramsPerLitre(r.Number("CO2_added_mgL_as_CO2")))
	w.Alkalinity = ElectroneutralAlkalinity(w)
	return w
}

func TestConstantsMatchTheCompilation(t *testing.T) {
	table := check.Ref(t, "testdata/ref/log_k_phreeqc.csv")
	for _, r := range table.Rows {
		p := powersOf(r.Number("temp_C") + zeroCelsius)
		for f := range nFormed {
			column := "logK_form_" + reactions[f].formula
			if !hasColumn(table, column) {
				continue
			}
			check.Near(t, reactions[f].k.log10K(&p), r.Number(column), 6e-5, table.Source())
		}
		for column, k := range map[string]analytic{
			"logK_Calcite": minerals[Calcite].k, "logK_Aragonite": minerals[Aragonite].k, "logK_Gypsum": minerals[Gypsum].k,
			"logK_Barite": minerals[Barite].k, "logK_Celestite": minerals[Celestite].k, "logK_Fluorite": minerals[Fluorite].k,
			"logK_SiO2(a)": minerals[AmorphousSilica].k, "logK_Brucite": minerals[Brucite].k, "logK_CO2(g)": henryCO2,
		} {
			check.Near(t, k.log10K(&p), r.Number(column), 1e-4, table.Source())
		}
		d := slopesAt(p.t)
		check.Near(t, d.a, r.Number("DH_A"), 1e-4, table.Source())
		check.Near(t, d.b, r.Number("DH_B_per_A"), 1e-4, table.Source())
		check.Near(t, dielectric(p.t), r.Number("dielectric"), 1e-3, table.Source())
	}
}

func hasColumn(table check.Table, name string) bool {
	for _, c := range table.Columns {
		if c == name {
			return true
		}
	}
	return false
}

func BenchmarkEquilibrate(b *testing.B) {
	waters := analysed(b)
	list := make([]Water, 0, len(waters))
	for _, w := range waters {
		list = append(list, w)
	}
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		if _, err := Equilibrate(list[i%len(list)]); err != nil {
			b.Fatal(err)
		}
	}
}

func TestAcidConstantsAreTheTextbookOnes(t *testing.T) {
	p := powersOf(reference25)
	const textbook = "from memory, unverified: acid constants at 25 °C as textbooks print them"
	for name, row := range map[string]struct{ got, want float64 }{
		"carbonic, second":       {reactions[sHCO3].k.log10K(&p), 10.33},
		"carbonic, first":        {reactions[sCO2].k.log10K(&p) - reactions[sHCO3].k.log10K(&p), 6.35},
		"phosphoric 1":           {reactions[sH3PO4].k.log10K(&p) - reactions[sH2PO4].k.log10K(&p), 2.15},
		"phosphoric 2":           {reactions[sH2PO4].k.log10K(&p) - reactions[sHPO4].k.log10K(&p), 7.20},
		"phosphoric 3":           {reactions[sHPO4].k.log10K(&p), 12.35},
		"boric":                  {-reactions[sH2BO3].k.log10K(&p), 9.24},
		"ammonium":               {-reactions[sNH3].k.log10K(&p), 9.25},
		"silicic":                {-reactions[sH3SiO4].k.log10K(&p), 9.83},
		"hydrofluoric":           {reactions[sHF].k.log10K(&p), 3.17},
		"bisulphate":             {reactions[sHSO4].k.log10K(&p), 1.99},
		"water":                  {-reactions[sOH].k.log10K(&p), 13.995},
		"ferrous carbonate pair": {reactions[sFeCO3].k.log10K(&p), 4.38},
	} {
		t.Run(name, func(t *testing.T) { check.Near(t, row.got, row.want, 0.03, textbook) })
	}
}

func TestDaviesAtATenth(t *testing.T) {
	d := slopesAt(reference25)
	rule := davies()
	check.Near(t, math.Pow(10, d.log10Gamma(&rule, 1, 0.1, math.Sqrt(0.1))), 0.781, 0.002, "from memory, unverified: Davies coefficient of a univalent ion at 0.1 mol/kg")
	check.Near(t, math.Pow(10, d.log10Gamma(&rule, 2, 0.1, math.Sqrt(0.1))), 0.372, 0.003, "from memory, unverified: Davies coefficient of a divalent ion at 0.1 mol/kg")
}

func TestHydroxyapatiteIsItsReaction(t *testing.T) {
	w := analysed(t)["W011"].At(reference25)
	w.Total[Phosphate] = 0.01
	w.Alkalinity -= 0.01
	s, err := Equilibrate(w)
	if err != nil {
		t.Fatal(err)
	}
	hpo4 := s.species[sHPO4] * math.Pow(10, s.log10GammaFormed(sHPO4))
	calcium := s.free[Calcium] * s.ActivityCoefficient(Calcium)
	want := 5*math.Log10(calcium) + 3*math.Log10(hpo4) + 4*s.PH + 3.421 // Ca5(PO4)3OH + 4 H = 5 Ca + 3 HPO4 + H2O
	check.Near(t, s.SaturationIndex(Hydroxyapatite), want, 0.001, "reference code: reaction and constant of phreeqc.dat, log K -3.421 at 25 °C")
}
