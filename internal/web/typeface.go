package web

import (
	"embed"
	"fmt"
	"path"
	"strings"
)

//go:embed assets/font
var fontFiles embed.FS

// fontParts are the parts of the pages' typeface with the letters that each
// holds: a browser loads those that a page needs.
var fontParts = []struct{ name, letters string }{
	{"latin", "U+0000-00FF,U+0131,U+0152-0153,U+02BB-02BC,U+02C6,U+02DA,U+02DC,U+0304,U+0308,U+0329,U+2000-206F,U+20AC,U+2122,U+2191,U+2193,U+2212,U+2215,U+FEFF,U+FFFD"},
	{"latin-ext", "U+0100-02BA,U+02BD-02C5,U+02C7-02CC,U+02CE-02D7,U+02DD-02FF,U+0304,U+0308,U+0329,U+1D00-1DBF,U+1E00-1E9F,U+1EF2-1EFF,U+2020,U+20A0-20AB,U+20AD-20C4,U+2113,U+2C60-2C7F,U+A720-A7FF"},
	{"greek", "U+0370-0377,U+037A-037F,U+0384-038A,U+038C,U+038E-03A1,U+03A3-03FF"},
}

// typeface adds the fonts and returns the style that names them. A page does
// not wait for them nor shift when they come: they are used from then on.
func (a *assets) typeface() string {
	var style strings.Builder
	for _, part := range fontParts {
		for _, weight := range []int{400, 600} {
			name := fmt.Sprintf("%s-%d.woff2", part.name, weight)
			body, err := fontFiles.ReadFile(path.Join("assets/font", name))
			if err != nil { // a mistake in this package: the pages read in another font
				continue
			}
			a.add(name, "font/woff2", string(body))
			fmt.Fprintf(&style, "@font-face{font-family:\"Source Sans 3\";font-weight:%d;font-display:optional;src:url(%s) format(\"woff2\");unicode-range:%s}\n", weight, a.link(name), part.letters)
		}
	}
	if licence, err := fontFiles.ReadFile("assets/font/OFL.txt"); err == nil {
		a.add("OFL.txt", "text/plain; charset=utf-8", string(licence))
	}
	return style.String() + "html,button,input,select,textarea{font-family:\"Source Sans 3\",system-ui,sans-serif}\n"
}
