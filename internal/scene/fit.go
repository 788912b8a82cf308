package scene

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// face is a size and weight of text with its line height.
type face struct {
	size   float64
	weight int
	step   float64 // baseline to baseline
	tone   Role
}

func (f face) width(s string) float64 { return TextWidth(s, f.size, f.weight) }

// tidy makes one line of what a person typed: no control signs, no marks that
// turn the writing direction, single spaces, at most two marks stacked on one letter.
func tidy(s string) string {
	marks := 0
	s = strings.Map(func(r rune) rune {
		if unicode.Is(unicode.Mn, r) {
			marks++
			if marks > 2 {
				return -1
			}
			return r
		}
		marks = 0
		if unicode.IsSpace(r) && r != '\u00a0' && r != '\u202f' {
			return ' '
		}
		if unicode.In(r, unicode.Cc, unicode.Cf, unicode.Me) {
			return -1
		}
		return r
	}, strings.ToValidUTF8(s, "\ufffd"))
	return strings.Join(strings.FieldsFunc(s, func(r rune) bool { return r == ' ' }), " ")
}

func tidyAll(list []string) []string {
	var out []string
	for _, s := range list {
		if s = tidy(s); s != "" {
			out = append(out, s)
		}
	}
	return out
}

// row is one line of wrapped text; full is set on a line that was shortened,
// old on one that tells what a value was before.
type row struct {
	text, full string
	old        bool
}

// Was begins a line of a station that tells what the line above it said
// before someone changed a number. It is drawn pale.
const Was = "was "

// airy is the share of a wide room that text is set to, so that a wider face
// than the one measured still stays inside.
const airy = 0.92

// wrap breaks text into at most limit lines no wider than width. What does not
// fit ends in an ellipsis.
func (f face) wrap(text string, width float64, limit int) []row {
	if text == "" || limit < 1 {
		return nil
	}
	lines := f.lines(text, width)
	if len(lines) <= limit {
		return rows(lines)
	}
	out := rows(lines[:limit])
	rest := strings.Join(lines[limit-1:], " ")
	out[limit-1] = row{text: f.shorten(rest, width), full: text}
	return out
}

func rows(lines []string) []row {
	out := make([]row, len(lines))
	for i, l := range lines {
		out[i] = row{text: l}
	}
	return out
}

// bound keeps a number and the short word after it, mostly its unit, on one
// line, and a sign such as Δ with what follows it.
func bound(text string) []string {
	words := strings.Split(text, " ")
	out := words[:1:1]
	for i, word := range words[1:] {
		before := words[i]
		if clings(before, word) {
			out[len(out)-1] += noBreak + word
			continue
		}
		out = append(out, word)
	}
	return out
}

func clings(before, word string) bool {
	if before == "" || before == "·" || word == "·" {
		return false
	}
	number := unicode.IsDigit(rune(before[len(before)-1]))
	if strings.HasPrefix(word, "×") {
		return true
	}
	return number && utf8.RuneCountInString(word) <= 6 || utf8.RuneCountInString(before) == 1 && !number
}

const noBreak = "\u00a0"

// lines breaks at spaces, and inside a word only when the word alone is too wide.
func (f face) lines(text string, width float64) []string {
	var words []string
	for _, w := range bound(text) {
		if f.width(w) > width {
			words = append(words, strings.Split(w, noBreak)...)
			continue
		}
		words = append(words, w)
	}
	out := f.pack(words, width)
	for i := range out[:len(out)-1] {
		out[i] = strings.TrimSuffix(out[i], " ·")
		out[i+1] = strings.TrimPrefix(out[i+1], "· ")
	}
	return out
}

func (f face) pack(words []string, width float64) []string {
	var out []string
	current := ""
	for _, word := range words {
		joined := word
		if current != "" {
			joined = current + " " + word
		}
		if f.width(joined) <= width {
			current = joined
			continue
		}
		if current != "" {
			out = append(out, current)
		}
		pieces := f.chop(word, width)
		out = append(out, pieces[:len(pieces)-1]...)
		current = pieces[len(pieces)-1]
	}
	return append(out, current)
}

// chop cuts a word that is wider than a line, after a hyphen or a stroke if
// the line holds one.
func (f face) chop(word string, width float64) []string {
	var out []string
	start, seam := 0, 0
	for i, r := range word {
		end := i + len(string(r))
		if i > start && f.width(word[start:end]) > width {
			if seam <= start {
				seam = i
			}
			out = append(out, word[start:seam])
			start = seam
		}
		if r == '-' || r == '/' || r == '–' {
			seam = end
		}
	}
	return append(out, word[start:])
}

// shorten cuts text so that it fits with an ellipsis; a text that fits is kept.
func (f face) shorten(text string, width float64) string {
	if f.width(text) <= width {
		return text
	}
	last := ""
	for i := range text {
		cut := strings.TrimRight(text[:i], " ·,") + "…"
		if f.width(cut) > width {
			break
		}
		last = cut
	}
	return last
}

// wrapAll wraps each text to at most perText lines and all together to limit.
func (f face) wrapAll(texts []string, width float64, perText, limit int) []row {
	var out []row
	for i, t := range texts {
		left := limit - len(out)
		if left < 1 {
			last := &out[len(out)-1]
			if last.full == "" {
				last.full = last.text
			}
			last.full += " · " + strings.Join(texts[i:], " · ")
			last.text = f.shorten(last.text+" …", width)
			break
		}
		lines := f.wrap(t, width, min(perText, left))
		for k := range lines {
			lines[k].old = strings.HasPrefix(t, Was)
		}
		out = append(out, lines...)
	}
	return out
}

// longestWord is the width below which a word would be cut.
func (f face) longestWord(texts ...string) float64 {
	widest := 0.0
	for _, t := range texts {
		for _, word := range bound(t) {
			widest = max(widest, f.width(word))
		}
	}
	return widest
}

// halved is about the width at which text takes two lines.
func (f face) halved(text string) float64 {
	whole := f.width(text)
	return min(whole, (whole+f.longestWord(text))/2)
}

func (f face) widest(list []row) float64 {
	widest := 0.0
	for _, r := range list {
		widest = max(widest, f.width(r.text))
	}
	return widest
}

// write puts lines one under another from the baseline y and gives the
// baseline below the last.
func (s *sheet) write(f face, list []row, x, y float64, anchor Anchor) float64 {
	for _, r := range list {
		tone, weight := f.tone, f.weight
		if r.old {
			tone, weight = Muted, 400
		}
		if r.text != "" {
			s.add(Text{X: x, Y: y, Anchor: anchor, Size: f.size, Weight: weight, Tone: tone, Content: r.text, Full: r.full})
		}
		y += f.step
	}
	return y
}

// say is write for one line that is known to fit.
func (s *sheet) say(f face, text string, x, y float64, anchor Anchor) {
	s.write(f, []row{{text: text}}, x, y, anchor)
}
