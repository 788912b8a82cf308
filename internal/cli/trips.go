package cli

import (
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"rinsewright/internal/paper"
	"rinsewright/internal/sitefile"
	"rinsewright/quantity"
	"rinsewright/site"
	"rinsewright/study"
)

// TripsCommand plans the drives that a fleet of sites wants.
type TripsCommand struct {
	Site     []string `arg:"" help:"Site files, or folders of them." type:"path"`
	On       string   `placeholder:"DAY" help:"Plan from this day, from visits up to it; today without it."`
	Weeks    int      `default:"8" help:"Weeks to tell, 1 to 52."`
	Agreed   string   `placeholder:"FILE" type:"path" help:"An earlier plan (--json): its days move only where that saves more than a telephone call."`
	Calendar string   `placeholder:"FILE" type:"path" help:"Write the trips as a calendar (iCalendar)."`
	JSON     bool     `name:"json" help:"Print one JSON object instead."`
	Units
}

// Help is the long help with examples.
func (TripsCommand) Help() string {
	return `Groups what comes due and what the calendar brings into days, by expected cost:
life thrown away by coming early, spots by coming late, drives and stops. Sites
whose file has the same [site] area share a day's drive. One block a week is a
van load: where, why this week, parts.

Examples:
  rinsewright trips sites/
  rinsewright trips north.toml south.toml --on 2026-07-13 --weeks 4
  rinsewright trips sites/ --json > plan.json
  rinsewright trips sites/ --agreed plan.json --calendar trips.ics

Exit code 0 when it is planned, 2 when a file cannot be used.`
}

const tripsSchema = "rinsewright.trips/1"

// Run plans.
func (c TripsCommand) Run(desk Desk) error {
	plan, options, err := c.plan()
	if err != nil {
		return refuseAs(tripsSchema, c.JSON, desk, err)
	}
	if c.Calendar != "" {
		if err := writeWhole(c.Calendar, paper.Appointments("rinsewright trips", study.TripAppointments(plan), time.Now())); err != nil {
			return refuseAs(tripsSchema, c.JSON, desk, bad(err, ""))
		}
	}
	if c.JSON {
		return printJSON(desk.Out, plannedJSON(plan))
	}
	t := newTerminal(desk.Out, options)
	t.trips(plan)
	if c.Calendar != "" {
		t.line("")
		t.wrap("", "The calendar is "+filepath.Base(c.Calendar)+".")
	}
	return t.err
}

func (c TripsCommand) plan() (*study.TripPlan, study.Options, error) {
	o := study.TripOptions{Options: study.Options{Units: c.System()}, Weeks: c.Weeks}
	if c.Weeks < 1 || c.Weeks > 52 {
		return nil, o.Options, bad(fmt.Errorf("--weeks: read %d, wanted 1 to 52", c.Weeks), "--weeks 8")
	}
	var err error
	if o.From, err = (ForecastCommand{On: c.On}).day(); err != nil {
		return nil, o.Options, err
	}
	if c.On == "" {
		now := time.Now()
		o.From = time.Date(now.Year(), now.Month(), now.Day(), 0, 0, 0, 0, time.UTC)
	}
	if o.Agreed, err = readAgreed(c.Agreed); err != nil {
		return nil, o.Options, err
	}
	files, err := siteFiles(c.Site)
	if err != nil {
		return nil, o.Options, err
	}
	var sites []*site.Site
	for _, file := range files {
		data, s, err := readSite(file)
		if err != nil {
			return nil, o.Options, err
		}
		sites = append(sites, s)
		o.Locale = sitefile.Locale(data)
	}
	plan, err := study.Trips(sites, o)
	if err != nil {
		err = unanswered(err, filepath.Base(files[0]))
	}
	return plan, o.Options, err
}

// siteFiles are the files that were named, and those below folders that were.
func siteFiles(named []string) (files []string, err error) {
	for _, name := range named {
		info, err := os.Stat(name)
		if err != nil {
			return nil, bad(fmt.Errorf("read site file: %w", err), "name site files, or a folder of them")
		}
		if !info.IsDir() {
			files = append(files, name)
			continue
		}
		before := len(files)
		err = filepath.WalkDir(name, func(path string, d fs.DirEntry, err error) error {
			if err == nil && !d.IsDir() && filepath.Ext(path) == ".toml" {
				files = append(files, path)
			}
			return err
		})
		if err != nil {
			return nil, bad(err, "")
		}
		if len(files) == before {
			return nil, bad(fmt.Errorf("%s: no site file below this folder", filepath.Base(name)), "a site file ends in .toml")
		}
	}
	slices.Sort(files)
	return slices.Compact(files), nil
}

// readAgreed reads the days of an earlier plan.
func readAgreed(file string) (all []study.Agreed, err error) {
	if file == "" {
		return nil, nil
	}
	data, err := os.ReadFile(file)
	if err != nil {
		return nil, bad(err, "rinsewright trips SITE... --json > "+filepath.Base(file)+" writes one")
	}
	var plan tripsJSON
	if err := json.Unmarshal(data, &plan); err != nil || plan.Schema != tripsSchema {
		return nil, bad(errors.New("--agreed: "+filepath.Base(file)+" is no plan of trips"), "rinsewright trips SITE... --json > "+filepath.Base(file)+" writes one")
	}
	for _, w := range plan.Weeks {
		for _, t := range w.Trips {
			on, err := time.Parse(time.DateOnly, t.On)
			if err != nil {
				return nil, bad(fmt.Errorf("--agreed: read day %q, wanted one as 2026-07-13", t.On), "")
			}
			for _, j := range t.Jobs {
				all = append(all, study.Agreed{Site: t.Site, Name: j.Name, On: on})
			}
		}
	}
	return all, nil
}

func (t *terminal) trips(p *study.TripPlan) {
	sites := "one site"
	if p.Sites != 1 {
		sites = fmt.Sprintf("%d sites", p.Sites)
	}
	t.line(fmt.Sprintf("Trips to %s, %s to %s", sites, dayWords(p.From), dayWords(p.Until)))
	if len(p.Shared) > 0 {
		t.head("One cause at several sites")
		for _, s := range p.Shared {
			t.wrap("- ", fewWords(s.Sites)+": "+s.Says+".")
		}
	}
	for _, w := range p.Weeks {
		t.week(w)
	}
	if len(p.Weeks) == 0 {
		t.line("")
		t.wrap("", "Nothing is worth a drive in these weeks.")
	}
	if len(p.Looks) > 0 {
		t.head("Look when you pass: no trip goes there, and no day can be told")
		for _, l := range p.Looks {
			t.wrap("- ", l.Site+", "+l.Name+": "+l.Says+".")
		}
	}
	if len(p.Undated) > 0 {
		t.head("Sites without a forecast")
		for _, u := range p.Undated {
			t.wrap("- ", u.Site+": "+u.Why+".")
		}
	}
	t.head(fmt.Sprintf("Money expected over %d weeks", p.Ahead))
	t.line(pad("thrown away early, lost late", 34) + t.text(p.Work))
	t.line(pad("drives and stops", 34) + t.text(p.Travel))
	t.line(pad("both, with a trip for each job", 34) + t.text(p.Alone))
	t.assumed(p.Assumed)
}

// fewWords names sites, as many as a person reads.
func fewWords(all []string) string {
	const most = 8
	if len(all) > most {
		return strings.Join(all[:most], ", ") + fmt.Sprintf(" and %d more", len(all)-most)
	}
	return strings.Join(all, ", ")
}

func (t *terminal) week(w study.TripWeek) {
	drives := map[time.Time]quantity.Time{}
	for _, trip := range w.Trips {
		drives[trip.On] += trip.Hours
	}
	t.head(fmt.Sprintf("Week of %s · %s on %s · %s of work, drive not counted", dayWords(w.Monday), several(len(w.Trips), "trip"), several(len(drives), "day"), t.hours(w.Hours)))
	if bring := study.VanWords(w.Bring); bring != "" {
		t.wrap("van  ", bring)
	}
	for _, d := range w.LongDays() {
		t.wrap("long ", d.On.Format("Mon 2 Jan")+" is "+t.hours(d.Hours)+" of work: two vans, or take a part of it another day.")
	}
	for _, trip := range w.Trips {
		place := trip.Site
		if trip.Area != "" {
			place += " (" + trip.Area + ")"
		}
		t.wrap("[ ] ", trip.On.Format("Mon 2 Jan")+"  "+place+", "+t.hours(trip.Hours))
		for _, j := range trip.Jobs {
			name := j.Name
			if j.Nth > 1 {
				name += " again"
			}
			t.wrap("      ", upperFirst(name)+", "+j.Due+". "+upperFirst(j.Why)+".")
			for _, caution := range j.Cautions {
				t.wrap("      TAKE CARE  ", caution)
			}
			if j.Nth == 1 {
				t.wrap("      - ", upperFirst(j.Do)+".")
			}
			if j.Narrow != "" {
				t.wrap("      ", "To know the day better: "+j.Narrow+".")
			}
		}
		for _, l := range trip.Looks {
			t.wrap("      look  ", l.Name+": "+l.Says+".")
		}
	}
}

func (t *terminal) hours(x quantity.Time) string {
	text := fmt.Sprintf("%.1f h", float64(x)/3600)
	if t.locale.DecimalComma {
		text = strings.Replace(text, ".", ",", 1)
	}
	return text
}

func several(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

type tripsJSON struct {
	Schema  string             `json:"schema"`
	From    string             `json:"from"`
	Until   string             `json:"until"`
	Sites   int                `json:"sites"`
	Weeks   []tripWeekJSON     `json:"weeks"`
	Shared  []sharedJSON       `json:"shared"`
	Looks   []lookJSON         `json:"looks"`
	Undated []undatedJSON      `json:"undated"`
	Ahead   int                `json:"weeks_looked_ahead"`
	Work    numberJSON         `json:"lost_early_or_late"`
	Travel  numberJSON         `json:"travel"`
	Alone   numberJSON         `json:"with_a_trip_for_each_job"`
	Assumed []study.Assumption `json:"assumed"`
	Errors  []sitefile.Problem `json:"errors"`
}

type tripWeekJSON struct {
	Monday string        `json:"monday"`
	Hours  float64       `json:"hours"`
	Bring  []vanPartJSON `json:"bring"`
	Trips  []tripJSON    `json:"trips"`
}

type tripJSON struct {
	On    string        `json:"on"`
	Site  string        `json:"site"`
	Area  string        `json:"area,omitempty"`
	Hours float64       `json:"hours"`
	Jobs  []tripJobJSON `json:"jobs"`
	Looks []lookJSON    `json:"looks"`
	Bring []vanPartJSON `json:"bring"`
}

type tripJobJSON struct {
	Name     string     `json:"name"`
	Nth      int        `json:"nth"`
	Do       string     `json:"do"`
	Steps    []string   `json:"steps"`
	Due      string     `json:"due"`
	Why      string     `json:"why"`
	Own      string     `json:"own_best_day"`
	Extra    numberJSON `json:"costs_over_own_best_day"`
	Cautions []string   `json:"cautions"`
	Narrow   string     `json:"narrowed_by,omitempty"`
}

type vanPartJSON struct {
	Count int    `json:"count"`
	What  string `json:"what"`
}

type lookJSON struct {
	Site string `json:"site"`
	Name string `json:"name"`
	Says string `json:"says"`
}

type undatedJSON struct {
	Site string `json:"site"`
	Why  string `json:"why"`
}

func plannedJSON(p *study.TripPlan) tripsJSON {
	out := tripsJSON{
		Schema: tripsSchema, From: p.From.Format(time.DateOnly), Until: p.Until.Format(time.DateOnly), Sites: p.Sites, Weeks: []tripWeekJSON{}, Shared: []sharedJSON{},
		Looks: looksJSON(p.Looks), Undated: []undatedJSON{}, Ahead: p.Ahead, Work: plain(p.Work), Travel: plain(p.Travel), Alone: plain(p.Alone), Assumed: p.Assumed, Errors: []sitefile.Problem{},
	}
	for _, s := range p.Shared {
		out.Shared = append(out.Shared, sharedJSON{s.What, s.Says, s.Sites, s.Odds})
	}
	for _, u := range p.Undated {
		out.Undated = append(out.Undated, undatedJSON{u.Site, u.Why})
	}
	for _, w := range p.Weeks {
		week := tripWeekJSON{w.Monday.Format(time.DateOnly), float64(w.Hours) / 3600, vanJSON(w.Bring), nil}
		for _, t := range w.Trips {
			week.Trips = append(week.Trips, tripOf(t))
		}
		out.Weeks = append(out.Weeks, week)
	}
	return out
}

func tripOf(t study.Trip) tripJSON {
	out := tripJSON{t.On.Format(time.DateOnly), t.Site, t.Area, float64(t.Hours) / 3600, nil, looksJSON(t.Looks), vanJSON(t.Bring)}
	for _, j := range t.Jobs {
		out.Jobs = append(out.Jobs, tripJobJSON{j.Name, j.Nth, j.Do, append([]string{}, j.Steps...), j.Due, j.Why, j.Own.Format(time.DateOnly), plain(j.Extra), append([]string{}, j.Cautions...), j.Narrow})
	}
	return out
}

func vanJSON(load []study.VanPart) []vanPartJSON {
	out := []vanPartJSON{}
	for _, p := range load {
		out = append(out, vanPartJSON{p.Count, p.What})
	}
	return out
}

func looksJSON(all []study.Look) []lookJSON {
	out := []lookJSON{}
	for _, l := range all {
		out = append(out, lookJSON{l.Site, l.Name, l.Says})
	}
	return out
}
