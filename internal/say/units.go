package say

import (
	"regexp"
	"strings"
	"unicode"
)

// unitWords are the words that stand with numbers, longest first.
var unitWords = regexp.MustCompile(`\b(below half a ppm|ppm on the pen|on the pen|as CaCO3|NaCl scale|KCl scale|442 scale|per day|ppm hours|ppm hour|months|month|years|year|weeks|week|days|day|over|never|number|times|to|at least|at most|about|from|or more|by|on|model|band|Monday|Tuesday|Wednesday|Thursday|Friday|Saturday|Sunday|Mon|Tue|Wed|Thu|Fri|Sat|Sun|January|February|March|April|June|July|August|September|October|November|December|Jan|Feb|Mar|Apr|May|Jun|Jul|Aug|Sep|Oct|Nov|Dec)\b`)

var spanishUnits = map[string]string{
	"days": "días", "day": "día", "months": "meses", "month": "mes", "years": "años", "year": "año", "weeks": "semanas", "week": "semana", "per day": "al día",
	"ppm on the pen": "ppm en el medidor", "on the pen": "en el medidor", "NaCl scale": "escala NaCl", "KCl scale": "escala KCl", "442 scale": "escala 442",
	"to": "a", "over": "más de", "below half a ppm": "menos de medio ppm", "never": "nunca", "as CaCO3": "como CaCO3", "times": "veces",
	"at least": "al menos", "at most": "como máximo", "about": "unos", "from": "de", "or more": "o más", "by": "el", "on": "el", "model": "modelo", "band": "banda",
	"January": "enero", "February": "febrero", "March": "marzo", "April": "abril", "June": "junio", "July": "julio", "August": "agosto", "September": "septiembre", "October": "octubre", "November": "noviembre", "December": "diciembre",
	"Monday": "lunes", "Tuesday": "martes", "Wednesday": "miércoles", "Thursday": "jueves", "Friday": "viernes", "Saturday": "sábado", "Sunday": "domingo",
	"Mon": "lun", "Tue": "mar", "Wed": "mié", "Thu": "jue", "Fri": "vie", "Sat": "sáb", "Sun": "dom",
	"Jan": "ene", "Feb": "feb", "Mar": "mar", "Apr": "abr", "May": "may", "Jun": "jun", "Jul": "jul", "Aug": "ago", "Sep": "sep", "Oct": "oct", "Nov": "nov", "Dec": "dic",
}

// longDate is a day with its month in full.
var longDate = regexp.MustCompile(`\b\d{1,2} (?:January|February|March|April|May|June|July|August|September|October|November|December)(?: \d{4})?\b`)

// unitSigns are units and signs that are the same in every language.
var unitSigns = regexp.MustCompile(`\b(?:gal|gpd|gpm|gph|gpg|gal/d|mL|L|L/min|L/h|L/d|L/m2|m3|m3/h|psi|bar|kPa|mbar|ppm|ppb|mg|mg/L|g/L|kg|g|lb|oz|gr|ft|ft2|ft3|in|um|mm|cm|m|m2|W|kW|kWh|hp|h|min|s|d|C|F|K|S|uS/cm|mmol|mol|eq|meq|meq/L|eq/L|mmol/L|pH|bed|NaCl|KCl|442|CaCO3|[A-Z]{3}|N|x|(?:\d+m)?\d+s|w\d+|A|Ca|Mg|Na|Sr|Ba|Fe|Mn|Cl|B|NH4|SO4|NO3|SiO2|Cl2|CO2|HCO3|PDF|CSV|XLSX|ISO)\b`)

// Units gives a printed number with its unit words in the language.
func (s *Speaker) Units(text string) string {
	if s.language != "es" || !strings.ContainsFunc(text, unicode.IsDigit) && !strings.HasPrefix(text, "below") {
		return text
	}
	text = longDate.ReplaceAllStringFunc(text, func(date string) string {
		part := strings.Fields(date)
		return strings.Join(part, " de ")
	})
	return unitWords.ReplaceAllStringFunc(text, func(word string) string {
		if to := spanishUnits[word]; to != "" {
			return to
		}
		return word
	})
}

// onlyNumbers tells whether a phrase is nothing but numbers, units and the words
// that stand with them: a band, a span, a date.
func onlyNumbers(phrase string) bool {
	rest := strings.NewReplacer("µS/cm", "", "µm", "", "°F", "", "°C", "", "°d", "", "m³", "", "m²", "", "ft³", "", "µg/L", "", "Ω", "").Replace(phrase)
	if strings.ContainsFunc(phrase, unicode.IsDigit) {
		rest = unitWords.ReplaceAllString(rest, "")
	}
	rest = unitSigns.ReplaceAllString(rest, "")
	return !strings.ContainsFunc(rest, unicode.IsLetter)
}
