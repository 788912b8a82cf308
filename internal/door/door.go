package door

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"strings"

	"rinsewright/internal/say"
	"rinsewright/internal/sitefile"
	"rinsewright/quantity"
	"rinsewright/site"
	"rinsewright/study"
)

// Ask is what a question wants to know.
type Ask string

// What may be asked.
const (
	Sketch Ask = "sketch" // the path, at once
	Check  Ask = "check"  // the path with its bands
	Sheet  Ask = "sheet"  // what is known of the water
	Odd    Ask = "odd"    // what looks odd about readings
	Faults Ask = "faults" // what may be wrong
)

// Question is one question about a site.
type Question struct {
	Ask    Ask      `json:"ask"`
	File   string   `json:"file"`             // text of the site file
	Set    []Change `json:"set,omitempty"`    // what was changed since, in this order
	Remove []string `json:"remove,omitempty"` // parts that were taken away
	Units  string   `json:"units,omitempty"`  // us or si
	Read   []string `json:"read,omitempty"`   // readings as a log has them
	Date   string   `json:"date,omitempty"`   // of the readings
	Said   []string `json:"said,omitempty"`   // what people say is wrong
	// Decimal is how the reader writes decimals, comma or point; empty is as the
	// file does.
	Decimal string `json:"decimal,omitempty"`
	// Language is the reader's, such as es; empty is English.
	Language string `json:"language,omitempty"`
}

// Change is one key of the site file with what someone typed.
type Change struct {
	Key  string `json:"key"`
	Says string `json:"says"`
}

// Answer is what a page shows.
type Answer struct {
	Why    string      `json:"why,omitempty"` // there is no other answer
	Wrong  []Wrong     `json:"wrong,omitempty"`
	Path   *Path       `json:"path,omitempty"`
	Sheet  *WaterSheet `json:"sheet,omitempty"`
	Doubts []Doubt     `json:"doubts,omitempty"`
	Faults *Suspicion  `json:"faults,omitempty"`
}

// Wrong is a change that could not be taken.
type Wrong struct {
	Key  string `json:"key"`
	Says string `json:"says"`
}

// checkLooks is how closely a check looks here: fewer looks than a site's own
// page has, since someone waits.
const checkLooks = 16

// sheetLooks asks for as few looks as a sheet takes.
const sheetLooks = 16

// Door answers questions. The zero value is ready; it remembers the site as it
// was before anything was changed, for one hand at a time.
type Door struct {
	asked string // what before answers
	site  *site.Site
	loc   quantity.Locale // of the file
	reads quantity.Locale // the reader's
	drawn *study.Checked
}

// JSON answers a question in JSON. It never fails: what went wrong is said in
// the answer.
func (d *Door) JSON(ctx context.Context, question []byte) []byte {
	var q Question
	a := Answer{Why: "The question cannot be read."}
	if err := json.Unmarshal(question, &q); err == nil {
		a = d.Answer(ctx, q)
	}
	text, err := json.Marshal(a)
	if err != nil { // an answer holds texts and finite numbers
		return []byte(`{"why":"The answer cannot be told."}`)
	}
	return text
}

// Answer answers a question in its language.
func (d *Door) Answer(ctx context.Context, q Question) Answer {
	a := d.answer(ctx, q)
	a.in(say.Shared(q.Language, d.reads.DecimalComma))
	return a
}

func (d *Door) answer(ctx context.Context, q Question) Answer {
	if err := d.open(ctx, q); err != nil {
		return Answer{Why: "The site file cannot be read: " + err.Error()}
	}
	changed, wrong, err := d.changed(q)
	if err != nil {
		return Answer{Why: err.Error()}
	}
	a := Answer{Wrong: wrong}
	o := study.Options{Seed: 1, Units: units(q.Units), Locale: d.reads}
	switch q.Ask {
	case Sheet:
		a.Sheet, err = Water(ctx, changed, o)
	case Faults:
		a.Faults, err = Suspects(ctx, changed, q, o)
	case Odd:
		a.Doubts = Doubts(changed, q.Date, q.Read, o)
	case Sketch, Check:
		a.Path, err = d.path(ctx, q, changed, o)
	default:
		err = fmt.Errorf("nobody answers %q here", q.Ask)
	}
	if err != nil {
		a.Why = Unanswered(err)
	}
	return a
}

func units(word string) quantity.System {
	if word == "si" {
		return quantity.SI
	}
	return quantity.US
}

// open reads the site, unless it is the one that was read last.
func (d *Door) open(ctx context.Context, q Question) error {
	if asked := q.Units + q.Decimal + "\n" + q.File; d.site == nil || d.asked != asked {
		read, err := sitefile.Read("site.toml", []byte(q.File))
		if err != nil {
			return err
		}
		*d = Door{asked: asked, site: read, loc: sitefile.Locale([]byte(q.File))}
		if d.reads = d.loc; q.Decimal != "" {
			d.reads.DecimalComma = q.Decimal == "comma"
		}
	}
	return ctx.Err()
}

// changed is the site with what was changed, and what could not be taken.
func (d *Door) changed(q Question) (*site.Site, []Wrong, error) {
	s, err := sitefile.Copy(d.site, d.loc)
	if err != nil {
		return nil, nil, err
	}
	var wrong []Wrong
	told := map[string]bool{}
	for _, c := range q.Set {
		if err := sitefile.Set(s, c.Key, d.settled(c), d.loc); err != nil {
			wrong, told[c.Key] = append(wrong, Wrong{c.Key, WhatIsWrong(err)}), true
		}
	}
	for _, part := range q.Remove {
		sitefile.Remove(s, part)
	}
	for _, p := range s.Problems() {
		if !told[p.Key] {
			wrong = append(wrong, Wrong{p.Key, Wanted(p)})
		}
	}
	return s, wrong, nil
}

// settled is what was typed as the file writes it.
func (d *Door) settled(c Change) string {
	if _, example := sitefile.Example(c.Key); len(sitefile.Words(c.Key)) > 0 || example == "" || !strings.Contains("0123456789", example[:1]) {
		return c.Says
	}
	return quantity.Rewrite(c.Says, d.reads, d.loc)
}

// Wanted says what a rule across fields wanted.
func Wanted(p site.Problem) string { return "This says " + p.Read + "; wanted: " + p.Wanted + "." }

// WhatIsWrong says what was wanted of a field, with an example.
func WhatIsWrong(err error) string {
	var ps sitefile.Problems
	if !errors.As(err, &ps) || len(ps) == 0 {
		return err.Error()
	}
	says := "Wanted: " + ps[0].Wanted + "."
	if _, example, ok := strings.Cut(ps[0].Example, "="); ok {
		says += " For example " + example + "."
	}
	return says
}

// Unanswered says why study has no answer yet, and what would help.
func Unanswered(err error) string {
	switch {
	case errors.Is(err, study.ErrNoRig):
		return "No membrane and no resin yet: add what hangs on the wall to the survey."
	case errors.Is(err, study.ErrNoSample):
		return "Nobody has read the raw water yet: a pen and a drop kit are enough."
	case errors.Is(err, study.ErrNoDemand):
		return "Nobody has said how busy it gets: vehicles on a normal day are enough."
	case errors.Is(err, study.ErrFragile):
		return "It makes water only if every reading is right: read pressure and flow again."
	}
	return "As the survey stands, this rig cannot work: " + err.Error() + "."
}
