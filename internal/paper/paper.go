package paper

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"rinsewright/catalog"
	"rinsewright/internal/paper/layout"
	"rinsewright/internal/scene"
	"rinsewright/site"
	"rinsewright/study"
)

// Record is what papers are made from: one site, as study answered for it.
type Record struct {
	Site  *site.Site
	Hangs *study.Checked // what hangs there; nil when nothing does
	Sized *study.Sized   // nil when no system was asked for
	Offer *study.Quoted  // nil when there is none to offer
	Parts *catalog.Catalogue

	Coming *study.Forecasted // what its log foresees; nil without one
	Proved *study.Proved     // what the first day's readings say of the promises; nil without a record
}

// Job is how a set of papers is to be made.
type Job struct {
	Options
	Language  string // one of Languages
	Size      layout.Size
	Date      time.Time
	From      string // who hands the papers over
	For       string // who gets them
	By        string // who prepared them
	Checked   string
	Approved  string
	Number    string // of the record: it stands on every page
	Hash      string // of what went in
	Address   string // of the site's reading page, for the label's code
	Option    string // letter of the option that was taken; empty is what hangs there
	Photos    []layout.Photo
	Revisions []Revision // that were issued before, oldest first
	Issue     *Revision  // to be issued now; nil makes a draft
}

// Revision is one issue of a paper.
type Revision struct {
	Letter   string        `json:"letter"`
	Date     string        `json:"date"` // ISO 8601 day
	By       string        `json:"by,omitempty"`
	Checked  string        `json:"checked,omitempty"`
	Approved string        `json:"approved,omitempty"`
	Change   string        `json:"change"`
	Input    string        `json:"input"`
	File     string        `json:"file"`
	SHA256   string        `json:"sha256"`
	Facts    []layout.Fact `json:"facts"`
}

// Made is a paper that was set.
type Made struct {
	Document scene.Document
	Facts    []layout.Fact
	Unsaid   []string // phrases that had no translation
}

// Kind is one sort of paper.
type Kind struct {
	Name   string // of its file
	Title  string
	size   func(layout.Size) layout.Size // nil takes the job's
	across bool
	form   bool // filled in by hand: never a draft, never revised
	told   bool // tells how things stand that day: never a draft, never revised
	brief  bool // one page, which has no room for a table of revisions
	set    func(*setting) error
}

// Revised says whether a paper is issued in revisions; forms are not.
func (k Kind) Revised() bool { return !k.form && !k.told }

// Offers says whether a paper is about the systems on offer.
func (k Kind) Offers() bool { return k.Name == "quote" || k.Name == "parts" || k.Name == "install-day" }

// ErrNothing marks a paper that a site gives no cause for, such as a quote
// where no system was found.
var ErrNothing = errors.New("nothing to put on this paper")

// Kinds are the papers of a site, in the order a job meets them.
var Kinds = []Kind{
	{Name: "quote", Title: "Quote", set: (*setting).quote},
	{Name: "parts", Title: "Parts list", set: (*setting).partsList},
	{Name: "install-day", Title: "Installation day", set: (*setting).installDay},
	{Name: "wall-plan", Title: "Wall plan", across: true, set: (*setting).wallPlan},
	{Name: "start-up", Title: "Start-up and sanitising", set: (*setting).startUp},
	{Name: "commissioning", Title: "Commissioning record", set: (*setting).commissioning},
	{Name: "owner", Title: "Owner's page", brief: true, set: (*setting).ownerPage},
	{Name: "label", Title: "Label at the skid", form: true, size: func(layout.Size) layout.Size { return layout.A6 }, set: (*setting).label},
	{Name: "service", Title: "Service report", set: (*setting).service},
	{Name: "log-sheet", Title: "Log sheet", across: true, form: true, set: (*setting).logSheet},
	{Name: "warranty", Title: "Warranty log and claim pack", set: (*setting).warranty},
	{Name: "hygiene", Title: "Hygiene log", across: true, form: true, set: (*setting).hygiene},
}

// KindNamed finds a kind by the name of its file.
func KindNamed(name string) (Kind, bool) {
	i := slices.IndexFunc(Kinds, func(k Kind) bool { return k.Name == name })
	if i < 0 {
		return Kind{}, false
	}
	return Kinds[i], true
}

// setting is one paper while it is set.
type setting struct {
	*layout.Flow
	*speaker
	Record
	job Job
}

// Make sets one paper of a record. The error wraps [ErrNothing] when there is
// nothing to put on it.
func (k Kind) Make(r Record, j Job) (Made, error) {
	s := newSpeaker(j.Language)
	size := j.Size
	if k.size != nil {
		size = k.size(size)
	}
	frame := layout.Frame{
		Size: size, Title: s.say(k.Title), Site: r.Site.Name, From: j.From, Number: j.Number, Date: s.date(j.Date), Draft: j.Issue == nil && k.Revised(), Across: k.across,
		Program: strings.TrimSpace("rinsewright " + j.Version), Hash: s.sayf("input %s", j.Hash), Hashed: !k.form, Language: j.Language, Made: j.Date, Say: s.say,
	}
	if j.Issue != nil && !k.form {
		frame.Revision = s.sayf("revision %s", j.Issue.Letter)
	}
	p := &setting{Flow: layout.New(frame), speaker: s, Record: r, job: j}
	if err := k.set(p); err != nil {
		return Made{}, fmt.Errorf("%s of %s: %w", k.Name, r.Site.Name, err)
	}
	facts := slices.Clone(p.Facts())
	if k.Revised() && !k.brief {
		p.issue(facts)
	}
	return Made{Document: p.Document(), Facts: facts, Unsaid: s.Unsaid()}, nil
}

// Joined puts papers one behind the other, to be printed in one go. It takes
// its language and its day from the first; there must be one.
func Joined(title string, all []Made) scene.Document {
	d := all[0].Document
	d.Title, d.Sheets = title, nil
	for _, m := range all {
		d.Sheets = append(d.Sheets, m.Document.Sheets...)
	}
	return d
}

// fig prints a figure as the screen does, its words in the paper's language.
func (p *setting) fig(f study.Figure) string {
	if f == nil {
		return ""
	}
	return p.units(f.Text(p.job.Units, p.job.Locale))
}

func (p *setting) band(b study.Band) string { return p.units(b.Text(p.job.Units, p.job.Locale)) }

// options are the picks on offer, by the letters of the quote.
func (p *setting) options() (all []study.Pick) {
	if p.Sized == nil {
		return nil
	}
	for _, x := range p.Sized.Picks {
		if x.SameAs == "" {
			all = append(all, x)
		}
	}
	return all
}

// taken is the option that the papers are about, the first when none was named.
func (p *setting) taken() (pick study.Pick, letter string, ok bool) {
	all := p.options()
	for i, x := range all {
		letter := string(rune('A' + i))
		if p.job.Option == letter || p.job.Option == "" {
			return x, letter, true
		}
	}
	return study.Pick{}, "", false
}

// cautions sets those that belong to this paper's work.
func (p *setting) cautions(all []study.Caution) {
	if len(all) == 0 {
		return
	}
	p.Head(p.say("Take care"))
	for _, c := range all {
		p.Caution(p.capital(p.say(c.Step)), p.say(c.Text))
	}
	p.Small(p.say("Local codes and licensed trades come first: where they say otherwise, they are right."))
}

// capital begins a sentence.
func (p *setting) capital(s string) string { return upperFirst(s) }
