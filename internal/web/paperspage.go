package web

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"net/http"
	"strings"
	"time"

	"rinsewright/internal/door"
	"rinsewright/internal/paper"
	"rinsewright/internal/paper/layout"
	"rinsewright/internal/sitefile"
	"rinsewright/internal/store"
	"rinsewright/quantity"
	"rinsewright/site"
	"rinsewright/study"
)

// papersView is the page that hands out a site's papers.
type papersView struct {
	Site          store.Site
	Rows          []paperRow
	Needs         bool // a paper waits for a sizing
	From, For, By string
	Options       []string // letters of the systems on offer
	SI            bool     // the reader's units
	Now           string   // what was just issued
	Same          string   // what was not, since nothing differs
}

// paperRow is one paper: with its files, or with why there are none.
type paperRow struct {
	Title, Why string
	Files      []paperFile
	Issue      bool // can be issued in revisions
	Issued     []issuedView
}

type paperFile struct{ Name, Words string }

// besides are the files that go with a paper.
var besides = map[string]paperFile{
	"parts": {"parts.xlsx", "Workbook"}, "log-sheet": {"log.csv", "Table to fill in"}, "service": {"calendar.ics", "Calendar"},
}

// mostTyped is how many letters a name on a paper may have.
const mostTyped = 120

// papersPage lists the papers of a site.
func (v *visit) papersPage() error {
	kept, record, _, err := v.found()
	if err != nil {
		return err
	}
	sized, err := v.sizedNow(kept)
	if err != nil {
		return err
	}
	page := papersView{Site: kept, By: v.session.Person.Name}
	if sized != nil {
		offer, err := study.Offer(record, sized)
		if err != nil && !errors.Is(err, study.ErrNoSystem) {
			return err
		}
		if err == nil {
			for _, o := range offer.Options {
				page.Options = append(page.Options, o.Letter)
			}
		}
	}
	reads, err := v.reader()
	if err != nil {
		return err
	}
	page.SI, page.Now, page.Same = reads.units == quantity.SI, v.r.URL.Query().Get("issued"), v.r.URL.Query().Get("same")
	issued, err := v.store.IssuedPapers(v.r.Context(), kept.ID)
	if err != nil {
		return err
	}
	hangs := record.Rig.Membrane != nil || len(record.Rig.Resin) > 0
	for _, k := range paper.Kinds {
		row := paperRow{Title: k.Title, Issue: k.Revised()}
		if row.Issued, err = issuedViews(v.speaker(), k.Name, issued); err != nil {
			return err
		}
		if (k.Offers() || !hangs) && sized == nil {
			row.Why, page.Needs = "waits for a sizing", true
		} else {
			row.Files = []paperFile{{k.Name + ".pdf", "PDF"}}
			if one, ok := besides[k.Name]; ok {
				row.Files = append(row.Files, one)
			}
		}
		page.Rows = append(page.Rows, row)
	}
	return v.show(http.StatusOK, "papers.html", "Papers of "+kept.Name, "sites", page)
}

// sizedNow is the sizing of the survey as it stands, nil when there is none.
func (v *visit) sizedNow(kept store.Site) (*study.Sized, error) {
	q, err := v.sizeQuestion(kept)
	if err != nil {
		return nil, err
	}
	found := v.sizings.find(q)
	if found == nil || !found.over() || found.err != nil {
		return nil, nil
	}
	return found.sized, nil
}

// paperFile hands out one file.
func (v *visit) paperFile() error {
	file := v.r.PathValue("file")
	kind, ok := kindOfFile(file)
	if !ok {
		return store.ErrNone
	}
	kept, about, job, err := v.paperAbout(kind)
	if err != nil {
		return err
	}
	whole, err := paperBytes(file, kind, about, job)
	if err != nil {
		return blankPaper(err)
	}
	h := v.w.Header()
	h.Set("Content-Type", map[string]string{
		"pdf": "application/pdf", "xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
		"csv": "text/csv; charset=utf-8", "ics": "text/calendar; charset=utf-8",
	}[file[strings.LastIndexByte(file, '.')+1:]])
	h.Set("Content-Disposition", `attachment; filename="`+fileName(kept.Name)+"-"+file+`"`)
	h.Set("Cache-Control", "no-store")
	_, err = v.w.Write(whole)
	return err
}

// paperAbout is what a paper tells of, how it is to be made, and what was issued
// of it before.
func (v *visit) paperAbout(kind paper.Kind) (kept store.Site, about paper.Record, job paper.Job, err error) {
	kept, record, locale, err := v.found()
	if err != nil {
		return kept, about, job, err
	}
	if job, err = v.paperJob(kept); err != nil {
		return kept, about, job, err
	}
	if about, err = v.paperRecord(kept, record, locale, kind, job); err != nil {
		return kept, about, job, err
	}
	if job.Photos, err = v.printedPhotos(kept.ID, kind, record); err != nil {
		return kept, about, job, err
	}
	job.Revisions, err = v.revisionsOf(kept.ID, revisedName(kind, job))
	return kept, about, job, err
}

// blankPaper puts into words that there is nothing to print.
func blankPaper(err error) error {
	if errors.Is(err, paper.ErrNothing) {
		return refuse(http.StatusNotFound, "There is nothing to put on this paper yet.", "The survey, a sizing or the log would fill it.")
	}
	return err
}

// kindOfFile is the paper that a file belongs to.
func kindOfFile(file string) (paper.Kind, bool) {
	for _, k := range paper.Kinds {
		if beside, ok := besides[k.Name]; file == k.Name+".pdf" || ok && file == beside.Name {
			return k, true
		}
	}
	return paper.Kind{}, false
}

func paperBytes(file string, kind paper.Kind, about paper.Record, job paper.Job) ([]byte, error) {
	switch file {
	case "parts.xlsx":
		grid, err := paper.PartsGrid(about, job)
		if err != nil {
			return nil, err
		}
		return grid.XLSX()
	case "log.csv":
		return []byte(sitefile.LogSheet()), nil
	case "calendar.ics":
		return paper.Calendar(about, job)
	}
	made, err := kind.Make(about, job)
	if err != nil {
		return nil, err
	}
	var b bytes.Buffer
	err = made.Document.PDF(&b)
	return b.Bytes(), err
}

// paperJob is how the papers are to be made, as the form says.
func (v *visit) paperJob(kept store.Site) (paper.Job, error) {
	reads, err := v.reader()
	if err != nil {
		return paper.Job{}, err
	}
	list, err := v.partList(v.r.Context())
	if err != nil {
		return paper.Job{}, err
	}
	if err := v.form(); err != nil {
		return paper.Job{}, err
	}
	says := v.r.Form
	switch says.Get("units") {
	case "us":
		reads.units = quantity.US
	case "si":
		reads.units = quantity.SI
	}
	language, size := "en", layout.Letter
	if says.Get("language") == "es" {
		language = "es"
	}
	if says.Get("size") == "a4" {
		size = layout.A4
	}
	sum := sha256.Sum256(fmt.Appendf(nil, "%s\x00%s\x00%s", kept.Hash, list.Hash, reads.word()))
	job := paper.Job{
		Options:  paper.Options{Units: reads.units, Locale: reads.locale, Version: v.options.Version},
		Language: language, Size: size, Date: v.options.Now().UTC().Truncate(24 * time.Hour), Number: fileName(kept.Name), Hash: hex.EncodeToString(sum[:6]),
		Option: strings.ToUpper(says.Get("option")), Address: v.ownAddress() + "/sites/" + kept.ID + "/reading",
	}
	for name, into := range map[string]*string{"from": &job.From, "for": &job.For, "by": &job.By, "checked": &job.Checked, "approved": &job.Approved} {
		*into = oneLine(says.Get(name))
		if len(*into) > mostTyped {
			return job, refuse(http.StatusUnprocessableEntity, "A name on the papers is too long.", fmt.Sprintf("It has room for %d letters.", mostTyped))
		}
	}
	return job, nil
}

// ownAddress is where this visitor reaches the program.
func (v *visit) ownAddress() string {
	if v.encrypted(v.r) {
		return "https://" + v.r.Host + v.options.Base
	}
	return "http://" + v.r.Host + v.options.Base
}

// paperRecord asks what the paper tells of.
func (v *visit) paperRecord(kept store.Site, record *site.Site, locale quantity.Locale, kind paper.Kind, job paper.Job) (about paper.Record, err error) {
	about.Site = record
	if about.Parts, err = v.catalogue(v.r.Context()); err != nil {
		return about, err
	}
	if about.Sized, err = v.sizedNow(kept); err != nil {
		return about, err
	}
	if about.Sized != nil {
		if about.Offer, err = study.Offer(record, about.Sized); err != nil && !errors.Is(err, study.ErrNoSystem) {
			return about, refuse(http.StatusUnprocessableEntity, unsized(err), "The sizing page tells more.")
		}
	} else if kind.Offers() || job.Option != "" {
		return about, refuse(http.StatusConflict, "This paper is about the systems on offer, and the site is not sized yet.", "Size it first: the sizing page does it.")
	}
	samples, err := v.store.Samples(v.r.Context(), kept.ID, 1000)
	if err != nil {
		return about, err
	}
	q := question{hash: kept.Hash, reader: reader{units: job.Units, locale: job.Locale}, looks: siteLooks}
	if withSamples(record, samples, locale) {
		q.sample = samples[0].ID
	}
	about.Hangs, err = v.checkedFor(q, record)
	if err != nil {
		return about, err
	}
	if kind.Name == "commissioning" && job.Option == "" {
		if about.Proved, err = v.provedOn(kept, record, reader{units: job.Units, locale: job.Locale}); err != nil {
			return about, err
		}
	}
	if f, err := study.Forecast(record, study.Options{Seed: 1, Units: job.Units, Locale: job.Locale}, time.Time{}); err == nil {
		about.Coming = f // without a log the papers say how the stations stand
	}
	return about, nil
}

// checkedFor waits longer than a page does, since nothing is shown meanwhile; a
// site where nothing hangs has no check, which is no mistake.
func (v *visit) checkedFor(q question, record *site.Site) (*study.Checked, error) {
	ctx, stop := context.WithTimeout(v.r.Context(), 5*patience)
	defer stop()
	found, err := v.views.ask(ctx, q, func() *site.Site { return record })
	switch {
	case v.r.Context().Err() != nil:
		return nil, v.r.Context().Err()
	case err != nil:
		return nil, refuse(http.StatusServiceUnavailable, "The engine still looks at this site.", "Ask for the paper again in a moment.")
	case errors.Is(found.err, study.ErrNoRig):
		return nil, nil
	case found.err != nil:
		return nil, refuse(http.StatusUnprocessableEntity, door.Unanswered(found.err), "The survey is where to say it.")
	}
	return found.checked, nil
}
