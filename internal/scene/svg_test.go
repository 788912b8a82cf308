package scene

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// tester is what *testing.T and *rapid.T share.
type tester interface {
	Errorf(string, ...any)
	Fatalf(string, ...any)
}

func svg(t tester, d Drawing, opts SVGOptions) string {
	var b bytes.Buffer
	if err := d.SVG(&b, opts); err != nil {
		t.Fatalf("%v", err)
	}
	return b.String()
}

var knownElements = map[string]bool{"svg": true, "title": true, "desc": true, "g": true, "a": true, "rect": true, "circle": true, "polyline": true, "polygon": true, "path": true, "text": true}

// wellFormed parses the SVG and holds it to the few elements there are, to
// ids used once, and to nothing that runs or reaches out.
func wellFormed(t tester, d Drawing) {
	dec := xml.NewDecoder(strings.NewReader(svg(t, d, SVGOptions{Prefix: "p"})))
	dec.Strict = true
	ids := map[string]bool{}
	for {
		token, err := dec.Token()
		if err == io.EOF {
			return
		}
		if err != nil {
			t.Fatalf("not well-formed: %v", err)
		}
		e, ok := token.(xml.StartElement)
		if !ok {
			continue
		}
		if !knownElements[e.Name.Local] {
			t.Errorf("element %q", e.Name.Local)
		}
		for _, a := range e.Attr {
			checkAttribute(t, a, ids)
		}
	}
}

func checkAttribute(t tester, a xml.Attr, ids map[string]bool) {
	switch name := a.Name.Local; {
	case strings.HasPrefix(name, "on") || name == "style":
		t.Errorf("attribute %s=%q", name, a.Value)
	case name == "href" && !localLink(a.Value):
		t.Errorf("link to %q", a.Value)
	case name == "id" && ids[a.Value]:
		t.Errorf("id %q is used twice", a.Value)
	case name == "id":
		ids[a.Value] = true
	case strings.Contains(a.Value, "NaN") && name != "aria-label":
		t.Errorf("attribute %s=%q", name, a.Value)
	}
}

func TestEveryDrawingIsWellFormed(t *testing.T) {
	for _, s := range samples() {
		d, err := s.draw()
		if err != nil {
			t.Fatal(err)
		}
		wellFormed(t, d)
	}
	rapid.Check(t, func(t *rapid.T) {
		d, err := anyPath.Draw(t, "path").Draw(anyStyle.Draw(t, "style"))
		if err != nil {
			t.Fatal(err)
		}
		wellFormed(t, d)
	})
}

func TestHostileNamesStayText(t *testing.T) {
	hostile := `</text><script>alert(1)</script><image href="http://x/"/> & "quoted" 'so' ]]> ` + "\x00\x1b\xff\u202e\u0301\u0301\u0301\u0301\u0301"
	p := smallest()
	p.Title, p.Subtitle = hostile, hostile
	for i := range p.Stations {
		s := &p.Stations[i]
		s.Name, s.Word, s.Why, s.ID, s.Suspect = hostile, hostile, hostile, hostile, true
		s.Read, s.Due = []string{hostile}, []string{hostile}
	}
	p.Drain = &Drain{At: hostile, Notes: []string{hostile}}
	for _, layout := range []Layout{Wide, Narrow, Mini} {
		d := drawn(t, p, Style{Layout: layout, LinkBase: "javascript:"})
		got := svg(t, d, SVGOptions{Prefix: hostile})
		for _, bad := range []string{"<script", "<image", "\x00", "\u202e", "javascript:", `href="`} {
			if strings.Contains(got, bad) {
				t.Errorf("layout %d holds %q", layout, bad)
			}
		}
		wellFormed(t, d)
	}
}

func TestOnlyLinksOnThisServerAreWritten(t *testing.T) {
	for link, want := range map[string]bool{
		"#lead": true, "/site/3#lead": true, "": false, "//elsewhere/": false, `/\elsewhere`: false, "javascript:alert(1)": false,
		"https://elsewhere/": false, "/\t/elsewhere": false, "data:text/html,x": false,
	} {
		d := Drawing{Width: 10, Height: 10, Shapes: []Shape{Group{ID: "a", Link: link}}}
		if got := strings.Contains(svg(t, d, SVGOptions{}), "<a href"); got != want {
			t.Errorf("link %q written: %t, want %t", link, got, want)
		}
	}
}

func TestSameDrawingSameBytes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, s := anyPath.Draw(t, "path"), anyStyle.Draw(t, "style")
		one, err := p.Draw(s)
		if err != nil {
			t.Fatal(err)
		}
		two, err := p.Draw(s)
		if err != nil {
			t.Fatal(err)
		}
		if svg(t, one, SVGOptions{}) != svg(t, two, SVGOptions{}) {
			t.Fatal("two drawings of one path differ")
		}
	})
}

func TestColoursAreRolesWithAFallback(t *testing.T) {
	got := svg(t, drawn(t, depot(), Style{}), SVGOptions{})
	bare := regexp.MustCompile(`(fill|stroke)="([^"]*)"`)
	role := regexp.MustCompile(`^(none|transparent|var\(--[a-z0-9-]+, #[0-9a-f]{6}\))$`)
	for _, m := range bare.FindAllStringSubmatch(got, -1) {
		if !role.MatchString(m[2]) {
			t.Errorf("colour %q is no role", m[2])
		}
	}
}

func TestEveryRoleIsInTheStyleSheet(t *testing.T) {
	css := StyleSheet()
	for _, h := range hues {
		if n := strings.Count(css, "--"+string(h.role)+": "); n != 5 {
			t.Errorf("%s is set %d times, want in light, dark, chosen dark, sunlight and print", h.role, n)
		}
	}
}

func TestWritingFailsPlainly(t *testing.T) {
	for name, d := range map[string]Drawing{
		"no size":      {},
		"not a number": {Width: 10, Height: 10, Shapes: []Shape{Circle{X: math.NaN()}}},
		"infinite":     {Width: 10, Height: 10, Shapes: []Shape{Group{Shapes: []Shape{Outline{Steps: []Step{move(math.Inf(1), 0)}}}}}},
	} {
		if err := d.SVG(io.Discard, SVGOptions{}); !errors.Is(err, ErrDrawing) {
			t.Errorf("%s: error is %v, want ErrDrawing", name, err)
		}
	}
	if err := (Drawing{Width: 1, Height: 1}).SVG(broken{}, SVGOptions{}); !errors.Is(err, errBroken) {
		t.Errorf("a writer's error is lost: %v", err)
	}
}

var errBroken = errors.New("disk full")

type broken struct{}

func (broken) Write([]byte) (int, error) { return 0, errBroken }

// luminance follows WCAG 2.2, relative luminance of an sRGB colour.
func luminance(t *testing.T, r Role, dark bool) float64 {
	t.Helper()
	for _, h := range hues {
		if h.role == r {
			c := h.light
			if dark {
				c = h.dark
			}
			return 0.2126*channel(t, c[1:3]) + 0.7152*channel(t, c[3:5]) + 0.0722*channel(t, c[5:7])
		}
	}
	t.Fatalf("no role %q", r)
	return 0
}

func channel(t *testing.T, hex string) float64 {
	t.Helper()
	n, err := strconv.ParseUint(hex, 16, 8)
	if err != nil {
		t.Fatal(err)
	}
	c := float64(n) / 255
	if c <= 0.04045 {
		return c / 12.92
	}
	return math.Pow((c+0.055)/1.055, 2.4)
}

func TestContrastHoldsLevelAA(t *testing.T) {
	// published: WCAG 2.2, success criteria 1.4.3 (4.5:1 for text) and 1.4.11 (3:1 for shapes)
	for _, c := range []struct {
		front, back Role
		want        float64
	}{
		{Ink, Paper, 4.5}, {Muted, Paper, 4.5}, {Accent, Paper, 4.5}, {Rust, Paper, 4.5}, {Ink, Fill, 4.5}, {Muted, Fill, 4.5}, {Accent, Fill, 3}, {ToDrain, Paper, 3},
	} {
		for _, dark := range []bool{false, true} {
			a, b := luminance(t, c.front, dark), luminance(t, c.back, dark)
			if got := (max(a, b) + 0.05) / (min(a, b) + 0.05); got < c.want {
				t.Errorf("%s on %s (dark %t) is %.2f:1, want %.1f:1", c.front, c.back, dark, got, c.want)
			}
		}
	}
}

// In the sun the page's words keep the level AAA.
func TestSunlightHoldsLevelAAA(t *testing.T) {
	// published: WCAG 2.2, success criterion 1.4.6 (7:1 for text)
	of := func(r Role) float64 {
		c := sunlight[r]
		return 0.2126*channel(t, c[1:3]) + 0.7152*channel(t, c[3:5]) + 0.0722*channel(t, c[5:7])
	}
	for _, front := range []Role{Ink, Muted, Accent, Rust, Hairline, ToDrain} {
		for _, back := range []Role{Paper, Fill} {
			if got := (of(back) + 0.05) / (of(front) + 0.05); got < 7 {
				t.Errorf("%s on %s is %.2f:1, want 7:1", front, back, got)
			}
		}
	}
	for i := 2; i <= tints; i++ {
		if of(Water(i)) >= of(Water(i-1)) {
			t.Errorf("%s is not darker than the one before", Water(i))
		}
	}
}

func TestEverySourceKeyIsListed(t *testing.T) {
	listed, err := os.ReadFile("../../docs/sources/scene.md")
	if err != nil {
		t.Fatal(err)
	}
	files, err := os.ReadDir(".")
	if err != nil {
		t.Fatal(err)
	}
	key := regexp.MustCompile(`\[([A-Z][A-Za-z]*[0-9]{2,})\]`)
	for _, f := range files {
		if !strings.HasSuffix(f.Name(), ".go") || strings.HasSuffix(f.Name(), "_test.go") {
			continue
		}
		text, err := os.ReadFile(f.Name())
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range key.FindAllStringSubmatch(string(text), -1) {
			if !strings.Contains(string(listed), "- ["+m[1]+"]") {
				t.Errorf("%s cites [%s], which is not listed", f.Name(), m[1])
			}
		}
	}
}

func ExamplePath_Draw() {
	path := Path{Title: "Invented pad", Stations: []Station{
		{Kind: SupplyTap, Name: "Tap", Read: []string{"260 µS"}, State: Fine, Fill: math.NaN(), FlowLitresPerDay: 300, StrengthMicrosiemens: 260},
		{Kind: ResinLead, Name: "Resin", Read: []string{"0.4 µS"}, Due: []string{"under 10 µS"}, State: Due, Word: "3–9 May", Fill: 0.2, FlowLitresPerDay: 300, StrengthMicrosiemens: 0.4},
		{Kind: Gun, Name: "Gun", State: Fine, Fill: math.NaN(), FlowLitresPerDay: 300, StrengthMicrosiemens: 0.4},
	}}
	drawing, err := path.Draw(Style{Layout: Narrow})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(drawing.Desc)
	// Output: 3 stations from the tap to the gun. 1, Tap: fine; read 260 µS. 2, Resin: due 3–9 May, 20 % left; read 0.4 µS; promised or due under 10 µS. 3, Gun: fine.
}
