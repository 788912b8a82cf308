package cli

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"path/filepath"
	"strings"
	"time"

	"rinsewright/catalog"
	"rinsewright/internal/paper"
	"rinsewright/internal/paper/layout"
	"rinsewright/internal/scene"
	"rinsewright/internal/sitefile"
	"rinsewright/site"
	"rinsewright/study"
)

// PapersCommand writes the papers of a site.
type PapersCommand struct {
	Sites    []string `arg:"" name:"site" help:"Site file; several make a folder each, and the fleet's month." type:"path"`
	Out      string   `required:"" placeholder:"DIR" type:"path" help:"Folder for the papers; it is made if need be."`
	Only     []string `placeholder:"NAME" help:"Only these papers, such as quote or parts; may be given again."`
	Option   string   `placeholder:"LETTER" help:"Option of the quote that was taken: papers are then about it, not about what hangs there."`
	Language string   `enum:"en,es" default:"en" help:"Language: en or es."`
	Paper    string   `enum:"a4,letter" default:"letter" help:"Paper: a4 or letter."`
	Date     string   `placeholder:"DAY" help:"Day on the papers, such as 2026-06-13; today if not given."`
	From     string   `help:"Who hands the papers over: name, telephone, licence."`
	For      string   `help:"Who gets them."`
	By       string   `help:"Who prepared them."`
	Checked  string   `help:"Who checked them."`
	Approved string   `help:"Who approved them, and lets them go out."`
	Number   string   `help:"Number on the papers; the site file's name if not given."`
	Address  string   `placeholder:"URL" help:"Address of the site's reading page, for the code on the label."`
	Photos   string   `placeholder:"DIR" type:"path" help:"Folder of photographs for the records; they are made small, and lose where they were taken."`
	Issue    string   `placeholder:"WORDS" help:"Issue the papers as a new revision: what changed, and why. Without it they are drafts."`
	Sizing
}

// Help is the long help with examples.
func (PapersCommand) Help() string {
	return `Examples:
  rinsewright papers site.toml --out papers
  rinsewright papers site.toml --out papers --only quote --language es --paper a4
  rinsewright papers site.toml --out papers --issue "first offer" --by "A. Finch"
  rinsewright papers depot-*.toml --out month --only service
  rinsewright papers site.toml --out papers --option B --from "Wren Water, 555-0142"

A paper that the site gives no cause for is left out, and said. The same
record, day and options give the same bytes. What was issued stays as it is:
papers.json beside it keeps its sum, and the next revision tells what changed.`
}

// Run writes them.
func (c PapersCommand) Run(desk Desk) error {
	kinds, err := c.kinds()
	if err != nil {
		return err
	}
	if len(c.Sites) == 1 {
		return c.one(desk, kinds, c.Sites[0], c.Out)
	}
	return c.several(desk, kinds)
}

// one writes the papers of a site into a folder.
func (c PapersCommand) one(desk Desk, kinds []paper.Kind, file, dir string) error {
	record, job, err := c.record(desk, file, kinds)
	if err != nil {
		return err
	}
	if job.Photos, err = c.photos(); err != nil {
		return err
	}
	d, err := openFolder(dir)
	if err != nil {
		return err
	}
	for _, k := range kinds {
		if err := c.write(desk, d, k, record, job); err != nil {
			return err
		}
	}
	return d.save()
}

// several writes a folder for each site, and one page for all.
func (c PapersCommand) several(desk Desk, kinds []paper.Kind) error {
	var fleet []paper.Fleet
	var sites []*site.Site
	var labels []paper.Made
	for _, file := range c.Sites {
		name := numberOf(file)
		if _, err := fmt.Fprintln(desk.Out, name); err != nil {
			return err
		}
		if err := c.one(desk, kinds, file, filepath.Join(c.Out, name)); err != nil {
			return err
		}
		r, j, err := c.record(desk, file, nil)
		if err != nil {
			return err
		}
		sites = append(sites, r.Site)
		if r.Hangs != nil {
			fleet = append(fleet, paper.Fleet{Name: r.Site.Name, Checked: r.Hangs})
		}
		if made, err := label(kinds, r, j); err == nil {
			labels = append(labels, made)
		}
	}
	if err := c.month(desk, fleet, sites); err != nil || len(labels) == 0 {
		return err
	}
	return c.print(desk, "labels.pdf", paper.Joined("Labels", labels))
}

// label sets the label of a site, if labels were asked for.
func label(kinds []paper.Kind, r paper.Record, j paper.Job) (paper.Made, error) {
	for _, k := range kinds {
		if k.Name == "label" {
			return k.Make(r, j)
		}
	}
	return paper.Made{}, paper.ErrNothing
}

// print writes a document for all sites.
func (c PapersCommand) print(desk Desk, file string, d scene.Document) error {
	var b bytes.Buffer
	if err := d.PDF(&b); err != nil {
		return bad(err, "")
	}
	if err := writeWhole(filepath.Join(c.Out, file), b.Bytes()); err != nil {
		return bad(err, "")
	}
	return c.say(desk, file, len(d.Sheets), "page")
}

// monthWeeks is how far ahead the month's page tells the trips.
const monthWeeks = 5

func (c PapersCommand) month(desk Desk, fleet []paper.Fleet, sites []*site.Site) error {
	job, err := c.job(desk, "fleet", nil)
	if err != nil {
		return err
	}
	plan, err := study.Trips(sites, study.TripOptions{Options: study.Options{Units: job.Units, Locale: job.Locale}, From: job.Date, Weeks: monthWeeks})
	if errors.Is(err, study.ErrCurrencies) {
		plan = nil // sites that cannot be added up have no plan in common
	} else if err != nil {
		return bad(err, "")
	}
	made, err := paper.MakeFleet(fleet, plan, job)
	if errors.Is(err, paper.ErrNothing) {
		return nil
	}
	if err != nil {
		return bad(err, "")
	}
	return c.print(desk, "fleet.pdf", made.Document)
}

// numberOf names a site by its file, or by its folder when the file is called
// site.toml.
func numberOf(file string) string {
	name := strings.TrimSuffix(filepath.Base(file), filepath.Ext(file))
	if name == "site" {
		if dir := filepath.Base(filepath.Dir(file)); dir != "." && dir != string(filepath.Separator) {
			return dir
		}
	}
	return name
}

func (c PapersCommand) say(desk Desk, file string, n int, what string) error {
	if n != 1 {
		what += "s"
	}
	_, err := fmt.Fprintf(desk.Out, "%-22s %d %s\n", file, n, what)
	return err
}

func (c PapersCommand) kinds() ([]paper.Kind, error) {
	if len(c.Only) == 0 {
		return paper.Kinds, nil
	}
	var all []paper.Kind
	for _, name := range c.Only {
		k, ok := paper.KindNamed(name)
		if !ok {
			var names []string
			for _, k := range paper.Kinds {
				names = append(names, k.Name)
			}
			return nil, bad(fmt.Errorf("no paper is called %q", name), "papers: "+strings.Join(names, ", "))
		}
		all = append(all, k)
	}
	return all, nil
}

// record asks every question that the papers answer.
func (c PapersCommand) record(desk Desk, file string, kinds []paper.Kind) (r paper.Record, j paper.Job, err error) {
	data, s, err := readSite(file)
	if err != nil {
		return r, j, err
	}
	if j, err = c.job(desk, numberOf(file), data); err != nil {
		return r, j, err
	}
	if r.Parts, err = c.parts(); err != nil {
		return r, j, err
	}
	r.Site = s
	options := c.options(data)
	if r.Hangs, err = study.Check(desk.Context, s, options.Options); err != nil && !nothingHangs(err) {
		return r, j, unanswered(err, filepath.Base(file))
	}
	if f, err := study.Forecast(s, options.Options, time.Time{}); err == nil {
		r.Coming = f // without a log, or with one that tells nothing, the papers say how the stations stand
	}
	if r.Proved, err = study.Prove(desk.Context, s, options.Options); err != nil && !errors.Is(err, study.ErrNotCommissioned) {
		r.Proved = nil // the sheet is then one to fill in, or a record without verdicts
		if record, ok := s.Baseline(); ok {
			r.Proved = &study.Proved{Record: record, Changed: record.Seal != "" && !record.Intact()}
		}
	}
	if !c.sizes(kinds, r) {
		return r, j, nil
	}
	if r.Sized, err = study.Size(desk.Context, s, r.Parts, options); err != nil {
		return r, j, unsized(err, filepath.Base(file))
	}
	if r.Offer, err = study.Offer(s, r.Sized); err != nil && !errors.Is(err, study.ErrNoSystem) {
		return r, j, unsized(err, filepath.Base(file))
	}
	return r, j, nil
}

// sizes says whether a search for systems is needed, which takes its time.
func (c PapersCommand) sizes(kinds []paper.Kind, r paper.Record) bool {
	for _, k := range kinds {
		if k.Offers() {
			return true
		}
	}
	return c.Option != "" || r.Hangs == nil
}

func nothingHangs(err error) bool { return errors.Is(err, study.ErrNoRig) }

func (c PapersCommand) job(desk Desk, name string, data []byte) (paper.Job, error) {
	day := time.Now().UTC().Truncate(24 * time.Hour)
	if c.Date != "" {
		var err error
		if day, err = time.Parse(time.DateOnly, c.Date); err != nil {
			return paper.Job{}, bad(fmt.Errorf("read date: %q is not a day", c.Date), "such as 2026-06-13")
		}
	}
	size := layout.Letter
	if c.Paper == "a4" {
		size = layout.A4
	}
	number := c.Number
	if number == "" {
		number = name
	}
	sum := sha256.Sum256(bytes.Join([][]byte{data, []byte(catalog.Text()), []byte(fmt.Sprint(c.Seed, c.Years, c.Units))}, []byte{0}))
	return paper.Job{
		Options:  paper.Options{Units: c.System(), Locale: sitefile.Locale(data), Version: desk.Version},
		Language: c.Language, Size: size, Date: day, From: c.From, For: c.For, By: c.By, Checked: c.Checked, Approved: c.Approved, Number: number,
		Hash: hex.EncodeToString(sum[:6]), Address: c.Address, Option: strings.ToUpper(c.Option),
	}, nil
}
