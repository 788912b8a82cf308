package sitefile

import (
	"regexp"
	"strconv"
	"strings"

	"github.com/pelletier/go-toml/v2/unstable"
)

// What people say at a prompt is wider than what a file may hold: any letter
// case, the first letters of a word, yes for true, May for 5. A file is strict
// because it is kept for years; a prompt asks again.

// heard gives a field its own way to hear.
func heard(f field, hear func(string) string) field {
	f.hear = hear
	return f
}

// spoken is text from a prompt or a flag as the value that f expects.
func spoken(text string, f field) value {
	text = strings.TrimSpace(text)
	if f.hear != nil {
		text = f.hear(text)
	}
	v := value{kind: unstable.String, text: text}
	if strings.HasPrefix(f.example, "[") {
		v.kind = unstable.Array
		for _, item := range strings.Split(text, ",") {
			v.items = append(v.items, value{kind: unstable.String, text: strings.TrimSpace(item)})
		}
	}
	return v
}

// wordMeant is the word that said names in any letter case, whole or by first
// letters that fit no other word; said itself when there is none.
func wordMeant(said string, words []string) string {
	plain := strings.ToLower(strings.TrimSpace(said))
	for _, inch := range []string{`"`, "inch", "in"} {
		if cut, ok := strings.CutSuffix(plain, inch); ok && cut != "" && strings.ContainsAny(cut[:1], "0123456789") {
			plain = strings.TrimSpace(cut)
		}
	}
	var fits []string
	for _, w := range words {
		low := strings.ToLower(w)
		if low == plain {
			return w
		}
		if plain != "" && strings.HasPrefix(low, plain) {
			fits = append(fits, w)
		}
	}
	if len(fits) == 1 {
		return fits[0]
	}
	return said
}

// yesMeant hears yes and no as true and false.
func yesMeant(said string) string {
	switch strings.ToLower(said) {
	case "y", "yes", "true":
		return "true"
	case "n", "no", "false":
		return "false"
	}
	return said
}

var months = []string{"January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November", "December"}

// monthMeant hears the name of a month as its number.
func monthMeant(said string) string {
	if len(said) < 3 {
		return said
	}
	name := wordMeant(said, months)
	for i, m := range months {
		if m == name {
			return strconv.Itoa(i + 1)
		}
	}
	return said
}

var clockForm = regexp.MustCompile(`^(\d{1,2})(?:[:.h](\d\d))?\s*(am|pm)?$`)

// hourMeant hears "8", "8:30", "8 am" and "7pm" as a time of day.
func hourMeant(said string) string {
	m := clockForm.FindStringSubmatch(strings.ToLower(said))
	if m == nil {
		return said
	}
	hour, err := strconv.Atoi(m[1])
	if err != nil || m[3] != "" && (hour < 1 || hour > 12) {
		return said
	}
	if m[3] != "" {
		hour %= 12
	}
	if m[3] == "pm" {
		hour += 12
	}
	minute := m[2]
	if minute == "" {
		minute = "00"
	}
	text := strconv.Itoa(hour) + ":" + minute
	if hour < 10 {
		text = "0" + text
	}
	return text
}
