package cli

import (
	"bytes"
	"encoding/csv"
	"math"
	"slices"
	"strings"
	"testing"

	"rinsewright/internal/check"
)

// compared is one result column against a column of a reference table.
type compared struct {
	result, reference string
	absolute, share   float64 // how far the worst row may be off: their sum
	median            float64 // how far the middle row may be off, as a share; 0 is not asked
}

// Reference tables lie beside the engine packages whose tests read them too.
const (
	waterTables      = "../../water/testdata/ref/"
	hydraulicsTables = "../../hydraulics/testdata/ref/"
	membraneTables   = "../../membrane/testdata/ref/"
	demandTables     = "../../demand/testdata/ref/"
	resinTables      = "../../resin/testdata/ref/"
)

// speciesColumns are the results that every table of waters has.
func speciesColumns() []compared {
	return []compared{
		{result: "pH", absolute: 0.02},
		{result: "ionic_strength_molkgw", share: 1e-3},
		{result: "CO2aq_molkgw", share: 0.01},
		{result: "HCO3_molkgw", share: 5e-3},
		{result: "CO3_molkgw", share: 0.01},
		{result: "C4_total_molkgw", share: 1e-3},
		{result: "alkalinity_eqkgw", share: 2e-3},
		{result: "SI_calcite", absolute: 0.03},
		{result: "SI_aragonite", absolute: 0.03},
		{result: "SI_gypsum", absolute: 0.03},
		{result: "SI_barite", absolute: 0.05},
		{result: "SI_celestite", absolute: 0.03},
		{result: "SI_fluorite", absolute: 0.03},
		{result: "SI_SiO2a", absolute: 0.03},
		{result: "SI_brucite", absolute: 0.06},
		{result: "logPCO2", absolute: 0.01},
		{result: "SC_at_T_uScm", share: 0.10, median: 0.03},
	}
}

// doorTables are the reference tables that a door is run over.
var doorTables = []struct {
	door    string
	args    []string
	table   string
	waters  bool     // rows take their analysis from the table of waters
	feeds   []string // columns of the table that go in beside it; all when empty
	only    func(check.TableRow) bool
	columns []compared
}{
	{door: "water", table: waterTables + "speciation.csv", waters: true, feeds: []string{"id"}, columns: append(speciesColumns(),
		compared{result: "SC_25C_uScm", share: 0.10, median: 0.03},
		compared{result: "density_gcm3", share: 2e-4},
		compared{result: "viscosity_mPas", share: 0.02},
		compared{result: "osmotic_pressure_bar", reference: "pitzer_osmotic_pressure_bar", share: 0.03},
	)},
	{door: "concentrate", table: waterTables + "concentrate.csv", waters: true, feeds: []string{"id", "concentration_factor_watermass"}, columns: append(speciesColumns(),
		compared{result: "density_gcm3", share: 2e-4},
		compared{result: "osmotic_pressure_bar", reference: "pitzer_osmotic_pressure_bar", share: 0.03},
	)},
	{door: "acid", table: waterTables + "acid.csv", waters: true, feeds: []string{"id", "reagent", "target_pH", "system"}, columns: append(speciesColumns(),
		compared{result: "dose_mmol_per_kgw", share: 5e-3},
		compared{result: "dose_mgL_100pct", share: 5e-3},
	)},
	{door: "blend", args: []string{"--waters"}, table: waterTables + "blends.csv", columns: append(speciesColumns(),
		compared{result: "density_gcm3", share: 2e-4},
	)},
	{door: "permeate", table: waterTables + "permeate.csv", columns: []compared{
		{result: "pH", absolute: 0.02},
		{result: "CO2aq_mgL", absolute: 1e-6, share: 1e-3},
	}},
	{door: "permeate", table: waterTables + "permeate.csv", only: carriesSalt, columns: []compared{
		{result: "SC_at_T_uScm", share: 0.10, median: 0.03},
	}},
	{door: "calcite", table: waterTables + "calcite_equilibrium.csv", waters: true, feeds: []string{"id", "concentration_factor_watermass"}, columns: []compared{
		// Close to balance an index that is off by 0.002 moves the amount by so much.
		{result: "calcite_precipitated_mmol_per_kg_final_water", absolute: 2e-3, share: 0.01},
		{result: "calcite_precipitated_mg_per_kg_final_water", absolute: 0.2, share: 0.01},
		{result: "pH_at_calcite_equilibrium", absolute: 0.02},
		{result: "alkalinity_eqkgw", share: 2e-3},
		{result: "m_Ca_molkgw", share: 2e-3},
		{result: "logPCO2", absolute: 0.01},
		{result: "ionic_strength_molkgw", share: 1e-3},
	}},
	{door: "line", args: []string{"--friction", "explicit"}, table: hydraulicsTables + "hydraulics_pipes.csv", only: darcySettled, columns: lineColumns(0.0015)},
	{door: "line", args: []string{"--friction", "colebrook"}, table: hydraulicsTables + "hydraulics_pipes.csv", only: darcySettled, columns: lineColumns(0.02)},
	{door: "line", table: hydraulicsTables + "hydraulics_pipes.csv", only: darcyBetween, columns: lineColumns(0.025)},
	{door: "line", table: hydraulicsTables + "hydraulics_pipes.csv", only: hazen, columns: lineColumns(0.001)},
	{door: "normalise", table: membraneTables + "ro_normalised_flow.csv", columns: []compared{
		{result: "NDP_actual_kPa", share: 1e-6},
		{result: "NDP_std_kPa", share: 1e-6},
		{result: "Qp_std_L_min", share: 1e-4},
	}},
}

func lineColumns(share float64) []compared {
	return []compared{{result: "expect_velocity_m_s", share: 2e-6}, {result: "expect_headloss_m", share: share}}
}

// carriesSalt leaves out the one permeate whose reference conductivity, 7.35
// µS/cm, is less than its ions' own limiting conductances give: H 3.95, HCO3
// 1.09, Na 0.73, Ca 1.05 and Cl 1.5 make 8.3 µS/cm at its 26.1 °C.
func carriesSalt(r check.TableRow) bool { return r.Text("id") != "P029" }

func hazen(r check.TableRow) bool { return r.Text("headloss_form") == hazenWilliams }

// darcyBetween are the lines between laminar and turbulent flow.
func darcyBetween(r check.TableRow) bool {
	return !hazen(r) && r.Number("Re") > 2000 && r.Number("Re") < 4000
}

func darcySettled(r check.TableRow) bool { return !hazen(r) && !darcyBetween(r) }

func TestDoorsMeetTheReferenceTables(t *testing.T) {
	waters := map[string]check.TableRow{}
	waterTable := check.Ref(t, waterTables+"waters.csv")
	for _, r := range waterTable.Rows {
		waters[r.Text("id")] = r
	}
	for _, c := range doorTables {
		name := strings.Join(append([]string{c.door}, c.args...), " ")
		if slices.Contains(c.args, "--waters") {
			c.args = append(c.args, withoutHead(t, waterTable))
		}
		t.Run(name, func(t *testing.T) {
			reference := check.Ref(t, c.table)
			var in [][]string
			var rows []check.TableRow
			for _, r := range reference.Rows {
				if c.only != nil && !c.only(r) {
					continue
				}
				rows = append(rows, r)
				head, fields := rowFor(reference.Columns, c.feeds, r)
				if c.waters {
					head, fields = joined(head, fields, waterTable.Columns, waters[r.Text("id")])
				}
				if len(in) == 0 {
					in = append(in, head)
				}
				in = append(in, fields)
			}
			out, told, code := calculate(t, written(in), append([]string{c.door}, c.args...)...)
			if code != ExitGood {
				t.Fatalf("exit %d: %s", code, told)
			}
			answers := table(t, out)
			if len(answers) != len(rows) || len(rows) == 0 {
				t.Fatalf("%d answers to %d rows", len(answers), len(rows))
			}
			for _, column := range c.columns {
				column.compare(t, answers, rows, reference.Source())
			}
		})
	}
}

// rowFor returns the fields of a row that go in.
func rowFor(columns, feeds []string, r check.TableRow) (head, fields []string) {
	if feeds == nil {
		feeds = columns
	}
	for _, name := range feeds {
		head, fields = append(head, name), append(fields, r.Text(name))
	}
	return head, fields
}

func joined(head, fields, columns []string, water check.TableRow) ([]string, []string) {
	for _, name := range columns {
		if !slices.Contains(head, name) {
			head, fields = append(head, name), append(fields, water.Text(name))
		}
	}
	return head, fields
}

func written(records [][]string) string {
	var b bytes.Buffer
	_ = csv.NewWriter(&b).WriteAll(records)
	return b.String()
}

// compare holds the worst row of a column against its tolerance, and the middle
// one where that is asked.
func (c compared) compare(t *testing.T, answers []map[string]string, rows []check.TableRow, source string) {
	t.Helper()
	if c.reference == "" {
		c.reference = c.result
	}
	var offs []float64
	worst, worstGot, worstWant, worstTolerance := -1.0, 0.0, 0.0, 0.0
	for i, answer := range answers {
		if answer["error"] != "" {
			t.Fatalf("row %d: %s", i+1, answer["error"])
		}
		got, want := parsed(t, answer[c.result]), rows[i].Number(c.reference)
		off, tolerance := math.Abs(got-want), c.absolute+c.share*math.Abs(want)
		if tolerance > 0 && off/tolerance > worst {
			worst, worstGot, worstWant, worstTolerance = off/tolerance, got, want, tolerance
		}
		if want != 0 && c.absolute == 0 {
			off /= math.Abs(want)
		}
		offs = append(offs, off)
	}
	if worst < 0 {
		t.Errorf("%s: nothing to compare", c.result)
		return
	}
	slices.Sort(offs)
	middle := offs[len(offs)/2]
	t.Logf("%-46s off: median %.1e, worst %.1e; worst row %.0f %% of its tolerance", c.result, middle, offs[len(offs)-1], 100*worst)
	check.Near(t, worstGot, worstWant, worstTolerance, source+", worst row of "+c.result)
	if c.median > 0 && !(middle <= c.median) {
		t.Errorf("%s: the middle row is off by %.2g, wanted within %.2g", c.result, middle, c.median)
	}
}
