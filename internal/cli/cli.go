// Package cli is the command line: one face of package study. It reads site
// files, asks study, and prints for a person at 80 columns or for a program as
// JSON. Exit codes: 0 good, 1 the answer is no, 2 bad input.
package cli

import (
	"context"
	"errors"
	"fmt"
	"io"

	"github.com/alecthomas/kong"

	"rinsewright/quantity"
)

// Exit codes, as the contract fixes them.
const (
	ExitGood = 0
	ExitNo   = 1 // the answer is no
	ExitBad  = 2 // bad input
)

// Desk is what a command works at: its streams and how to talk to this person.
type Desk struct {
	Context context.Context
	In      io.Reader
	Out     io.Writer
	Err     io.Writer
	Version string
	// Examples holds the example sites, by name, so that demo needs no file.
	Examples func(name string) ([]byte, error)
	// Serve serves the pages until its context ends.
	Serve Serve
}

// Commands is the command line as a person types it.
type Commands struct {
	Demo       DemoCommand       `cmd:"" help:"Run the marina, an invented site, and say where its page is."`
	Survey     SurveyCommand     `cmd:"" help:"Ask what is known of a site and write its site file."`
	Size       SizeCommand       `cmd:"" help:"Turn a survey into systems to hang on the wall: three picks, what binds them, what they cost."`
	Compare    CompareCommand    `cmd:"" help:"Set ways to make the water side by side: resin alone, membrane alone, both and more."`
	Prove      ProveCommand      `cmd:"" help:"Judge the day a rig started: balances, a verdict for each promise, the start-up sheet."`
	Log        LogCommand        `cmd:"" help:"Put a visit on the log, show it, take it back, or import an old log."`
	Quote      QuoteCommand      `cmd:"" help:"Print an offer: options, what is not in the price, consumables of a year."`
	Papers     PapersCommand     `cmd:"" help:"Write the papers of a site as PDF: quote, parts list and the others."`
	Verify     VerifyCommand     `cmd:"" help:"Tell whether papers are as they were printed, and backups as they were written."`
	Catalog    CatalogCommand    `cmd:"" help:"Print the catalogue of generic parts, to change and give to size."`
	Check      CheckCommand      `cmd:"" help:"Judge the rig of a site as it hangs."`
	Forecast   ForecastCommand   `cmd:"" help:"Tell what comes due on a site and when, from its log."`
	Trips      TripsCommand      `cmd:"" help:"Plan the drives that your sites want: one van load a week, and why."`
	Faults     FaultsCommand     `cmd:"" help:"Say what may be wrong, how surely, and what to test next."`
	Water      WaterCommand      `cmd:"" help:"Show what is known of a site's water, and how surely."`
	Import     ImportCommand     `cmd:"" help:"Read a laboratory's table into a site file."`
	Serve      ServeCommand      `cmd:"" help:"Open the pages in a browser."`
	Backup     BackupCommand     `cmd:"" help:"Put all data into one file, while the pages are open."`
	Restore    RestoreCommand    `cmd:"" help:"Bring a backup back into an empty place."`
	Move       MoveCommand       `cmd:"" help:"Move everything from one database into another: SQLite, PostgreSQL."`
	Drill      DrillCommand      `cmd:"" help:"Try a backup out: restore, compare, clear up."`
	Token      TokenCommand      `cmd:"" help:"Make, list and end the tokens with which programs ask."`
	Checkup    CheckupCommand    `cmd:"" help:"Look whether all is well with the data, the disk, the clock, certificates and backups."`
	Calc       CalcCommand       `cmd:"" help:"Compute one station for rows of CSV or JSON."`
	Completion CompletionCommand `cmd:"" help:"Print the completion script for a shell."`
	Version    VersionCommand    `cmd:"" help:"Print the version."`
}

// said is an error that has its own exit code and has been written for a
// person: one line, and a hint on another.
type said struct {
	code  int
	text  string
	hint  string
	cause error
}

func (s *said) Error() string { return s.text }

func (s *said) Unwrap() error { return s.cause }

// no is an answer that is no: the command worked, the news is bad.
func no(text string) error { return &said{code: ExitNo, text: text} }

// bad is bad input.
func bad(err error, hint string) error {
	return &said{code: ExitBad, text: err.Error(), hint: hint, cause: err}
}

// Run parses args and runs one command; it returns the exit code.
func Run(desk Desk, args []string) (code int) {
	var commands Commands
	exited := false
	parser, err := kong.New(&commands,
		kong.Name("rinsewright"),
		kong.Description("Survey, judge and service small spot-free rinse systems with one model of the water path."),
		kong.Writers(desk.Out, desk.Err),
		kong.Exit(func(c int) { exited, code = true, c }),
		kong.ConfigureHelp(kong.HelpOptions{Compact: true, WrapUpperBound: 80}),
		kong.Bind(desk),
	)
	if err != nil {
		fmt.Fprintln(desk.Err, "rinsewright:", err)
		return ExitBad
	}
	if len(args) == 0 {
		args = []string{"--help"}
	}
	parsed, err := parser.Parse(args)
	if exited {
		return code
	}
	if err != nil {
		fmt.Fprintf(desk.Err, "rinsewright: %v\n  try: rinsewright --help\n", err)
		return ExitBad
	}
	return report(desk, parsed.Run(desk))
}

// report prints an error for a person and returns its exit code.
func report(desk Desk, err error) int {
	if err == nil {
		return ExitGood
	}
	var s *said
	if !errors.As(err, &s) {
		s = &said{code: ExitBad, text: err.Error()}
	}
	if s.text != "" {
		fmt.Fprintln(desk.Err, s.text)
	}
	if s.hint != "" {
		fmt.Fprintln(desk.Err, "  hint: "+s.hint)
	}
	return s.code
}

// Units is a person's choice of units.
type Units struct {
	Units string `enum:"us,si" default:"us" help:"Units to print: us or si."`
}

// System returns the choice.
func (u Units) System() quantity.System {
	if u.Units == "si" {
		return quantity.SI
	}
	return quantity.US
}

// VersionCommand prints the version.
type VersionCommand struct{}

// Run prints it.
func (VersionCommand) Run(desk Desk) error {
	_, err := fmt.Fprintln(desk.Out, "rinsewright", desk.Version)
	return err
}
