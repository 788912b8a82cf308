package cli

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"rinsewright/internal/sitefile"
	"rinsewright/quantity"
	"rinsewright/site"
	"rinsewright/study"
	"rinsewright/water"
)

// ImportCommand reads a laboratory's table into a site file.
type ImportCommand struct {
	Site    string   `arg:"" help:"Site file to add the samples to." type:"path"`
	File    string   `arg:"" help:"The laboratory's CSV." type:"path"`
	Place   string   `default:"raw" enum:"raw,feed,permeate,concentrate,polished,tank,gun" help:"Where the water was taken: raw, feed, permeate, concentrate, polished, tank or gun."`
	Date    string   `help:"Day of samples that carry none, such as 2026-06-13."`
	Only    []string `placeholder:"NAME" help:"Take only this sample; may be given again."`
	Column  []string `placeholder:"HEADER=MEANING" help:"What a column means: \"Kalzium=calcium mg/L as CaCO3\"; an empty meaning leaves it out. May be given again."`
	Decimal string   `default:"point" enum:"point,comma" help:"Decimal mark of the table: point or comma."`
	DryRun  bool     `help:"Show what would be added, and change nothing."`
	JSON    bool     `name:"json" help:"Print one JSON object instead."`
}

// Help is the long help with examples.
func (ImportCommand) Help() string {
	return `Columns are matched by name, with their unit in the header, in a row of
units below it, or in a column of its own. "as CaCO3", "as N" and the like are
understood, and "<0.05" stays a bound.

Examples:
  rinsewright import site.toml report.csv --dry-run
  rinsewright import site.toml report.csv --only "Well 2"
  rinsewright import site.toml report.csv --decimal comma --column "Ca=calcium mg/L"

Exit code 1 when a sample does not fit itself: it is added all the same, and
what is suspicious is told.`
}

// Run imports the table.
func (c ImportCommand) Run(desk Desk) error {
	data, s, err := c.site()
	if err != nil {
		return c.refuse(desk, err)
	}
	report, err := c.read()
	if err != nil {
		return c.refuse(desk, err)
	}
	samples, err := c.chosen(report, sitefile.Locale(data))
	if err != nil {
		return c.refuse(desk, err)
	}
	for _, r := range samples {
		s.Samples = append(s.Samples, r.Sample)
	}
	updated := sitefile.Update(data, s, sitefile.Locale(data))
	if _, err := sitefile.Read(filepath.Base(c.Site), updated); err != nil {
		return c.refuse(desk, bad(fmt.Errorf("add samples: %w", err), "look at the units of the table"))
	}
	if !c.DryRun {
		if err := writeWhole(c.Site, updated); err != nil {
			return c.refuse(desk, bad(err, ""))
		}
	}
	return c.tell(desk, report, samples)
}

func (c ImportCommand) site() ([]byte, *site.Site, error) {
	data, err := os.ReadFile(c.Site)
	if err != nil {
		return nil, nil, bad(fmt.Errorf("read site file: %w", err), "rinsewright survey "+filepath.Base(c.Site)+" makes one")
	}
	s, err := sitefile.Read(filepath.Base(c.Site), data)
	if err != nil {
		return nil, nil, bad(err, "")
	}
	return data, s, nil
}

const largestTable = 16 << 20 // bytes

func (c ImportCommand) read() (water.Report, error) {
	info, err := os.Stat(c.File)
	if err != nil {
		return water.Report{}, bad(fmt.Errorf("read table: %w", err), "")
	}
	if info.Size() > largestTable {
		return water.Report{}, bad(fmt.Errorf("read table: %s is larger than 16 MB", filepath.Base(c.File)), "split it")
	}
	text, err := os.ReadFile(c.File)
	if err != nil {
		return water.Report{}, bad(fmt.Errorf("read table: %w", err), "")
	}
	o := water.ReportOptions{DecimalComma: c.Decimal == "comma", Columns: map[string]string{}}
	for _, column := range c.Column {
		header, meaning, found := strings.Cut(column, "=")
		if !found {
			return water.Report{}, bad(fmt.Errorf("column %q: wanted HEADER=MEANING", column), `--column "Ca=calcium mg/L"`)
		}
		o.Columns[header] = meaning
	}
	report, err := water.ReadReport(string(text), o)
	if err != nil {
		return report, bad(err, `name the column yourself: --column "HEADER=calcium mg/L"`)
	}
	return report, nil
}

// chosen are the samples that were asked for, with what the table left open.
func (c ImportCommand) chosen(report water.Report, loc quantity.Locale) (all []water.ReportedSample, err error) {
	for _, r := range report.Samples {
		if len(c.Only) > 0 && !slices.Contains(c.Only, r.Name) {
			continue
		}
		r.Sample.Place = c.Place
		r.Sample.Instrument = "laboratory, " + oneLine(r.Name)
		if r.Sample.Date == "" {
			r.Sample.Date = c.Date
		}
		typed(&r.Sample, loc)
		if r.Sample.PH.Known && !(r.Sample.PH.Value >= 3 && r.Sample.PH.Value <= 11) {
			return nil, bad(fmt.Errorf("%s: pH is %g, wanted 3 to 11", r.Name, float64(r.Sample.PH.Value)), "")
		}
		all = append(all, r)
	}
	if len(all) == 0 {
		names := make([]string, 0, len(report.Samples))
		for _, r := range report.Samples {
			names = append(names, r.Name)
		}
		return nil, bad(errors.New("no sample of that name"), "the table has "+strings.Join(names, ", "))
	}
	return all, nil
}

// typed writes each value as a person would, so that the site file stays
// readable: six digits are more than any laboratory has.
func typed(s *water.Sample, loc quantity.Locale) {
	text := func(x float64, unit string) string {
		number := strconv.FormatFloat(x, 'g', 6, 64)
		if loc.DecimalComma {
			number = strings.Replace(number, ".", ",", 1)
		}
		return number + " " + unit
	}
	for ion, e := range s.Ions {
		e.Typed = text(e.Value.MilligramsPerLitre(), "mg/L")
		s.Ions[ion] = e
	}
	for ion, bound := range s.Below {
		s.Below[ion] = quantity.MilligramsPerLitre(milligrams(bound))
	}
	s.Strength.Conductivity.Typed = text(s.Strength.Conductivity.Value.MicrosiemensPerCm(), "uS/cm")
	s.Hardness.Typed = text(s.Hardness.Value.MilligramsPerLitreCaCO3(), "mg/L as CaCO3")
	s.Alkalinity.Typed = text(s.Alkalinity.Value.MilligramsPerLitreCaCO3(), "mg/L as CaCO3")
	s.Temperature.Typed = text(s.Temperature.Value.Celsius(), "C")
	for _, e := range []*quantity.Entry[quantity.MassConc]{&s.Sulphide, &s.FreeChlorine, &s.TotalChlorine} {
		e.Typed = text(e.Value.MilligramsPerLitre(), "mg/L")
	}
}

// oneLine keeps a name from breaking a line of the site file.
func oneLine(s string) string {
	s = strings.Map(func(r rune) rune {
		if r < ' ' || r == 0x7f {
			return ' '
		}
		return r
	}, s)
	if len(s) > 60 {
		s = strings.ToValidUTF8(s[:60], "")
	}
	return s
}

func (c ImportCommand) tell(desk Desk, report water.Report, samples []water.ReportedSample) error {
	suspicious := false
	for _, r := range samples {
		suspicious = suspicious || len(r.Suspicions) > 0
	}
	if c.JSON {
		if err := printJSON(desk.Out, importedJSON(report, samples, !c.DryRun)); err != nil {
			return err
		}
	} else if err := c.say(desk, report, samples); err != nil {
		return err
	}
	if suspicious {
		return no("")
	}
	return nil
}

func (c ImportCommand) say(desk Desk, report water.Report, samples []water.ReportedSample) error {
	t := newTerminal(desk.Out, study.Options{})
	t.head("Columns")
	for _, column := range report.Columns {
		means := column.Means
		if means == "" {
			means = "not used"
		}
		t.wrap(pad(column.Header, 34)+" ", means)
	}
	t.head("Samples")
	for _, r := range samples {
		t.wrap(pad(r.Name, 24)+" ", fmt.Sprintf("%s; %d ions, %d below detection", strings.TrimSpace(r.Sample.Place+" "+r.Sample.Date), len(r.Sample.Ions), len(r.Sample.Below)))
		for _, s := range r.Suspicions {
			t.wrap("  ! ", s.Of+": "+s.Why+".")
		}
	}
	for _, p := range report.Problems {
		t.wrap("- ", p+".")
	}
	t.line("")
	if c.DryRun {
		t.wrap("", "Nothing was changed. Leave --dry-run out to add "+count(len(samples), "sample")+" to "+filepath.Base(c.Site)+".")
	} else {
		t.wrap("", fmt.Sprintf("Added %s to %s. What it means: rinsewright water %s", count(len(samples), "sample"), filepath.Base(c.Site), filepath.Base(c.Site)))
	}
	return t.err
}

func count(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// refuse reports bad input in the form that was asked for.
func (c ImportCommand) refuse(desk Desk, err error) error {
	if !c.JSON {
		return err
	}
	if e := printJSON(desk.Out, refusalJSON("rinsewright.import/1", err)); e != nil {
		return e
	}
	return &said{code: report(Desk{Err: &bytes.Buffer{}}, err)}
}

type importColumnJSON struct {
	Header string `json:"header"`
	Means  string `json:"means"`
}

type suspicionJSON struct {
	Of  string  `json:"of"`
	Off float64 `json:"off"`
	Why string  `json:"why"`
}

type importSampleJSON struct {
	Name       string             `json:"name"`
	Date       string             `json:"date,omitempty"`
	Ions       map[string]float64 `json:"ions_mg_L"`
	Below      map[string]float64 `json:"below_mg_L"`
	Suspicions []suspicionJSON    `json:"suspicions"`
}

type importJSON struct {
	Schema   string             `json:"schema"`
	Written  bool               `json:"written"`
	Columns  []importColumnJSON `json:"columns"`
	Samples  []importSampleJSON `json:"samples"`
	Problems []string           `json:"problems"`
	Errors   []sitefile.Problem `json:"errors"`
}

func importedJSON(report water.Report, samples []water.ReportedSample, written bool) importJSON {
	out := importJSON{Schema: "rinsewright.import/1", Written: written, Problems: append([]string{}, report.Problems...), Errors: []sitefile.Problem{}}
	for _, c := range report.Columns {
		out.Columns = append(out.Columns, importColumnJSON(c))
	}
	for _, r := range samples {
		s := importSampleJSON{Name: r.Name, Date: r.Sample.Date, Ions: map[string]float64{}, Below: map[string]float64{}, Suspicions: []suspicionJSON{}}
		for ion, e := range r.Sample.Ions {
			s.Ions[ion.String()] = milligrams(e.Value)
		}
		for ion, bound := range r.Sample.Below {
			s.Below[ion.String()] = milligrams(bound)
		}
		for _, x := range r.Suspicions {
			s.Suspicions = append(s.Suspicions, suspicionJSON{x.Of, float64(x.Off), x.Why})
		}
		out.Samples = append(out.Samples, s)
	}
	return out
}

// milligrams is a concentration in mg/L without the crumbs of binary numbers.
func milligrams(c quantity.MassConc) float64 { return math.Round(c.MilligramsPerLitre()*1e9) / 1e9 }
