package water

import (
	"encoding/csv"
	"errors"
	"fmt"
	"strings"

	"rinsewright/quantity"
)

// ErrReport says that a laboratory's table cannot be read as one.
var ErrReport = errors.New("no laboratory table")

// ReportOptions is what a table does not say of itself.
type ReportOptions struct {
	DecimalComma bool
	// Columns maps a header, as printed, to what it means: "calcium mg/L as
	// CaCO3", "nitrate mg/L as N", "pH", "sample", "date", or "" to leave it out.
	Columns map[string]string
}

// Report is a laboratory's table, read.
type Report struct {
	Samples  []ReportedSample
	Columns  []Column
	Problems []string // cells that could not be read, and what was done
}

// ReportedSample is one row of a wide table, or one sample of a long one.
type ReportedSample struct {
	Name        string
	Sample      Sample
	Suspicions  []Suspicion
	Bicarbonate quantity.MassConc // as printed, when alkalinity was not
}

// Column is what a column was read as.
type Column struct {
	Header string
	Means  string // "calcium, mg/L as CaCO3", "" when it was not used
}

// ReadReport reads a laboratory's CSV: comma, semicolon or tab between cells.
// A wide table has one row for each sample and names with units in its header
// ("Ca (mg/L)", "Nitrate as N, mg/L", "Total hardness °dH"), or units in its
// second row; a long one has columns for parameter, result, unit and, when
// there are several, sample. Names are matched in any order and case.
//
// "<0.05" stays a bound. Amounts "as CaCO3", "as N", "as P", "as S", "as Si"
// become those of the ion; without a word they are of the ion itself, and
// nitrate in a column named NO3-N is as N. An alkalinity without a word is as CaCO3. Each
// sample is tried by [Suspicions].
//
// The error wraps [ErrReport] when there is no header that names anything, a
// unit is missing, or nothing was read; a cell that cannot be read is left out and told in
// Problems.
func ReadReport(text string, o ReportOptions) (Report, error) {
	rows, err := cells(text)
	if err != nil {
		return Report{}, fmt.Errorf("read laboratory table: %w: %w", ErrReport, err)
	}
	r := reportReader{options: o, locale: quantity.Locale{DecimalComma: o.DecimalComma}}
	if long, ok := longColumns(rows[0], o); ok {
		err = r.long(rows, long)
	} else {
		err = r.wide(rows)
	}
	if err != nil {
		return Report{}, fmt.Errorf("read laboratory table: %w", err)
	}
	for i := range r.report.Samples {
		r.settle(&r.report.Samples[i])
	}
	if len(r.report.Samples) == 0 {
		return Report{}, fmt.Errorf("read laboratory table: %w: no row holds a sample", ErrReport)
	}
	return r.report, nil
}

const mostCells = 1 << 20

// cells splits a table; the mark between cells is the one that the header has
// most of.
func cells(text string) ([][]string, error) {
	text = strings.TrimPrefix(text, "\ufeff")
	header, _, _ := strings.Cut(strings.TrimLeft(text, "\r\n"), "\n")
	mark := ','
	for _, m := range []rune{';', '\t'} {
		if n := strings.Count(header, string(m)); n > 0 && n >= strings.Count(header, string(mark)) {
			mark = m
		}
	}
	c := csv.NewReader(strings.NewReader(text))
	c.Comma, c.FieldsPerRecord, c.LazyQuotes, c.TrimLeadingSpace = mark, -1, true, true
	rows, err := c.ReadAll()
	if err != nil {
		return nil, err
	}
	if len(rows) < 2 {
		return nil, errors.New("wanted a header and at least one row")
	}
	if len(rows)*len(rows[0]) > mostCells {
		return nil, errors.New("too large for one import")
	}
	return rows, nil
}

// reportReader is a table under way.
type reportReader struct {
	options ReportOptions
	locale  quantity.Locale
	report  Report
}

func (r *reportReader) problem(format string, args ...any) {
	if len(r.report.Problems) < 200 {
		r.report.Problems = append(r.report.Problems, fmt.Sprintf(format, args...))
	}
}

func (r *reportReader) wide(rows [][]string) error {
	header, units := rows[0], []string(nil)
	first := 1
	if unitRow(rows[1]) {
		units, first = rows[1], 2
	}
	meanings, found := make([]meaning, len(header)), 0
	for i, h := range header {
		unit := ""
		if i < len(units) {
			unit = units[i]
		}
		m, err := r.meaningOf(h, unit)
		if err != nil {
			return err
		}
		if meanings[i] = m; m.kind > isDate {
			found++
		}
		r.report.Columns = append(r.report.Columns, Column{h, m.String()})
	}
	if found == 0 {
		return fmt.Errorf("%w: no column of the header names an ion, a hardness or a reading: %q", ErrReport, strings.Join(header, " | "))
	}
	for n, row := range rows[first:] {
		s := newReported(fmt.Sprintf("row %d", n+1))
		for i, cell := range row {
			if i < len(meanings) {
				r.put(&s, meanings[i], cell, s.Name+", "+header[i])
			}
		}
		r.keep(s)
	}
	return nil
}

func (r *reportReader) keep(s ReportedSample) {
	if len(s.Sample.Ions)+len(s.Sample.Below) > 0 || s.Sample.Hardness.Known || s.Sample.Alkalinity.Known || s.Sample.Strength.Known() {
		r.report.Samples = append(r.report.Samples, s)
	}
}

func newReported(name string) ReportedSample {
	return ReportedSample{Name: name, Sample: Sample{
		Place: "raw", Instrument: "laboratory",
		Ions: map[Component]quantity.Entry[quantity.MassConc]{}, Below: map[Component]quantity.MassConc{},
	}}
}

// longTable says where a long table keeps what.
type longTable struct{ parameter, result, unit, sample, date int }

// longColumns finds the columns of a long table by their headers.
func longColumns(header []string, o ReportOptions) (l longTable, ok bool) {
	l = longTable{-1, -1, -1, -1, -1}
	for i, h := range header {
		name := plainName(h)
		if to, mapped := o.Columns[h]; mapped {
			name = plainName(to)
		}
		switch name {
		case "parameter", "analyte", "test", "determinand", "component":
			l.parameter = i
		case "result", "value", "concentration", "amount":
			l.result = i
		case "unit", "units":
			l.unit = i
		case "sample", "sampleid", "samplename", "id", "location", "site":
			l.sample = i
		case "date", "sampled", "sampledate", "samplingdate":
			l.date = i
		}
	}
	return l, l.parameter >= 0 && l.result >= 0
}

func (r *reportReader) long(rows [][]string, l longTable) error {
	at := map[string]int{}
	var all []ReportedSample
	cell := func(row []string, i int) string {
		if i < 0 || i >= len(row) {
			return ""
		}
		return strings.TrimSpace(row[i])
	}
	seen := map[string]bool{}
	for _, row := range rows[1:] {
		parameter := cell(row, l.parameter)
		if parameter == "" {
			continue
		}
		name := cell(row, l.sample)
		key := name + "\x00" + cell(row, l.date)
		i, there := at[key]
		if !there {
			i = len(all)
			at[key] = i
			if name == "" {
				name = fmt.Sprintf("sample %d", i+1)
			}
			all = append(all, newReported(name))
			r.put(&all[i], meaning{kind: isDate}, cell(row, l.date), name+", date")
		}
		m, err := r.meaningOf(parameter, cell(row, l.unit))
		if err != nil {
			r.problem("%s: %v", all[i].Name, err)
			continue
		}
		if !seen[parameter] {
			seen[parameter] = true
			r.report.Columns = append(r.report.Columns, Column{parameter, m.String()})
		}
		r.put(&all[i], m, cell(row, l.result), all[i].Name+", "+parameter)
	}
	for _, s := range all {
		r.keep(s)
	}
	return nil
}

// settle makes an alkalinity of a bicarbonate, and tries the sample.
func (r *reportReader) settle(s *ReportedSample) {
	if !s.Sample.Alkalinity.Known && s.Bicarbonate > 0 {
		s.Sample.Alkalinity = quantity.Told(Carbon.AsCaCO3(Carbon.Molar(s.Bicarbonate)))
	}
	s.Suspicions = Suspicions(s.Sample)
}
