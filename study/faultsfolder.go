package study

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"rinsewright/carbon"
	"rinsewright/faults"
	"rinsewright/membrane"
	"rinsewright/plant"
	"rinsewright/quantity"
	"rinsewright/water"
)

// FaultRow is one row of a table, by column name.
type FaultRow map[string]string

// FaultFolder is what a folder of cases holds: nameplates, accepted readings,
// today's readings and remarks, row by row.
type FaultFolder struct {
	Cases, Baseline, Readings, Words []FaultRow
}

// FaultCases makes a case of each row of the nameplates, with its id. A cell
// that cannot be read is an error that names case and column.
func (f FaultFolder) FaultCases() (ids []string, all []faults.Case, err error) {
	at := map[string]int{}
	for _, row := range f.Cases {
		id := row["case_id"]
		facts, err := factsOf(row)
		if err != nil {
			return nil, nil, fmt.Errorf("case %s: %w", id, err)
		}
		if _, twice := at[id]; twice || id == "" {
			return nil, nil, fmt.Errorf("case %q: read twice or without an id, wanted one row for each case_id", id)
		}
		at[id] = len(all)
		ids, all = append(ids, id), append(all, faults.Case{Facts: facts})
	}
	for table, rows := range map[string][]FaultRow{"baseline": f.Baseline, "readings": f.Readings} {
		for _, row := range rows {
			i, ok := at[row["case_id"]]
			if !ok {
				continue
			}
			e, known, err := evidenceOf(row, &all[i].Facts)
			if err != nil {
				return nil, nil, fmt.Errorf("case %s, %s: %w", row["case_id"], table, err)
			}
			switch {
			case !known:
			case table == "baseline":
				all[i].Baseline = append(all[i].Baseline, e)
			default:
				all[i].Now = append(all[i].Now, e)
			}
		}
	}
	for _, row := range f.Words {
		if i, ok := at[row["case_id"]]; ok {
			text := row["text"]
			if strings.Contains(row["who"], "hearsay") {
				text = faults.Hearsay + text
			}
			all[i].Words = append(all[i].Words, text)
		}
	}
	return ids, all, nil
}

// cells reads the cells of one row and keeps the first error.
type cells struct {
	row FaultRow
	err error
}

func (c *cells) number(name string) (float64, bool) {
	text := strings.TrimSpace(c.row[name])
	if text == "" {
		return 0, false
	}
	x, err := quantity.ParseNumber(text, quantity.Locale{})
	if err != nil || math.Abs(x) > 1e9 {
		if c.err == nil {
			c.err = fmt.Errorf("%s: read %q, wanted a number such as 12.5", name, text)
		}
		return 0, false
	}
	return x, true
}

func entry[Q quantity.Quantity](c *cells, name string, make func(float64) Q) (e quantity.Entry[Q]) {
	if x, ok := c.number(name); ok {
		e = quantity.Told(make(x))
	}
	return e
}

func (c *cells) answer(name string) faults.Answer {
	switch c.row[name] {
	case "y":
		return faults.Yes
	case "n":
		return faults.No
	}
	return faults.NotSaid
}

// elementAreas is the usual area of a nominal size. Source: catalogue of
// generic parts, else common practice.
var elementAreas = map[string]float64{ // ft²
	"1812": 4.5, "2012": 5.5, "2514": 10, "2521": 13, "2540": 28, "3012": 10, "4014": 20, "4021": 33, "4040": 85,
}

func factsOf(row FaultRow) (faults.Facts, error) {
	c := cells{row: row}
	months := func(x float64) quantity.Time { return quantity.Days(x * 30.44) }
	f := faults.Facts{
		Source: faults.Source(row["city_type"]), Booster: row["booster"] == "y", Softener: row["softener"] == "y",
		CarbonAge: entry(&c, "carbon_age_months", months), FilterAge: entry(&c, "prefilter_age_months", months),
		ElementAge: entry(&c, "element_age_months", months), Recovery: entry(&c, "design_recovery_pct", quantity.Percent),
		SinceChange: entry(&c, "gal_since_di_change", quantity.Gallons), SinceTime: entry(&c, "days_since_di_change", quantity.Days),
		Tank: entry(&c, "tank_gal", quantity.Gallons), FloatGap: entry(&c, "float_diff_gal", quantity.Gallons),
		Gun: entry(&c, "gun_design_gpm", quantity.GallonsPerMinute), PerDay: entry(&c, "est_gal_per_day", quantity.Gallons),
		GaugeScale: entry(&c, "panel_gauge_fs_psi", quantity.PSI), Service: entry(&c, "days_since_last_service", quantity.Days),
		BaselineAge: entry(&c, "baseline_days_ago", quantity.Days),
		Opened:      c.answer("vessel_opened_last_service"), Notice: c.answer("utility_notice"),
	}
	count := func(name string) int { x, _ := c.number(name); return int(min(max(x, 0), 50)) }
	f.Housings, f.Bays = max(count("elements"), 1), count("bays")
	f.Sheet = c.sheet()
	f.Lead, f.Lag = quantity.CubicFeet(first(c.number("di_lead_ft3"))), quantity.CubicFeet(first(c.number("di_lag_ft3")))
	if place := faults.Place(row["di_position"]); place == faults.BeforeTank || place == faults.AfterTank {
		f.ResinPlace = place
	}
	f.CarbonBed = quantity.CubicFeet(first(c.number("carbon_ft3")))
	f.Carbon = carbonNamed(row["carbon_type"])
	return f, c.err
}

func first(x float64, _ bool) float64 { return x }

func carbonNamed(name string) carbon.Kind {
	switch {
	case strings.Contains(name, "block"):
		return carbon.Block
	case strings.Contains(name, "catalytic"):
		return carbon.Catalytic
	case name == "" || name == "none":
		return ""
	}
	return carbon.Granular
}

// sheet is an element of a nominal size with what its plate says.
func (c *cells) sheet() membrane.Sheet {
	or := func(name string, usual float64) float64 {
		if x, ok := c.number(name); ok && x > 0 {
			return x
		}
		return usual
	}
	area, ok := elementAreas[c.row["element_size"]]
	flow := or("rated_gpd_each", 750)
	if !ok {
		area = flow / 27 // gfd that elements are rated at, about
	}
	s := membrane.Sheet{
		Area: quantity.SquareFeet(area), PermeateFlow: quantity.GallonsPerDay(flow),
		Rejection: quantity.Percent(or("rated_rejection_pct", 98)), TestPressure: quantity.PSI(or("rated_at_psi", 100)),
		TestSalt: quantity.MilligramsPerLitre(or("rated_at_ppm_nacl", 500)),
	}
	if size := c.row["element_size"]; len(size) == 4 { // "2540": the last two digits are its length in inches
		if inches, err := strconv.Atoi(size[2:]); err == nil && inches >= 10 {
			s.Length = quantity.Inches(float64(inches) * 0.93)
		}
	}
	return s
}

// fieldGauge is how a quantity of the folder is named on the path.
type fieldGauge struct {
	of plant.Gauge
	si func(float64) float64 // from the unit that the folder has it in
}

func in[Q quantity.Quantity](make func(float64) Q) func(float64) float64 {
	return func(x float64) float64 { return float64(make(x)) }
}

var (
	asPSI    = in(quantity.PSI)
	asGPM    = in(quantity.GallonsPerMinute)
	asPPM    = in(quantity.MilligramsPerLitre)
	asGrains = in(quantity.GrainsPerGallon)
	asIs     = func(x float64) float64 { return x }
)

// fieldGauges are the quantities of a folder, each in its one unit.
var fieldGauges = map[string]fieldGauge{
	"ec_raw": {plant.FeedStrength, nil}, "ec_permeate": {plant.PermeateStrength, nil}, "ec_permeate_first": {plant.PermeateFirst, nil},
	"ec_concentrate": {plant.ConcentrateStrength, nil}, "ec_di_mid": {plant.LeadStrength, nil}, "ec_di_out": {plant.PolishStrength, nil},
	"ec_di_out_first": {plant.PolishFirst, nil}, "ec_tank": {plant.TankStrength, nil}, "ec_gun_first_20s": {plant.GunFirst, nil}, "ec_drip": {plant.DripStrength, nil},
	"temp_feed": {plant.FeedTemperature, in(quantity.Fahrenheit)},
	"p_static":  {plant.StaticPressure, asPSI}, "p_before_filters": {plant.TapPressure, asPSI}, "p_feed": {plant.FeedPressure, asPSI},
	"p_concentrate": {plant.ConcentratePressure, asPSI}, "p_permeate": {plant.PermeatePressure, asPSI}, "p_gun": {plant.GunPressure, asPSI},
	"q_permeate": {plant.PermeateFlow, asGPM}, "q_concentrate": {plant.ConcentrateFlow, asGPM}, "q_gun_one": {plant.GunFlow, asGPM},
	"q_gun_all": {plant.GunFlowAll, asGPM}, "q_concentrate_tank_full": {plant.ConcentrateFlowFull, asGPM},
	"cl_total_raw": {plant.FeedChlorine, asPPM}, "cl_total_ro_in": {plant.MembraneChlorine, asPPM},
	"cl_free_raw": {plant.FeedFreeChlorine, asPPM}, "cl_free_ro_in": {plant.MembraneFreeChlorine, asPPM},
	"hardness_raw": {plant.FeedHardness, asGrains}, "hardness_ro_in": {plant.MembraneHardness, asGrains},
	"ph_raw": {plant.FeedPH, asIs}, "ph_permeate": {plant.PermeatePH, asIs}, "alkalinity_raw": {plant.FeedAlkalinity, asPPM},
	"silica_raw": {plant.FeedSilica, asPPM}, "silica_di_mid": {plant.LeadSilica, asPPM}, "silica_di_out": {plant.PolishSilica, asPPM}, "iron_raw": {plant.FeedIron, asPPM},
	"ro_hours_per_day": {plant.HoursPerDay, func(x float64) float64 { return x / 24 }}, "starts_per_hour": {plant.StartsPerHour, asIs},
	"tank_level": {plant.TankLevel, func(x float64) float64 { return x / 100 }}, "tank_drop_15min": {plant.TankDrop, nil},
}

// evidenceOf is one reading; known is false for a quantity that no gauge of the
// path is.
func evidenceOf(row FaultRow, f *faults.Facts) (e faults.Evidence, known bool, err error) {
	name := row["quantity"]
	e.Instrument = row["instrument"]
	for prefix, of := range map[string]plant.Gauge{"ec_gun_bay": plant.GunStrength, "ec_permeate_v": plant.HousingStrength} {
		if rest, ok := strings.CutPrefix(name, prefix); ok {
			e.Of = of
			e.Number, _ = strconv.Atoi(rest)
		}
	}
	g, ok := fieldGauges[name]
	if ok {
		e.Of = g.of
	}
	if e.Of == "" {
		return e, false, nil
	}
	c := cells{row: row}
	x, ok := c.number("value")
	if c.err != nil || !ok {
		return e, false, c.err
	}
	if minutes, ok := c.number("minutes_running"); ok && minutes >= 0 {
		e.Running, e.Timed = quantity.Minutes(minutes), true
	}
	switch {
	case e.Of == plant.TankDrop:
		e.SI = float64(quantity.Inches(x)) / tankHeight(f)
		e.Digit = float64(quantity.Inches(0.5)) / tankHeight(f)
	case g.si != nil:
		e.SI = g.si(x)
	default:
		if err := strengthRead(&e, x, row["unit"]); err != nil {
			return e, false, err
		}
	}
	return e, true, c.err
}

// tankHeight is how high a tank of such a volume usually stands, m: 1.2 times as
// high as wide. Common practice.
func tankHeight(f *faults.Facts) float64 {
	return 1.2 * math.Cbrt(float64(f.Tank.Or(quantity.Gallons(500)))*4/(math.Pi*1.2))
}

// strengthRead puts a pen's number on conductivity by the scale that its user
// believes.
func strengthRead(e *faults.Evidence, x float64, unit string) error {
	if unit == "uS/cm" {
		e.SI, e.Digit = float64(quantity.MicrosiemensPerCm(x)), float64(quantity.MicrosiemensPerCm(1))
		return nil
	}
	name := strings.ToLower(e.Instrument)
	scale, err := water.CustomScale(0.5)
	switch {
	case strings.Contains(name, "nacl"):
		scale = water.ScaleNaCl
	case strings.Contains(name, "442"):
		scale = water.Scale442
	case strings.Contains(name, "kcl"):
		scale = water.ScaleKCl
	case !strings.Contains(name, "0.5"):
		e.ScaleDoubt = true
	}
	if err != nil {
		return err
	}
	k, err := scale.Conductivity(quantity.MilligramsPerLitre(max(x, 0)))
	if err != nil {
		return err
	}
	one, err := scale.Conductivity(quantity.MilligramsPerLitre(max(x, 0) + 1))
	e.SI, e.Digit = float64(k), float64(one-k)
	if !e.ScaleDoubt {
		e.Scale = scale
	}
	return err
}
