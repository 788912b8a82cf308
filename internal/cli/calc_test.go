package cli

import (
	"bytes"
	"context"
	"encoding/csv"
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"

	"rinsewright/quantity"
)

// calculate runs the command line on standard input.
func calculate(t testing.TB, in string, args ...string) (out, told string, code int) {
	t.Helper()
	var o, e bytes.Buffer
	code = Run(Desk{Context: context.Background(), In: strings.NewReader(in), Out: &o, Err: &e}, append([]string{"calc"}, args...))
	return o.String(), e.String(), code
}

// table reads CSV into rows by column name.
func table(t testing.TB, text string) (rows []map[string]string) {
	t.Helper()
	records, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	if err != nil {
		t.Fatalf("%v in\n%s", err, text)
	}
	for _, record := range records[1:] {
		row := map[string]string{}
		for i, name := range records[0] {
			row[name] = record[i]
		}
		rows = append(rows, row)
	}
	return rows
}

// sample is a row that each door can compute. Demonstration values, invented.
var sample = map[string]string{
	"water":       "id=W1 temp_C=15 pH=7.6 alk_mgL_CaCO3=150 Ca_mgL=60 Mg_mgL=12 Na_mgL=30 K_mgL=3 Ba_mgL=0.05 Sr_mgL=0.3 Cl_mgL=50 SO4_mgL=45 NO3_mgL=5 F_mgL=0.2 SiO2_mgL=9",
	"concentrate": "id=W1 concentration_factor_watermass=2 temp_C=15 pH=7.6 alk_mgL_CaCO3=150 Ca_mgL=60 Na_mgL=30 Cl_mgL=50",
	"acid":        "id=W1 reagent=HCl target_pH=6 system=closed temp_C=15 pH=7.6 alk_mgL_CaCO3=150 Ca_mgL=60 Na_mgL=30 Cl_mgL=50",
	"blend":       "blend_id=B1 water_a=W1 water_b=W2 fraction_a_by_water_mass=0.25 temp_C=14",
	"permeate":    "id=P1 temp_C=12 NaCl_mgL=10 NaHCO3_mgL=2 CO2_added_mgL_as_CO2=5 Ca_as_CaCl2_mgL_Ca=0.3 SiO2_mgL=0.5",
	"calcite":     "id=W1 concentration_factor_watermass=2 temp_C=15 pH=7.6 alk_mgL_CaCO3=150 Ca_mgL=60 Na_mgL=30 Cl_mgL=50",
	"line":        "id=L1 headloss_form=D-W length_m=20 inside_diameter_mm=9.5 roughness_mm_or_C=0.0015 minor_K=3 flow_L_s=0.06 kinematic_viscosity_m2_s=1.2e-6",
	"normalise":   "id=N1 Qp_actual_L_min=8 Pf_kPa=1000 dP_kPa=100 Pp_kPa=50 pi_fb_kPa=60 pi_p_kPa=1 T_C=15",
	"element":     "id=E1 area_m2=2.6 rated_permeate_L_min=1.97 rated_rejection=0.985 test_pressure_kPa=690 test_NaCl_mgL=500 test_temp_C=25 test_recovery=0.15",
	"rig": "id=R1 static_kPa=380 running_kPa=300 running_flow_L_min=20 filter_drop_kPa=10 filter_flow_L_min=4 restrictor_flow_L_min=3 restrictor_kPa=400 back_pressure_kPa=10 lift_m=1 " +
		"conductivity_25C_uScm=450 temp_C=12 area_m2=2.6 rated_permeate_L_min=1.97 rated_rejection=0.985 test_pressure_kPa=690 test_NaCl_mgL=500 elements_in_series=2",
	"resin-life": "id=D1 temp_C=15 NaCl_mgL=10 CO2_added_mgL_as_CO2=5 SiO2_mgL=0.5 resin_L=28.3 condition=regenerated starts=4 starts_water_L=600 slug_L=1 slug_excess_meqL=2 water_L_day=600",
	"column":     "run=C1 temp_C=15 cells=5 cation_capacity_eq_per_L_bed=1.9 bed_volumes_run=20 punch_every_n_shifts=20 feed_alk_meqkgw=3 feed_Ca_mmolkgw=1.5 feed_Na_mmolkgw=1 feed_Cl_mmolkgw=1 feed_C4_mmolkgw=3.2",
	"softener":   "id=S1 resin_L=28.3 salt_kg=3.6 reserve=0.1 vessel_mm=230 hardness_mgL_CaCO3=250 Fe_mgL=0.2 cations_meqL=7 label_gpft3=30000",
	"carbon":     "id=A1 kind=catalytic volume_L=28 flow_L_min=4 free_chlorine_mgL=1 chloramine_mgL=2 temp_C=15 pH=7.6 used=0.2 recovery=0.4 run_h_day=6",
	"tank":       "id=T1 method=simulate make_up_cold_L_min=2 make_up_warm_L_min=3 tank_L=300 vehicles_day=15 years=2 seed=7 busiest_weekdays=Sunday",
	"demand":     "id=M1 bays=2 vehicles_day=15 vend_s=240 spot_free_s=60 gun_L_min=5 opens_h=8 closes_h=20 first_month=4 last_month=10 closed_weekdays=Monday",
	"rinse":      "id=V1 solids_mgL=30 silica_mgL=2 wash_film_mgL=600 film_mm=0.1 gun_L_min=5 on_panel_share=0.5 side_m2=5 seconds=40 dried_film_um=50 limit_mg_m2=3",
	"cost":       "id=K1 vends=4000 feed_m3=120 drain_m3=70 energy_kWh=150 resin_L=56 resin_changes=4 minutes_per_change=30 filters=8 carbon_changes=2 elements=0.5 water_per_m3=1.5 power_per_kWh=0.135 resin_per_L=7.8",
}

// fieldsOf reads "name=value name=value".
func fieldsOf(text string) map[string]string {
	fields := map[string]string{}
	for _, part := range strings.Fields(text) {
		name, value, _ := strings.Cut(part, "=")
		fields[name] = value
	}
	return fields
}

// sampleOf returns a door's row as fields.
func sampleOf(t testing.TB, door string) map[string]string {
	t.Helper()
	fields := fieldsOf(sample[door])
	if len(fields) == 0 {
		t.Fatalf("no sample row for %s: add one", door)
	}
	return fields
}

var testWaters = map[string]string{"W1": sample["water"], "W2": "id=W2 temp_C=11 pH=7.1 alk_mgL_CaCO3=60 Ca_mgL=20 Na_mgL=12 Cl_mgL=9"}

// settingFor is a setting in which every door can compute its sample.
func settingFor(t testing.TB) calcSetting {
	t.Helper()
	s := calcSetting{ctx: context.Background(), waters: map[string]namedWater{}}
	for id, text := range testWaters {
		row, err := waterDoor.read(calcRecord{fields: fieldsOf(text)})
		if err != nil {
			t.Fatal(err)
		}
		s.waters[id] = namedWater{analysis: analysisOf(row)}
	}
	return s
}

func TestEveryDoorAnswersItsSample(t *testing.T) {
	setting := settingFor(t)
	for i := range calcDoors {
		d := &calcDoors[i]
		answers, err := d.answers(setting, calcRecord{fields: sampleOf(t, d.name)})
		if err != nil {
			t.Errorf("%s: %v", d.name, err)
		}
		if len(answers) == 0 {
			t.Errorf("%s has no answer", d.name)
		}
	}
}

// No door lets a number through that is not a plain finite one.
func TestNoDoorTakesWhatIsNoNumber(t *testing.T) {
	setting := settingFor(t)
	for i := range calcDoors {
		d := &calcDoors[i]
		for _, c := range d.columns() {
			if c.text {
				continue
			}
			for _, bad := range []string{"NaN", "Inf", "-inf", "+Infinity", "0x1p3", "0x10", "1_000", "1e999", "1,5", "1.2.3", "twelve", "--1", "1e", "٣"} {
				fields := sampleOf(t, d.name)
				fields[c.name] = bad
				_, err := d.answers(setting, calcRecord{fields: fields})
				if err == nil || !strings.HasPrefix(err.Error(), c.name+": read ") {
					t.Errorf("%s takes %s=%q: error %v", d.name, c.name, bad, err)
				}
			}
		}
	}
}

func TestEveryDoorSaysWhichFieldIsMissing(t *testing.T) {
	for i := range calcDoors {
		d := &calcDoors[i]
		for _, c := range d.columns() {
			if !c.needed {
				continue
			}
			fields := sampleOf(t, d.name)
			fields[c.name] = " "
			_, err := d.answers(settingFor(t), calcRecord{fields: fields})
			if err == nil || !strings.HasPrefix(err.Error(), c.name+": nothing read, wanted ") {
				t.Errorf("%s without %s: error %v", d.name, c.name, err)
			}
		}
	}
}

func TestBoundsOfAColumnAreInside(t *testing.T) {
	for i := range calcDoors {
		d := &calcDoors[i]
		for _, c := range d.columns() {
			if c.text {
				continue
			}
			if !(c.low < c.high) || !c.fitsStandard() {
				t.Errorf("%s: %s has bounds %g to %g and standard %q", d.name, c.name, c.low, c.high, c.standard)
			}
			for _, x := range []float64{math.Nextafter(c.low, math.Inf(-1)), math.Nextafter(c.high, math.Inf(1))} {
				row := calcRow{numbers: map[string]float64{}}
				if err := c.take(row, strconv.FormatFloat(x, 'g', -1, 64)); err == nil {
					t.Errorf("%s: %s takes %v, beyond %g to %g", d.name, c.name, x, c.low, c.high)
				}
			}
		}
	}
}

// fitsStandard tells whether the standard is a value of the column.
func (c calcColumn) fitsStandard() bool {
	if c.standard == "" {
		return true
	}
	x, err := quantity.ParseNumber(c.standard, quantity.Locale{})
	return err == nil && c.low <= x && x <= c.high
}

const (
	goodWater = "id,temp_C,pH,alk_mgL_CaCO3,Ca_mgL,Na_mgL,Cl_mgL\n"
	someWater = "A,15,7.5,150,60,20,30\n"
)

func TestABadRowSaysWhyAndTheRestGoesOn(t *testing.T) {
	out, told, code := calculate(t, goodWater+someWater+"B,15,acid,150,60,20,30\nC,15\nD,15,7.5,150,60,20,30\n", "water")
	rows := table(t, out)
	if code != ExitGood || told != "" || len(rows) != 4 {
		t.Fatalf("exit %d, %q, %d rows, wanted 0, nothing, 4", code, told, len(rows))
	}
	if got, want := rows[1]["error"], `pH: read "acid", wanted a number, 0 to 14`; got != want || rows[1]["pH"] != "" {
		t.Errorf("row B says %q and pH %q, wanted %q and nothing", got, rows[1]["pH"], want)
	}
	if got, want := rows[2]["error"], "read 2 fields, wanted 7 as in the header"; got != want {
		t.Errorf("row C says %q, wanted %q", got, want)
	}
	if rows[0]["error"] != "" || rows[0]["pH"] != rows[3]["pH"] || rows[3]["id"] != "D" {
		t.Errorf("good rows came out as %v and %v", rows[0], rows[3])
	}
}

func TestExitCodeTellsWhenNoRowWasComputed(t *testing.T) {
	for _, row := range []struct {
		name, in string
		want     int
	}{
		{"good", goodWater + someWater, ExitGood},
		{"no rows", goodWater, ExitGood},
		{"one of two bad", goodWater + someWater + "B,x,7,1,1,1,1\n", ExitGood},
		{"all bad", goodWater + "A,x,7,1,1,1,1\nB,x,7,1,1,1,1\n", ExitBad},
		{"needed column not there", "id,temp_C\nA,15\n", ExitBad},
		{"nothing", "", ExitBad},
		{"blank", " \n\t", ExitBad},
		{"parted by semicolons", "id;temp_C;pH\nA;15;7,5\n", ExitBad},
		{"column twice", "id,pH,pH\nA,7,7\n", ExitBad},
		{"JSON cut off", `[{"id":"A"`, ExitBad},
		{"JSON with more behind", `[] 5`, ExitBad},
	} {
		if _, told, code := calculate(t, row.in, "water"); code != row.want {
			t.Errorf("%s: exit %d, wanted %d (%s)", row.name, code, row.want, told)
		}
	}
}

func TestColumnsComeInAnyOrderAndStrangersAreNamedOnce(t *testing.T) {
	a, _, _ := calculate(t, goodWater+someWater, "water")
	b, told, _ := calculate(t, "Cl_mgL,colour,Na_mgL,Ca_mgL,alk_mgL_CaCO3,pH,temp_C,id,smell\n30,x,20,60,150,7.5,15,A,y\n", "water")
	if a != b {
		t.Errorf("another order of columns gives\n%s\nin place of\n%s", b, a)
	}
	if want := "calc water: ignored the columns colour, smell\n"; told != want {
		t.Errorf("standard error says %q, wanted %q", told, want)
	}
	if _, told, _ = calculate(t, `{"id":"A","smell":[1]}`, "water"); !strings.HasPrefix(told, "calc water: ignored the column smell\n") {
		t.Errorf("standard error says %q", told)
	}
}

func TestKeysComeBackAsRead(t *testing.T) {
	in := "id,concentration_factor_watermass,temp_C,pH,alk_mgL_CaCO3,Ca_mgL\n\"a,\"\"b\"\"\",2.50,15,7.5,150,60\n"
	out, _, _ := calculate(t, in, "concentrate")
	if !strings.Contains(out, "\n\"a,\"\"b\"\"\",2.50,") {
		t.Errorf("keys came back as\n%s", out)
	}
	out, _, _ = calculate(t, in, "concentrate", "--format", "json")
	if !strings.Contains(out, `{"id":"a,\"b\"","concentration_factor_watermass":2.50,"pH":`) {
		t.Errorf("keys came back as\n%s", out)
	}
	out, _, _ = calculate(t, `[{"id":7,"concentration_factor_watermass":"2","temp_C":15,"pH":7.5,"alk_mgL_CaCO3":150}]`, "concentrate")
	if !strings.HasPrefix(out, "[\n"+`{"id":7,"concentration_factor_watermass":"2","pH":`) {
		t.Errorf("keys came back as\n%s", out)
	}
}

func TestHeaderBeginsWithKeysAndEndsWithError(t *testing.T) {
	for i := range calcDoors {
		d := &calcDoors[i]
		var keys []string
		for _, c := range d.keys {
			keys = append(keys, c.name)
		}
		var o bytes.Buffer
		if err := newCalcWriter(&o, calcCSV, d).end(); err != nil {
			t.Fatal(err)
		}
		if got := o.String(); !strings.HasPrefix(got, strings.Join(keys, ",")+",") || !strings.HasSuffix(got, ",error\n") {
			t.Errorf("%s: header %q", d.name, got)
		}
	}
}

// The same row in either format gives the same digits.
func TestCSVAndJSONGiveTheSameNumbers(t *testing.T) {
	waters := watersFile(t)
	for i := range calcDoors {
		d := &calcDoors[i]
		var args []string
		if d.name == "blend" {
			args = []string{"--waters", waters}
		}
		fields := sampleOf(t, d.name)
		direct, _, code := calculate(t, asCSV(fields), append(args, d.name)...)
		if code != ExitGood {
			t.Errorf("%s: exit %d:\n%s", d.name, code, direct)
		}
		for _, in := range []string{asJSON(fields), "[" + asJSON(fields) + "]"} {
			if got, _, _ := calculate(t, in, append(args, d.name, "--format", "csv")...); got != direct {
				t.Errorf("%s: from JSON\n%s\nfrom CSV\n%s", d.name, got, direct)
			}
		}
	}
}

func TestZeroIsNeverNegativeAndDigitsAreEnough(t *testing.T) {
	for x, want := range map[float64]string{
		math.Copysign(0, -1): "0", 0.1: "0.1", 123456.789: "123456.79", 1.0 / 3e9: "3.3333333e-10", 2e15: "2e+15",
	} {
		if got := formatNumber(x); got != want {
			t.Errorf("%v prints as %s, wanted %s", x, got, want)
		}
	}
}

func TestFlagsThatADoorDoesNotHeedAreRefused(t *testing.T) {
	for _, args := range [][]string{
		{"water", "--friction", "explicit"},
		{"line", "--waters", "x.csv"},
		{"line", "--equilibrium", "reference"},
		{"blend"},
		{"nonsense"},
		{},
		{"line", "--friction", "odd"},
		{"water", "no-such-file.csv"},
		{"blend", "--waters", "no-such-file.csv"},
	} {
		if _, told, code := calculate(t, goodWater+someWater, args...); code != ExitBad || told == "" {
			t.Errorf("calc %v: exit %d, says %q", args, code, told)
		}
	}
}

func TestListsNameEveryDoorAndColumn(t *testing.T) {
	out, _, _ := calculate(t, "", "--list")
	for i := range calcDoors {
		d := &calcDoors[i]
		if !strings.Contains(out, "\n"+d.name+" ") && !strings.HasPrefix(out, d.name+" ") {
			t.Errorf("the list lacks %s", d.name)
		}
		columns, _, _ := calculate(t, "", d.name, "--columns")
		for _, c := range append(d.columns(), d.results...) {
			if !strings.Contains(columns, "  "+c.name+" ") {
				t.Errorf("%s --columns lacks %s", d.name, c.name)
			}
		}
	}
}

func TestASpreadsheetsMarkAndLineEndsAreNoTrouble(t *testing.T) {
	plain, _, _ := calculate(t, goodWater+someWater, "water")
	marked, told, code := calculate(t, "\uFEFF\n "+strings.ReplaceAll(goodWater+someWater, "\n", "\r\n"), "water")
	if marked != plain || told != "" || code != ExitGood {
		t.Errorf("exit %d, %q:\n%s\nwanted\n%s", code, told, marked, plain)
	}
}

func TestARowStopsWhenThePersonDoes(t *testing.T) {
	ctx, stop := context.WithCancel(context.Background())
	stop()
	var o, e bytes.Buffer
	if code := Run(Desk{Context: ctx, In: strings.NewReader(goodWater + someWater), Out: &o, Err: &e}, []string{"calc", "water"}); code != ExitBad {
		t.Errorf("exit %d", code)
	}
}

func BenchmarkThousandWaters(b *testing.B) {
	in := goodWater + strings.Repeat(someWater, 1000)
	for b.Loop() {
		if _, told, code := calculate(b, in, "water"); code != ExitGood {
			b.Fatal(told)
		}
	}
}

func asCSV(fields map[string]string) string {
	var head, row []string
	for _, name := range sortedNames(fields) {
		head, row = append(head, name), append(row, fields[name])
	}
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	_ = w.WriteAll([][]string{head, row})
	return b.String()
}

// asJSON writes numbers as numbers.
func asJSON(fields map[string]string) string {
	var members []string
	for _, name := range sortedNames(fields) {
		value := jsonText(fields[name])
		if _, err := strconv.ParseFloat(fields[name], 64); err == nil {
			value = fields[name]
		}
		members = append(members, jsonText(name)+":"+value)
	}
	return fmt.Sprintf("{%s}", strings.Join(members, ","))
}
