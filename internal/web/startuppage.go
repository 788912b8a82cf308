package web

import (
	"context"
	_ "embed"
	"errors"
	"fmt"
	"math"
	"net/http"
	"slices"
	"strings"
	"time"

	"rinsewright/commissioning"
	"rinsewright/internal/door"
	"rinsewright/internal/paper"
	"rinsewright/internal/sitefile"
	"rinsewright/internal/store"
	"rinsewright/plant"
	"rinsewright/quantity"
	"rinsewright/site"
	"rinsewright/study"
)

//go:embed assets/steady.js
var steadyScript string

//go:embed assets/startup.js
var startUpScript string

// startUpView is the page of the day a rig starts: the sheet in the order the
// valves are touched, what its readings prove, and the record that stands.
type startUpView struct {
	Watched string // strengths since the start of the run, each with its minutes
	Steady  string // whether they stand still; empty where nobody watches
	Site    store.Site
	Steps   []startStep
	Rule    string
	Scales  []string
	Decimal string
	Rev     int64

	Date, By, Signed, Scale, Bag, Words, Reason string

	Drawn   string              // what is signed on glass, a stroke a line
	Photos  string              // of the day, a digest and what it shows a line
	Glass   signedView          // what the record that stands was signed with
	Stands  *site.Commissioning // on record
	Broken  bool                // it was changed after it was sealed
	Proved  verdictView         // what it proves
	Judged  verdictView         // what is typed proves
	Kept    bool
	Wrong   []string // about no one field
	Signing bool     // somebody tried to
}

// startStep is one step of the sheet.
type startStep struct {
	Name, Title string
	Cautions    []string
	Do, Until   []string
	Done        string // what was typed of it
	Watch       string // key of the reading that is watched until it stands still
	Read        []startAsk
}

// startAsk is one reading of the sheet.
type startAsk struct {
	Key, Title, Should string
	Units, With        []string
	Tries              []startTry
	Line               string // gauge and number, as a record names them
}

// startTry is one of its readings: some are taken twice.
type startTry struct {
	Key, Title                   string
	Value, Unit, Method, Minutes string
	Strength                     bool // creep washes out: the minutes count
	Wrong                        string
	Units, With                  []string
}

// verdictView is what readings prove.
type verdictView struct {
	Says, Why string
	Balances  []balanceLine
	Repeats   []string
	Proofs    []proofLine
	Later     []study.Later
}

type balanceLine struct {
	Name, State, Says string
	Suspects          []string
}

// proofLine is one promise with its verdict.
type proofLine struct {
	Key, Says, Promised, Verdict, Read, Why, Better string
	Bad                                             bool
}

// preparing is what promises are worked out for: a site and the water of a day.
type preparing struct {
	hash   string
	under  study.Under
	reader reader
}

type prepared struct {
	promises *study.Proving
	err      error
}

func (v *visit) startUpPage() error {
	page, record, reads, _, err := v.newStartUp()
	if err != nil {
		return err
	}
	page.Kept = v.r.URL.Query().Has("saved")
	if err := v.stands(&page, record, reads); err != nil {
		return err
	}
	return v.show(http.StatusOK, "startup.html", "First day of "+page.Site.Name, "sites", page)
}

// newStartUp is the page before anything is typed.
func (v *visit) newStartUp() (page startUpView, record *site.Site, reads reader, file quantity.Locale, err error) {
	kept, record, file, err := v.found()
	if err != nil {
		return page, nil, reads, file, err
	}
	if reads, err = v.reader(); err != nil {
		return page, nil, reads, file, err
	}
	sheet := study.StartUp(record, study.Options{Seed: 1, Units: reads.units, Locale: reads.locale})
	page = startUpView{
		Site: kept, Rev: kept.Rev, Rule: sheet.Rule, Scales: sitefile.Words("sample.scale"), Decimal: reads.Decimal(),
		Date: v.options.Now().Format(time.DateOnly), By: v.session.Person.Name,
	}
	for _, s := range sheet.Steps {
		page.Steps = append(page.Steps, stepOf(s, sheet, reads))
	}
	if c, ok := record.Baseline(); ok {
		page.Stands, page.Broken = &c, c.Seal != "" && !c.Intact()
		if page.Glass, err = v.signedOf(kept.ID, c); err != nil {
			return page, nil, reads, file, err
		}
	}
	return page, record, reads, file, nil
}

func stepOf(s commissioning.Step, sheet study.Sheet, reads reader) startStep {
	step := startStep{Name: s.Name, Title: s.Title, Cautions: s.Cautions, Do: s.Do}
	if s.Dose > 0 {
		step.Do = append(slices.Clone(s.Do), fmt.Sprintf("Plain bleach, 5.25 %%, into the full tank: %s. A strip confirms it: bleach loses strength on the shelf.", paper.Cup(s.Dose, reads.units, reads.locale)))
	}
	for _, stop := range s.Stop {
		step.Until = append(step.Until, stop.Words())
		if stop.Kind == commissioning.Settled {
			step.Watch = "read." + s.Name + "." + string(stop.Of)
		}
	}
	for _, a := range s.Read {
		step.Read = append(step.Read, askOf(s.Name, a, sheet, reads))
	}
	return step
}

func askOf(step string, a commissioning.Asked, sheet study.Sheet, reads reader) startAsk {
	ask := startAsk{Key: "read." + step + "." + strings.ReplaceAll(a.Key(), " ", "."), Title: capital(a.Title()), Units: unitsOf(a.Of, reads.units), Line: a.Key()}
	if f, ok := sheet.Should[a.Key()]; ok {
		ask.Should = "about " + f.Text(reads.units, reads.locale)
	}
	methods, _ := commissioning.Better(plant.Reading{Of: a.Of, SI: 1}, math.Inf(1))
	for _, m := range methods {
		ask.With = append(ask.With, string(m))
	}
	tries := []string{""}
	if a.Twice {
		tries = []string{"first", "again"}
	}
	for _, word := range tries {
		try := startTry{Key: ask.Key, Title: ask.Title, Unit: ask.Units[0], Units: ask.Units, With: ask.With, Strength: a.Of.Kind() == quantity.KindConductivity}
		if word != "" {
			try.Key, try.Title = ask.Key+"."+word, ask.Title+", "+word
		}
		ask.Tries = append(ask.Tries, try)
	}
	return ask
}

// stands tells what the record that stands proves.
func (v *visit) stands(page *startUpView, record *site.Site, reads reader) error {
	if page.Stands == nil {
		return nil
	}
	p, err := v.promises(page.Site, record, study.DayOf(page.Stands.Read), reads)
	if err == nil {
		var proved *study.Proved
		if proved, err = p.Frozen(page.Stands.Promised).With(page.Stands.Instruments).Judge(page.Stands.Read); err == nil {
			page.Proved = verdictOf(proved, reads)
			return nil
		}
	}
	page.Proved.Why, err = whyUnproved(err)
	return err
}

// whyUnproved says why there is no verdict; what it cannot say stays an error.
func whyUnproved(err error) (string, error) {
	switch {
	case errors.Is(err, context.DeadlineExceeded):
		return "The promises are still being worked out. Ask again in a moment.", nil
	case errors.Is(err, context.Canceled):
		return "", err
	}
	return door.Unanswered(err), nil
}

// promises are those of a site at the water of a day, ready to judge readings.
func (v *visit) promises(kept store.Site, record *site.Site, under study.Under, reads reader) (*study.Proving, error) {
	ctx, stop := context.WithTimeout(v.r.Context(), patience)
	defer stop()
	found, err := v.provings.ask(ctx, preparing{kept.Hash, under, reads}, func(ctx context.Context) (p prepared) {
		p.promises, p.err = study.Prepare(ctx, record, under, study.Options{Seed: 1, Looks: siteLooks, Units: reads.units, Locale: reads.locale})
		return p
	})
	if err != nil {
		return nil, err
	}
	return found.promises, found.err
}

func verdictOf(p *study.Proved, reads reader) verdictView {
	out := verdictView{Says: p.VerdictWords(), Later: p.Later, Repeats: p.Repeats}
	for _, b := range p.Balances {
		line := balanceLine{Name: b.Name, State: "does not close", Says: b.Says}
		if b.Closes {
			line.State = "closes"
		}
		for _, s := range b.Suspects {
			words := s.Says
			if s.By != "" {
				words += " (" + s.By + ")"
			}
			line.Suspects = append(line.Suspects, words)
		}
		out.Balances = append(out.Balances, line)
	}
	for _, x := range p.Proofs {
		out.Proofs = append(out.Proofs, proofOf(x, reads))
	}
	return out
}

func proofOf(x study.Proven, reads reader) proofLine {
	line := proofLine{
		Key: plant.Reading{Of: x.Of, Number: x.Number}.Key(), Says: x.Says, Promised: x.Promised(reads.units, reads.locale), Verdict: "not read",
	}
	if x.Read == nil {
		return line
	}
	line.Verdict, line.Bad = string(x.Verdict), x.Verdict == commissioning.FallsShort
	line.Read = fmt.Sprintf("read %s ± %s, %s", x.Read.Text(reads.units, reads.locale), x.Doubt.Text(reads.units, reads.locale), study.ChanceWords(x.Chance))
	line.Why = x.Why
	if x.Verdict == commissioning.CannotTell {
		line.Better = strings.Join(x.Better, "; ")
	}
	return line
}

// verdict answers the script with what the readings typed so far prove.
func (v *visit) verdict() error {
	page, _, record, reads, _, err := v.typedStartUp()
	if err != nil {
		return err
	}
	if err := v.judge(&page, record, reads); err != nil {
		return err
	}
	return v.fragment("startup.html", "judged", page)
}

// watched are the strengths that were noted since the run began.
func (s *startUpView) watched(loc quantity.Locale) (all []site.Reading) {
	for line := range strings.Lines(s.Watched) {
		minutes, value, ok := strings.Cut(strings.TrimSpace(line), " ")
		if !ok || len(all) == mostWatched {
			continue
		}
		try := startTry{Value: value, Strength: true}
		at := quantity.Rewrite(minutes, quantity.Locale{}, loc)
		if r, err := site.ParseReading(try.as(string(plant.PermeateStrength), s.Scale)+", after "+at+" min", loc); err == nil {
			all = append(all, r)
		}
	}
	return all
}

// mostWatched is how many readings of one run are looked at.
const mostWatched = 200

// judge holds what is typed against the promises at its water.
func (v *visit) judge(page *startUpView, record *site.Site, reads reader) error {
	if run := page.watched(reads.locale); len(run) > 0 {
		state, err := study.Settled(run)
		if err == nil {
			page.Steady = string(state)
		}
	}
	c := page.record(reads.locale)
	if len(c.Read) == 0 {
		return nil
	}
	p, err := v.promises(page.Site, record, study.DayOf(c.Read), reads)
	if err == nil {
		var proved *study.Proved
		if proved, err = p.With(c.Instruments).Judge(c.Read); err == nil {
			page.Judged = verdictOf(proved, reads)
			return nil
		}
	}
	page.Judged.Why, err = whyUnproved(err)
	return err
}

// typedStartUp is the page as it was typed, and how its numbers are written.
func (v *visit) typedStartUp() (page startUpView, typed quantity.Locale, record *site.Site, reads reader, file quantity.Locale, err error) {
	if err = v.form(); err != nil {
		return
	}
	if page, record, reads, file, err = v.newStartUp(); err != nil {
		return
	}
	if typed, err = v.typedIn(); err != nil {
		return
	}
	page.Decimal = reader{locale: typed}.Decimal()
	reads.locale = typed
	for name, into := range map[string]*string{"date": &page.Date, "by": &page.By, "signed": &page.Signed, "scale": &page.Scale, "words": &page.Words, "reason": &page.Reason} {
		*into = oneLine(v.r.PostFormValue(name))
	}
	for name, into := range map[string]*string{"bag": &page.Bag, "drawn": &page.Drawn, "photos": &page.Photos, "watch": &page.Watched} {
		*into = strings.TrimSpace(strings.ReplaceAll(v.r.PostFormValue(name), "\r\n", "\n"))
	}
	for i := range page.Steps {
		step := &page.Steps[i]
		step.Done = oneLine(v.r.PostFormValue("done." + step.Name))
		for k := range step.Read {
			for n := range step.Read[k].Tries {
				try := &step.Read[k].Tries[n]
				for name, into := range map[string]*string{"": &try.Value, ".unit": &try.Unit, ".with": &try.Method, ".after": &try.Minutes} {
					*into = oneLine(v.r.PostFormValue(try.Key + name))
				}
				if try.Value != "" {
					if _, err := site.ParseReading(try.as(step.Read[k].Line, page.Scale), typed); err != nil {
						try.Wrong = whatWasWanted(err)
					}
				}
			}
		}
	}
	for line := range strings.Lines(page.Bag) {
		if line = strings.TrimSpace(line); line == "" {
			continue
		}
		if _, err := site.ParseInstrument(line, typed); err != nil {
			page.Wrong = append(page.Wrong, "Meter bag, “"+line+"”: "+whatWasWanted(err))
		}
	}
	return
}

func whatWasWanted(err error) string {
	var p site.Problem
	if !errors.As(err, &p) || p.Wanted == "" {
		return "Wanted: a value with its unit that such a gauge can show."
	}
	return "Wanted: " + p.Wanted + "."
}

// as is a reading as a line of the record.
func (t startTry) as(gauge, scale string) string {
	text := t.Value
	if strings.Trim(text, "0123456789., ") == "" {
		text = strings.TrimSpace(text + " " + t.Unit)
	}
	if t.Strength && scale != "" && strings.HasSuffix(text, "ppm") {
		text += " " + scaleWords(scale)
	}
	if t.Minutes != "" {
		text += ", after " + t.Minutes
		if strings.Trim(t.Minutes, "0123456789., ") == "" {
			text += " min"
		}
	}
	if t.Method != "" {
		text += ", by " + t.Method
	}
	return gauge + " = " + text
}

// record is what is typed as a record, numbers written as loc says; what cannot
// be taken is left out, since it is told at its field.
func (s *startUpView) record(loc quantity.Locale) site.Commissioning {
	c := site.Commissioning{Date: s.Date, By: s.By, Signed: s.Signed, Words: s.Words}
	if s.Stands != nil {
		c.Corrects, c.Reason = s.Stands.Date, s.Reason
	}
	typed := quantity.Locale{DecimalComma: s.Decimal == "comma"}
	for line := range strings.Lines(s.Bag) {
		if i, err := site.ParseInstrument(quantity.Rewrite(strings.TrimSpace(line), typed, loc), loc); err == nil {
			c.Instruments = append(c.Instruments, i)
		}
	}
	c.Drawn, c.Photos = s.drawn(), s.photos()
	for _, step := range s.Steps {
		if step.Done != "" {
			c.Done = append(c.Done, step.doneWords())
		}
		for _, ask := range step.Read {
			for _, try := range ask.Tries {
				if try.Value == "" || try.Wrong != "" {
					continue
				}
				try.Value, try.Minutes = quantity.Rewrite(try.Value, typed, loc), quantity.Rewrite(try.Minutes, typed, loc)
				if r, err := site.ParseReading(try.as(ask.Line, s.Scale), loc); err == nil {
					c.Read = append(c.Read, r)
				}
			}
		}
	}
	return c
}

func (s startStep) doneWords() string {
	words := strings.ToLower(s.Title)
	if s.Done != "on" {
		words += ", " + s.Done
	}
	return words
}

func (s startStep) wrong() bool {
	return slices.ContainsFunc(s.Read, func(a startAsk) bool {
		return slices.ContainsFunc(a.Tries, func(t startTry) bool { return t.Wrong != "" })
	})
}
