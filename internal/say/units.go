package say

import (
	"regexp"
	"strings"
	"unicode"
)

// unitWords are the words that stand with numbers.
var unitWords = regexp.MustCompile(`\b(days|day|months|years|per day|on the pen|NaCl scale|KCl scale|442 scale|to|over|below half a ppm|never|number|as CaCO3|ppm hour)\b`)

var spanishUnits = map[string]string{
	"days": "días", "day": "día", "months": "meses", "years": "años", "per day": "al día", "on the pen": "en el medidor", "NaCl scale": "escala NaCl",
	"KCl scale": "escala KCl", "442 scale": "escala 442", "to": "a", "over": "más de", "below half a ppm": "menos de medio ppm", "never": "nunca", "as CaCO3": "como CaCO3",
}

// Units gives a printed number with its unit words in the language.
func (s *Speaker) Units(text string) string {
	if s.language != "es" || !strings.ContainsFunc(text, unicode.IsDigit) && !strings.HasPrefix(text, "below") {
		return text
	}
	return unitWords.ReplaceAllStringFunc(text, func(word string) string {
		if to := spanishUnits[word]; to != "" {
			return to
		}
		return word
	})
}
