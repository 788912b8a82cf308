package water

import (
	"fmt"
	"regexp"
	"strings"

	"rinsewright/quantity"
)

// meaningKind is what a column of a laboratory's table holds.
type meaningKind uint8

const (
	isNothing meaningKind = iota
	isSample
	isDate
	isIon
	isHardness
	isAlkalinity
	isBicarbonate
	isCarbonate
	isConductivity
	isPH
	isTemperature
	isSulphide
	isFreeChlorine
	isTotalChlorine
)

// meaning is a column's kind, and by what its numbers are multiplied to give
// kg/m³ of the ion, eq/m³ of hardness and alkalinity, S/m, or K and then shifted.
type meaning struct {
	kind  meaningKind
	ion   Component
	times float64
	plus  float64
	unit  string // as it was understood
}

func (m meaning) String() string {
	names := map[meaningKind]string{
		isSample: "sample", isDate: "date", isHardness: "hardness", isAlkalinity: "alkalinity",
		isBicarbonate: "bicarbonate", isCarbonate: "carbonate", isConductivity: "conductivity", isPH: "pH", isTemperature: "temperature",
		isSulphide: "sulphide", isFreeChlorine: "free chlorine", isTotalChlorine: "total chlorine",
	}
	name := names[m.kind]
	if m.kind == isIon {
		name = m.ion.String()
	}
	if m.unit == "" {
		return name
	}
	return name + ", " + m.unit
}

// constituents by the names that laboratories print, letters and digits only.
var constituents = map[string]meaning{
	"calcium": {kind: isIon, ion: Calcium}, "ca": {kind: isIon, ion: Calcium}, "magnesium": {kind: isIon, ion: Magnesium}, "mg": {kind: isIon, ion: Magnesium},
	"sodium": {kind: isIon, ion: Sodium}, "na": {kind: isIon, ion: Sodium}, "natrium": {kind: isIon, ion: Sodium},
	"potassium": {kind: isIon, ion: Potassium}, "k": {kind: isIon, ion: Potassium}, "kalium": {kind: isIon, ion: Potassium},
	"strontium": {kind: isIon, ion: Strontium}, "sr": {kind: isIon, ion: Strontium}, "barium": {kind: isIon, ion: Barium}, "ba": {kind: isIon, ion: Barium},
	"iron": {kind: isIon, ion: Iron}, "fe": {kind: isIon, ion: Iron}, "fe2": {kind: isIon, ion: Iron}, "manganese": {kind: isIon, ion: Manganese}, "mn": {kind: isIon, ion: Manganese},
	"ammonium": {kind: isIon, ion: Ammonia}, "ammonia": {kind: isIon, ion: Ammonia}, "nh4": {kind: isIon, ion: Ammonia}, "nh3": {kind: isIon, ion: Ammonia},
	"chloride": {kind: isIon, ion: Chloride}, "cl": {kind: isIon, ion: Chloride}, "chlorid": {kind: isIon, ion: Chloride},
	"sulphate": {kind: isIon, ion: Sulphate}, "sulfate": {kind: isIon, ion: Sulphate}, "sulfat": {kind: isIon, ion: Sulphate}, "so4": {kind: isIon, ion: Sulphate},
	"nitrate": {kind: isIon, ion: Nitrate}, "no3": {kind: isIon, ion: Nitrate}, "nitrat": {kind: isIon, ion: Nitrate},
	"fluoride": {kind: isIon, ion: Fluoride}, "f": {kind: isIon, ion: Fluoride}, "silica": {kind: isIon, ion: Silica}, "sio2": {kind: isIon, ion: Silica},
	"silicon": {kind: isIon, ion: Silica}, "si": {kind: isIon, ion: Silica}, "boron": {kind: isIon, ion: Boron}, "b": {kind: isIon, ion: Boron},
	"phosphate": {kind: isIon, ion: Phosphate}, "orthophosphate": {kind: isIon, ion: Phosphate}, "po4": {kind: isIon, ion: Phosphate},
	"hardness": {kind: isHardness}, "totalhardness": {kind: isHardness}, "alkalinity": {kind: isAlkalinity}, "totalalkalinity": {kind: isAlkalinity},
	"malkalinity": {kind: isAlkalinity}, "alk": {kind: isAlkalinity}, "bicarbonate": {kind: isBicarbonate}, "hco3": {kind: isBicarbonate}, "carbonate": {kind: isCarbonate}, "co3": {kind: isCarbonate},
	"conductivity": {kind: isConductivity}, "specificconductance": {kind: isConductivity}, "conductance": {kind: isConductivity}, "ec": {kind: isConductivity}, "ec25": {kind: isConductivity},
	"ph": {kind: isPH}, "temperature": {kind: isTemperature}, "temp": {kind: isTemperature}, "watertemperature": {kind: isTemperature},
	"sulphide": {kind: isSulphide}, "sulfide": {kind: isSulphide}, "hydrogensulphide": {kind: isSulphide}, "hydrogensulfide": {kind: isSulphide}, "h2s": {kind: isSulphide},
	"freechlorine": {kind: isFreeChlorine}, "chlorinefree": {kind: isFreeChlorine}, "totalchlorine": {kind: isTotalChlorine}, "chlorinetotal": {kind: isTotalChlorine},
	"sample": {kind: isSample}, "sampleid": {kind: isSample}, "samplename": {kind: isSample}, "id": {kind: isSample}, "location": {kind: isSample},
	"date": {kind: isDate}, "sampledate": {kind: isDate}, "sampled": {kind: isDate}, "samplingdate": {kind: isDate},
}

// masses per mole of the forms that amounts are given as, kg/mol of one atom.
var asForms = map[string]float64{"n": 14.0067e-3, "p": 30.9738e-3, "s": 32.06e-3, "si": 28.0855e-3}

var (
	asWord    = regexp.MustCompile(`(?i)\bas[\s_]*(caco3|no3|nh4|so4|po4|sio2|hco3|n|p|s|si)\b`)
	dashForm  = regexp.MustCompile(`(?i)\b(no3|nh4|nh3|nitrate|ammonia|ammonium|po4|phosphate|so4)[\s_]*[-_][\s_]*(n|p|s)\b`)
	unitWord  = regexp.MustCompile(`(?i)(µg/l|μg/l|ug/l|mg/l|g/l|ppm|ppb|mmol/l|meq/l|mval/l|gpg|grains?/gal(lon)?|°\s?dh|\bdh\b|°\s?fh|\bfh\b|°\s?e\b|µs/cm|μs/cm|us/cm|uscm|umhos?/cm|ms/cm|ms/m|s/m|°\s?c\b|\bdeg\s?c\b|°\s?f\b|\bdeg\s?f\b|mgl\b|mg_l\b|ugl\b|ug_l\b)`)
	fillers   = regexp.MustCompile(`(?i)\b(dissolved|total|by|ic|icp|ms|field|lab|laboratory|at|25|the|water|of|in)\b`)
	leftovers = regexp.MustCompile(`[^a-z0-9]+`)
)

func plainName(s string) string {
	s = strings.NewReplacer("₃", "3", "₄", "4", "₂", "2", "⁺", "", "⁻", "", "²", "").Replace(strings.ToLower(s))
	return leftovers.ReplaceAllString(s, "")
}

// unitRow tells whether every filled cell of a row is a unit or nothing.
func unitRow(row []string) bool {
	units := 0
	for _, cell := range row {
		cell = strings.TrimSpace(cell)
		if cell == "" || cell == "-" {
			continue
		}
		if rest := unitWord.ReplaceAllString(asWord.ReplaceAllString(cell, ""), ""); strings.Trim(rest, " ()[]") != "" {
			return false
		}
		units++
	}
	return units > 0
}

// meaningOf reads a header and, where it stands apart, its unit.
func (r *reportReader) meaningOf(header, unit string) (meaning, error) {
	said := header
	if to, mapped := r.options.Columns[header]; mapped {
		if strings.TrimSpace(to) == "" {
			return meaning{}, nil
		}
		said = to
	}
	whole := strings.NewReplacer("_", " ", "₃", "3", "₄", "4", "₂", "2").Replace(said + " " + unit)
	form := ""
	if f := dashForm.FindStringSubmatch(whole); f != nil {
		form = strings.ToLower(f[2])
		whole = strings.Replace(whole, f[0], f[1], 1)
	}
	if f := asWord.FindStringSubmatch(whole); f != nil {
		form = strings.ToLower(f[1])
		whole = asWord.ReplaceAllString(whole, " ")
	}
	unit = strings.ToLower(strings.ReplaceAll(unitWord.FindString(whole), " ", ""))
	name := unitWord.ReplaceAllString(whole, " ")
	m, ok := constituents[plainName(name)]
	if !ok {
		if m, ok = constituents[plainName(fillers.ReplaceAllString(name, " "))]; !ok {
			return meaning{}, nil
		}
	}
	if plainName(name) == "silicon" || plainName(name) == "si" {
		form = "si"
	}
	return m.in(unit, form, header)
}

// in fills in by what numbers in a unit and a form are multiplied.
func (m meaning) in(unit, form, header string) (meaning, error) {
	bad := func(why string) (meaning, error) {
		return m, fmt.Errorf("%w: column %q: %s", ErrReport, header, why)
	}
	switch m.kind {
	case isSample, isDate, isNothing:
		return m, nil
	case isPH:
		m.times = 1
		return m, nil
	case isTemperature:
		m.unit, m.times, m.plus = "°C", 1, zeroCelsius
		if strings.HasSuffix(unit, "f") {
			m.unit, m.times, m.plus = "°F", 5.0/9, zeroCelsius-32*5.0/9
		}
		return m, nil
	case isConductivity:
		times, ok := map[string]float64{"µs/cm": 1e-4, "μs/cm": 1e-4, "us/cm": 1e-4, "uscm": 1e-4, "umho/cm": 1e-4, "umhos/cm": 1e-4, "ms/cm": 0.1, "ms/m": 1e-3, "s/m": 1}[unit]
		if !ok {
			return bad("wanted a unit such as µS/cm")
		}
		m.unit, m.times = strings.NewReplacer("s/", "S/", "uscm", "µS/cm").Replace(unit), times
		return m, nil
	}
	return m.amount(unit, form, bad)
}

// amount is for concentrations.
func (m meaning) amount(unit, form string, bad func(string) (meaning, error)) (meaning, error) {
	equivalent := 0.0 // eq/m³ per unit
	mass := 0.0       // kg/m³ per unit
	switch unit {
	case "mg/l", "mgl", "ppm":
		mass = 1e-3
	case "ug/l", "µg/l", "μg/l", "ugl", "ppb":
		mass = 1e-6
	case "g/l":
		mass = 1
	case "meq/l", "mval/l":
		equivalent = 1
	case "mmol/l":
		equivalent = float64(max(m.ion.Charge(), -m.ion.Charge()))
		if m.kind == isHardness {
			equivalent = 2
		} else if m.kind != isIon {
			equivalent = 1
		}
		if m.kind == isIon {
			m.unit, m.times = unit, components[m.ion].molarMass
			return m, nil
		}
	case "gpg", "grain/gal", "grains/gal", "grain/gallon", "grains/gallon":
		equivalent = float64(quantity.GrainsPerGallon(1).Equivalents())
	case "°dh", "dh":
		equivalent = 10 * 2 / 56.077
	case "°fh", "fh":
		equivalent = 10 * 2 / 100.087
	case "°e":
		equivalent = 14.254 * 2 / 100.087
	default:
		return bad("wanted a unit such as mg/L, in the header, in a row of units or in a column of its own")
	}
	unit = strings.NewReplacer("mgl", "mg/L", "ugl", "µg/L", "g/l", "g/L", "q/l", "q/L", "val/l", "val/L", "mol/l", "mol/L", "dh", "dH", "fh", "fH").Replace(unit)
	m.unit = unit
	if form != "" {
		m.unit += " as " + strings.NewReplacer("caco3", "CaCO3", "sio2", "SiO2", "si", "Si", "no3", "NO3", "nh4", "NH4", "so4", "SO4", "po4", "PO4", "hco3", "HCO3").Replace(form)
		if len(form) == 1 {
			m.unit = unit + " as " + strings.ToUpper(form)
		}
	}
	if mass > 0 && (form == "caco3" || m.kind == isHardness || m.kind == isAlkalinity) {
		equivalent = mass / float64(quantity.EquivConc(1).AsCaCO3())
		if form == "hco3" {
			equivalent = mass / components[Carbon].molarMass
		}
	}
	return m.factor(mass, equivalent, form, bad)
}

// factor turns mass or charge per unit into what the kind is kept in.
func (m meaning) factor(mass, equivalent float64, form string, bad func(string) (meaning, error)) (meaning, error) {
	switch m.kind {
	case isHardness, isAlkalinity:
		m.times = equivalent
	case isBicarbonate, isCarbonate: // kept as kg/m³ of HCO3 of the same charge
		m.times = equivalent * components[Carbon].molarMass
		if equivalent == 0 {
			m.times = mass
			if m.kind == isCarbonate {
				m.times = mass / 60.009e-3 * 2 * components[Carbon].molarMass
			}
		}
	case isSulphide, isFreeChlorine, isTotalChlorine:
		if m.times = mass; mass == 0 {
			return bad("wanted mg/L")
		}
	default:
		charge := float64(max(m.ion.Charge(), -m.ion.Charge()))
		switch atom, as := asForms[form]; {
		case equivalent > 0 && charge == 0:
			return bad("what carries no charge has no equivalents")
		case equivalent > 0:
			m.times = equivalent / charge * components[m.ion].molarMass
		case as:
			m.times = mass / atom * components[m.ion].molarMass
		default:
			m.times = mass
		}
	}
	return m, nil
}

// put reads a cell into a sample.
func (r *reportReader) put(s *ReportedSample, m meaning, cell, where string) {
	cell = strings.TrimSpace(cell)
	if cell == "" || cell == "-" || cell == "–" || m.kind == isNothing {
		return
	}
	switch m.kind {
	case isSample:
		s.Name = cell
		return
	case isDate:
		r.date(s, cell, where)
		return
	}
	bound := strings.HasPrefix(cell, "<")
	switch strings.ToLower(strings.Trim(cell, ". ")) {
	case "nd", "n.d", "not detected", "na", "n/a", "n.a", "not analysed", "not analyzed", "bdl":
		r.problem("%s: %q says no bound; left out", where, cell)
		return
	}
	x, err := quantity.ParseNumber(strings.TrimSpace(strings.TrimPrefix(cell, "<")), r.locale)
	if err != nil || x < 0 && m.kind != isTemperature && m.kind != isAlkalinity {
		r.problem("%s: read %q, wanted a number such as 12.5 or <0.05; left out", where, cell)
		return
	}
	m.keep(s, x*m.times+m.plus, bound)
	if bound && m.kind != isIon {
		r.problem("%s: %q is a bound; half of it was taken", where, cell)
	}
}

// keep stores x, in the unit of the kind.
func (m meaning) keep(s *ReportedSample, x float64, bound bool) {
	if m.kind == isIon {
		if bound {
			s.Sample.Below[m.ion] = quantity.MassConc(x)
		} else {
			s.Sample.Ions[m.ion] = quantity.Told(quantity.MassConc(x))
		}
		return
	}
	if bound {
		x /= 2
	}
	w := &s.Sample
	switch m.kind {
	case isHardness:
		w.Hardness = quantity.Told(asCaCO3(x))
	case isAlkalinity:
		w.Alkalinity = quantity.Told(asCaCO3(x))
	case isBicarbonate, isCarbonate:
		s.Bicarbonate += quantity.MassConc(x)
	case isConductivity:
		w.Strength.Conductivity = quantity.Told(quantity.Conductivity(x))
	case isPH:
		w.PH = quantity.Told(quantity.PH(x))
	case isTemperature:
		w.Temperature = quantity.Told(quantity.Temperature(x))
	case isSulphide:
		w.Sulphide = quantity.Told(quantity.MassConc(x))
	case isFreeChlorine:
		w.FreeChlorine = quantity.Told(quantity.MassConc(x))
	case isTotalChlorine:
		w.TotalChlorine = quantity.Told(quantity.MassConc(x))
	}
}

var isoDay = regexp.MustCompile(`^\d{4}-\d{2}-\d{2}`)

func (r *reportReader) date(s *ReportedSample, cell, where string) {
	if day := isoDay.FindString(cell); day != "" {
		s.Sample.Date = day
		return
	}
	if cell != "" {
		r.problem("%s: date %q is not of the form 2026-06-13; left out", where, cell)
	}
}
