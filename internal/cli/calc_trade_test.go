package cli

import (
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"rinsewright/internal/check"
)

func parsed(t testing.TB, text string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(text, 64)
	if err != nil {
		t.Fatal(err)
	}
	return x
}

// withoutHead writes a reference table as a person's file: without its head.
func withoutHead(t testing.TB, reference check.Table) string {
	t.Helper()
	in := [][]string{reference.Columns}
	for _, r := range reference.Rows {
		_, fields := rowFor(reference.Columns, nil, r)
		in = append(in, fields)
	}
	file := filepath.Join(t.TempDir(), "waters.csv")
	if err := os.WriteFile(file, []byte(written(in)), 0o600); err != nil {
		t.Fatal(err)
	}
	return file
}

// one computes one row, given as "name=value name=value", and returns its
// answer.
func one(t testing.TB, door, row string, args ...string) map[string]string {
	t.Helper()
	out, told, code := calculate(t, asCSV(fieldsOf(row)), append([]string{door}, args...)...)
	if code != ExitGood {
		t.Fatalf("%s of %s: exit %d, %s\n%s", door, row, code, told, out)
	}
	return table(t, out)[0]
}

const handbookMemory = "from memory, unverified: "

// Each row is one number of the trade, asked of the door that answers it.
func TestDoorsAnswerWhatTheTradeKnows(t *testing.T) {
	for _, c := range []struct {
		door, row, result string
		want, share       float64
		source            string
	}{
		{"carbon", "volume_L=28.316847 flow_L_min=7.5708236 free_chlorine_mgL=1 temp_C=20", "contact_min", 3.74, 1e-3, "published: trade page on contact time, 7.48 gal/ft³ over gpm"},
		{"softener", "resin_L=28.316847 salt_kg=2.7215542 vessel_mm=230 hardness_mgL_CaCO3=200", "capacity_gpft3", 20000, 0.06, "published: trade page, 6 lb of salt per cubic foot"},
		{"softener", "resin_L=28.316847 salt_kg=3.6287390 vessel_mm=230 hardness_mgL_CaCO3=342.36", "water_L", 1200 * 3.785412, 0.01, "published: trade page, 24,000 grains at 20 gpg"},
		{"softener", "resin_L=28.316847 salt_kg=6.8038856 vessel_mm=230 hardness_mgL_CaCO3=200", "salt_efficiency", 0.334, 0.06, "published: trade page, 15 lb against 5,994 grains per lb"},
		{"resin-life", "temp_C=25 NaCl_mgL=10 CO2_added_mgL_as_CO2=5 SiO2_mgL=0.5 resin_L=28.316847 capacity_eq_L=0.5", "anion_load_meqL", 10/58.443 + 5/44.0095 + 0.5/60.084, 1e-4, "published: atomic weights of IUPAC 2021, summed by hand"},
		{"resin-life", "temp_C=25 NaCl_mgL=10 CO2_added_mgL_as_CO2=5 SiO2_mgL=0.5 resin_L=28.316847 capacity_eq_L=0.5", "life_L", 48316, 1e-3, "published: atomic weights of IUPAC 2021, 14.158 eq over the load by hand"},
		{"element", "area_m2=7.9 rated_permeate_L_min=6.3 rated_rejection=0.995 test_pressure_kPa=1551 test_NaCl_mgL=2000 test_temp_C=25 test_recovery=0.15", "A_LMH_per_bar", 3.6, 0.1, handbookMemory + "brackish elements back-solved, 3.5 to 3.6"},
		{"rinse", "solids_mgL=100 wash_film_mgL=100 gun_L_min=5 side_m2=5 seconds=40 dried_film_um=50", "residue_mg_m2", 5, 1e-9, "published: one micrometre is one millilitre per square metre, by hand"},
		{"cost", "vends=1000 feed_m3=100 water_per_m3=1.5 energy_kWh=100 power_per_kWh=0.135", "per_rinse", 0.1635, 1e-9, "published: arithmetic, 150 and 13.50 over a thousand"},
		{"demand", "bays=2 vehicles_day=10 vehicles_busiest=10 litres_per_vehicle=20", "litres_year", 73000, 1e-9, "published: arithmetic, ten a day at twenty litres"},
		{"tank", "method=exponential every_min=10 lump_L=5 make_up_cold_L_min=1 deficit_L=20", "mean_deficit_L", 5, 1e-9, "published: Pollaczek and Khinchine, one per 10 min of mean 5"},
		{"normalise", "Qp_actual_L_min=8 Pf_kPa=1000 dP_kPa=100 Pp_kPa=50 pi_fb_kPa=60 pi_p_kPa=1 T_C=15 temperature_coefficient_K=3020", "Qp_std_L_min", 8 * math.Exp(3020*(1/288.15-1/298.15)), 1e-7, "published: temperature factor of the practice, by hand"},
		{"line", "length_m=3 inside_diameter_mm=4.3 roughness_mm_or_C=0.0015 flow_L_s=0.03 kinematic_viscosity_m2_s=1.004e-6", "expect_headloss_m", 4.84, 0.02, "reference code: EPANET 2.2 by npm epanet-js 0.9.0, quarter-inch tube"},
	} {
		t.Run(c.door+" "+c.result, func(t *testing.T) {
			check.Within(t, parsed(t, one(t, c.door, c.row)[c.result]), c.want, c.share, c.source)
		})
	}
}

func TestTankMeetsTheExactLaws(t *testing.T) {
	lumps := check.Ref(t, demandTables+"tank_deficit_mg1.csv")
	for _, r := range lumps.Rows {
		// Lumps of 10 L from a make-up of 1 L/min: a vend every 10/rho min.
		row := "every_min=" + formatNumber(10/r.Number("rho")) + " lump_L=10 make_up_cold_L_min=1 deficit_L=" + formatNumber(10*r.Number("x_in_mean_jobs"))
		for method, column := range map[string]string{"exponential": "P(D>x)_exponential_jobs", "constant": "P(D>x)_constant_jobs"} {
			check.Near(t, parsed(t, one(t, "tank", row+" method="+method)["deficit_probability"]), r.Number(column), 1e-6, lumps.Source())
		}
	}
	bay := check.Ref(t, demandTables+"tank_deficit_single_bay_onoff.csv")
	for _, r := range bay.Rows {
		row := "method=on-off on_min=" + r.Text("mean_on_min") + " off_min=" + r.Text("mean_off_min") + " gun_L_min=" + r.Text("draw_L_min") +
			" make_up_cold_L_min=" + r.Text("make_L_min") + " deficit_L=" + r.Text("x_L")
		answer := one(t, "tank", row)
		check.Near(t, parsed(t, answer["deficit_probability"]), r.Number("P(deficit>x)"), 1e-6, bay.Source())
		check.Near(t, parsed(t, answer["load"]), r.Number("rho"), 1e-6, bay.Source())
	}
}

func TestASimulatedTankClosesItsWater(t *testing.T) {
	a := one(t, "tank", "make_up_cold_L_min=2 tank_L=300 vehicles_day=15 years=3 seed=2")
	made, delivered := parsed(t, a["made_L"]), parsed(t, a["delivered_L"])
	if math.Abs(made-delivered) > 300 {
		t.Errorf("made %v L and delivered %v L a year: a tank of 300 L cannot hold the difference", made, delivered)
	}
	if again := one(t, "tank", "make_up_cold_L_min=2 tank_L=300 vehicles_day=15 years=3 seed=2"); again["short_year"] != a["short_year"] || again["lowest_L"] != a["lowest_L"] {
		t.Error("the same seed gives another answer")
	}
}

const someRig = "static_kPa=380 running_kPa=300 running_flow_L_min=20 restrictor_flow_L_min=3 temp_C=12 area_m2=2.6 rated_permeate_L_min=1.97 rated_rejection=0.985 test_pressure_kPa=690 test_NaCl_mgL=500 "

func TestARigClosesItsWaterAndFollowsItsPressures(t *testing.T) {
	base := one(t, "rig", someRig+"conductivity_25C_uScm=450")
	feed, permeate, drain := parsed(t, base["feed_flow_L_min"]), parsed(t, base["permeate_flow_L_min"]), parsed(t, base["concentrate_flow_L_min"])
	if math.Abs(feed-permeate-drain) > 1e-6*feed || math.Abs(parsed(t, base["recovery"])-permeate/feed) > 1e-6 {
		t.Errorf("feed %v, permeate %v, drain %v, recovery %s", feed, permeate, drain, base["recovery"])
	}
	if k := parsed(t, base["feed_SC_25C_uScm"]); math.Abs(k-450) > 4.5 { // what was read and what is likely are weighed
		t.Errorf("the feed was read at 450 µS/cm and is modelled at %v", k)
	}
	for _, c := range []struct {
		change string
		more   bool // permeate
	}{
		{"conductivity_25C_uScm=450 back_pressure_kPa=150", false},
		{"conductivity_25C_uScm=450 lift_m=5", false},
		{"conductivity_25C_uScm=900", false},
		{"conductivity_25C_uScm=450 filter_drop_kPa=50 filter_flow_L_min=4", false},
		{"conductivity_25C_uScm=450 elements_in_series=2", true},
		{"conductivity_25C_uScm=450 rows_side_by_side=2", true},
		{"conductivity_25C_uScm=450 booster_flow_L_min=5 booster_kPa=300", true},
		{"conductivity_25C_uScm=450 fouled=0.2", false},
		{"conductivity_25C_uScm=450 scaled_tail=0.5", false},
		{"conductivity_25C_uScm=450 chlorine_mgh_L=1500", true},
		{"conductivity_25C_uScm=450 restrictor_worn=3", false},
	} {
		if got := parsed(t, one(t, "rig", someRig+c.change)["permeate_flow_L_min"]); got > permeate != c.more {
			t.Errorf("with %s permeate is %v L/min, before %v", c.change, got, permeate)
		}
	}
}

func TestARigTakesAnAnalysisOrAConductivityNotBoth(t *testing.T) {
	analysed := one(t, "rig", someRig+"pH=7.6 alk_mgL_CaCO3=150 Ca_mgL=60 Mg_mgL=12 Na_mgL=30 K_mgL=3 Cl_mgL=50 SO4_mgL=45 NO3_mgL=5 SiO2_mgL=9")
	if strings.Contains(analysed["assumed"], "city") {
		t.Errorf("an analysis was given, and %s was assumed", analysed["assumed"])
	}
	for _, water := range []string{"", "pH=7 alk_mgL_CaCO3=100 conductivity_25C_uScm=300", "pH=7"} {
		if _, err := rigDoor.answers(settingFor(t), calcRecord{fields: fieldsOf(someRig + water)}); err == nil {
			t.Errorf("a rig on water %q was computed", water)
		}
	}
}

// The effluent of a softener and of a mixed bed against the reference code's: how
// far the worst point is off, as a share of the curve's largest value.
func TestColumnsFollowTheReferenceCurves(t *testing.T) {
	params := check.Ref(t, resinTables+"column_params.csv")
	for _, c := range []struct {
		run   string
		share map[string]float64
	}{
		{"COL1", map[string]float64{
			"Ca_mmolkgw": 0.01, "Mg_mmolkgw": 0.01, "Na_mmolkgw": 0.01, "K_mmolkgw": 0.01, "Fe2_mmolkgw": 0.02, "hardness_mgL_as_CaCO3": 0.01,
			"pH": 0.001, "alkalinity_meqkgw": 0.001, "C4_total_mmolkgw": 0.001, "CO2aq_mmolkgw": 0.001, "HCO3_mmolkgw": 0.001, "SC_at_T_uScm": 0.04,
		}},
		{"COL7", map[string]float64{
			"Na_mmolkgw": 0.01, "Cl_mmolkgw": 0.02, "C4_total_mmolkgw": 0.03, "SiO2_mmolkgw": 0.03, "F_mmolkgw": 0.01, "B_mmolkgw": 0.001,
			"pH": 0.02, "alkalinity_meqkgw": 0.01, "CO2aq_mmolkgw": 0.03, "SC_at_T_uScm": 0.05, "hardness_mgL_as_CaCO3": 0.01,
		}},
	} {
		for _, p := range params.Rows {
			if p.Text("run") != c.run {
				continue
			}
			head, fields := rowFor(params.Columns, nil, p)
			out, told, code := calculate(t, written([][]string{head, fields}), "column", "--equilibrium", "reference")
			if code != ExitGood {
				t.Fatalf("%s: exit %d, %s", c.run, code, told)
			}
			followCurve(t, c.run, table(t, out), c.share)
		}
	}
}

// followCurve compares every point of the reference, which keeps one in four.
func followCurve(t *testing.T, run string, got []map[string]string, share map[string]float64) {
	t.Helper()
	at := map[string]map[string]string{}
	for _, row := range got {
		at[row["step_shifts"]] = row
	}
	reference := check.Ref(t, "testdata/ref/"+run+".csv")
	for column, tolerance := range share {
		worst, worstGot, worstWant, largest := -1.0, 0.0, 0.0, 0.0
		for _, r := range reference.Rows {
			row := at[r.Text("step_shifts")]
			if row == nil {
				t.Fatalf("%s: no point after %s shifts", run, r.Text("step_shifts"))
			}
			x, want := parsed(t, row[column]), r.Number(column)
			largest = max(largest, want)
			if off := math.Abs(x - want); off > worst {
				worst, worstGot, worstWant = off, x, want
			}
		}
		t.Logf("%s %-24s worst point off by %.2g of %.3g", run, column, worst, largest)
		check.Near(t, worstGot, worstWant, tolerance*largest, reference.Source()+", worst point of "+column)
	}
}

func TestAColumnSaysWhatItCannotRun(t *testing.T) {
	for _, change := range []string{
		"initial_cation_equiv_fractions=Na=0.5", "initial_cation_equiv_fractions=Xy=1", "initial_cation_equiv_fractions=H=0.5;Na=0.5", "initial_cation_equiv_fractions=Na=NaN",
		"initial_pore_water=brine", "anion_capacity_eq_per_L_bed=1", "bed_volumes_run=0.1", "punch_every_n_shifts=1e6",
	} {
		fields := sampleOf(t, "column")
		name, value, _ := strings.Cut(change, "=")
		fields[name] = value
		if _, err := columnDoor.answers(settingFor(t), calcRecord{fields: fields}); err == nil || !strings.HasPrefix(err.Error(), name+": ") && name != "bed_volumes_run" {
			t.Errorf("%s: error %v", change, err)
		}
	}
}
