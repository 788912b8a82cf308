package cli

import (
	"fmt"
	"math"
	"strconv"
	"testing"

	"rinsewright/internal/check"
)

// variants are rows beside the samples, so that every number of a door is heeded
// by one of them. Invented.
var variants = map[string][]string{
	"water":       {sample["water"] + " Fe2_mgL=0.4 Mn_mgL=0.1 NH4_mgL=0.5 PO4_mgL=0.6 B_mgL=0.2"},
	"concentrate": {sample["water"] + " concentration_factor_watermass=2 Fe2_mgL=0.4 Mn_mgL=0.1 NH4_mgL=0.5 PO4_mgL=0.6 B_mgL=0.2"},
	"acid":        {sample["water"] + " reagent=NaOH target_pH=9 system=closed Fe2_mgL=0.4 Mn_mgL=0.1 NH4_mgL=0.5 PO4_mgL=0.6 B_mgL=0.2"},
	"calcite":     {sample["water"] + " concentration_factor_watermass=2 Fe2_mgL=0.4 Mn_mgL=0.1 NH4_mgL=0.5 PO4_mgL=0.6 B_mgL=0.2"},
	"normalise":   {sample["normalise"] + " std_Pf_kPa=900 std_dP_kPa=80 std_Pp_kPa=40 std_pi_fb_kPa=50 std_pi_p_kPa=2 std_T_C=20 temperature_coefficient_K=2900"},
	"element":     {sample["element"] + " channel_length_m=0.9 spacer_mm=0.7"},
	"rig": {
		"static_kPa=380 restrictor_flow_L_min=3 temp_C=12 area_m2=2.6 rated_permeate_L_min=1.97 rated_rejection=0.985 test_pressure_kPa=690 pH=7.6 alk_mgL_CaCO3=150 " +
			"Ca_mgL=60 Mg_mgL=12 Na_mgL=30 K_mgL=3 Ba_mgL=0.05 Sr_mgL=0.3 Cl_mgL=50 SO4_mgL=45 NO3_mgL=5 F_mgL=0.2 SiO2_mgL=9 Fe2_mgL=0.4 Mn_mgL=0.1 NH4_mgL=0.5 PO4_mgL=0.6 B_mgL=0.2",
		sample["rig"] + " booster_flow_L_min=6 booster_kPa=400 booster_shut_off_kPa=600 booster_worn=0.9 recycle_flow_L_min=2 recycle_kPa=300 restrictor_worn=1.2",
		sample["rig"] + " elements_in_series=3 fouled=0.2 scaled_tail=0.5 chlorine_mgh_L=800 seal_bypass=0.01 leaking_housing=2 filters_loaded=0.5",
		sample["rig"] + " rows_side_by_side=2 test_temp_C=24 test_recovery=0.12 channel_length_m=0.9 spacer_mm=0.7",
	},
	"resin-life": {
		"temp_C=15 NaCl_mgL=10 NaHCO3_mgL=8 Ca_as_CaCl2_mgL_Ca=1 CO2_added_mgL_as_CO2=5 SiO2_mgL=0.5 resin_L=28.3 capacity_eq_L=0.5",
		"temp_C=15 NaCl_mgL=10 NaHCO3_mgL=8 CO2_added_mgL_as_CO2=5 SiO2_mgL=0.5 resin_L=28.3 end_uScm=1 flow_L_min=20 depth_m=0.8 water_doubt=0.1 flow_doubt=0.5",
		"temp_C=15 NaCl_mgL=10 NaHCO3_mgL=8 CO2_added_mgL_as_CO2=5 SiO2_mgL=0.5 resin_L=28.3 end_SiO2_mgL=0.1 flow_L_min=20",
	},
	"column": {
		sample["column"] + " feed_Mg_mmolkgw=0.5 feed_K_mmolkgw=0.1 feed_Ba_mmolkgw=0.001 feed_Sr_mmolkgw=0.01 feed_Fe2_mmolkgw=0.01 feed_NH4_mmolkgw=0.02 " +
			"feed_SO4_mmolkgw=0.3 feed_NO3_mmolkgw=0.1 feed_F_mmolkgw=0.02 feed_B_mmolkgw=0.01 feed_SiO2_mmolkgw=0.2 bed_void_fraction=0.4",
		"temp_C=15 cells=6 cation_capacity_eq_per_L_bed=0.05 bed_volumes_run=20 punch_every_n_shifts=20 feed_alk_meqkgw=3 feed_Ca_mmolkgw=1.5 feed_Na_mmolkgw=1 " +
			"feed_Cl_mmolkgw=1 feed_C4_mmolkgw=3.2 bed_depth_m=0.5 dispersivity_m=0.02",
		"temp_C=15 cells=6 cation_capacity_eq_per_L_bed=0.05 bed_volumes_run=20 punch_every_n_shifts=20 feed_alk_meqkgw=3 feed_Ca_mmolkgw=1.5 feed_Na_mmolkgw=1 " +
			"feed_Cl_mmolkgw=1 feed_C4_mmolkgw=3.2 bed_depth_m=0.5 rate_BV_per_h=60 bead_mm=0.7",
		"temp_C=15 cells=6 cation_capacity_eq_per_L_bed=0.05 anion_capacity_eq_per_L_bed=0.04 initial_cation_equiv_fractions=H=1 bed_volumes_run=20 punch_every_n_shifts=20 " +
			"feed_alk_meqkgw=3 feed_Ca_mmolkgw=1.5 feed_Na_mmolkgw=1 feed_Cl_mmolkgw=1 feed_C4_mmolkgw=3.2",
	},
	"softener": {"resin_L=28.3 salt_kg=3.6 reserve=0.1 vessel_mm=230 hardness_mgL_CaCO3=250 bypassed=0.1 missed_L=6100"},
	"carbon": {
		"kind=granular volume_L=0.5 flow_L_min=8 free_chlorine_mgL=1 chloramine_mgL=2 temp_C=15 pH=7.6",
		"kind=granular volume_L=28 flow_L_min=8 free_chlorine_mgL=2 temp_C=15 pH=7.6 vessel_mm=230 swap_mgL=0.3",
	},
	"tank": {
		"method=exponential every_min=10 lump_L=5 make_up_cold_L_min=1 deficit_L=20",
		"method=constant every_min=10 lump_L=5 make_up_cold_L_min=1 deficit_L=20",
		"method=on-off on_min=4 off_min=10 gun_L_min=12 make_up_cold_L_min=5 deficit_L=20",
		"make_up_cold_L_min=1 make_up_warm_L_min=1.5 coldest_month=2 tank_L=300 stop_L=280 start_L=240 cut_off_L=30 restart_L=60 pump_L_min=6 years=2 seed=7 " +
			"bays=3 vehicles_day=30 vehicles_busiest=60 vend_s=240 spot_free_s=60 gun_L_min=5 waiting=2 opens_h=8 closes_h=19 busiest_hour_h=11 busiest_hour_share=0.2 first_month=4 last_month=9",
		"make_up_cold_L_min=0.5 tank_L=300 stop_L=150 start_L=100 cut_off_L=50 restart_L=80 vehicles_day=90 years=2 bays=1 waiting=1",
		"make_up_cold_L_min=1 tank_L=300 vehicles_day=30 years=2 spot_free_share=0.3 gun_L_min=5",
		"make_up_cold_L_min=1 tank_L=300 vehicles_day=30 years=2 litres_per_vehicle=12",
		"make_up_cold_L_min=0.3 tank_L=200 vehicles_day=20 years=4 risk=0.4 day_to_day_share=0.2 regeneration_every_d=3 regeneration_min=200 membrane_out_d=1 power_cut_min=40",
	},
	"demand": {
		"bays=3 vehicles_day=30 vehicles_busiest=60 vend_s=240 spot_free_share=0.3 gun_L_min=5 waiting=2 opens_h=8 closes_h=19 busiest_hour_h=11 busiest_hour_share=0.2",
		"bays=3 vehicles_day=30 litres_per_vehicle=12",
	},
	"cost": {sample["cost"] + " sewer_per_m3=2 filter_each=9 carbon_each=45 element_each=220 labour_per_h=75 visit_each=40"},
}

// unheeded are numbers that a door reads and need not answer to, each with why.
var unheeded = map[string]string{
	"softener label_gpft3": "it is checked against the salt, and only ever refused",
	"demand waiting":       "expected demand is of arrivals; who waits matters to the tank",
}

// A column that is read and then forgotten would be a lie: some row must answer
// otherwise when its number is changed.
func TestEveryNumberOfADoorMatters(t *testing.T) {
	setting := settingFor(t)
	for i := range calcDoors {
		d := &calcDoors[i]
		matters := map[string]bool{}
		for _, text := range append([]string{sample[d.name]}, variants[d.name]...) {
			base := fieldsOf(text)
			before := answered(t, d, setting, base)
			for name := range base {
				for _, factor := range []float64{1.04, 1.5} {
					changed := fieldsOf(text)
					changed[name] = moved(d, name, base[name], factor)
					if !matters[name] && changed[name] != base[name] && answered(t, d, setting, changed) != before {
						matters[name] = true
					}
				}
			}
		}
		for _, c := range d.columns() {
			if !c.text && !matters[c.name] && unheeded[d.name+" "+c.name] == "" {
				t.Errorf("%s: no row answers otherwise when %s changes", d.name, c.name)
			}
		}
	}
}

// answered is a door's answer, or its error, as text.
func answered(t *testing.T, d *calcDoor, s calcSetting, fields map[string]string) string {
	t.Helper()
	answers, err := d.answers(s, calcRecord{fields: fields})
	return fmt.Sprint(answers, err)
}

// moved is a number times a factor, or over it where the column ends before.
func moved(d *calcDoor, name, text string, factor float64) string {
	for _, c := range d.columns() {
		if c.name != name || c.text {
			continue
		}
		x, err := strconv.ParseFloat(text, 64)
		if err != nil {
			return text
		}
		if x *= factor; x > c.high {
			x /= factor * factor
		}
		if c.whole {
			x = min(math.Ceil(x), c.high)
		}
		return strconv.FormatFloat(x, 'g', -1, 64)
	}
	return text
}

const byHand = "published: arithmetic by hand, "

// Which number goes where: rows whose answer a pencil gives.
func TestDoorsPutNumbersWhereTheyBelong(t *testing.T) {
	for _, c := range []struct {
		door, row, result string
		want              float64
		how               string
	}{
		{"rinse", "solids_mgL=30 silica_mgL=2 wash_film_mgL=600 gun_L_min=5 on_panel_share=0.5 side_m2=5 seconds=40", "rinse_L_m2", 5 * 0.5 * 40.0 / 60 / 5, "flow times share times time over area"},
		{"rinse", "solids_mgL=30 silica_mgL=2 wash_film_mgL=600 gun_L_min=5 side_m2=5 seconds=40", "residue_of_rinse_mg_m2", 50e-3 * 32, "50 µm of 32 mg/L"},
		{"rinse", "solids_mgL=30 wash_film_mgL=600 gun_L_min=5 side_m2=5 seconds=40 limit_mg_m2=3", "limit_mg_m2", 3, "as given"},
		{"cost", "vends=100 filters=3 filter_each=9", "total_year", 27, "three at nine"},
		{"cost", "vends=100 elements=0.5 element_each=220", "total_year", 110, "half of one at 220"},
		{"cost", "vends=100 carbon_changes=2 carbon_each=45", "total_year", 90, "two at 45"},
		{"cost", "vends=100 drain_m3=10 sewer_per_m3=2.5 water_per_m3=99", "total_year", 25, "ten at 2.50"},
		{"cost", "vends=100 resin_L=56 resin_per_L=7.8", "total_year", 436.8, "56 at 7.80"},
		{"cost", "vends=100 resin_changes=4 minutes_per_change=30 labour_per_h=75 visit_each=40", "total_year", 310, "two hours at 75 and four visits at 40"},
		{"cost", "vends=100 resin_changes=4 minutes_per_change=30 labour_per_h=75 visit_each=40", "largest_year", 160, "the four visits"},
		{"demand", "vehicles_day=10 vehicles_busiest=10 litres_per_vehicle=1 closed_weekdays=Monday", "open_days", 313, "365 less 52 Mondays, 1 January not a Monday"},
		{"demand", "vehicles_day=10 vehicles_busiest=10 litres_per_vehicle=1 first_month=4 last_month=9", "open_days", 183, "April to September"},
		{"demand", "vehicles_day=10 vehicles_busiest=10 vend_s=240 spot_free_share=0.5 gun_L_min=5", "litres_per_vend", 10, "half of four minutes at five"},
		{"demand", "vehicles_day=10 vehicles_busiest=10 vend_s=240 spot_free_s=60 gun_L_min=5", "litres_per_vend", 5, "one minute at five"},
		{"tank", "method=constant every_min=10 lump_L=5 make_up_cold_L_min=1 deficit_L=20", "mean_deficit_L", 2.5, "half that of exponential lumps"},
		{"tank", "method=constant every_min=10 lump_L=5 make_up_cold_L_min=1 deficit_L=20", "load", 0.5, "five in ten minutes of one"},
		{"tank", "make_up_cold_L_min=2 tank_L=300 stop_L=280 start_L=240 cut_off_L=30 restart_L=60 vehicles_day=5 years=2", "usable_L", 250, "280 less 30"},
		{"tank", "make_up_cold_L_min=2 tank_L=300 stop_L=280 start_L=240 cut_off_L=30 restart_L=60 vehicles_day=5 years=2", "float_differential_L", 40, "280 less 240"},
		{"tank", "make_up_cold_L_min=2 tank_L=300 stop_L=280 start_L=240 cut_off_L=30 restart_L=60 vehicles_day=5 years=2", "fill_min", 125, "250 at two a minute"},
		{"carbon", "volume_L=28 flow_L_min=4 temp_C=15", "contact_min", 7, "28 over 4"},
		{"carbon", "volume_L=28 flow_L_min=4 free_chlorine_mgL=1 temp_C=15", "leak_chloramine_mgL", 0, "none came in"},
		{"carbon", "volume_L=1 flow_L_min=4 chloramine_mgL=1 temp_C=15", "leak_free_mgL", 0, "none came in"},
		{"softener", "resin_L=28.3 salt_kg=3.6 vessel_mm=230 hardness_mgL_CaCO3=100 Fe_mgL=1", "hardness_with_iron_mgL_CaCO3", 100 + 3*17.118061, "3 gpg per mg/L of iron"},
		{"resin-life", "temp_C=15 NaCl_mgL=58.443 resin_L=10 capacity_eq_L=0.5 water_L_day=500", "life_days", 10, "5 eq at 1 meq/L, 500 L a day"},
		{"resin-life", "temp_C=15 NaCl_mgL=58.443 resin_L=10 capacity_eq_L=0.5 starts=5 starts_water_L=100 slug_L=2 slug_excess_meqL=10", "share_starts", 0.5, "five of two litres of ten on a hundred of one"},
		{"resin-life", "temp_C=15 SiO2_mgL=60.0843 NaCl_mgL=58.443 resin_L=10", "share_silica", 0.5, "a molecule of silica counts as one of chloride"},
		{"resin-life", "temp_C=15 CO2_added_mgL_as_CO2=440 resin_L=10", "share_silica", 0, "there is none"},
	} {
		t.Run(c.door+" "+c.result, func(t *testing.T) {
			check.Near(t, parsed(t, one(t, c.door, c.row)[c.result]), c.want, 5e-5*max(c.want, 1e-9), byHand+c.how)
		})
	}
}

func TestDoorsSayYesAndNoTheRightWay(t *testing.T) {
	for _, c := range []struct{ door, row, result, want string }{
		{"carbon", "volume_L=28 flow_L_min=4 free_chlorine_mgL=1 temp_C=15", "contact_holds", "true"},
		{"carbon", "volume_L=4 flow_L_min=4 free_chlorine_mgL=1 temp_C=15", "contact_holds", "false"},
		{"carbon", "volume_L=28 flow_L_min=4 free_chlorine_mgL=1 chloramine_mgL=2 temp_C=15", "contact_holds", "false"}, // long enough for one, not for the other
		{"carbon", "volume_L=28 flow_L_min=4 temp_C=15", "life_days", ""},
		{"carbon", "volume_L=0.2 flow_L_min=8 free_chlorine_mgL=2 temp_C=5", "too_small", "true"},
		{"rinse", "solids_mgL=30 wash_film_mgL=600 gun_L_min=5 side_m2=5 seconds=40 limit_mg_m2=3", "reaches", "true"},
		{"rinse", "solids_mgL=100 wash_film_mgL=600 gun_L_min=5 side_m2=5 seconds=40 limit_mg_m2=3", "reaches", "false"},
		{"rinse", "solids_mgL=30 wash_film_mgL=600 gun_L_min=5 side_m2=5 seconds=40", "reaches", ""},
		{"cost", "vends=10 feed_m3=1 water_per_m3=1 filters=1 filter_each=9 carbon_changes=1 carbon_each=4", "largest", "filters"},
		{"resin-life", "temp_C=15 NaCl_mgL=10 CO2_added_mgL_as_CO2=50 resin_L=10", "ends_first", "anion"},
	} {
		if got := one(t, c.door, c.row)[c.result]; got != c.want {
			t.Errorf("%s of %s: %s is %q, wanted %q", c.door, c.row, c.result, got, c.want)
		}
	}
}

// Limits of a simulation stand in their order, about a chance that is neither 0
// nor 1.
func TestSimulatedLimitsAreInOrder(t *testing.T) {
	a := one(t, "tank", "make_up_cold_L_min=1 tank_L=150 vehicles_day=15 litres_per_vehicle=12 years=20 seed=3")
	for _, name := range []string{"short_low short_year short_high", "run_dry_low run_dry run_dry_high"} {
		var low, middle, high string
		if _, err := fmt.Sscan(name, &low, &middle, &high); err != nil {
			t.Fatal(err)
		}
		if x, y, z := parsed(t, a[low]), parsed(t, a[middle]), parsed(t, a[high]); !(x <= y && y <= z && x < z) {
			t.Errorf("%s %v, %s %v, %s %v", low, x, middle, y, high, z)
		}
	}
}

func TestWholeNumbersAreAskedForWhereThingsAreCounted(t *testing.T) {
	for _, c := range []struct{ door, column string }{{"rig", "elements_in_series"}, {"column", "cells"}, {"demand", "bays"}, {"tank", "years"}} {
		fields := sampleOf(t, c.door)
		fields[c.column] = "2.5"
		for i := range calcDoors {
			if d := &calcDoors[i]; d.name == c.door {
				if _, err := d.answers(settingFor(t), calcRecord{fields: fields}); err == nil {
					t.Errorf("%s takes %s of 2.5", c.door, c.column)
				}
			}
		}
	}
}

// A point between two shifts lies between them.
func TestAColumnIsReadBetweenItsShifts(t *testing.T) {
	points := []columnPoint{{bedVolumes: 1}, {bedVolumes: 3}}
	points[0].water.Alkalinity, points[1].water.Alkalinity = 10, 20
	points[0].water.Total[0], points[1].water.Total[0] = 1, 2
	for at, want := range map[float64]float64{1: 10, 1.5: 12.5, 2: 15, 3: 20, 9: 20} {
		p := pointAt(points, at)
		if float64(p.water.Alkalinity) != want || float64(p.water.Total[0]) != want/10 || p.bedVolumes != at && at != 9 {
			t.Errorf("at %v: %v and %v at %v, wanted %v", at, p.water.Alkalinity, p.water.Total[0], p.bedVolumes, want)
		}
	}
}

// Blending without a temperature weighs both waters' as their shares.
func TestABlendWithoutTemperatureMixesIt(t *testing.T) {
	mixed := one(t, "blend", "water_a=W1 water_b=W2 fraction_a_by_water_mass=0.25", "--waters", watersFile(t))
	told := one(t, "blend", "water_a=W1 water_b=W2 fraction_a_by_water_mass=0.25 temp_C=12", "--waters", watersFile(t)) // 0.25·15 + 0.75·11
	for name, text := range told {
		if name != "blend_id" && name != "temp_C" && mixed[name] != text {
			t.Errorf("%s is %s, and at the weighed temperature %s", name, mixed[name], text)
		}
	}
}
