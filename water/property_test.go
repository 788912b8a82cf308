package water

import (
	"testing"

	"rinsewright/internal/check"
	"rinsewright/quantity"
)

func TestConductivityAgainstTheReferenceCode(t *testing.T) {
	waters := analysed(t)
	d, class, signed := spread{}, spread{}, map[string][]float64{}
	speciation := check.Ref(t, "testdata/ref/speciation.csv")
	for _, r := range speciation.Rows {
		w := waters[r.Text("id")]
		s, err := Equilibrate(w)
		if err != nil {
			t.Fatal(err)
		}
		x := s.Conductivity().MicrosiemensPerCm()/r.Number("SC_at_T_uScm") - 1
		d.add("SC_at_T", x)
		class.add(r.Text("class"), x)
		signed[r.Text("class")] = append(signed[r.Text("class")], x)
		k, err := w.Conductivity25()
		if err != nil {
			t.Fatal(err)
		}
		d.add("SC_25C", k.MicrosiemensPerCm()/r.Number("SC_25C_uScm")-1)
		d.add("density", float64(s.Density())/1000/r.Number("density_gcm3")-1)
		d.add("viscosity", float64(s.Viscosity())*1000/r.Number("viscosity_mPas")-1)
		d.add("osmotic pressure", s.OsmoticPressure().Bar()/r.Number("pitzer_osmotic_pressure_bar")-1)
		s25, _ := Equilibrate(w.At(reference25))
		d.add("pH25 closed", s25.PH-r.Number("pH_at_25C_closed"))
	}
	d.log(t, "speciation")
	for name, x := range signed {
		sum := 0.0
		for _, v := range x {
			sum += v
		}
		t.Logf("class %-16s mean bias %+.2f %%", name, 100*sum/float64(len(x)))
	}
	d = spread{}
	for _, r := range check.Ref(t, "testdata/ref/concentrate.csv").Rows {
		s, err := Equilibrate(waters[r.Text("id")].Concentrate(r.Number("concentration_factor_watermass")))
		if err != nil {
			t.Fatal(err)
		}
		x := s.Conductivity().MicrosiemensPerCm()/r.Number("SC_at_T_uScm") - 1
		d.add("SC_at_T", x)
		d.add("SC_at_T "+r.Text("class"), x)
		d.add("density", float64(s.Density())/1000/r.Number("density_gcm3")-1)
		d.add("osmotic pressure", s.OsmoticPressure().Bar()/r.Number("pitzer_osmotic_pressure_bar")-1)
	}
	d.log(t, "concentrate")
	d = spread{}
	for _, r := range check.Ref(t, "testdata/ref/permeate.csv").Rows {
		s, err := Equilibrate(permeateOf(r))
		if err != nil {
			t.Fatal(err)
		}
		x := s.Conductivity().MicrosiemensPerCm()/r.Number("SC_at_T_uScm") - 1
		d.add("SC_at_T", x)
		if x > 0.02 || x < -0.02 {
			t.Logf("%s T %.1f pH %.2f got %.4f want %.4f", r.Text("id"), r.Number("temp_C"), s.PH, s.Conductivity().MicrosiemensPerCm(), r.Number("SC_at_T_uScm"))
		}
	}
	d.log(t, "permeate")
	d = spread{}
	for _, r := range check.Ref(t, "testdata/ref/conductance_checks.csv").Rows {
		w := saltWater(r.Text("salt"), r.Number("molality_molkgw"), r.Number("temp_C"))
		s, err := Equilibrate(w)
		if err != nil {
			t.Fatal(err)
		}
		x := s.Conductivity().MicrosiemensPerCm()/r.Number("code_SC_at_T_uScm") - 1
		d.add("code "+r.Text("salt"), x)
		if r.Text("published_uScm_from_memory") != "" {
			d.add("published "+r.Text("salt"), s.Conductivity().MicrosiemensPerCm()/r.Number("published_uScm_from_memory")-1)
		}
	}
	for _, r := range check.Ref(t, "testdata/ref/ec_nacl.csv").Rows {
		k, _ := ScaleNaCl.Conductivity(quantity.MilligramsPerLitre(r.Number("NaCl_ppm")))
		d.add("handbook NaCl", k.MicrosiemensPerCm()/r.Number("k_uS_cm_table")-1)
	}
	for _, r := range check.Ref(t, "testdata/ref/ec_kcl.csv").Rows {
		s, _ := Equilibrate(saltWater("KCl", r.Number("KCl_mol_L")/0.997, 25))
		d.add("standard KCl", s.Conductivity().MicrosiemensPerCm()/r.Number("k_uS_cm")-1)
	}
	for _, r := range check.Ref(t, "testdata/ref/pure_water_conductivity.csv").Rows {
		k, err := PureWaterConductivity(quantity.Celsius(r.Number("T_C")))
		if err != nil {
			t.Fatal(err)
		}
		t.Logf("pure %v %.5f %.5f %.4f", r.Text("T_C"), k.MicrosiemensPerCm(), r.Number("k_uS_cm"), k.MicrosiemensPerCm()/r.Number("k_uS_cm")-1)
	}
	for _, r := range check.Ref(t, "testdata/ref/purewater.csv").Rows {
		k, _ := PureWaterConductivity(quantity.Celsius(r.Number("temp_C")))
		d.add("pure code", k.MicrosiemensPerCm()/r.Number("conductivity_uScm_geochem_code")-1)
		d.add("pure Kw", k.MicrosiemensPerCm()/r.Number("conductivity_uScm_Kw_x_lambda")-1)
		rho, _ := Density(quantity.Celsius(r.Number("temp_C")))
		mu, _ := Viscosity(quantity.Celsius(r.Number("temp_C")))
		p, _ := VapourPressure(quantity.Celsius(r.Number("temp_C")))
		d.add("pure density", float64(rho)/r.Number("density_kgm3_IAPWS95")-1)
		d.add("pure viscosity", float64(mu)*1000/r.Number("viscosity_mPas_IAPWS2008")-1)
		d.add("pure vapour", float64(p)/1000/r.Number("vapour_pressure_kPa_IAPWS95")-1)
	}
	for _, r := range check.Ref(t, "testdata/ref/nacl_osmotic_pitzer.csv").Rows {
		s, err := Equilibrate(saltWater("NaCl", r.Number("NaCl_molkgw"), r.Number("temp_C")))
		if err != nil || r.Number("NaCl_molkgw") > 1 {
			continue
		}
		x := s.OsmoticPressure().Bar()/r.Number("osmotic_pressure_bar") - 1
		if r.Number("NaCl_molkgw") <= 0.2 {
			d.add("osmotic NaCl to 0.2", x)
		} else {
			d.add("osmotic NaCl to 1", x)
		}
		d.add("density NaCl", float64(s.Density())/1000/r.Number("density_gcm3_pitzer_dat")-1)
	}
	for _, r := range check.Ref(t, "testdata/ref/seawater_osmotic_teos10.csv").Rows {
		s, err := Equilibrate(seaWater(r.Number("SA_g_per_kg"), r.Number("temp_C")))
		if err != nil {
			t.Fatal(err)
		}
		x := s.OsmoticPressure().Bar()/r.Number("osmotic_pressure_exact_bar") - 1
		if r.Number("SA_g_per_kg") <= 10 {
			d.add("osmotic sea to 10", x)
		} else {
			d.add("osmotic sea to 40", x)
		}
		d.add("density sea", float64(s.Density())/r.Number("density_kgm3")-1)
	}
	d.log(t, "properties")
	for _, sc := range []Scale{ScaleNaCl, ScaleKCl, Scale442} {
		for _, k := range []float64{84, 1413} {
			m, _ := sc.Reading(quantity.MicrosiemensPerCm(k))
			t.Logf("%v at %v: %.2f ppm", sc, k, m.MilligramsPerLitre())
		}
	}
}

func saltWater(salt string, molality, celsius float64) Water {
	m := molal{t: celsius + zeroCelsius}
	m.total[Chloride] = molality
	if salt == "KCl" {
		m.total[Potassium] = molality
	} else {
		m.total[Sodium] = molality
	}
	return m.perVolume()
}

// seaWater is sea salt of the reference composition, mol per kg of salt from
// memory of Millero 2008 table 4.
func seaWater(gramsPerKilogram, celsius float64) Water {
	perSalt := [NComponents]float64{Sodium: 13.3286, Magnesium: 1.5017, Calcium: 0.2923, Potassium: 0.2903, Strontium: 0.00258,
		Chloride: 15.5245 + 0.0239, Sulphate: 0.8029, Carbon: 0.0563, Boron: 0.0118, Fluoride: 0.0019}
	m := molal{t: celsius + zeroCelsius}
	for c, x := range perSalt {
		m.total[c] = x * gramsPerKilogram / (1000 - gramsPerKilogram)
	}
	w := m.perVolume()
	w.Alkalinity = ElectroneutralAlkalinity(w)
	return w
}
