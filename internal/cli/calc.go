package cli

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"slices"
	"strings"

	"rinsewright/demand"
)

// CalcCommand computes one station for rows of CSV or JSON. The doors it has
// are the table calcDoors.
type CalcCommand struct {
	Name        string `arg:"" optional:"" help:"What to compute; see --list."`
	File        string `arg:"" optional:"" help:"File of rows; standard input when not given. A folder for faults and forecast."`
	List        bool   `help:"List what can be computed."`
	Columns     bool   `help:"List the columns of NAME, their units and ranges."`
	State       bool   `help:"Of forecast: the state on every first of a month instead of the dates."`
	Format      string `enum:",csv,json" default:"" placeholder:"csv|json" help:"Format of the output; that of the input when not given."`
	Waters      string `placeholder:"FILE" help:"Waters that blend mixes, as rows of the columns of water."`
	NoWords     bool   `help:"Leave out what people said, for faults."`
	Log         string `placeholder:"FILE" help:"Vend log that demand and tank fit: CSV of time, and if known bay, minutes, litres."`
	Friction    string `enum:",colebrook,explicit" default:"" placeholder:"colebrook|explicit" help:"Friction formula of line; colebrook when not given."`
	Equilibrium string `enum:",typical,reference" default:"" placeholder:"typical|reference" help:"Resin of column; typical when not given."`
}

// Help is the long help with examples.
func (CalcCommand) Help() string {
	return `Rows come as CSV with a header or as JSON objects, told by the first byte;
the answer has the same form: key columns as read, results, then error.

  rinsewright calc --list
  rinsewright calc water --columns
  rinsewright calc water waters.csv >answers.csv
  rinsewright calc blend --waters waters.csv <blends.csv
  rinsewright calc demand --log vends.csv <site.csv
  rinsewright calc forecast logs >dates.csv

Exit code 0, or 2 when no row could be computed.`
}

// calcSetting is what holds for every row of one run.
type calcSetting struct {
	ctx         context.Context
	friction    string
	equilibrium string
	waters      map[string]namedWater
	vends       []demand.LoggedVend // empty without --log
}

// Run lists, or computes every row.
func (c CalcCommand) Run(desk Desk) error {
	if c.Name == "forecast" {
		return c.forecast(desk)
	}
	if c.List {
		return listDoors(desk.Out)
	}
	if c.Name == "faults" && !c.Columns {
		return c.faultFolder(desk)
	}
	door, err := c.door()
	if err != nil {
		return err
	}
	if c.Columns {
		return listColumns(desk.Out, door)
	}
	setting, err := c.setting(desk, door)
	if err != nil {
		return err
	}
	in, done, err := c.open(desk)
	if err != nil {
		return bad(err, "")
	}
	defer done()
	return c.rows(desk, door, setting, in)
}

func (c CalcCommand) door() (*calcDoor, error) {
	names := make([]string, 0, len(calcDoors)+1)
	for i := range calcDoors {
		if c.Name == calcDoors[i].name {
			return &calcDoors[i], nil
		}
		names = append(names, calcDoors[i].name)
	}
	names = append(names, "forecast")
	if c.Name == "" {
		return nil, bad(errors.New("calc what: no name given"), "one of "+strings.Join(names, ", "))
	}
	return nil, bad(fmt.Errorf("calc: read %q, wanted one of %s", c.Name, strings.Join(names, ", ")), "rinsewright calc --list says what each answers")
}

// setting reads the flags, and refuses one that the door would not heed.
func (c CalcCommand) setting(desk Desk, d *calcDoor) (calcSetting, error) {
	s := calcSetting{ctx: desk.Context, friction: c.Friction, equilibrium: c.Equilibrium}
	if c.NoWords {
		return s, bad(fmt.Errorf("calc %s does not heed --no-words", d.name), "leave it out")
	}
	for flag, value := range map[string]string{"--waters": c.Waters, "--log": c.Log, "--friction": c.Friction, "--equilibrium": c.Equilibrium} {
		if value != "" && !slices.Contains(d.flags, flag) {
			return s, bad(fmt.Errorf("calc %s does not heed %s", d.name, flag), "leave it out")
		}
	}
	if c.Log != "" {
		var err error
		if s.vends, err = readVends(desk, d.name, c.Log); err != nil {
			return s, bad(fmt.Errorf("calc %s: %w", d.name, err), "a header with time, such as time,bay,minutes, and times such as 2026-05-02 14:05")
		}
	}
	if !slices.Contains(d.flags, "--waters") {
		return s, nil
	}
	if c.Waters == "" {
		return s, bad(fmt.Errorf("calc %s: no waters to mix", d.name), "name their file: --waters waters.csv")
	}
	var err error
	if s.waters, err = readWaters(c.Waters); err != nil {
		return s, bad(fmt.Errorf("calc %s: %w", d.name, err), "")
	}
	return s, nil
}

func (c CalcCommand) open(desk Desk) (io.Reader, func(), error) {
	if c.File == "" || c.File == "-" {
		return desk.In, func() {}, nil
	}
	f, err := os.Open(c.File)
	if err != nil {
		return nil, nil, fmt.Errorf("calc: %w", err)
	}
	return f, func() { _ = f.Close() }, nil // only read from
}

// rows computes every row of in. One bad row is one row's error.
func (c CalcCommand) rows(desk Desk, d *calcDoor, s calcSetting, in io.Reader) error {
	reader, format, err := openRows(in)
	if err != nil {
		return bad(fmt.Errorf("calc %s: %w", d.name, err), "rinsewright calc "+d.name+" --columns")
	}
	run := calcRun{door: d, setting: s, ignored: map[string]bool{}, writer: newCalcWriter(desk.Out, c.outFormat(format), d)}
	broken := run.all(reader)
	if err := run.writer.end(); err != nil {
		return fmt.Errorf("calc %s: write rows: %w", d.name, err)
	}
	if names := run.ignoredNames(); names != "" {
		fmt.Fprintf(desk.Err, "calc %s: ignored %s\n", d.name, names)
	}
	switch {
	case broken != nil:
		return bad(fmt.Errorf("calc %s: %w", d.name, broken), "")
	case run.rows > 0 && run.failed == run.rows:
		return bad(fmt.Errorf("calc %s: no row could be computed", d.name), "the column error says why; rinsewright calc "+d.name+" --columns says what fits")
	}
	return nil
}

func (c CalcCommand) outFormat(in calcFormat) calcFormat {
	switch {
	case c.Format == "csv":
		return calcCSV
	case c.Format == "json" && in == calcCSV:
		return calcArray
	}
	return in
}

// calcRun is one pass over the rows.
type calcRun struct {
	door         *calcDoor
	setting      calcSetting
	writer       calcWriter
	ignored      map[string]bool
	rows, failed int
}

// all writes an answer to every record. The error is of the reader or writer.
func (r *calcRun) all(reader calcReader) error {
	known := map[string]bool{}
	for _, c := range r.door.columns() {
		known[c.name] = true
	}
	for {
		record, err := reader.next()
		if err == io.EOF {
			return nil
		}
		if err != nil {
			return err
		}
		for name := range record.fields {
			if !known[name] {
				r.ignored[name] = true
			}
		}
		if err := r.setting.ctx.Err(); err != nil {
			return fmt.Errorf("stopped: %w", err)
		}
		if err := r.one(record); err != nil {
			return err
		}
	}
}

func (r *calcRun) one(record calcRecord) error {
	r.rows++
	answers, err := r.door.answers(r.setting, record)
	if err != nil {
		r.failed++
		return r.writer.row(record, nil, strings.Join(strings.Fields(err.Error()), " "))
	}
	for _, a := range answers {
		if err := r.writer.row(record, a, ""); err != nil {
			return err
		}
	}
	return nil
}

func (r *calcRun) ignoredNames() string {
	names := make([]string, 0, len(r.ignored))
	for name := range r.ignored {
		names = append(names, shortened(name))
	}
	slices.Sort(names)
	if len(names) == 1 {
		return "the column " + names[0]
	}
	if len(names) == 0 {
		return ""
	}
	return "the columns " + strings.Join(names, ", ")
}
