package sitefile

import (
	"regexp"
	"slices"
	"strings"

	"rinsewright/quantity"
	"rinsewright/site"
	"rinsewright/water"
)

// section is one [name] or [[name]] of the file. fields binds the section to
// its place in a site, making that place when it is not there yet; index
// counts the tables of a list, and len tells how many a site has.
type section struct {
	name   string
	says   string
	list   bool
	fields func(s *site.Site, index int) []field
	count  func(s *site.Site) int
	remove func(s *site.Site)            // all of it; nil when it is always there
	cut    func(s *site.Site, index int) // one table of a list
}

var (
	dayForm  = regexp.MustCompile(`^\d{4}-(0[1-9]|1[0-2])-(0[1-9]|[12]\d|3[01])$`)
	hourForm = regexp.MustCompile(`^([01]\d|2[0-3]):[0-5]\d$`)
)

const (
	day  = "a day such as 2026-06-13"
	hour = "a time of day such as \"08:00\""
)

// sections lists the format in the order a file is written: the order things
// are met on site.
func sections() []section {
	return []section{
		{name: "site", says: "the place", fields: siteFields, count: always},
		{name: "supply", says: "the water as it arrives", fields: supplyFields, count: always},
		several("sample", "one set of readings of one water", sampleFields, func(s *site.Site) *[]water.Sample { return &s.Samples }),
		{name: "demand", says: "how busy it gets", fields: demandFields, count: always},
		several("filter", "a cartridge filter, in path order", filterFields, func(s *site.Site) *[]site.Filter { return &s.Rig.Filters }),
		part("carbon", "takes chlorine out ahead of the membrane", func(r *site.Rig) **site.Carbon { return &r.Carbon }, carbonFields),
		part("softener", "exchanges hardness for sodium", func(r *site.Rig) **site.Softener { return &r.Softener }, softenerFields),
		part("booster", "pump ahead of the membrane", func(r *site.Rig) **site.Pump { return &r.Booster }, pumpFields),
		part("membrane", "the elements, from their data sheet", func(r *site.Rig) **site.Membrane { return &r.Membrane }, membraneFields),
		several("row", "an unlike row of elements that shares the membrane's feed", rowFields, func(s *site.Site) *[]site.Membrane { return &s.Rig.Rows }),
		part("restrictor", "holds the concentrate back", func(r *site.Rig) **site.Restrictor { return &r.Restrictor }, restrictorFields),
		part("recycle", "brings concentrate back ahead of the booster", func(r *site.Rig) **site.Recycle { return &r.Recycle }, recycleFields),
		part("second_pass", "a membrane on the first one's permeate, and its restrictor", func(r *site.Rig) **site.Second { return &r.Second }, secondFields),
		part("second_pump", "pump between the passes", func(r *site.Rig) **site.Pump { return &r.SecondPump }, pumpFields),
		part("flush", "a valve beside the restrictor that sweeps the membrane", func(r *site.Rig) **site.Flush { return &r.Flush }, flushFields),
		part("controls", "what starts and stops the rig, each as found", func(r *site.Rig) **site.Controls { return &r.Controls }, controlFields),
		several("resin", "a bottle of mixed bed, the lead first", resinFields, func(s *site.Site) *[]site.Vessel { return &s.Rig.Resin }),
		part("tank", "stores what the membrane makes", func(r *site.Rig) **site.Tank { return &r.Tank }, tankFields),
		part("pump", "delivers from the tank to the guns", func(r *site.Rig) **site.Pump { return &r.Pump }, pumpFields),
		part("line", "tube and pipe", func(r *site.Rig) **site.Line { return &r.Line }, lineFields),
		{name: "limits", says: "what the place allows", fields: limitFields, count: always},
		{name: "prices", says: "your price list", fields: priceFields, count: always},
		several("commissioning", "what was read and signed on the day it started; never changed, corrected by another", commissioningFields, func(s *site.Site) *[]site.Commissioning { return &s.Commissioned }),
		several("visit", "one entry of the log", visitFields, func(s *site.Site) *[]site.Visit { return &s.Log }),
	}
}

func always(*site.Site) int { return 1 }

// part is a section for a piece of the rig that may not hang there.
func part[T any](name, says string, at func(*site.Rig) **T, fields func(*T) []field) section {
	return section{
		name: name, says: says,
		fields: func(s *site.Site, _ int) []field {
			p := at(&s.Rig)
			if *p == nil {
				*p = new(T)
			}
			return fields(*p)
		},
		count: func(s *site.Site) int {
			if *at(&s.Rig) == nil {
				return 0
			}
			return 1
		},
		remove: func(s *site.Site) { *at(&s.Rig) = nil },
	}
}

// several is a section that may stand in the file any number of times.
func several[T any](name, says string, fields func(*site.Site, int) []field, at func(*site.Site) *[]T) section {
	return section{
		name: name, says: says, list: true, fields: fields,
		count:  func(s *site.Site) int { return len(*at(s)) },
		remove: func(s *site.Site) { *at(s) = nil },
		cut: func(s *site.Site, index int) {
			if *at(s) = slices.Delete(*at(s), index, index+1); len(*at(s)) == 0 {
				*at(s) = nil
			}
		},
	}
}

// grown returns the element at index of a list, which grows to hold it.
func grown[T any](list *[]T, index int) *T {
	for len(*list) <= index {
		*list = append(*list, *new(T))
	}
	return &(*list)[index]
}

func siteFields(s *site.Site, _ int) []field {
	return []field{
		text("name", "what the place is called", "Gull Point wash", &s.Name),
		text("about", "its story in a sentence or two", "Two bays, spots since May.", &s.About),
		text("origin", "where this record comes from", "surveyed", &s.Origin),
		text("area", "sites with the same word share a day's drive", "north shore", &s.Area),
		choice("use", "what gets rinsed", &s.Use, site.Uses...),
		entry("target", "strength wanted at the gun, on the NaCl scale", "15 ppm", &s.Target, quantity.MilligramsPerLitre(0.1), quantity.MilligramsPerLitre(500)),
		entry("coldest_night", "the air's, in a usual year: tells when frost begins", "-8 C", &s.ColdestNight, quantity.Celsius(-60), quantity.Celsius(40)),
	}
}

func supplyFields(s *site.Site, _ int) []field {
	p := &s.Supply
	return []field{
		choice("source", "where the water comes from", &p.Source, site.City, site.Well),
		choice("disinfectant", "what the utility leaves in it", &p.Disinfectant, site.NoDisinfectant, site.Chlorine, site.Chloramine),
		count("switch_weeks", "weeks a year of free chlorine in a chloramine town", &p.SwitchWeeks, 0, 52, 6),
		entry("static_pressure", "at the tap, nothing running", "60 psi", &p.StaticPressure, quantity.Bar(0.2), quantity.Bar(16)),
		entry("running_pressure", "at the tap while the flow below runs", "48 psi", &p.RunningPressure, quantity.Bar(0.1), quantity.Bar(16)),
		entry("running_flow", "into a bucket, by the clock", "4 gpm", &p.RunningFlow, quantity.LitresPerMinute(0.1), quantity.LitresPerMinute(500)),
		entry("coldest", "feed in the coldest month", "6 C", &p.Coldest, quantity.Celsius(0), quantity.Celsius(45)),
		entry("warmest", "feed in the warmest month", "21 C", &p.Warmest, quantity.Celsius(0), quantity.Celsius(45)),
		heard(count("coldest_month", "of the feed, 1 to 12; February when left out, south of the equator write 8", &p.ColdestMonth, 1, 12, 8), monthMeant),
	}
}

func sampleFields(s *site.Site, index int) []field { return readingFields(grown(&s.Samples, index)) }

func readingFields(w *water.Sample) []field {
	fields := []field{
		choice("place", "where it was taken", &w.Place, "raw", "feed", "permeate", "concentrate", "polished", "tank", "gun"),
		matched("date", "when", "2026-06-13", day, dayForm, &w.Date),
		text("instrument", "what it was read with", "pen, ±2 %", &w.Instrument),
		entry("running", "minutes since the rig last started", "20 min", &w.Running, 0, quantity.Days(30)),
		entry("strength", "a pen's ppm; give the scale below", "290 ppm", &w.Strength.PPM, 0, quantity.MilligramsPerLitre(20000)),
		scaleField("scale", &w.Strength.Scale),
		entry("conductivity", "instead of ppm, at 25 °C", "590 uS/cm", &w.Strength.Conductivity, 0, quantity.MicrosiemensPerCm(40000)),
		entry("temperature", "of the water", "14 C", &w.Temperature, quantity.Celsius(0), quantity.Celsius(45)),
		ph("pH", "by meter or strip", &w.PH),
		entry("hardness", "drop kit", "14 gpg", &w.Hardness, 0, quantity.MilligramsPerLitreCaCO3(3000)),
		entry("alkalinity", "drop kit", "150 mg/L as CaCO3", &w.Alkalinity, 0, quantity.MilligramsPerLitreCaCO3(2000)),
	}
	for _, i := range ions {
		fields = append(fields, ion(i.key, i.says, w, i.component))
	}
	return append(fields,
		entry("sulphide", "hydrogen sulphide, by kit", "0.2 mg/L", &w.Sulphide, 0, quantity.MilligramsPerLitre(50)),
		entry("free_chlorine", "as Cl2", "0.5 mg/L", &w.FreeChlorine, 0, quantity.MilligramsPerLitre(20)),
		entry("total_chlorine", "free and combined, as Cl2", "2 mg/L", &w.TotalChlorine, 0, quantity.MilligramsPerLitre(20)),
	)
}

// ions are the sample's analysis keys, as the ion (silica as SiO2).
var ions = []struct {
	key, says string
	component water.Component
}{
	{"calcium", "Ca", water.Calcium},
	{"magnesium", "Mg", water.Magnesium},
	{"sodium", "Na", water.Sodium},
	{"potassium", "K", water.Potassium},
	{"strontium", "Sr", water.Strontium},
	{"barium", "Ba", water.Barium},
	{"iron", "dissolved, Fe", water.Iron},
	{"manganese", "Mn", water.Manganese},
	{"ammonium", "as NH4", water.Ammonia},
	{"chloride", "Cl", water.Chloride},
	{"sulphate", "as SO4", water.Sulphate},
	{"nitrate", "as NO3", water.Nitrate},
	{"fluoride", "F", water.Fluoride},
	{"silica", "as SiO2", water.Silica},
	{"boron", "B", water.Boron},
}

func demandFields(s *site.Site, _ int) []field {
	d := &s.Demand
	return []field{
		count("bays", "places where someone can rinse at once", &d.Bays, 1, 100, 2),
		count("normal_day", "vehicles on a normal open day", &d.NormalDay, 1, 5000, 12),
		count("busiest_day", "vehicles on the busiest day", &d.BusiestDay, 1, 10000, 30),
		choice("busiest_weekday", "which day that is", &d.BusiestWeekday, "Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday"),
		heard(count("first_month", "of the season, 1 to 12; leave out when open all year", &d.FirstMonth, 1, 12, 5), monthMeant),
		heard(count("last_month", "of the season", &d.LastMonth, 1, 12, 10), monthMeant),
		heard(matched("opens", "daily", "08:00", hour, hourForm, &d.Opens), hourMeant),
		heard(matched("closes", "daily", "20:00", hour, hourForm, &d.Closes), hourMeant),
		entry("vend_time", "how long a gun runs for one vehicle", "90 s", &d.VendTime, quantity.Time(2), quantity.Hours(4)),
		entry("gun_flow", "of one gun, by bucket", "2 gpm", &d.GunFlow, quantity.LitresPerMinute(0.2), quantity.LitresPerMinute(200)),
		entry("per_vehicle", "instead of time and flow", "3 gal", &d.PerVehicle, quantity.Litres(0.5), quantity.Litres(5000)),
		count("guns_at_once", "open together at the busiest", &d.GunsAtOnce, 1, 100, 2),
	}
}

func filterFields(s *site.Site, index int) []field {
	f := grown(&s.Rig.Filters, index)
	return []field{
		entry("rating", "pore size", "5 um", &f.Rating, quantity.Length(1e-7), quantity.Length(5e-4)),
		entry("drop", "across it while running", "2 psi", &f.Drop, 0, quantity.Bar(6)),
		entry("flow", "at that flow", "1 gpm", &f.Flow, quantity.LitresPerMinute(0.1), quantity.LitresPerMinute(500)),
		price("price", "of a cartridge", "9.00", &f.Price),
	}
}

func carbonFields(c *site.Carbon) []field {
	return []field{
		choice("kind", "what is in it", &c.Kind, "block", "granular", "catalytic"),
		entry("volume", "of carbon", "0.04 ft3", &c.Volume, quantity.Litres(0.05), quantity.Litres(2000)),
		entry("drop", "across it while running", "4 psi", &c.Drop, 0, quantity.Bar(6)),
		entry("flow", "at that flow", "1 gpm", &c.Flow, quantity.LitresPerMinute(0.1), quantity.LitresPerMinute(500)),
		entry("passed", "feed water through it since it was new", "12000 gal", &c.Passed, 0, quantity.Volume(1e6)),
		price("price", "of a change", "45.00", &c.Price),
	}
}

func softenerFields(c *site.Softener) []field {
	return []field{
		entry("resin", "volume of resin", "1 ft3", &c.Resin, quantity.Litres(1), quantity.Litres(2000)),
		entry("salt_dose", "per regeneration", "8 lb", &c.SaltDose, quantity.Mass(0.05), quantity.Mass(500)),
	}
}

func pumpFields(p *site.Pump) []field {
	return []field{
		entry("flow", "at its duty", "5 gpm", &p.Flow, quantity.LitresPerMinute(0.1), quantity.LitresPerMinute(2000)),
		entry("pressure", "rise at that flow", "60 psi", &p.Pressure, quantity.Bar(0.1), quantity.Bar(80)),
		entry("shut_off", "rise with the outlet closed", "90 psi", &p.ShutOff, quantity.Bar(0.1), quantity.Bar(100)),
		entry("efficiency", "wire to water", "35 %", &p.Efficiency, quantity.Ratio(0.02), quantity.Ratio(0.9)),
		entry("power", "on its plate", "0.5 hp", &p.Power, quantity.Power(5), quantity.Power(50000)),
	}
}

func membraneFields(m *site.Membrane) []field {
	return []field{
		text("size", "nominal, such as 2540", "2540", &m.Size),
		count("count", "elements", &m.Count, 1, 60, 1),
		flag("parallel", "side by side instead of one after another", &m.Parallel),
		entry("flow", "permeate of one element, data sheet", "750 gpd", &m.Flow, quantity.GallonsPerDay(5), quantity.GallonsPerDay(20000)),
		entry("rejection", "salt, data sheet", "99 %", &m.Rejection, quantity.Ratio(0.5), quantity.Ratio(0.9999)),
		entry("pressure", "of the data sheet's test", "100 psi", &m.Pressure, quantity.Bar(1), quantity.Bar(80)),
		entry("test_salt", "sodium chloride in the test", "500 mg/L", &m.TestSalt, quantity.MilligramsPerLitre(50), quantity.MilligramsPerLitre(40000)),
		entry("temperature", "of the test", "77 F", &m.Temperature, quantity.Celsius(5), quantity.Celsius(45)),
		entry("recovery", "of the test", "15 %", &m.Recovery, quantity.Ratio(0.01), quantity.Ratio(0.6)),
		entry("area", "active", "28 ft2", &m.Area, quantity.Area(0.1), quantity.Area(50)),
		entry("length", "of the feed channel", "21 in", &m.Length, quantity.Length(0.1), quantity.Length(2)),
		entry("age", "since new", "400 d", &m.Age, 0, quantity.Days(7300)),
		price("price", "of one element", "220.00", &m.Price),
	}
}

func restrictorFields(r *site.Restrictor) []field {
	return []field{
		choice("kind", "what it is", &r.Kind, "fixed", "needle", "capillary"),
		entry("flow", "concentrate flow", "0.5 gpm", &r.Flow, quantity.LitresPerMinute(0.01), quantity.LitresPerMinute(200)),
		entry("pressure", "at which it has that flow", "60 psi", &r.Pressure, quantity.Bar(0.2), quantity.Bar(60)),
		entry("bore", "of a capillary", "0.6 mm", &r.Bore, quantity.Millimetres(0.1), quantity.Millimetres(10)),
		entry("length", "of a capillary", "0.5 m", &r.Length, quantity.Millimetres(10), quantity.Metres(20)),
		entry("recovery", "what it was set to on site, when flow is not known", "40 %", &r.Recovery, quantity.Ratio(0.03), quantity.Ratio(0.9)),
	}
}

func resinFields(s *site.Site, index int) []field {
	v := grown(&s.Rig.Resin, index)
	return []field{
		entry("volume", "of mixed bed", "1 ft3", &v.Volume, quantity.Litres(0.2), quantity.Litres(1000)),
		choice("place", "where it hangs", &v.Place, "before tank", "after tank"),
		choice("made", "its filling", &v.Made, "new", "regenerated"),
		price("price", "of an exchange", "220.00", &v.Price),
	}
}

func tankFields(t *site.Tank) []field {
	return []field{
		choice("kind", "vented to air, or pressurised with a bladder", &t.Kind, "vented", "pressurised"),
		entry("volume", "whole", "300 gal", &t.Volume, quantity.Litres(2), quantity.Litres(200000)),
		entry("stop", "volume at which the float stops the membrane", "280 gal", &t.Stop, quantity.Litres(1), quantity.Litres(200000)),
		entry("start", "volume at which it starts again", "230 gal", &t.Start, quantity.Litres(0.5), quantity.Litres(200000)),
		entry("low_cut", "volume at which the pump is cut off", "30 gal", &t.LowCut, 0, quantity.Litres(100000)),
		entry("height", "of its inlet above the membrane", "2 m", &t.Height, quantity.Metres(-5), quantity.Metres(30)),
		flag("aerated", "a fan or spray brings it to balance with air", &t.Aerated),
		entry("precharge", "of a pressurised tank, empty", "18 psi", &t.Precharge, quantity.Bar(0.1), quantity.Bar(10)),
		entry("stop_at", "pressure at which the membrane stops", "40 psi", &t.StopAt, quantity.Bar(0.2), quantity.Bar(12)),
		entry("start_at", "pressure at which it starts again", "20 psi", &t.StartAt, quantity.Bar(0.1), quantity.Bar(11)),
	}
}

func lineFields(l *site.Line) []field {
	return []field{
		choice("tube", "to the guns, nominal size in inches", &l.Tube, "1/4", "3/8", "1/2", "3/4", "1"),
		entry("length", "to the farthest gun", "60 ft", &l.Length, quantity.Metres(0.2), quantity.Metres(1000)),
		entry("rise", "of the gun above the tank", "4 ft", &l.Rise, quantity.Metres(-20), quantity.Metres(60)),
		choice("permeate_tube", "from the membrane to the tank", &l.PermeateTube, "1/4", "3/8", "1/2", "3/4", "1"),
		entry("permeate_length", "of that tube", "3 m", &l.PermeateLength, quantity.Metres(0.1), quantity.Metres(500)),
	}
}

func limitFields(s *site.Site, _ int) []field {
	l := &s.Limits
	return []field{
		entry("drain_flow", "the drain takes", "5 gpm", &l.DrainFlow, quantity.LitresPerMinute(0.1), quantity.LitresPerMinute(2000)),
		entry("circuit", "power the circuit gives", "1500 W", &l.Circuit, quantity.Power(50), quantity.Power(200000)),
		entry("door", "narrowest way in", "0.8 m", &l.Door, quantity.Metres(0.3), quantity.Metres(10)),
	}
}

// Prices of a bottle are kept per litre of resin, of water per m³; a site file
// may say them as bills do.
func priceFields(s *site.Site, _ int) []field {
	p := &s.Prices
	const perKgal = 1 / 3.785411784 // m³ of a thousand US gallons, inverted
	const perFt3 = 1 / 28.316846592 // litres of a cubic foot, inverted
	return []field{
		heard(matched("currency", "three letters", "USD", "three capital letters", regexp.MustCompile(`^[A-Z]{3}$`), &p.Currency), strings.ToUpper),
		price("water", "per m³ of feed", "1.50", &p.Water),
		writeOnly(scaledPrice("water_per_1000_gal", "the same, as a US bill has it", "5.70", &p.Water, perKgal)),
		price("sewer", "per m³ to drain", "1.70", &p.Sewer),
		writeOnly(scaledPrice("sewer_per_1000_gal", "the same, as a US bill has it", "6.40", &p.Sewer, perKgal)),
		price("power", "per kWh", "0.16", &p.Power),
		price("night_power", "per kWh, where a meter counts the night apart", "0.11", &p.NightPower),
		price("salt", "per kg", "0.60", &p.Salt),
		price("resin", "mixed bed exchanged, per litre", "7.80", &p.Resin),
		writeOnly(scaledPrice("resin_per_ft3", "the same, per cubic foot", "220.00", &p.Resin, perFt3)),
		price("disposal", "of spent resin, per litre, where it is thrown away and not exchanged", "1.20", &p.Disposal),
		price("filter", "a cartridge", "9.00", &p.Filter),
		price("carbon", "a change of carbon", "45.00", &p.Carbon),
		price("membrane", "an element", "220.00", &p.Membrane),
		price("labour", "an hour", "75.00", &p.Labour),
		price("visit", "travel for one visit", "40.00", &p.Visit),
		entry("tax", "on what is sold", "8 %", &p.Tax, 0, 1),
		entry("finance_rate", "a lender's rate, a year", "7 %", &p.FinanceRate, 0, 1),
		count("finance_years", "that a loan runs", &p.FinanceYears, 1, 30, 4),
		matched("date", "day on which these prices were right", "2026-06-13", day, dayForm, &p.Date),
	}
}

// writeOnly marks a second way to say a value: it can be set, but the file is
// written with the first.
func writeOnly(f field) field {
	f.get = func() string { return "" }
	return f
}

func visitFields(s *site.Site, index int) []field {
	v := grown(&s.Log, index)
	if v.Sample == nil {
		v.Sample = &water.Sample{}
	}
	return append([]field{
		matched("date", "when", "2026-06-13", day, dayForm, &v.Date),
		heard(matched("at", "time of day", "14:30", hour, hourForm, &v.At), hourMeant),
		text("by", "who was there", "A. Person", &v.By),
		text("words", "what was seen and done", "new lead bottle, sprayed the boats", &v.Words),
		text("said", "in the customer's words", "spots on the blue boats since Sunday", &v.Said),
		text("notice", "what the utility announced", "free chlorine for six weeks from 1 March", &v.Notice),
		text("from", "the file it was imported from", "old-log.csv 3f2a9c41", &v.From),
		changes("changed", "work done on parts ("+joined(site.Changes, " · ")+" · other: what)", `["lead resin"]`, &v.Changed),
		entry("meter", "totaliser on the permeate", "41250 gal", &v.Meter, 0, quantity.Volume(1e7)),
		entry("hours", "hour meter of the membrane", "1280 h", &v.Hours, 0, quantity.Days(36500)),
		count("vends", "vend counter", &v.Vends, 1, 1_000_000_000, 20451),
		readings("readings", "by gauge, a line each, see below", `["permeate_strength = 9 ppm NaCl, after 20 min, by pen B"]`, &v.Read),
	}, withoutKey(readingFields(v.Sample), "date")...)
}

func withoutKey(fields []field, key string) []field {
	kept := fields[:0]
	for _, f := range fields {
		if f.key != key {
			kept = append(kept, f)
		}
	}
	return kept
}
