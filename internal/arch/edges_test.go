package arch

import (
	"fmt"
	"testing"
)

// edge is one import between two packages of this module, test files aside.
type edge struct{ from, to string }

// edges lists every import that exists, with the reason it does. A new one
// fails the test until it stands here: write why the upper room is needed, and
// if there is no good reason, pass a value or a function in instead. An edge
// that the code no longer has fails too.
var edges = map[edge]string{
	{"water", "quantity"}:      said,
	{"demand", "quantity"}:     said,
	{"carbon", "quantity"}:     said,
	{"resin", "quantity"}:      said,
	{"membrane", "quantity"}:   said,
	{"hydraulics", "quantity"}: said,
	{"plant", "quantity"}:      said,
	{"cost", "quantity"}:       said,
	{"site", "quantity"}:       said,
	{"rinse", "quantity"}:      said,
	{"study", "quantity"}:      said,
	{"catalog", "quantity"}:    said,
	{"sizing", "quantity"}:     said,

	{"resin", "water"}:             "resin is loaded by the species of a water, CO2 and silica among them",
	{"membrane", "water"}:          "ions cross one by one, and the permeate is a water again",
	{"hydraulics", "internal/num"}: "where a pump curve meets a line is a root",

	{"membrane", "internal/num"}: "permeabilities are the root of the data sheet's own test",

	{"plant", "water"}:        "what flows from station to station is a stream",
	{"plant", "membrane"}:     "one station of the path",
	{"plant", "hydraulics"}:   "pressures and flows that the stations must agree on",
	{"plant", "internal/num"}: "the operating point is a root",

	{"faults", "quantity"}:    said,
	{"faults", "plant"}:       "causes are wear of a plant, and its gauges are the evidence",
	{"faults", "membrane"}:    "an element of the nameplate's sheet, and how it wears",
	{"faults", "resin"}:       "what a vessel polishes until it is spent",
	{"faults", "carbon"}:      "what chlorine passes to the membrane",
	{"faults", "hydraulics"}:  "supply, filters, pump and line of the nominal rig",
	{"faults", "water"}:       "a raw water from the few readings there are",
	{"service", "quantity"}:   said,
	{"service", "plant"}:      "the state is the plant's own wear, and what readings should say is its operating point",
	{"service", "membrane"}:   "chlorine that passes the carbon ages elements by its law",
	{"service", "hydraulics"}: "the supply at another pressure than it was told",
	{"service", "water"}:      "the feed as it strengthens and weakens, and scales of pens",
	{"service", "resin"}:      "what permeate brings to a bottle, by charge",
	{"service", "carbon"}:     "what the carbon holds and what passes it",

	{"site", "water"}:         "a site's survey holds samples",
	{"site", "cost"}:          "a site keeps the prices its owner gave",
	{"site", "plant"}:         "a visit holds what the plant's gauges read",
	{"site", "water"}:         "a site's survey holds samples",
	{"site", "cost"}:          "a site keeps the prices its owner gave",
	{"site", "commissioning"}: "a record of the first day holds instruments and promises as they are judged",
	{"site", "plant"}:         "a visit holds what the plant's gauges read",

	{"commissioning", "quantity"}: said,
	{"commissioning", "plant"}:    "what is judged is what the plant's gauges read",

	{"sizing", "cost"}: "candidates are compared in money",

	{"study", "site"}:            "the record that every question is asked of",
	{"study", "water"}:           "completes what the survey knows of the water",
	{"study", "plant"}:           "builds the site's plant and solves it",
	{"study", "membrane"}:        "the site's data sheet becomes an element",
	{"study", "hydraulics"}:      "the site's supply, filters, pumps and lines become resistances and curves",
	{"study", "carbon"}:          "the site's carbon and its chlorine clock",
	{"study", "resin"}:           "the site's vessels and how long they last",
	{"study", "rinse"}:           "what the site's water leaves on a panel",
	{"study", "demand"}:          "the site's year of vends against its tank",
	{"study", "cost"}:            "what the path costs, from the site's prices",
	{"study", "faults"}:          "what may be wrong, asked of a site or a folder of cases",
	{"internal/cli", "faults"}:   "prints what study found: causes, tests, readings beside each other",
	{"internal/paper", "faults"}: "the page of a finding",
	{"study", "catalog"}:         "sizes from a list of parts",
	{"study", "sizing"}:          "searches the systems that its chain judges",
	{"study", "service"}:         "watches a site's log and foresees what will be due",
	{"study", "working"}:         "every number it gives can be opened",
	{"study", "commissioning"}:   "what the site's first day proves of its promises",

	{"internal/sitefile", "site"}:     "the record that the file holds",
	{"internal/sitefile", "quantity"}: "a value is read and written with the unit a person typed",
	{"internal/sitefile", "plant"}:    "the reference lists the gauges that a reading may name",
	{"internal/sitefile", "water"}:    "a sample's readings, scales and methods are words of the file",
	{"internal/sitefile", "cost"}:     "prices are words of the file",

	{"internal/paper", "study"}:               "a paper shows what study found and computes nothing",
	{"internal/paper", "internal/scene"}:      "the path is drawn on the page as everywhere",
	{"internal/paper", "internal/say"}:        "papers are written in the language of whoever gets them",
	{"internal/paper", "internal/say/marked"}: "pages of a check are templates in that language",
	{"internal/paper", "quantity"}:            "prints in the reader's units",
	{"internal/paper", "working"}:             "the appendix opens every number",

	{"internal/paper", "internal/paper/layout"}: "documents are set in blocks that flow down pages",
	{"internal/paper", "site"}:                  "a document lists what the record holds: sizes, readings, visits",
	{"internal/paper", "water"}:                 "readings on record stand on paper as they were typed",
	{"internal/paper", "catalog"}:               "the installation day asks for the hours that the catalogue gives a part",
	{"internal/paper", "commissioning"}:         "the start-up paper is the sheet of the page and the command line",
	{"internal/paper/layout", "internal/scene"}: "a page of paper is a drawing, as everywhere",
	{"internal/cli", "internal/scene"}:          "writes documents as PDF",
	{"internal/cli", "internal/paper/layout"}:   "a person chooses the size of paper",

	{"internal/store", "internal/sitefile"}:        "a site is kept as the text of its file, which must be one",
	{"internal/store/storetest", "internal/store"}: "the suite that both databases pass",
	{"internal/store/archive", "internal/store"}:   "all of a store in one file, and back",
	{"internal/cli", "internal/store/archive"}:     "backup, verify, restore and drill",
	{"internal/cli", "internal/store"}:             "opens the data that is backed up, beside a server that runs",
	{"internal/web", "internal/store/archive"}:     "backs up every night and tries it out",
	{"cmd/rinsewright", "internal/store/archive"}:  "reads the public keys for which backups are encrypted",

	{"internal/web", "service"}:              "a day of a forecast is one of its own",
	{"internal/door", "faults"}:              "a suspect of the finding, as a phone gets it",
	{"internal/door", "study"}:               "a question is one of its own",
	{"internal/door", "internal/pathscene"}:  "the path is drawn as on every page",
	{"internal/pathscene", "study"}:          "the path that it found",
	{"internal/pathscene", "internal/scene"}: "the drawing that it becomes",
	{"internal/pathscene", "quantity"}:       said,
	{"internal/paper", "internal/pathscene"}: "the path is drawn as on every page",
	{"internal/door", "internal/say"}:        "answers in the language of whoever asks",
	{"internal/door", "internal/scene"}:      "the path in the shapes that a page has room for",
	{"internal/door", "internal/sitefile"}:   "a question brings the text of a site file and what was changed in it",
	{"internal/door", "site"}:                "the record that the changes are put into",
	{"internal/door", "quantity"}:            "prints in the person's units",
	{"cmd/rinsewasm", "internal/door"}:       "the door, compiled for the browser",

	{"internal/cli", "study"}:             "each verb shows one of its results",
	{"internal/cli", "internal/sitefile"}: "reads the file that a person names, and writes the survey's",
	{"internal/cli", "internal/paper"}:    "writes the page of a check",
	{"internal/cli", "internal/say"}:      "a person chooses the language of an answer",
	{"internal/cli", "site"}:              "the survey fills in the record, answer by answer",
	{"internal/cli", "internal/store"}:    "tokens, and moving what is kept, by command",
	{"internal/cli", "internal/grid"}:     "an old log is a table that somebody else made",
	{"internal/cli", "commissioning"}:     "words for verdicts and the steps of the sheet",
	{"internal/cli", "quantity"}:          "prints and reads in the person's units",
	{"internal/cli", "working"}:           "opens a number on the terminal",
	{"internal/cli", "water"}:             "doors of calc: one station, no site",
	{"internal/cli", "membrane"}:          "doors of calc: one station, no site",
	{"internal/cli", "hydraulics"}:        "doors of calc: one station, no site",
	{"internal/cli", "carbon"}:            "door of calc: one station, no site",
	{"internal/cli", "resin"}:             "doors of calc: one station, no site",
	{"internal/cli", "rinse"}:             "door of calc: the film on a panel, no site",
	{"internal/cli", "demand"}:            "doors of calc: a year of vends and a tank, no site",
	{"internal/cli", "cost"}:              "door of calc: money from its own numbers, no site",
	{"internal/cli", "catalog"}:           "prints the catalogue and reads a person's own",
	{"internal/cli", "sizing"}:            "tells a search that took too long from a survey at fault",
	{"internal/cli", "service"}:           "door of calc: entries of a folder of logs",
	{"internal/cli", "plant"}:             "door of calc: a rig told by its parts, no site",

	{"cmd/rinsewright", "internal/cli"}:       "the program is this face, wired to the machine",
	{"internal/web", "internal/store"}:        "asks for what is kept",
	{"internal/web", "study"}:                 "asks what it means, and computes nothing itself",
	{"internal/web", "internal/paper"}:        "a site's page is the page of its check",
	{"internal/web", "internal/say"}:          "pages speak the language of whoever reads them",
	{"internal/web", "internal/say/marked"}:   "pages are templates in that language",
	{"internal/say/marked", "internal/say"}:   "looks every sentence of a template up",
	{"internal/web", "commissioning"}:         "words for verdicts and the steps of the sheet",
	{"internal/web", "faults"}:                "tells a reading that no gauge can show",
	{"internal/web", "internal/paper/layout"}: "a person chooses the size of paper",
	{"internal/web", "internal/scene"}:        "the path in miniature stands in the list",
	{"internal/web", "internal/grid"}:         "a table or a price list that is brought in may be a workbook",
	{"internal/web", "internal/sitefile"}:     "the survey is a form over the file's fields",
	{"internal/web", "site"}:                  "the record that a form changes",
	{"internal/web", "water"}:                 "what was logged joins the record's samples",
	{"internal/web", "plant"}:                 "the gauges that a reading page offers",
	{"internal/web", "catalog"}:               "the list of parts is shown, changed and read back",
	{"internal/web", "quantity"}:              "reads what is typed and prints in the person's units",

	{"internal/web", "plant"}:                           "gauges of a visit are named by it",
	{"internal/web", "catalog"}:                         "sizes from a list of parts",
	{"internal/web", "internal/door"}:                   "answers a browser that has no engine as the engine would",
	{"internal/web", "internal/web/engine"}:             "hands the engine to the browser",
	{"internal/web/engine/make", "internal/web/engine"}: "compiles it into the next build",
	{"cmd/rinsewright", "internal/web/engine"}:          "finds the engine that the pages hand out",

	{"cmd/rinsewright", "internal/web"}:   "the pages are the other face, wired to the machine",
	{"cmd/rinsewright", "testdata/sites"}: "the demo needs no file",

	{"internal/check/validation", "internal/check"}: "lists the tables and comparisons that the helpers read and record",
}

// said is the reason of an edge to quantity that needs no other.
const said = "its numbers carry their dimension"

func edgesOf(rooms []room) map[edge]bool {
	found := map[edge]bool{}
	for _, r := range rooms {
		for _, s := range r.files {
			for _, p := range s.imports() {
				if to, ok := ours(p); ok && !s.test {
					found[edge{r.dir, to}] = true
				}
			}
		}
	}
	return found
}

func checkEdges(found map[edge]bool, listed map[edge]string) (findings []string) {
	for e := range found {
		if _, ok := listed[e]; !ok {
			findings = append(findings, fmt.Sprintf("new edge: add to edges in internal/arch/edges_test.go, with its reason:\n\t{%q, %q}: \"\",", e.from, e.to))
		}
	}
	for e, why := range listed {
		if !found[e] {
			findings = append(findings, fmt.Sprintf("edge no longer used: take {%q, %q} out of edges in internal/arch/edges_test.go", e.from, e.to))
		}
		if len(why) < 10 {
			findings = append(findings, fmt.Sprintf("edge {%q, %q} has no reason in internal/arch/edges_test.go", e.from, e.to))
		}
	}
	return findings
}

func TestEveryEdgeHasAReason(t *testing.T) {
	report(t, checkEdges(edgesOf(tree(t)), edges))
}

func TestEdgesControl(t *testing.T) {
	found := edgesOf(sample(t, map[string]string{
		"water/a.go":      "package water\nimport _ \"rinsewright/quantity\"",
		"water/a_test.go": "package water\nimport _ \"rinsewright/working\"",
		"rinse/a.go":      "package rinse\nimport _ \"rinsewright/water\"",
	}))
	mustFind(t, checkEdges(found, map[edge]string{
		{"rinse", "water"}:  "",
		{"plant", "cement"}: "a wall that was never built",
	}),
		"new edge: add to edges in internal/arch/edges_test.go, with its reason:\n\t{\"water\", \"quantity\"}",
		"edge {\"rinse\", \"water\"} has no reason",
		"edge no longer used: take {\"plant\", \"cement\"} out",
	)
}
