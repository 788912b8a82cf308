package web

import (
	"fmt"
	"net/http"
	"slices"
	"strings"

	"rinsewright/internal/grid"
	"rinsewright/internal/store"
	"rinsewright/plant"
)

// importView is a table on its way into a site: what each column is, what comes
// of it, and what cannot be read.
type importView struct {
	Site    store.Site
	Kind    string // "log" or "analysis"
	Text    string // the table as CSV, for the form to send again
	Name    string // of the file
	Days    string // how it writes a day
	Decimal string // how it writes numbers
	Columns []importColumn
	Rows    [][]string // the first ones
	Gauges  []choiceOf
	Found   whatTable
	Ions    []importedSample
	Looked  bool
	Names   string // what the names of a table with a reading a row mean, one a line
	Long    bool
	Kept    int
	Back    int
	Wrong   string
	Hint    string
}

type importColumn struct {
	Head, Means, Unit string
}

type choiceOf struct{ Word, Says string }

type importedSample struct{ Name, Date, Says string }

// shownRows is how many rows of a table a page shows.
const shownRows = 3

// mostTable is as large a table as a form brings back and forth.
const mostTable = 512 << 10

func (v *visit) importPage() error {
	kept, err := v.store.Site(v.r.Context(), v.r.PathValue("id"))
	if err != nil {
		return err
	}
	return v.showImport(http.StatusOK, importView{Site: kept, Kind: "log", Days: "ymd", Decimal: "point"})
}

func (v *visit) showImport(status int, page importView) error {
	page.Gauges = slices.Clone(logParts)
	for _, g := range plant.Gauges() {
		page.Gauges = append(page.Gauges, choiceOf{string(g), g.Title()})
	}
	return v.show(status, "import.html", "Bring a table in", "sites", page)
}

// logParts are what a column of an old log may be beside a gauge's.
// Where each row is one reading, its columns are named by what they say of it.
var logParts = []choiceOf{
	{"date", "the day"},
	{"at", "the time of day"},
	{"by", "who was there"},
	{"minutes running", "minutes since the start"},
	{"changed", "parts changed"},
	{"words", "words"},
	{"gauge", "a reading a row: what was read"},
	{"value", "a reading a row: what it showed"},
	{"unit", "a reading a row: its unit"},
	{"by what", "a reading a row: what it was read with"},
}

// isLong tells whether each row is one reading.
func (i *importView) isLong() bool {
	return slices.ContainsFunc(i.Columns, func(c importColumn) bool { return c.Means == "gauge" })
}

// importTable looks at a table that was chosen, again when its columns are told,
// and keeps it when that is pressed.
func (v *visit) importTable() error {
	if err := v.form(); err != nil {
		return err
	}
	kept, err := v.store.Site(v.r.Context(), v.r.PathValue("id"))
	if err != nil {
		return err
	}
	page := importView{Site: kept, Kind: v.r.PostFormValue("kind"), Days: v.r.PostFormValue("days"), Decimal: v.r.PostFormValue("decimal")}
	if v.r.PostFormValue("do") == "undo" {
		return v.undoImport(page)
	}
	if page.Text, page.Name, err = v.tableText(); err != nil {
		page.Wrong, page.Hint = explained(err).says, explained(err).hint
		return v.showImport(http.StatusUnprocessableEntity, page)
	}
	rows, err := grid.Rows([]byte(page.Text))
	if err != nil {
		page.Wrong, page.Hint = capital(err.Error())+".", "A table as CSV or workbook, a header on its first line."
		return v.showImport(http.StatusUnprocessableEntity, page)
	}
	page.Names = strings.TrimSpace(strings.ReplaceAll(v.r.PostFormValue("names"), "\r\n", "\n"))
	page.columns(rows, v)
	page.Long = page.isLong()
	kind, flags := oldLog, page.flags()
	if page.Kind == "analysis" {
		kind = analysis
	}
	if page.Kind != "analysis" && !page.spokenOf() {
		page.Wrong = "Say which column is the day, and what the others are."
		return v.showImport(http.StatusOK, page)
	}
	save := v.r.PostFormValue("do") == "keep"
	answer, err := v.tabled(kind, flags, AskedFile{page.Name, page.Text}, save)
	if err == nil && answer.Exit > 1 {
		err = unansweredAPI(answer.JSON)
	}
	if err != nil {
		return v.importRefused(page, err)
	}
	if page.Found, err = answer.found(); err != nil {
		return err
	}
	page.told()
	page.Looked = true
	if save {
		page.Kept = max(page.Found.Kept, len(page.Found.Samples))
		page.Text, page.Looked = "", false
	}
	return v.showImport(http.StatusOK, page)
}

// importRefused tells on the page why a table was not taken; what is wrong on our
// side is left to the page of problems.
func (v *visit) importRefused(page importView, err error) error {
	p := explained(err)
	if p.status >= 500 {
		return err
	}
	page.Wrong, page.Hint = p.says, pageHint(p.hint)
	return v.showImport(http.StatusUnprocessableEntity, page)
}

// pageHint is a hint of the command line as a page says it.
func pageHint(hint string) string {
	if strings.Contains(hint, "--") {
		return "Look at what each column is said to be."
	}
	return hint
}

// undoImport takes the last import back.
func (v *visit) undoImport(page importView) error {
	answer, err := v.undone()
	if err == nil && answer.Exit > 1 {
		err = unansweredAPI(answer.JSON)
	}
	if err != nil {
		return v.importRefused(page, err)
	}
	found, err := answer.found()
	if err != nil {
		return err
	}
	page.Back = found.Back
	return v.showImport(http.StatusOK, page)
}

// tableText is the table as CSV: of the file that was chosen, a workbook's first
// sheet among them, or as the form brings it back.
func (v *visit) tableText() (text, name string, err error) {
	name = v.r.PostFormValue("name")
	if f, head, err := v.r.FormFile("file"); err == nil {
		name = head.Filename
		if err := f.Close(); err != nil {
			return "", "", err
		}
	}
	if text, err = v.imported(); err != nil {
		return "", "", err
	}
	name = fileName(strings.TrimSuffix(strings.TrimSuffix(name, ".csv"), ".xlsx")) + ".csv"
	table, err := grid.Text([]byte(text))
	if err != nil {
		return "", name, refuse(http.StatusUnprocessableEntity, capital(err.Error())+".", "A table as CSV or workbook, a header on its first line.")
	}
	if len(table) > mostTable {
		return "", name, refuse(http.StatusUnprocessableEntity, "The table is larger than half a megabyte.", "Bring it in in parts, or with rinsewright log --import at the machine.")
	}
	return string(table), name, nil
}

// columns reads what each column is said to be; one that nobody has spoken of is
// what its own name says.
func (i *importView) columns(rows [][]string, v *visit) {
	for n, head := range rows[0] {
		c := importColumn{Head: strings.TrimSpace(head)}
		if means, said := v.r.PostForm[fmt.Sprintf("means.%d", n)]; said {
			c.Means, c.Unit = strings.TrimSpace(means[0]), oneLine(v.r.PostFormValue(fmt.Sprintf("unit.%d", n)))
		} else if i.Kind != "analysis" {
			c.Means = ownMeaning(c.Head)
		}
		i.Columns = append(i.Columns, c)
	}
	i.Rows = rows[1:min(len(rows), 1+shownRows)]
}

// ownMeaning is what a column's own name says.
func ownMeaning(head string) string {
	low := strings.ToLower(head)
	if low == "day" {
		return "date"
	}
	for _, part := range logParts {
		if low == part.Word {
			return low
		}
	}
	for _, g := range plant.Gauges() {
		if strings.EqualFold(string(g), head) {
			return string(g)
		}
	}
	return ""
}

// spokenOf tells whether a column is the day and another anything else.
func (i *importView) spokenOf() bool {
	day := func(c importColumn) bool { return c.Means == "date" }
	other := func(c importColumn) bool { return c.Means != "" && !day(c) }
	return slices.ContainsFunc(i.Columns, day) && slices.ContainsFunc(i.Columns, other)
}

// flags are the columns as the command line is told of them.
func (i *importView) flags() (flags []string) {
	if i.Kind == "analysis" {
		for _, c := range i.Columns {
			if c.Means != "" {
				flags = append(flags, "--column="+c.Head+"="+c.Means)
			}
		}
		if i.Decimal == "comma" {
			flags = append(flags, "--decimal=comma")
		}
		return flags
	}
	for _, c := range i.Columns {
		if c.Means != "" {
			flags = append(flags, "--map="+c.Head+"="+strings.TrimSpace(c.Means+" "+c.Unit))
		}
	}
	for line := range strings.Lines(i.Names) {
		if line = strings.TrimSpace(line); i.isLong() && line != "" {
			flags = append(flags, "--map="+line)
		}
	}
	if i.Days == "dmy" || i.Days == "mdy" {
		flags = append(flags, "--days="+i.Days)
	}
	return flags
}

// told puts what was found in words.
func (i *importView) told() {
	for _, c := range i.Found.Columns {
		for k := range i.Columns {
			if i.Columns[k].Head == c.Header && i.Columns[k].Means == "" {
				i.Columns[k].Means = c.Means
			}
		}
	}
	for _, x := range i.Found.Samples {
		var ions []string
		for _, name := range sortedKeys(x.Ions) {
			ions = append(ions, fmt.Sprintf("%s %.4g mg/L", name, x.Ions[name]))
		}
		i.Ions = append(i.Ions, importedSample{x.Name, x.Date, strings.Join(ions, ", ")})
	}
}
