package arch

import (
	"fmt"
	"strings"
	"testing"
)

// guest is a module from outside: the rooms whose files may import it (test
// files anywhere may, when tests is set) and why it was taken.
type guest struct {
	module string
	rooms  []string
	tests  bool
	why    string
}

// guests mirrors docs/adr/0006-dependencies.md; a new one needs a record there.
var guests = []guest{
	{module: "gonum.org/v1/gonum", rooms: engineRooms(), tests: true, why: "statistics, linear algebra and optimisation that we should not write again"},
	{module: "github.com/alecthomas/kong", rooms: []string{"internal/cli", "cmd"}, why: "flags, help and did-you-mean"},
	{module: "github.com/pelletier/go-toml/v2", rooms: []string{"internal/sitefile"}, why: "site files, read strictly, errors with line and column"},
	{module: "modernc.org/sqlite", rooms: []string{"internal/store"}, why: "the embedded database, without cgo"},
	{module: "golang.org/x/sys", rooms: []string{"internal/store"}, why: "asks Windows how much of a disk is free"},
	{module: "modernc.org/libc", rooms: []string{"internal/store/storetest"}, why: "a disk for tests stands between SQLite and its files, and SQLite's functions are called as its own are"},
	{module: "github.com/jackc/pgx/v5", rooms: []string{"internal/store"}, why: "PostgreSQL through database/sql"},
	{module: "filippo.io/age", rooms: []string{"internal/store/archive"}, why: "encrypts backups"},
	{module: "github.com/pressly/goose/v3", rooms: []string{"internal/store"}, why: "steps that bring the tables up to date"},
	{module: "golang.org/x/crypto", rooms: []string{"internal/web"}, why: "argon2id, to keep passwords; certificates from an authority"},
	{module: "github.com/go-webauthn/webauthn", rooms: []string{"internal/web"}, why: "the ceremonies of passkeys: what a device signs and how that is checked"},
	{module: "github.com/pquerna/otp", rooms: []string{"internal/web"}, why: "codes of the second step, RFC 6238"},
	{module: "codeberg.org/go-pdf/fpdf", rooms: []string{"internal/scene"}, why: "writes the structure of a PDF and cuts the font to the letters in use"},
	{module: "golang.org/x/image", rooms: []string{"internal/scene", "internal/paper", "internal/web"}, why: "measures the embedded font, scales photographs"},
	{module: "golang.org/x/text", rooms: []string{"internal/web"}, why: "which of our languages a browser would rather have"},
	{module: "github.com/xuri/excelize/v2", rooms: []string{"internal/paper", "internal/grid"}, tests: true, why: "parts lists as workbooks, and old logs read from them"},
	{module: "github.com/prometheus/client_golang", rooms: []string{"internal/web"}, why: "what whoever watches the program asks for"},
	{module: "github.com/skip2/go-qrcode", rooms: []string{"internal/paper", "internal/web"}, why: "the code on the label, and for a phone's camera"},
	{module: "github.com/arran4/golang-ical", rooms: []string{"internal/paper"}, why: "folds and escapes a calendar's lines"},
	{module: "github.com/makiuchi-d/gozxing", tests: true, why: "reads the code off the printed label, as a telephone does"},
	{module: "pgregory.net/rapid", tests: true, why: "properties: conservation, monotony, limits"},
	{module: "github.com/rogpeppe/go-internal", tests: true, why: "command scripts that a technician can read"},
	{module: "golang.org/x/net", tests: true, why: "reads a page as a browser does, to find what is more than text"},
	{module: "github.com/chromedp/chromedp", tests: true, why: "pages are tested in a real browser"},
	{module: "github.com/invopop/jsonschema", tests: true, why: "the schemas of --json are made from the types that are printed"},
	{module: "github.com/santhosh-tekuri/jsonschema/v6", tests: true, why: "answers to programs are held against their schemas, the description against OpenAPI's"},
	{module: "github.com/chromedp/cdproto", tests: true, why: "the browser protocol's types, for chromedp"},
}

func engineRooms() (names []string) {
	for _, r := range rows[:lastEngineRow+1] {
		names = append(names, r.rooms...)
	}
	return names
}

func checkGuests(rooms []room) (findings []string) {
	for _, r := range rooms {
		for _, s := range r.files {
			for _, p := range s.imports() {
				if why := badGuest(r.dir, p, s.test); why != "" {
					findings = append(findings, fmt.Sprintf("%s imports %s: %s", s.path, p, why))
				}
			}
		}
	}
	return findings
}

func badGuest(from, path string, test bool) string {
	host, _, _ := strings.Cut(path, "/")
	if _, own := ours(path); own || !strings.Contains(host, ".") {
		return ""
	}
	for _, g := range guests {
		if path != g.module && !strings.HasPrefix(path, g.module+"/") {
			continue
		}
		for _, name := range g.rooms {
			if from == name || strings.HasPrefix(from, name+"/") {
				return ""
			}
		}
		if test && g.tests {
			return ""
		}
		return fmt.Sprintf("%s is for %s only (internal/arch/thirdparty_test.go)", g.module, g.where())
	}
	return "no such guest in internal/arch/thirdparty_test.go and docs/adr/0006-dependencies.md"
}

func (g guest) where() string {
	places := g.rooms
	if g.tests {
		places = append([]string{"tests"}, places...)
	}
	return strings.Join(places, ", ")
}

func TestGuestsStayInTheirRooms(t *testing.T) {
	report(t, checkGuests(tree(t)))
}

func TestGuestsControl(t *testing.T) {
	mustFind(t, checkGuests(sample(t, map[string]string{
		"water/a.go":         "package water\nimport _ \"github.com/alecthomas/kong\"",
		"water/b.go":         "package water\nimport _ \"pgregory.net/rapid\"",
		"water/b_test.go":    "package water\nimport _ \"pgregory.net/rapid\"",
		"water/c.go":         "package water\nimport _ \"gonum.org/v1/gonum/stat\"",
		"internal/cli/a.go":  "package cli\nimport _ \"gonum.org/v1/gonum/stat\"",
		"cmd/x/main.go":      "package main\nimport _ \"github.com/alecthomas/kong\"",
		"internal/web/a.go":  "package web\nimport _ \"example.org/charts\"",
		"internal/web/ab.go": "package web\nimport _ \"rinsewright/study\"",
	})),
		"water/a.go imports github.com/alecthomas/kong: github.com/alecthomas/kong is for internal/cli, cmd only",
		"water/b.go imports pgregory.net/rapid: pgregory.net/rapid is for tests only",
		"internal/cli/a.go imports gonum.org/v1/gonum/stat: gonum.org/v1/gonum is for tests, quantity",
		"internal/web/a.go imports example.org/charts: no such guest",
	)
}
