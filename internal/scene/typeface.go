//go:build !js

// Papers are printed by the server: the browser carries neither fonts nor PDF.

package scene

import (
	_ "embed"
	"fmt"
	"strings"
	"sync"

	"golang.org/x/image/font"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// The open family of the papers, in two weights, whole as its makers release
// it under the licence beside it (font/OFL.txt). Its figures are all of one
// width, so that columns of numbers stand under each other.
var (
	//go:embed font/regular.ttf
	regularFont []byte
	//go:embed font/semibold.ttf
	semiboldFont []byte
)

// typeface measures one weight of the embedded family.
type typeface struct {
	font *sfnt.Font
	unit fixed.Int26_6
	// advances in thousandths of an em; 0xffff is a sign that it cannot draw.
	ascii [128]uint16
	mu    sync.Mutex
	more  map[rune]uint16
}

const noGlyph = 0xffff

// noSign stands where the family has no shape for a letter.
const noSign = '□'

var typefaces = sync.OnceValue(func() (t [2]*typeface) {
	for i, data := range [][]byte{regularFont, semiboldFont} {
		f, err := sfnt.Parse(data)
		if err != nil {
			panic(fmt.Sprintf("embedded font %d: %v", i, err)) // a mistake in this package, seen by every test
		}
		t[i] = &typeface{font: f, unit: fixed.I(1000), more: map[rune]uint16{}}
		for r := range t[i].ascii {
			t[i].ascii[r] = t[i].measure(rune(r))
		}
	}
	return t
})

func typefaceOf(weight int) *typeface {
	if weight >= 600 {
		return typefaces()[1]
	}
	return typefaces()[0]
}

func (t *typeface) measure(r rune) uint16 {
	var b sfnt.Buffer
	if r > 0xffff { // past what a printed text holds
		return noGlyph
	}
	glyph, err := t.font.GlyphIndex(&b, r)
	if err != nil || glyph == 0 {
		return noGlyph
	}
	width, err := t.font.GlyphAdvance(&b, glyph, t.unit, font.HintingNone)
	if err != nil {
		return noGlyph
	}
	return uint16(width.Round())
}

func (t *typeface) advance(r rune) uint16 {
	if 0 <= r && r < 128 {
		return t.ascii[r]
	}
	t.mu.Lock()
	defer t.mu.Unlock()
	w, ok := t.more[r]
	if !ok {
		w = t.measure(r)
		t.more[r] = w
	}
	return w
}

// PrintedWidth is how wide a line of text runs on paper, in the unit of size:
// exact, because the font is the embedded one. [TextWidth] is for pages, whose
// font is the reader's.
func PrintedWidth(s string, size float64, weight int) float64 {
	t, total := typefaceOf(weight), 0
	for _, r := range Printable(s) {
		total += int(t.advance(r))
	}
	return float64(total) / 1000 * size
}

// Printable gives the text that paper can show: one line, and a box in place
// of each letter that the embedded family does not draw.
func Printable(s string) string {
	t := typefaceOf(400)
	clean := true
	for _, r := range s {
		if r < ' ' || t.advance(r) == noGlyph {
			clean = false
			break
		}
	}
	if clean {
		return s
	}
	return strings.Map(func(r rune) rune {
		if t.advance(r) == noGlyph {
			return noSign
		}
		return r
	}, tidy(s))
}
