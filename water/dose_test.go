package water

import (
	"math"
	"testing"

	"rinsewright/internal/check"
)

func TestDosesAgreeWithTheReferenceCode(t *testing.T) {
	waters := analysed(t)
	table := check.Ref(t, "testdata/ref/acid.csv")
	names := map[string]Reagent{"HCl": HydrochloricAcid, "H2SO4": SulphuricAcid, "NaOH": CausticSoda}
	d := spread{}
	for _, r := range table.Rows {
		t.Run(r.Text("id")+r.Text("reagent")+r.Text("target_pH"), func(t *testing.T) {
			w := waters[r.Text("id")]
			reagent, dosed := names[r.Text("reagent")]
			if !dosed {
				_, s, err := OpenToAir(w, AirCO2)
				if err != nil {
					t.Fatal(err)
				}
				compareSolution(t, d, r, s, table.Source())
				return
			}
			after, s, dose, err := AcidTo(w, r.Number("target_pH"), reagent)
			if err != nil {
				t.Fatal(err)
			}
			compareSolution(t, d, r, s, table.Source())
			want := r.Number("dose_mgL_100pct")
			d.add("dose rel", dose.Mass.MilligramsPerLitre()/want-1)
			check.Within(t, dose.Mass.MilligramsPerLitre(), want, 0.005, table.Source())
			check.Within(t, dose.Molality*1000, r.Number("dose_mmol_per_kgw"), 0.005, table.Source())
			again, err := Equilibrate(after)
			if err != nil {
				t.Fatal(err)
			}
			if math.Abs(again.PH-s.PH) > 1e-5 {
				t.Errorf("the dosed water equilibrates to pH %.6f, not %.6f", again.PH, s.PH)
			}
		})
	}
	d.log(t, "acid and air")
}

func TestCalciteBalanceAgreesWithTheReferenceCode(t *testing.T) {
	waters := analysed(t)
	table := check.Ref(t, "testdata/ref/calcite_equilibrium.csv")
	d := spread{}
	for _, r := range table.Rows {
		t.Run(r.Text("id")+"x"+r.Text("concentration_factor_watermass"), func(t *testing.T) {
			w := waters[r.Text("id")].Concentrate(r.Number("concentration_factor_watermass"))
			_, s, amount, err := CalciteEquilibrium(w)
			if err != nil {
				t.Fatal(err)
			}
			got, want := s.Molality(amount)*1000, r.Number("calcite_precipitated_mmol_per_kg_final_water")
			d.add("amount mmol/kg", got-want)
			check.Near(t, got, want, 0.01*math.Abs(want)+0.001, table.Source())
			d.add("pH", s.PH-r.Number("pH_at_calcite_equilibrium"))
			check.Near(t, s.PH, r.Number("pH_at_calcite_equilibrium"), 0.02, table.Source())
			check.Within(t, s.MolalityOf(Calcium), r.Number("m_Ca_molkgw"), 0.01, table.Source())
		})
	}
	d.log(t, "calcite")
}

func TestReagentsRefuseTheWrongSide(t *testing.T) {
	w := analysed(t)["W002"]
	if _, _, _, err := AcidTo(w, 9.9, HydrochloricAcid); err == nil {
		t.Error("acid raised a pH")
	}
	if _, _, _, err := AcidTo(w, 6, CausticSoda); err == nil {
		t.Error("caustic lowered a pH")
	}
	if _, _, _, err := AcidTo(w, math.NaN(), CausticSoda); err == nil {
		t.Error("a pH that is not a number was taken")
	}
	if _, _, _, err := AcidTo(w, 6, Reagent(9)); err == nil {
		t.Error("an unknown reagent was taken")
	}
}
