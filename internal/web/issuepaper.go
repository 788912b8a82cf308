package web

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"time"

	"rinsewright/internal/paper"
	"rinsewright/internal/paper/layout"
	"rinsewright/internal/say"
	"rinsewright/internal/store"
)

// issuedView is a revision of a paper as the page lists it.
type issuedView struct {
	Paper, Letter, Words string
	Change               string
	Spanish              bool
	Changed              []paper.Change // since the one before
	More                 int            // changes that are not listed
}

// mostChanges are listed of a revision; its paper lists all.
const mostChanges = 20

// issuedViews are the revisions of one paper in every language, oldest first.
func issuedViews(speaker *say.Speaker, name string, all []store.Issued) (views []issuedView, err error) {
	var last []layout.Fact
	of := ""
	for _, p := range all {
		if p.Paper != name && p.Paper != name+"-es" {
			continue
		}
		view := issuedView{Paper: p.Paper, Letter: p.Letter, Spanish: p.Paper != name, Words: issuedWords(speaker, p), Change: p.Change}
		var facts []layout.Fact
		if err := json.Unmarshal([]byte(p.Facts), &facts); err != nil {
			return nil, fmt.Errorf("what %s %s says: %w", p.Paper, p.Letter, err)
		}
		if of == p.Paper {
			view.Changed = paper.Changes(last, facts)
			view.More = max(0, len(view.Changed)-mostChanges)
			view.Changed = view.Changed[:min(len(view.Changed), mostChanges)]
		}
		last, of = facts, p.Paper
		views = append(views, view)
	}
	return views, nil
}

func issuedWords(s *say.Speaker, p store.Issued) string {
	words := p.Day
	if day, err := time.Parse(time.DateOnly, p.Day); err == nil {
		words = s.Date(day)
	}
	for _, by := range []struct{ did, name string }{{"prepared by %s", p.Prepared}, {"checked by %s", p.Checked}, {"approved by %s", p.Approved}} {
		if by.name != "" {
			words += ", " + s.Sayf(by.did, by.name)
		}
	}
	return words
}

// revisedName names the row of revisions of a paper: each language has its own.
func revisedName(kind paper.Kind, job paper.Job) string {
	if job.Language != "en" {
		return kind.Name + "-" + job.Language
	}
	return kind.Name
}

// revisionsOf are the revisions of a paper as papers tell of them.
func (v *visit) revisionsOf(siteID, name string) (all []paper.Revision, err error) {
	issued, err := v.store.IssuedPapers(v.r.Context(), siteID)
	for _, p := range issued {
		if p.Paper != name {
			continue
		}
		r := paper.Revision{Letter: p.Letter, Date: p.Day, By: p.Prepared, Checked: p.Checked, Approved: p.Approved, Change: p.Change, Input: p.Input}
		if err := json.Unmarshal([]byte(p.Facts), &r.Facts); err != nil {
			return nil, fmt.Errorf("what %s %s says: %w", p.Paper, p.Letter, err)
		}
		all = append(all, r)
	}
	return all, err
}

// issuePaper makes the next revision of a paper and keeps it whole. Where it
// would say what the last one says there is none.
func (v *visit) issuePaper() error {
	kind, ok := kindOfFile(v.r.PathValue("file"))
	if !ok || !kind.Revised() {
		return store.ErrNone
	}
	kept, about, job, err := v.paperAbout(kind)
	if err != nil {
		return err
	}
	why := oneLine(v.r.Form.Get("change"))
	if why == "" || len(why) > 300 {
		return refuse(http.StatusUnprocessableEntity, "A revision says what changed and why, in at most 300 letters.", "For the first one: what it is for, such as “first offer”.")
	}
	draft, err := kind.Make(about, job)
	if err != nil {
		return blankPaper(err)
	}
	name := revisedName(kind, job)
	register := paper.Register{name: job.Revisions}
	if !register.Differs(name, draft.Facts) {
		return v.redirect("/sites/" + kept.ID + "/papers?same=" + url.QueryEscape(kind.Title+" "+job.Revisions[len(job.Revisions)-1].Letter))
	}
	letter := register.Next(name)
	job.Issue = &paper.Revision{
		Letter: letter, Date: job.Date.Format(time.DateOnly), By: job.By, Checked: job.Checked, Approved: job.Approved, Change: why, Input: job.Hash, Facts: draft.Facts,
	}
	if err := v.keepIssued(kept.ID, name, kind, about, job); err != nil {
		return err
	}
	return v.redirect("/sites/" + kept.ID + "/papers?issued=" + url.QueryEscape(kind.Title+" "+letter))
}

func (v *visit) keepIssued(siteID, name string, kind paper.Kind, about paper.Record, job paper.Job) error {
	made, err := kind.Make(about, job)
	if err != nil {
		return err
	}
	var b bytes.Buffer
	if err := made.Document.PDF(&b); err != nil {
		return err
	}
	facts, err := json.Marshal(job.Issue.Facts)
	if err != nil {
		return err
	}
	r := job.Issue
	err = v.store.IssuePaper(v.r.Context(), v.person(), store.Issued{
		Site: siteID, Paper: name, Number: int64(len(job.Revisions)) + 1, Letter: r.Letter, Day: r.Date, Prepared: r.By, Checked: r.Checked, Approved: r.Approved,
		Change: r.Change, Input: r.Input, Facts: string(facts),
	}, b.Bytes())
	if errors.Is(err, store.ErrFull) {
		return refuse(http.StatusUnprocessableEntity, "The paper is too large to be kept.", fmt.Sprintf("It has room for %d MB: print fewer photos.", store.MostIssuedBytes>>20))
	}
	return err
}

// issuedPaper hands out a revision as it was issued.
func (v *visit) issuedPaper() error {
	kept, err := v.store.Site(v.r.Context(), v.r.PathValue("id"))
	if err != nil {
		return err
	}
	name, letter := v.r.PathValue("paper"), v.r.PathValue("letter")
	pdf, err := v.store.IssuedPaper(v.r.Context(), kept.ID, name, letter)
	if err != nil {
		return err
	}
	h := v.w.Header()
	h.Set("Content-Type", "application/pdf")
	h.Set("Content-Disposition", `attachment; filename="`+fileName(kept.Name+" "+name+" "+letter)+`.pdf"`)
	h.Set("Cache-Control", "private, max-age=31536000, immutable")
	_, err = v.w.Write(pdf)
	return err
}
