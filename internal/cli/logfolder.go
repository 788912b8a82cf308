package cli

import (
	"compress/gzip"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"slices"
	"strings"
	"time"

	"rinsewright/carbon"
	"rinsewright/plant"
	"rinsewright/quantity"
	"rinsewright/resin"
	"rinsewright/service"
	"rinsewright/site"
	"rinsewright/study"
	"rinsewright/water"
)

// logFolder is a folder of logs: nameplates, what was read and what was
// changed, and the days that a forecast is asked for.
type logFolder struct {
	sites   []study.LoggedSite
	entries map[string][]service.Entry // by site, in order of time
	queries []logQuery
	last    service.Day // that anything is told of
}

type logQuery struct {
	site, bottle, asOf string
	day                service.Day
}

// Bounds of one folder: what is larger is no log of a person's sites.
const (
	mostLogRows  = 5_000_000
	mostLogSites = 20_000
)

// readLogFolder reads sites.csv, visits.csv, events.csv, queries.csv and, where
// there is one, vends.csv or vends.csv.gz.
func readLogFolder(dir fs.FS) (*logFolder, error) {
	f := &logFolder{entries: map[string][]service.Entry{}}
	for _, part := range []struct {
		name     string
		optional bool
		take     func(*logRow) error
		columns  string
	}{
		{"sites.csv", false, f.takeSite, "site_id,use,city_type,element_size,elements,rated_gpd_each,rated_at_psi,di_lead_ft3,di_label_grains_per_ft3,di_act_at_uS_cm"},
		{"events.csv", false, f.takeEvent, "site_id,date,event"},
		{"visits.csv", false, f.takeReading, "site_id,visit_date,quantity,value,unit"},
		{"vends.csv", true, f.takeVend, "site_id,timestamp,minutes"},
		{"queries.csv", true, f.takeQuery, "site_id,as_of_date"},
	} {
		if err := eachLogRow(dir, part.name, strings.Split(part.columns, ","), part.take); err != nil && (!part.optional || !errors.Is(err, fs.ErrNotExist)) {
			return nil, err
		}
	}
	for i := range f.sites {
		f.settle(&f.sites[i])
	}
	return f, nil
}

// logRow is one row of one file, read by the names of its columns.
type logRow struct {
	file   string
	line   int
	at     map[string]int
	fields []string
}

func (r *logRow) text(name string) string {
	i, ok := r.at[name]
	if !ok || i >= len(r.fields) {
		return ""
	}
	return strings.TrimSpace(r.fields[i])
}

// wrong says where, what was read, what was wanted, and an example.
func (r *logRow) wrong(column, wanted, example string) error {
	return fmt.Errorf("%s:%d: %s: read %q, wanted %s, such as %s", r.file, r.line, column, shortened(r.text(column)), wanted, example)
}

func (r *logRow) number(column string, low, high float64) (float64, error) {
	if r.text(column) == "" {
		return 0, nil
	}
	x, err := quantity.ParseNumber(r.text(column), quantity.Locale{})
	if err != nil || !(low <= x && x <= high) {
		return 0, r.wrong(column, fmt.Sprintf("a number from %g to %g", low, high), fmt.Sprintf("%g", max(low, min(1, high))))
	}
	return x, nil
}

func (r *logRow) date(column string) (service.Day, error) {
	text := r.text(column)
	if len(text) > 10 {
		text = text[:10]
	}
	d, err := time.Parse(time.DateOnly, text)
	if err != nil || d.Year() < 1970 || d.Year() > 2200 {
		return 0, r.wrong(column, "a date", "2026-05-02")
	}
	return dayOf(d), nil
}

func dayOf(d time.Time) service.Day { return service.Day(d.Unix() / 86400) }

func dateOf(d service.Day) string { return time.Unix(int64(d)*86400, 0).UTC().Format(time.DateOnly) }

// openLog opens a file of the folder, packed or not.
func openLog(dir fs.FS, name string) (io.Reader, func(), error) {
	f, err := dir.Open(name)
	if err == nil {
		return f, func() { _ = f.Close() }, nil
	}
	packed, second := dir.Open(name + ".gz")
	if second != nil {
		return nil, nil, fmt.Errorf("%s: %w", name, err)
	}
	z, err := gzip.NewReader(packed)
	if err != nil {
		_ = packed.Close()
		return nil, nil, fmt.Errorf("%s.gz: %w", name, err)
	}
	return z, func() { _ = packed.Close() }, nil
}

func eachLogRow(dir fs.FS, name string, columns []string, take func(*logRow) error) error {
	in, done, err := openLog(dir, name)
	if err != nil {
		return err
	}
	defer done()
	reader := csv.NewReader(in)
	reader.ReuseRecord, reader.FieldsPerRecord = true, -1
	header, err := reader.Read()
	if err != nil {
		return fmt.Errorf("%s: no header: %w", name, err)
	}
	row := logRow{file: name, at: map[string]int{}}
	for i, column := range header {
		row.at[strings.TrimSpace(strings.TrimPrefix(column, "\ufeff"))] = i
	}
	for _, c := range columns {
		if _, ok := row.at[c]; !ok {
			return fmt.Errorf("%s:1: no column %s, wanted %s", name, c, strings.Join(columns, ","))
		}
	}
	for n := 0; ; n++ {
		if n > mostLogRows {
			return fmt.Errorf("%s: more than %d rows", name, mostLogRows)
		}
		row.fields, err = reader.Read()
		if err == io.EOF {
			return nil
		}
		if err != nil {
			return fmt.Errorf("%s: %w", name, err)
		}
		row.line, _ = reader.FieldPos(0)
		if err := take(&row); err != nil {
			return err
		}
	}
}

// takeSite reads one row of nameplates.
func (f *logFolder) takeSite(r *logRow) error {
	s := study.LoggedSite{
		ID: r.text("site_id"), Use: r.text("use"), Size: r.text("element_size"),
		Booster: r.text("booster") == "y", Softener: r.text("softener") == "y",
		AfterTank: r.text("di_position") == "after tank", New: r.text("log_starts_as") != "taken over",
	}
	if s.ID == "" || len(s.ID) > 100 || len(f.sites) >= mostLogSites {
		return r.wrong("site_id", "a name of at most 100 letters", "W-12")
	}
	if slices.ContainsFunc(f.sites, func(o study.LoggedSite) bool { return o.ID == s.ID }) {
		return r.wrong("site_id", "each site once", s.ID+"b")
	}
	s.Source, s.Disinfectant = cityOf(r.text("city_type"))
	s.Carbon = carbonKindOf(r.text("carbon_type"))
	var err error
	take := func(column string, low, high float64) float64 {
		x, e := r.number(column, low, high)
		if err == nil {
			err = e
		}
		return x
	}
	s.Elements = int(take("elements", 0, 40))
	s.RatedFlow = quantity.GallonsPerDay(take("rated_gpd_each", 10, 20_000))
	s.RatedAt = quantity.PSI(take("rated_at_psi", 20, 1000))
	s.RatedSalt = quantity.MilligramsPerLitre(take("rated_at_ppm_nacl", 50, 40_000))
	s.CarbonVolume = quantity.CubicFeet(take("carbon_ft3", 0, 200))
	s.Lead, s.Lag = quantity.CubicFeet(take("di_lead_ft3", 0, 200)), quantity.CubicFeet(take("di_lag_ft3", 0, 200))
	s.Label = resin.GrainsPerCubicFoot(take("di_label_grains_per_ft3", 1000, 40_000))
	s.ActAt = quantity.MicrosiemensPerCm(take("di_act_at_uS_cm", 0.05, 500))
	s.Tank, s.FloatGap = quantity.Gallons(take("tank_gal", 0, 1e6)), quantity.Gallons(take("float_diff_gal", 0, 1e6))
	s.GunFlow = quantity.GallonsPerMinute(take("gun_design_gpm", 0, 100))
	s.PerDay = quantity.Gallons(take("est_gal_per_day", 0, 1e6))
	s.Age = quantity.Days(take("element_age_months_at_start", 0, 600) * 30.4)
	if err != nil {
		return err
	}
	f.sites = append(f.sites, s.WithUsual())
	return nil
}

func cityOf(words string) (site.Source, site.Disinfectant) {
	switch words {
	case "well":
		return site.Well, site.NoDisinfectant
	case "chloramine city":
		return site.City, site.Chloramine
	}
	return site.City, site.Chlorine
}

func carbonKindOf(words string) carbon.Kind {
	switch {
	case strings.HasPrefix(words, "block"):
		return carbon.Block
	case strings.HasPrefix(words, "catalytic"):
		return carbon.Catalytic
	}
	return carbon.Granular
}

// day returns the entry of a site and day, made when there is none.
func (f *logFolder) day(site string, day service.Day) *service.Entry {
	f.last = max(f.last, day)
	all := f.entries[site]
	i := len(all) - 1
	for i >= 0 && all[i].Day > day {
		i--
	}
	if i >= 0 && all[i].Day == day {
		return &all[i]
	}
	f.entries[site] = slices.Insert(all, i+1, service.Entry{Day: day})
	return &f.entries[site][i+1]
}

// logEvents are what an event of the folder changes.
var logEvents = map[string]service.Part{
	"di_lead_changed": service.LeadResin, "di_both_changed": service.AllResin, "carbon_changed": service.CarbonPart,
	"sediment_changed": service.Filters, "element_changed": service.Membrane, "seals_replaced": service.Seals,
	"restrictor_replaced": service.Restrictor, "acid_clean": service.Cleaning, "vessel_opened": service.Cleaning,
	"float_reset": service.Float,
}

func (f *logFolder) takeEvent(r *logRow) error {
	day, err := r.date("date")
	if err != nil {
		return err
	}
	e := f.day(r.text("site_id"), day)
	kind, detail := r.text("event"), r.text("detail")
	if part, ok := logEvents[kind]; ok {
		c := service.Change{Part: part}
		if part == service.Membrane {
			c.Share = f.shareOf(r.text("site_id"), detail)
		}
		e.Changes = append(e.Changes, c)
	}
	switch {
	case strings.Contains(detail, "mid port over limit"):
		e.Over = plant.LeadStrength
	case strings.Contains(detail, "DI out over limit"):
		e.Over = plant.PolishStrength
	}
	if kind == "commissioned" || kind == "taken_over" {
		for i := range f.sites {
			if s := &f.sites[i]; s.ID == r.text("site_id") {
				s.From = day
			}
		}
	}
	return nil
}

// shareOf reads "2 x 2540" as a share of the site's elements.
func (f *logFolder) shareOf(id, detail string) quantity.Ratio {
	n := 0
	if _, err := fmt.Sscanf(detail, "%d x", &n); err != nil || n < 1 {
		return 1
	}
	for i := range f.sites {
		if f.sites[i].ID == id && f.sites[i].Elements > 0 {
			return quantity.Ratio(min(float64(n)/float64(f.sites[i].Elements), 1))
		}
	}
	return 1
}

func (f *logFolder) takeReading(r *logRow) error {
	day, err := r.date("visit_date")
	if err != nil {
		return err
	}
	reading, known, err := readingOf(r)
	if err != nil || !known {
		return err
	}
	e := f.day(r.text("site_id"), day)
	e.Readings = append(e.Readings, reading)
	return nil
}

func (f *logFolder) takeVend(r *logRow) error {
	day, err := r.date("timestamp")
	if err != nil {
		return err
	}
	minutes, err := r.number("minutes", 0, 24*60)
	if err != nil {
		return err
	}
	e := f.day(r.text("site_id"), day)
	e.Vended += quantity.Minutes(minutes)
	e.Counted = true
	return nil
}

func (f *logFolder) takeQuery(r *logRow) error {
	day, err := r.date("as_of_date")
	if err != nil {
		return err
	}
	f.queries = append(f.queries, logQuery{r.text("site_id"), r.text("bottle_id"), r.text("as_of_date"), day})
	return nil
}

// settle puts vends, which come daily, into weeks, so that quiet days between
// visits do not cost a step each.
func (f *logFolder) settle(s *study.LoggedSite) {
	all := f.entries[s.ID]
	if s.From == 0 && len(all) > 0 {
		s.From = all[0].Day
	}
	kept := all[:0]
	var vended quantity.Time
	counted := false
	for _, e := range all {
		if e.Day < s.From {
			continue
		}
		vended, counted = vended+e.Vended, counted || e.Counted
		bare := len(e.Readings) == 0 && len(e.Changes) == 0 && e.Over == ""
		if bare && int(e.Day)%7 != 0 {
			continue
		}
		e.Vended, e.Counted = vended, counted
		vended, counted = 0, false
		kept = append(kept, e)
	}
	f.entries[s.ID] = kept
}

// logGauges are the quantities of visits.csv that a tracker reads.
var logGauges = map[string]plant.Gauge{
	"ec_raw": plant.FeedStrength, "ec_permeate": plant.PermeateStrength, "ec_permeate_first": plant.PermeateFirst,
	"ec_concentrate": plant.ConcentrateStrength, "ec_di_mid": plant.LeadStrength, "ec_di_out": plant.PolishStrength,
	"ec_tank": plant.TankStrength, "temp_feed": plant.FeedTemperature, "p_static": plant.StaticPressure,
	"p_before_filters": plant.TapPressure, "p_feed": plant.FeedPressure, "p_concentrate": plant.ConcentratePressure,
	"q_permeate": plant.PermeateFlow, "q_concentrate": plant.ConcentrateFlow, "cl_total_raw": plant.FeedChlorine,
	"cl_total_ro_in": plant.MembraneChlorine, "ph_raw": plant.FeedPH, "alkalinity_raw": plant.FeedAlkalinity,
	"silica_raw": plant.FeedSilica, "ro_hours_per_day": plant.HoursPerDay, "meter_gallons": plant.PermeateVolume,
	"hour_meter": plant.RunTime,
}

// readingOf turns a row into a reading; known is false for what a tracker has
// no use for.
func readingOf(r *logRow) (reading plant.Reading, known bool, err error) {
	gauge, ok := logGauges[r.text("quantity")]
	if !ok || r.text("value") == "" {
		return reading, false, nil
	}
	x, err := r.number("value", -1e6, 1e12)
	if err != nil {
		return reading, false, err
	}
	reading = plant.Reading{Of: gauge, Instrument: r.text("pen_id")}
	switch unit := r.text("unit"); {
	case strings.HasPrefix(r.text("quantity"), "ec_"):
		if err := penOf(r, x, &reading); err != nil {
			return reading, false, err
		}
	case unit == "F":
		reading.SI = float64(quantity.Fahrenheit(x))
	case unit == "psi":
		reading.SI = float64(quantity.PSI(x))
	case unit == "gpm":
		reading.SI = float64(quantity.GallonsPerMinute(x))
	case unit == "gal":
		reading.SI = float64(quantity.Gallons(x))
	case unit == "h" && gauge == plant.HoursPerDay:
		reading.SI = x / 24
	case unit == "h":
		reading.SI = float64(quantity.Hours(x))
	case unit == "pH":
		reading.SI = x
	case unit == "ppm", unit == "ppm CaCO3":
		reading.SI = float64(quantity.MilligramsPerLitre(x))
	default:
		return reading, false, r.wrong("unit", "F, psi, gpm, gal, h, pH, ppm or uS/cm", "psi")
	}
	if minutes, err := r.number("minutes_running", 0, 1e5); err != nil {
		return reading, false, err
	} else if r.text("minutes_running") != "" {
		reading.Running, reading.Timed = quantity.Minutes(minutes), true
	}
	return reading, true, nil
}

// penOf reads a pen as its user believes it to be scaled.
func penOf(r *logRow, x float64, reading *plant.Reading) error {
	if r.text("unit") == "uS/cm" {
		reading.SI = float64(quantity.MicrosiemensPerCm(x))
		return nil
	}
	scale := water.Scale{}
	switch words := r.text("instrument"); {
	case strings.Contains(words, "NaCl"):
		scale = water.ScaleNaCl
	case strings.Contains(words, "442"):
		scale = water.Scale442
	default:
		factor := 0.5
		if !strings.Contains(words, "0.5") {
			factor, reading.Instrument = 0.58, service.UnknownScale
		}
		var err error
		if scale, err = water.CustomScale(factor); err != nil {
			return err
		}
	}
	reading.Scale = scale
	k, err := scale.Conductivity(quantity.MilligramsPerLitre(max(x, 0)))
	if err != nil {
		return r.wrong("value", "a pen's ppm", "14")
	}
	reading.SI = float64(k)
	if x == 0 {
		reading.SI = 0
	}
	return nil
}
