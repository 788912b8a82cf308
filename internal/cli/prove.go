package cli

import (
	"errors"
	"fmt"
	"path/filepath"
	"time"

	"rinsewright/commissioning"
	"rinsewright/internal/sitefile"
	"rinsewright/quantity"
	"rinsewright/site"
	"rinsewright/study"
)

// ProveCommand judges the day a rig started.
type ProveCommand struct {
	Site    string   `arg:"" help:"Site file." type:"path"`
	Reading []string `arg:"" optional:"" help:"Readings to judge instead of the record, each in quotes: \"permeate 1.1 gpm, by bucket\"."`
	Sheet   bool     `help:"Print the blank start-up sheet instead: steps, cautions, when each is done, what to read."`

	Sign       string   `placeholder:"NAME" help:"Put the readings on record, signed by NAME: they become the baseline."`
	By         string   `placeholder:"NAME" help:"Who read."`
	Date       string   `placeholder:"DAY" help:"Day of the readings, as 2026-06-13; today without it."`
	Instrument []string `placeholder:"LINE" sep:"none" help:"One of the meter bag: \"pen B = pen, ±2 %, calibrated 2026-05-01\"."`
	Done       []string `placeholder:"STEP" sep:"none" help:"A step that was done: \"flush, 12 min\"."`
	Words      string   `help:"What else was seen."`
	Corrects   string   `placeholder:"DAY" help:"The day of the record that this one takes the place of."`
	Reason     string   `help:"Why it is corrected."`

	JSON    bool   `name:"json" help:"Print one JSON object instead."`
	Working bool   `help:"Print how every probability came about."`
	Seed    uint64 `default:"1" help:"Seed of the promises' bands."`
	Draws   int    `default:"64" help:"Draws behind each band, 16 to 4000."`
	Units
	Spoken
}

// Help is the long help with examples.
func (ProveCommand) Help() string {
	return `Examples:
  rinsewright prove site.toml --sheet
  rinsewright prove site.toml
  rinsewright prove site.toml "permeate 1.1 gpm, by bucket" \
    "concentrate 1.9 gpm, by bucket" "feed 12 C"
  rinsewright prove site.toml "permeate 1.1 gpm, by bucket" \
    --instrument "bucket = bucket" --by "A. Person" --sign "O. Owner"

Without readings it judges the record in the file, the one that stands. Where
there is none it rebuilds a baseline from plates and readings, and says that it
is an estimate. A record is never changed: --corrects and --reason add another.

Exit code 0 when nothing falls short, 1 when something does, 2 when the file or
a reading cannot be used.`
}

const proveSchema = "rinsewright.prove/1"

// Run judges, or prints the sheet.
func (c ProveCommand) Run(desk Desk) error {
	data, s, err := readSite(c.Site)
	if err != nil {
		return refuseAs(proveSchema, c.JSON, desk, err)
	}
	if c.Draws < 16 || c.Draws > 4000 {
		return refuseAs(proveSchema, c.JSON, desk, bad(fmt.Errorf("--draws: read %d, wanted 16 to 4000", c.Draws), ""))
	}
	o := study.Options{Seed: c.Seed, Looks: c.Draws, Units: c.System(), Locale: sitefile.Locale(data)}
	if c.Sheet {
		return c.sheet(desk, study.StartUp(s, o), o)
	}
	record, given, err := c.record(s, o.Locale)
	if err != nil {
		return refuseAs(proveSchema, c.JSON, desk, err)
	}
	if !given {
		if _, ok := s.Baseline(); !ok {
			return c.estimated(desk, s, o)
		}
		record, _ = s.Baseline()
	}
	return c.judged(desk, s, data, record, given, o)
}

// record is what was typed as a record, and whether anything was.
func (c ProveCommand) record(s *site.Site, loc quantity.Locale) (site.Commissioning, bool, error) {
	record := site.Commissioning{Date: c.Date, By: c.By, Signed: c.Sign, Corrects: c.Corrects, Reason: c.Reason, Words: c.Words, Done: c.Done}
	for _, line := range c.Instrument {
		i, err := site.ParseInstrument(line, loc)
		if err != nil {
			return record, false, lineRefused(err)
		}
		record.Instruments = append(record.Instruments, i)
	}
	var err error
	if record.Read, err = readingLines(c.Reading, loc); err != nil {
		return record, false, err
	}
	if c.Sign != "" && len(record.Read) == 0 {
		return record, false, bad(errors.New("nothing to sign: no reading was given"), `rinsewright prove `+filepath.Base(c.Site)+` "permeate 1.1 gpm, by bucket" --sign "O. Owner"`)
	}
	if record.Date == "" && len(record.Read) > 0 {
		record.Date = time.Now().Format(time.DateOnly)
	}
	return record, len(record.Read) > 0, nil
}

// readingLines reads readings as a person types them.
func readingLines(texts []string, loc quantity.Locale) (all []site.Reading, err error) {
	for _, text := range texts {
		r, err := site.ParseReading(text, loc)
		if err != nil {
			return nil, lineRefused(err)
		}
		all = append(all, r)
	}
	return all, nil
}

// lineRefused tells what is wrong with a line, and an example as a hint.
func lineRefused(err error) error {
	var p site.Problem
	if !errors.As(err, &p) {
		return bad(err, "")
	}
	hint := p.Example
	p.Example = ""
	return bad(p, hint)
}

func (c ProveCommand) judged(desk Desk, s *site.Site, data []byte, record site.Commissioning, given bool, o study.Options) error {
	proved, err := study.ProveRecord(desk.Context, s, record, o)
	if err != nil {
		return refuseAs(proveSchema, c.JSON, desk, unanswered(err, filepath.Base(c.Site)))
	}
	saved := ""
	if given && c.Sign != "" {
		if saved, err = c.put(s, data, record, o, desk); err != nil {
			return refuseAs(proveSchema, c.JSON, desk, err)
		}
		proved.Record.Seal = saved
	}
	if c.JSON {
		if err := printJSON(desk.Out, provedJSON(proved)); err != nil {
			return err
		}
	} else {
		t := newTerminal(desk.Out, o).in(c.Language)
		t.proved(proved, given)
		if c.Working {
			t.working(proved.Working)
		}
		if saved != "" {
			t.line("")
			t.wrap("", "On record in "+filepath.Base(c.Site)+", sealed "+saved+". It is the baseline from now on.")
		}
		if t.err != nil {
			return t.err
		}
	}
	if proved.Verdict == commissioning.FallsShort {
		return no("")
	}
	return nil
}

// put adds the record to the file, with the promises as they stand today, and
// returns its seal.
func (c ProveCommand) put(s *site.Site, data []byte, record site.Commissioning, o study.Options, desk Desk) (string, error) {
	p, err := study.Prepare(desk.Context, s, study.DayOf(record.Read), o)
	if err != nil {
		return "", unanswered(err, filepath.Base(c.Site))
	}
	if record.Promised, err = p.Freeze(quantity.Hours(1)); err != nil {
		return "", bad(err, "")
	}
	record.Seal = record.Mark()
	s.Commissioned = append(s.Commissioned, record)
	if problems := s.Problems(); len(problems) > 0 {
		hint := problems[0].Example
		problems[0].Example = ""
		return "", bad(problems[0], hint)
	}
	if err := writeWhole(c.Site, sitefile.Update(data, s, o.Locale)); err != nil {
		return "", bad(err, "")
	}
	return record.Seal, nil
}

// estimated stands in where no record is.
func (c ProveCommand) estimated(desk Desk, s *site.Site, o study.Options) error {
	e, err := study.Estimate(desk.Context, s, o)
	if err != nil {
		return refuseAs(proveSchema, c.JSON, desk, unanswered(err, filepath.Base(c.Site)))
	}
	if c.JSON {
		return printJSON(desk.Out, estimatedJSON(e))
	}
	t := newTerminal(desk.Out, o).in(c.Language)
	t.estimated(e)
	return t.err
}

func (c ProveCommand) sheet(desk Desk, sheet study.Sheet, o study.Options) error {
	if c.JSON {
		return printJSON(desk.Out, startSheetJSON(sheet))
	}
	t := newTerminal(desk.Out, o).in(c.Language)
	t.startSheet(sheet)
	return t.err
}
