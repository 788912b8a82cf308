package cli

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"rinsewright/internal/sitefile"
	"rinsewright/quantity"
	"rinsewright/site"
)

// SurveyCommand asks what is known of a site and writes its site file.
type SurveyCommand struct {
	Site    string   `arg:"" optional:"" default:"site.toml" help:"Site file to write, or to go on with."`
	Set     []string `placeholder:"KEY=TEXT" sep:"none" help:"Set one key without asking, such as sample.strength=\"428 ppm\"; may be repeated."`
	Ask     bool     `help:"Ask as well after --set."`
	Decimal string   `enum:"point,comma,file" default:"file" help:"Decimal mark of what you type: point or comma; as in the file by default."`
	JSON    bool     `name:"json" help:"Set only, and print one JSON object."`
}

// Help is the long help with examples.
func (SurveyCommand) Help() string {
	return `Examples:
  rinsewright survey gull-point.toml
  rinsewright survey gull-point.toml <answers.txt
  rinsewright survey gull-point.toml --set sample.strength='428 ppm'
  rinsewright survey gull-point.toml --set tank=no --set resin.2=yes
  rinsewright survey gull-point.toml --set demand.bays=2 --ask
  rinsewright survey gull-point.toml --decimal comma

It asks in the order things are met on site; ten answers are enough for
rinsewright check. Enter skips a question, ? explains it, back goes one back,
done stops and writes. On a file that is there, Enter keeps what it says and
- forgets it. Ctrl-C leaves without writing.

--set KEY=TEXT takes what the prompt takes. An empty text forgets; tank=yes
hangs a tank there of which nothing is known, tank=no takes it away. When one
of them is wrong all problems are told and nothing is written.`
}

// Run asks, or sets, and writes the file whole or not at all.
func (c SurveyCommand) Run(desk Desk) error {
	if c.JSON && c.Ask {
		return bad(errors.New("--json answers a program and --ask a person"), "leave out one of the two")
	}
	s, err := c.survey(desk)
	if c.JSON {
		return s.printJSON(desk, err)
	}
	return err
}

func (c SurveyCommand) survey(desk Desk) (*surveyed, error) {
	s, err := c.open()
	if err != nil {
		return s, err
	}
	asks := !c.JSON && (c.Ask || len(c.Set) == 0)
	if err := s.set(c.Set, asks); err != nil {
		return s, err
	}
	if !asks {
		out := newSheet(desk.Out)
		if c.JSON {
			out = newSheet(io.Discard)
		}
		return s, s.finish(out)
	}
	return s, s.ask(desk)
}

// surveyed is one site file under survey.
type surveyed struct {
	file    string // as typed
	before  []byte // nil when the file is new
	start   *site.Site
	site    *site.Site
	locale  quantity.Locale
	notes   []string // what was left out or taken, to be said at the end
	unsaid  []string // what nobody said
	asked   bool     // questions were asked, not only keys set
	written bool
}

// open reads the file, or begins one, and finds out before the first question
// whether it could be written.
func (c SurveyCommand) open() (*surveyed, error) {
	s := &surveyed{file: c.Site, site: &site.Site{}, start: &site.Site{}}
	s.locale.DecimalComma = c.Decimal == "comma"
	data, err := os.ReadFile(c.Site)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return s, canWrite(c.Site)
	case err != nil:
		return s, bad(fmt.Errorf("read site file: %w", err), "")
	}
	s.before = data
	if s.start, err = sitefile.Read(filepath.Base(c.Site), data); err != nil {
		return s, bad(err, "correct these lines first; nothing was changed")
	}
	told := sitefile.Locale(data)
	if c.Decimal == "point" && told.DecimalComma || c.Decimal == "comma" && !told.DecimalComma {
		return s, bad(fmt.Errorf("%s writes its numbers with the other decimal mark", c.Site), "leave out --decimal: the file's own mark is used")
	}
	s.locale = told
	if s.site, err = sitefile.Copy(s.start, s.locale); err != nil {
		return s, fmt.Errorf("copy site: %w", err)
	}
	return s, canWrite(c.Site)
}

// canWrite tries the folder, so that nobody answers eighty questions in vain.
func canWrite(file string) error {
	f, err := os.CreateTemp(filepath.Dir(file), ".rinsewright-*")
	if err != nil {
		return bad(fmt.Errorf("no file can be written there: %w", err), "name a file in a folder that is there and yours")
	}
	if err := errors.Join(f.Close(), os.Remove(f.Name())); err != nil {
		return bad(fmt.Errorf("try to write: %w", err), "")
	}
	return nil
}

// set applies every --set; all problems are told at once.
func (s *surveyed) set(pairs []string, ask bool) error {
	var problems sitefile.Problems
	for _, pair := range pairs {
		key, text, ok := strings.Cut(pair, "=")
		if !ok {
			problems = append(problems, sitefile.Problem{Where: "--set", Read: fmt.Sprintf("%q without =", clipped(pair, 40)), Wanted: "key=text", Example: `--set sample.strength='428 ppm'`})
			continue
		}
		err := sitefile.Set(s.site, strings.TrimSpace(key), text, s.locale)
		var found sitefile.Problems
		if errors.As(err, &found) {
			for _, p := range found {
				p.Where = "--set " + p.Where
				problems = append(problems, p)
			}
		}
	}
	if len(problems) == 0 && !ask {
		s.complete()
		for _, p := range s.site.Problems() {
			problems = append(problems, sitefile.Problem{Where: p.Key, Read: p.Read, Wanted: p.Wanted, Example: p.Example})
		}
	}
	if len(problems) > 0 {
		return bad(problems, "nothing was written")
	}
	return nil
}

// complete fills in what goes without saying: a first sample is of the raw
// water, and a place without a name is called as its file.
func (s *surveyed) complete() {
	if len(s.site.Samples) > 0 && s.site.Samples[0].Place == "" {
		s.site.Samples[0].Place = "raw"
	}
	if s.site.Name != "" {
		return
	}
	s.site.Name = s.fileName()
	s.notes = append(s.notes, "Nobody said a name: it is called "+clipped(s.site.Name, 40)+", as the file.")
}

// fileName is what a place is called when nobody says.
func (s *surveyed) fileName() string {
	base := filepath.Base(s.file)
	var named site.Site
	if err := sitefile.Set(&named, "site.name", strings.TrimSuffix(base, filepath.Ext(base)), s.locale); err != nil || named.Name == "" {
		return "site"
	}
	return named.Name
}

// ask asks until the person is done and writes what was said.
func (s *surveyed) ask(desk Desk) error {
	ctx := desk.Context
	if ctx == nil {
		ctx = context.Background()
	}
	answers := readAnswers(ctx, desk.In)
	defer answers.stop()
	out := newSheet(desk.Out)
	a := newAsker(s, answers, out)
	s.asked = true
	if err := a.run(); err != nil {
		return &said{code: ExitBad, text: "stopped: nothing was written", hint: "answer done to stop and keep what was said", cause: err}
	}
	s.settle(a.gone)
	return s.finish(out)
}

// finish writes the file and says what it now knows.
func (s *surveyed) finish(out *sheet) error {
	err := s.write()
	if err != nil && !s.written {
		// Half an hour of answers must not be lost with the disk.
		out.line("Not written. So that nothing is lost, this is what the file would hold:")
		out.raw(string(sitefile.Write(s.site, s.locale)))
		return bad(err, "the file is as it was; keep the lines above")
	}
	if err != nil {
		return err
	}
	s.sayResult(out)
	return out.err
}

// write writes the file unless nothing changed. What it writes it has read back
// and found to be the same.
func (s *surveyed) write() error {
	if s.before != nil && sameSite(s.start, s.site, s.locale) {
		return nil
	}
	data := sitefile.Update(s.before, s.site, s.locale)
	if _, err := sitefile.Read(filepath.Base(s.file), data); err != nil {
		return fmt.Errorf("write %s: it would not read back: %w", s.file, err)
	}
	now, err := os.ReadFile(s.file)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		now = nil
	case err != nil:
		return fmt.Errorf("write %s: %w", s.file, err)
	}
	if !bytes.Equal(now, s.before) || (now == nil) != (s.before == nil) {
		return fmt.Errorf("write %s: someone else changed it meanwhile", s.file)
	}
	target := s.file
	if real, err := filepath.EvalSymlinks(s.file); err == nil {
		target = real
	}
	if err := writeWhole(target, data); err != nil {
		return err
	}
	s.written = true
	return nil
}

func sameSite(a, b *site.Site, loc quantity.Locale) bool {
	return bytes.Equal(sitefile.Write(a, loc), sitefile.Write(b, loc))
}
