package scene

import "unicode"

// Advance widths in hundredths of an em for U+0020 to U+007E, measured from
// an open humanist sans at weight 400 and rounded up. Other system faces of
// this kind run up to a tenth wider or narrower; the layout keeps that much air.
var advances = [95]uint8{
	26, 27, 41, 65, 58, 84, 74, 23, 30, 30, 56, 58, 27, 33, 27, 38, // space to /
	58, 58, 58, 58, 58, 58, 58, 58, 58, 58, 27, 27, 58, 58, 58, 44, // 0 to ?
	90, 64, 65, 64, 73, 56, 52, 73, 75, 34, 28, 62, 53, 91, 76, 79, // @ to O
	61, 79, 63, 55, 56, 74, 60, 93, 59, 57, 58, 33, 38, 33, 58, 45, // P to _
	29, 57, 62, 48, 62, 57, 35, 62, 62, 26, 26, 54, 26, 94, 62, 61, // ` to o
	62, 62, 42, 48, 37, 62, 51, 79, 53, 51, 47, 38, 56, 38, // p to ~
}

// The signs our numbers and dates are made of.
var signs = map[rune]uint8{
	'µ': 63, 'μ': 63, '·': 27, '–': 50, '—': 100, '…': 82, '°': 43, '×': 58, '²': 38, '³': 38, '₂': 38, '₃': 38,
	'Δ': 66, 'Σ': 60, '≥': 58, '≤': 58, '±': 58, '−': 58, '’': 22, '‘': 22, '“': 45, '”': 45, '½': 84, '\u00a0': 26, '\u202f': 20,
}

// Letters past ASCII: wider than most of each script, on purpose.
const (
	otherAdvance = 80
	wideAdvance  = 112 // ideographs, syllables, pictures
	boldRatio    = 1.06
)

// TextWidth estimates how wide a line of text runs, in the unit of size.
// Rule of thumb: within a tenth for Latin text in a humanist sans; other
// scripts are estimated wide.
func TextWidth(s string, size float64, weight int) float64 {
	total := 0
	for _, r := range s {
		total += advance(r)
	}
	width := float64(total) / 100 * size
	if weight >= 600 {
		width *= boldRatio
	}
	return width
}

func advance(r rune) int {
	if r >= ' ' && r <= '~' {
		return int(advances[r-' '])
	}
	if w, ok := signs[r]; ok {
		return int(w)
	}
	switch {
	case unicode.Is(unicode.Mn, r):
		return 0
	case r < 0x0590:
		return otherAdvance
	case r < 0x1100:
		return 95
	}
	return wideAdvance
}
