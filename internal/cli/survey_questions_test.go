package cli

import (
	"slices"
	"strings"
	"testing"

	"rinsewright/internal/sitefile"
	"rinsewright/quantity"
	"rinsewright/site"
)

func allQuestions() (all []question) {
	for _, r := range rounds {
		all = append(all, r.questions...)
	}
	return all
}

// mentioned are the keys that a question or a condition names.
func (q question) mentioned() (keys []string) {
	for _, c := range q.when {
		name, _, _ := strings.Cut(strings.TrimPrefix(c, "!"), "=")
		name = strings.TrimSuffix(name, "!")
		if at, ok := strings.CutPrefix(name, "sample:"); ok {
			_, last, inside := strings.Cut(at, ".")
			if !inside {
				continue
			}
			name = "sample." + last
		}
		keys = append(keys, name)
	}
	for _, key := range []string{q.key, q.with, q.or} {
		if key != "" {
			keys = append(keys, key)
		}
	}
	return keys
}

func TestEveryQuestionFillsAKeyOfTheFormat(t *testing.T) {
	keys := sitefile.Keys()
	for _, q := range allQuestions() {
		for _, key := range q.mentioned() {
			if strings.Contains(key, ".") && !slices.Contains(keys, key) {
				t.Errorf("%q names %s, which the format has not", q.ask, key)
			}
			if !strings.Contains(key, ".") && key != "report" && !optional[key] {
				t.Errorf("%q names the part %s, which nobody asks for", q.ask, key)
			}
		}
	}
}

func TestEveryKeyOfTheFormatIsAskedOrLeftToTheFileForAReason(t *testing.T) {
	asked := map[string]bool{}
	for _, q := range allQuestions() {
		asked[q.key] = true
		asked[q.or] = true
	}
	used := map[string]bool{}
	for _, key := range sitefile.Keys() {
		section, _, _ := strings.Cut(key, ".")
		why, left := fileOnly[key]
		if !left {
			if why, left = fileOnly[section]; left {
				used[section] = true
			}
		} else {
			used[key] = true
		}
		switch {
		case asked[key] && left:
			t.Errorf("%s is asked, and said to be left to the file", key)
		case !asked[key] && !left:
			t.Errorf("%s is neither asked nor left to the file for a reason", key)
		case left && len(why) < 10:
			t.Errorf("%s is left to the file without a reason", key)
		}
	}
	for key := range fileOnly {
		if !used[key] {
			t.Errorf("fileOnly names %s, which the format has not", key)
		}
	}
}

// The house's words: short sentences, second person, no exclamation marks; a
// question explains itself, and its example is an answer.
func TestQuestionsExplainThemselves(t *testing.T) {
	for _, q := range allQuestions() {
		for what, text := range map[string]string{"ask": q.ask, "why": q.why, "how": q.how} {
			if text == "" || strings.ContainsAny(text, "!") || !strings.ContainsAny(text[len(text)-1:], ".?") {
				t.Errorf("%s: %s is %q", q.key, what, text)
			}
			for _, sentence := range strings.FieldsFunc(text, func(r rune) bool { return r == '?' || r == ':' || r == ';' }) {
				if n := len(strings.Fields(sentence)); n > 45 {
					t.Errorf("%s: %d words in %q", q.key, n, sentence)
				}
			}
		}
		if q.part() {
			continue
		}
		said := sitefile.Words(q.key)
		if len(said) == 0 {
			_, example := sitefile.Example(q.key)
			said = []string{example}
		}
		for _, text := range said {
			if err := sitefile.Set(&site.Site{}, q.key, text, quantity.Locale{}); err != nil {
				t.Errorf("%s offers %q, which is refused: %v", q.key, text, err)
			}
		}
	}
}

// Common practice, no source: gauges, test kits, pumps, tanks and resin bottles
// are where a survey hurts someone.
func TestWhatCanHurtIsSaidAtItsQuestion(t *testing.T) {
	for key, word := range map[string]string{
		"supply.static_pressure": "slowly", "supply.running_pressure": "slowly", "sample.alkalinity": "gloves", "sample.hardness": "gloves", "sample.total_chlorine": "gloves",
		"pump.power": "electrician", "booster.power": "electrician", "tank.volume": "Never climb", "resin.volume": "alone", "tank.precharge": "pressure off", "restrictor.pressure": "slowly",
	} {
		for _, q := range allQuestions() {
			if q.key == key && !strings.Contains(q.care, word) {
				t.Errorf("%s says %q, want a caution with %q", key, q.care, word)
			}
		}
	}
}

func TestThereAreTenFirstQuestions(t *testing.T) {
	n := 0
	for _, q := range allQuestions() {
		if q.first {
			n++
		}
	}
	if n != 10 {
		t.Errorf("%d questions come first, want ten", n)
	}
}
