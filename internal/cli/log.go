package cli

import (
	"cmp"
	"errors"
	"fmt"
	"path/filepath"
	"strings"
	"time"

	"rinsewright/internal/paper"
	"rinsewright/internal/sitefile"
	"rinsewright/quantity"
	"rinsewright/site"
	"rinsewright/study"
)

// LogCommand puts a visit on the site's log.
type LogCommand struct {
	Site    string   `arg:"" help:"Site file." type:"path"`
	Reading []string `arg:"" optional:"" help:"Readings, each in quotes: \"permeate 9 ppm NaCl, after 20 min, by pen B\"."`

	Date    string   `placeholder:"DAY" help:"Day of the visit, as 2026-06-13; today without it."`
	At      string   `placeholder:"TIME" help:"Time of day, as 14:30."`
	By      string   `placeholder:"NAME" help:"Who was there."`
	Changed []string `placeholder:"WORK" sep:"none" help:"Work done on a part: \"lead resin\", \"carbon\", \"sediment filter\", \"membrane\" and others; \"other: what\"."`
	Words   string   `help:"What was seen and done."`
	Said    string   `help:"In the customer's words."`
	Notice  string   `help:"What the utility announced."`
	Vends   int      `help:"Vend counter."`
	Try     bool     `help:"Ask what looks odd and keep nothing."`
	Undo    bool     `help:"Take the last entry back, or the whole last import."`

	Import string   `placeholder:"FILE" type:"path" help:"Read an old log: CSV or a workbook, a header on its first line."`
	Map    []string `placeholder:"COLUMN=GAUGE" sep:"none" help:"What a column is: \"TDS out=permeate_strength ppm NaCl\", \"Day=date\". Columns named as gauges need none."`
	Days   string   `enum:"ymd,dmy,mdy" default:"ymd" help:"How the old log writes a day: ymd, dmy or mdy."`
	Save   bool     `help:"Keep what was imported; without it the import is only shown."`

	Seasons  bool   `help:"Print the tasks that the calendar brings this year: frost, lay-up, spring, carbon, the tank."`
	Calendar string `placeholder:"FILE" type:"path" help:"Write those tasks as a calendar (iCalendar)."`

	JSON bool `name:"json" help:"Print one JSON object instead."`
	Units
}

// Help is the long help with examples.
func (LogCommand) Help() string {
	return `Examples:
  rinsewright log site.toml "permeate 9 ppm NaCl, after 20 min, by pen B" \
    "permeate 1.1 gpm, by bucket" "feed 12 C" --changed "lead resin"
  rinsewright log site.toml
  rinsewright log site.toml --undo
  rinsewright log site.toml --import old.csv --map "TDS out=permeate_strength ppm NaCl"

What looks odd is asked, not refused: the entry is kept as it was typed, and
--undo takes it back. Without readings or words it shows the log.

Exit code 0 when it is kept or shown, 2 when a reading or the file cannot be
used.`
}

const logSchema = "rinsewright.log/1"

type logJSON struct {
	Schema    string             `json:"schema"`
	Site      study.Heading      `json:"site"`
	Kept      int                `json:"visits_kept"`
	Taken     int                `json:"visits_taken_back"`
	Visits    []visitJSON        `json:"visits"`
	Questions []questionJSON     `json:"questions"`
	Tasks     []taskJSON         `json:"tasks,omitempty"`
	Errors    []sitefile.Problem `json:"errors"`
}

type visitJSON struct {
	Date     string   `json:"date"`
	By       string   `json:"by,omitempty"`
	Words    string   `json:"words,omitempty"`
	Said     string   `json:"said,omitempty"`
	Notice   string   `json:"notice,omitempty"`
	From     string   `json:"from,omitempty"`
	Changed  []string `json:"changed"`
	Readings []string `json:"readings"`
}

type questionJSON struct {
	Kind    string   `json:"kind"`
	Gauges  []string `json:"gauges"`
	Asks    string   `json:"asks"`
	Instead []string `json:"instead"`
}

type taskJSON struct {
	Name     string   `json:"name"`
	Title    string   `json:"title"`
	From     string   `json:"from"`
	By       string   `json:"by"`
	Why      string   `json:"why"`
	Do       []string `json:"do"`
	Cautions []string `json:"cautions"`
	Parts    []string `json:"parts"`
}

// seasons prints the year's tasks, or writes them as a calendar.
func (c LogCommand) seasons(s *site.Site, out *logJSON, t *terminal) error {
	day, err := time.Parse(time.DateOnly, cmp.Or(c.Date, time.Now().Format(time.DateOnly)))
	if err != nil {
		return bad(fmt.Errorf("--date: read %q, wanted a day", c.Date), "--date 2026-06-13")
	}
	tasks := study.Seasons(s, day)
	for _, task := range tasks {
		out.Tasks = append(out.Tasks, taskJSON{task.Name, task.Title, task.From, task.By, task.Why, task.Do, task.Cautions, append([]string{}, task.Parts...)})
	}
	if c.Calendar != "" {
		if err := writeWhole(c.Calendar, paper.Appointments(s.Name, study.Appointments(s.Name, tasks), time.Now())); err != nil {
			return bad(err, "")
		}
	}
	if c.JSON {
		return nil
	}
	t.heading(out.Site)
	for _, task := range tasks {
		t.head(fmt.Sprintf("%s to %s · %s", task.From, task.By, task.Title))
		t.wrap("", upperFirst(task.Why)+".")
		for _, caution := range task.Cautions {
			t.wrap("  TAKE CARE  ", caution)
		}
		for _, do := range task.Do {
			t.wrap("  [ ] ", do)
		}
		if len(task.Parts) > 0 {
			t.wrap("  bring ", strings.Join(task.Parts, ", "))
		}
	}
	if len(tasks) == 0 {
		t.line("")
		t.wrap("", "The calendar brings nothing to this site.")
	}
	if c.Calendar != "" {
		t.line("")
		t.wrap("", "The calendar is "+filepath.Base(c.Calendar)+".")
	}
	return nil
}

// Run logs, shows, imports or takes back.
func (c LogCommand) Run(desk Desk) error {
	data, s, err := readSite(c.Site)
	if err != nil {
		return refuseAs(logSchema, c.JSON, desk, err)
	}
	out := logJSON{Schema: logSchema, Site: study.Heading{Name: s.Name, About: s.About, Origin: s.Origin, Use: string(s.Use)}, Visits: []visitJSON{}, Questions: []questionJSON{}, Errors: []sitefile.Problem{}}
	loc := sitefile.Locale(data)
	t := newTerminal(desk.Out, study.Options{Units: c.System(), Locale: loc})
	v, given, err := c.visit(loc)
	switch {
	case err != nil:
	case c.Undo:
		err = c.undo(s, data, &out, t)
	case c.Seasons || c.Calendar != "":
		err = c.seasons(s, &out, t)
	case c.Import != "":
		err = c.imports(s, data, &out, t)
	case given:
		err = c.keep(s, data, v, &out, t)
	default:
		c.show(s, &out, t)
	}
	if err != nil {
		return refuseAs(logSchema, c.JSON, desk, err)
	}
	if c.JSON {
		return printJSON(desk.Out, out)
	}
	return t.err
}

// visit is what was typed, and whether anything was.
func (c LogCommand) visit(loc quantity.Locale) (v site.Visit, given bool, err error) {
	v = site.Visit{Date: c.Date, At: c.At, By: c.By, Words: c.Words, Said: c.Said, Notice: c.Notice, Vends: c.Vends}
	for _, said := range c.Changed {
		meant, near := site.ChangeMeant(said)
		if near != "" {
			return v, false, bad(fmt.Errorf("--changed: read %q, wanted work that the log knows", said), fmt.Sprintf("%q, or \"other: %s\"", near, said))
		}
		v.Changed = append(v.Changed, meant)
	}
	if v.Read, err = readingLines(c.Reading, loc); err != nil {
		return v, false, err
	}
	given = len(v.Read)+len(v.Changed)+v.Vends > 0 || v.Words+v.Said+v.Notice != ""
	if v.Date == "" {
		v.Date = time.Now().Format(time.DateOnly)
	}
	if _, err := time.Parse(time.DateOnly, v.Date); err != nil {
		return v, false, bad(fmt.Errorf("--date: read %q, wanted a day", c.Date), "--date 2026-06-13")
	}
	return v, given, nil
}

func (c LogCommand) keep(s *site.Site, data []byte, v site.Visit, out *logJSON, t *terminal) error {
	questions := study.Questions(s, v, study.Options{Units: t.units, Locale: t.locale})
	out.add(v, questions)
	if !c.JSON {
		t.asks(questions)
	}
	if c.Try {
		if !c.JSON {
			t.wrap("", "Nothing was kept: --try.")
		}
		return nil
	}
	s.Log = append(s.Log, v)
	if err := c.write(data, s); err != nil {
		return err
	}
	out.Kept = 1
	if !c.JSON {
		t.wrap("", fmt.Sprintf("Kept as the visit of %s in %s. To take it back: rinsewright log %s --undo", v.Date, filepath.Base(c.Site), filepath.Base(c.Site)))
	}
	return nil
}

func (c LogCommand) write(data []byte, s *site.Site) error {
	updated := sitefile.Update(data, s, sitefile.Locale(data))
	if _, err := sitefile.Read(filepath.Base(c.Site), updated); err != nil {
		return bad(err, "")
	}
	if err := writeWhole(c.Site, updated); err != nil {
		return bad(err, "")
	}
	return nil
}

// undo takes back the last entry, or every entry of the last import.
func (c LogCommand) undo(s *site.Site, data []byte, out *logJSON, t *terminal) error {
	if len(s.Log) == 0 {
		return bad(errors.New("nothing to take back: the log is empty"), "")
	}
	last := s.Log[len(s.Log)-1]
	gone := func(n int) bool {
		return n == len(s.Log)-1 || last.From != "" && n < len(s.Log) && s.Log[n].From == last.From
	}
	updated, err := sitefile.Cut(data, "visit", gone)
	if err != nil {
		return bad(err, "")
	}
	if err := writeWhole(c.Site, updated); err != nil {
		return bad(err, "")
	}
	for n, v := range s.Log {
		if gone(n) {
			out.Taken++
			out.add(v, nil)
		}
	}
	if !c.JSON {
		what := "the visit of " + last.Date
		if last.From != "" {
			what = fmt.Sprintf("%d visits imported from %s", out.Taken, last.From)
		}
		t.wrap("", "Taken back: "+what+".")
	}
	return nil
}

// show prints the log, the latest last.
func (c LogCommand) show(s *site.Site, out *logJSON, t *terminal) {
	for _, v := range s.Log {
		out.add(v, nil)
	}
	if c.JSON {
		return
	}
	t.heading(out.Site)
	if len(s.Log) == 0 {
		t.line("")
		t.wrap("", "Nothing is logged yet. One number is enough: rinsewright log "+filepath.Base(c.Site)+` "permeate 9 ppm NaCl, after 20 min"`)
	}
	for _, v := range s.Log {
		t.visit(v)
	}
}

func (out *logJSON) add(v site.Visit, questions []site.Question) {
	one := visitJSON{v.Date, v.By, v.Words, v.Said, v.Notice, v.From, []string{}, []string{}}
	for _, ch := range v.Changed {
		one.Changed = append(one.Changed, string(ch))
	}
	for _, r := range v.Read {
		one.Readings = append(one.Readings, r.String())
	}
	out.Visits = append(out.Visits, one)
	for _, q := range questions {
		out.Questions = append(out.Questions, questionJSON{string(q.Kind), q.Keys, q.Asks, append([]string{}, q.Instead...)})
	}
}

func (t *terminal) asks(questions []site.Question) {
	for _, q := range questions {
		t.wrap("? ", q.Asks)
		for _, line := range q.Instead {
			t.wrap("    instead  ", line)
		}
	}
}

func (t *terminal) visit(v site.Visit) {
	title := strings.TrimSpace(v.Date + " " + v.At)
	if v.By != "" {
		title += " · " + v.By
	}
	t.head(title)
	if v.Said != "" {
		t.wrap("said     ", v.Said)
	}
	if v.Notice != "" {
		t.wrap("notice   ", v.Notice)
	}
	if v.Words != "" {
		t.wrap("", v.Words)
	}
	for _, ch := range v.Changed {
		t.wrap("changed  ", string(ch))
	}
	if v.Meter.Known {
		t.wrap("meter    ", v.Meter.Typed)
	}
	if v.Hours.Known {
		t.wrap("hours    ", v.Hours.Typed)
	}
	if v.Vends > 0 {
		t.wrap("vends    ", fmt.Sprint(v.Vends))
	}
	for _, r := range v.Read {
		t.wrap("  ", r.String())
	}
	if v.From != "" {
		t.wrap("from     ", v.From)
	}
}
