package web

import (
	"errors"
	"fmt"
	"net/http"
	"slices"
	"strings"
	"time"

	"rinsewright/internal/door"
	"rinsewright/internal/sitefile"
	"rinsewright/internal/store"
	"rinsewright/quantity"
	"rinsewright/site"
	"rinsewright/study"
)

// signedView is what a record was signed with, and its photographs.
type signedView struct {
	Path   string // of the strokes, as a drawing's outline
	Photos []recordPhoto
}

// recordPhoto is a photograph of a record. It is named in the record as soon as
// it is taken, and may arrive later.
type recordPhoto struct {
	Kept, Shows   string // Kept is empty while it is on its way
	Width, Height int
}

// signedOf is what a record was signed with.
func (v *visit) signedOf(siteID string, c site.Commissioning) (out signedView, err error) {
	var path strings.Builder
	for _, stroke := range c.Drawn {
		step := "M"
		for _, at := range stroke {
			fmt.Fprintf(&path, "%s%d %d", step, at.X, at.Y)
			step = "L"
		}
		if len(stroke) == 1 { // a dot
			path.WriteString("h2")
		}
	}
	out.Path = path.String()
	for _, p := range c.Photos {
		kept, err := v.store.Photo(v.r.Context(), siteID, p.Digest)
		if err != nil && !errors.Is(err, store.ErrNone) {
			return out, err
		}
		out.Photos = append(out.Photos, recordPhoto{kept.Kept, p.Shows, kept.Width, kept.Height})
	}
	return out, nil
}

// drawn are the strokes that can be taken; a stroke that cannot is told before
// anything is signed.
func (s *startUpView) drawn() (all []site.Stroke) {
	for line := range strings.Lines(s.Drawn) {
		if stroke, err := site.ParseStroke(line); err == nil {
			all = append(all, stroke)
		}
	}
	return all
}

func (s *startUpView) photos() (all []site.Pictured) {
	for line := range strings.Lines(s.Photos) {
		if p, err := site.ParsePictured(line); err == nil {
			all = append(all, p)
		}
	}
	return all
}

// mostPhotos are named by one record.
const mostPhotos = 40

// unsignable is why a record cannot be signed.
func (s *startUpView) unsignable(c site.Commissioning) (why []string) {
	if slices.ContainsFunc(s.Steps, startStep.wrong) {
		why = append(why, "A reading could not be taken: it is told at its field.")
	}
	if len(c.Read) == 0 {
		why = append(why, "Nothing is read yet. One reading is enough to begin the record.")
	}
	if c.Signed == "" {
		why = append(why, "Nobody has signed: type the name of whoever does.")
	}
	if len(c.Drawn) != lines(s.Drawn) || len(c.Drawn) > site.MostStrokes {
		why = append(why, "What was drawn on the glass cannot be kept: clear it and sign again.")
	}
	if len(c.Photos) != lines(s.Photos) || len(c.Photos) > mostPhotos {
		why = append(why, fmt.Sprintf("The photos cannot be named: a record has %d at most.", mostPhotos))
	}
	if _, err := time.Parse(time.DateOnly, c.Date); err != nil {
		why = append(why, "The day is not one, such as 2026-06-13.")
	}
	if s.Stands != nil && c.Reason == "" {
		why = append(why, fmt.Sprintf("The record of %s stands. This one takes its place only with a reason.", s.Stands.Date))
	}
	return why
}

// lines counts those that say something.
func lines(text string) (n int) {
	for line := range strings.Lines(text) {
		if strings.TrimSpace(line) != "" {
			n++
		}
	}
	return n
}

// sign keeps what was typed as the record of the first day, signed. A phone that
// has signed without signal gets a receipt, and may send the same again.
func (v *visit) sign() error {
	page, record, reads, err := v.signed()
	switch {
	case err != nil:
		return err
	case len(page.Wrong) == 0 && v.fromPhone():
		return v.receipt(http.StatusOK, "")
	case len(page.Wrong) == 0:
		return v.redirect("/sites/" + page.Site.ID + "/first-day?saved")
	case v.fromPhone():
		return v.receipt(http.StatusUnprocessableEntity, page.Wrong[0])
	}
	if err := errors.Join(v.judge(&page, record, reads), v.stands(&page, record, reads)); err != nil {
		return err
	}
	return v.show(http.StatusUnprocessableEntity, "startup.html", "First day of "+page.Site.Name, "sites", page)
}

// signed puts what was typed on record; page.Wrong says why it could not.
func (v *visit) signed() (page startUpView, record *site.Site, reads reader, err error) {
	for range 3 { // someone may be quicker between reading and saving
		page, record, reads, err = v.trySign()
		if !errors.Is(err, store.ErrConflict) {
			return page, record, reads, err
		}
	}
	return page, record, reads, store.ErrConflict
}

func (v *visit) trySign() (page startUpView, record *site.Site, reads reader, err error) {
	page, _, record, reads, file, err := v.typedStartUp()
	if err != nil {
		return page, record, reads, err
	}
	page.Signing = true
	c := page.record(file)
	if page.Stands != nil && sameDay(c, *page.Stands) {
		return page, record, reads, nil // sent again
	}
	page.Wrong = append(page.Wrong, page.unsignable(c)...)
	if len(page.Wrong) == 0 {
		if err := v.freeze(&page, &c, record, reads, file); err != nil {
			return page, record, reads, err
		}
	}
	if len(page.Wrong) > 0 {
		return page, record, reads, nil
	}
	text := sitefile.Update([]byte(page.Site.File), record, file)
	if _, err := v.store.SaveSite(v.r.Context(), v.person(), page.Site.ID, page.Site.Rev, string(text)); err != nil {
		return page, record, reads, err
	}
	v.glances.wake()
	return page, record, reads, nil
}

// freeze adds what is promised that day, seals the record and enters it.
func (v *visit) freeze(page *startUpView, c *site.Commissioning, record *site.Site, reads reader, file quantity.Locale) error {
	p, err := v.promises(page.Site, record, study.DayOf(c.Read), reader{units: reads.units, locale: file})
	if err == nil {
		c.Promised, err = p.Freeze(quantity.Hours(1))
	}
	if err != nil {
		why, err := whyUnproved(err)
		page.Wrong = append(page.Wrong, why)
		return err
	}
	c.Seal = c.Mark()
	record.Commissioned = append(record.Commissioned, *c)
	for _, p := range record.Problems() {
		page.Wrong = append(page.Wrong, door.Wanted(p))
	}
	return nil
}

// sameDay tells whether two records were typed as one: the same readings by the
// same hand, whatever was promised then.
func sameDay(a, b site.Commissioning) bool {
	for _, c := range []*site.Commissioning{&a, &b} {
		c.Promised, c.Corrects, c.Reason = nil, "", ""
	}
	return a.Mark() == b.Mark()
}
