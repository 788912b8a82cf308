package scene

import (
	"fmt"
	"strings"
)

// tints is the number of water roles, palest (purest) first.
const tints = 9

// serieses is the number of chart roles.
const serieses = 7

// Water gives the role of water by strength, 1 (purest) to 9 (strongest).
// Numbers outside are held to the ends.
func Water(n int) Role { return Role(fmt.Sprintf("water-%d", min(max(n, 1), tints))) }

// Series gives the role of the nth part of a chart, counted from 0 and
// starting again after seven: the colours of [OkabeIto2008] without black.
func Series(n int) Role {
	n %= serieses
	if n < 0 {
		n += serieses
	}
	return Role(fmt.Sprintf("series-%d", n+1))
}

// sunlight is the colour of a role where the light one is too pale to be read in
// the sun: black on white, and accents that keep 7:1, the level AAA of [WCAG22].
var sunlight = map[Role]string{
	Ink: "#000000", Muted: "#1f1f1f", Hairline: "#000000", Accent: "#00474b", Rust: "#7a1f00", Paper: "#ffffff", Fill: "#ffffff", ToDrain: "#000000",
	"water-1": "#f2fbfb", "water-2": "#d6ecee", "water-3": "#b3d6dc", "water-4": "#8fbcc6", "water-5": "#6ba0ae", "water-6": "#478394", "water-7": "#2a6579", "water-8": "#14485d", "water-9": "#002b40",
}

// hue is the colour of a role on light and on dark paper.
type hue struct {
	role        Role
	light, dark string
}

// hues lists every role once. Ink, muted, accent and rust keep at least
// 4.5:1 against paper and fill, the level AA of [WCAG22]; a test holds them to it.
var hues = []hue{
	{Ink, "#1d2a33", "#e6ecef"},
	{Muted, "#56656f", "#a3b2bb"},
	{Hairline, "#d9dfe2", "#2f3c45"},
	{Accent, "#0b6e74", "#5cc3c7"},
	{Rust, "#a8431f", "#f08e66"},
	{Paper, "#fbfaf7", "#12191e"},
	{Fill, "#dfe7e8", "#2c3b43"},
	{ToDrain, "#56656f", "#a3b2bb"},
	{"water-1", "#e9f6f6", "#e4f6f5"},
	{"water-2", "#d6ecee", "#c9e6e8"},
	{"water-3", "#bfdde2", "#afd4d9"},
	{"water-4", "#a4cad2", "#95c0c9"},
	{"water-5", "#86b3bf", "#7cabb7"},
	{"water-6", "#6898a8", "#6695a4"},
	{"water-7", "#4b7c8f", "#528091"},
	{"water-8", "#305f74", "#406c7e"},
	{"water-9", "#17425a", "#31596b"},
	{"series-1", "#0072b2", "#0072b2"},
	{"series-2", "#e69f00", "#e69f00"},
	{"series-3", "#009e73", "#009e73"},
	{"series-4", "#d55e00", "#d55e00"},
	{"series-5", "#56b4e9", "#56b4e9"},
	{"series-6", "#cc79a7", "#cc79a7"},
	{"series-7", "#f0e442", "#f0e442"},
}

// Light gives the colour of a role on light paper as "#rrggbb", for paper
// and as the fallback on the page; ok is false for None, Clear and roles
// that are not known.
func Light(r Role) (colour string, ok bool) {
	for _, h := range hues {
		if h.role == r {
			return h.light, true
		}
	}
	return "", false
}

// StyleSheet gives the custom properties behind the roles: light, dark when
// the reader prefers it (unless the page says data-theme="light"), dark when
// the page says data-theme="dark", black on white for the sun when it says
// data-theme="sun", and plain white paper in print. A page
// puts it in its own style sheet.
func StyleSheet() string {
	var b strings.Builder
	light := func(h hue) string { return h.light }
	dark := func(h hue) string { return h.dark }
	properties(&b, ":root", light)
	b.WriteString("@media (prefers-color-scheme: dark) {\n")
	properties(&b, `:root:not([data-theme="light"],[data-theme="sun"])`, dark)
	b.WriteString("}\n")
	properties(&b, `:root[data-theme="dark"]`, dark)
	properties(&b, `:root[data-theme="sun"]`, func(h hue) string {
		if c, ok := sunlight[h.role]; ok {
			return c
		}
		return h.light
	})
	b.WriteString("@media print {\n")
	properties(&b, ":root:root", func(h hue) string {
		if h.role == Paper {
			return "#ffffff"
		}
		return h.light
	})
	b.WriteString("}\n")
	b.WriteString(".scene text { font-variant-numeric: tabular-nums lining-nums; }\n")
	b.WriteString(".scene a { text-decoration: none; }\n")
	b.WriteString(".scene a:focus-visible { outline: 2px solid var(--accent); outline-offset: 2px; }\n")
	return b.String()
}

func properties(b *strings.Builder, selector string, colour func(hue) string) {
	b.WriteString(selector + " {\n")
	for _, h := range hues {
		fmt.Fprintf(b, "  --%s: %s;\n", h.role, colour(h))
	}
	b.WriteString("}\n")
}
