package web

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/url"
	"strings"

	"rinsewright/internal/store"
)

// mostUnsent is as large as a file of a phone's unsent readings and photos may
// be.
const mostUnsent = 200 << 20

// unsentFile is what a phone that cannot send has saved.
type unsentFile struct {
	Version  int             `json:"rinsewright_unsent"`
	Readings []unsentReading `json:"readings"`
	Surveys  []unsentReading `json:"surveys"`
	Photos   []unsentPhoto   `json:"photos"`
}

type unsentReading struct {
	To   string `json:"to"`
	Name string `json:"name"`
	Said string `json:"said"`
}

type unsentPhoto struct {
	ID     string `json:"id"`
	To     string `json:"to"`
	Name   string `json:"name"`
	Words  string `json:"words"`
	At     int64  `json:"at"`
	Offset int64  `json:"offset"`
	Data   []byte `json:"data"`
}

// unsentView tells what became of each.
type unsentView struct {
	Lines []unsentLine
	Wrong string
}

type unsentLine struct{ Name, What, State, Why string }

// bringUnsent takes in a phone's file. The ids are those that the phone gave,
// so what has arrived otherwise is not kept twice.
func (v *visit) bringUnsent() error {
	if body, ok := v.r.Context().Value(rawBody{}).(io.ReadCloser); ok {
		v.r.Body = http.MaxBytesReader(v.w, body, mostUnsent)
	}
	file, err := v.unsentFile()
	if err != nil {
		return v.show(http.StatusUnprocessableEntity, "unsent.html", "From a phone", "settings", unsentView{Wrong: err.Error()})
	}
	var page unsentView
	for _, one := range file.Readings {
		line, err := v.bringReading(one)
		if err != nil {
			return err
		}
		page.Lines = append(page.Lines, line)
	}
	for _, one := range file.Surveys {
		line, err := v.bringSurvey(one)
		if err != nil {
			return err
		}
		page.Lines = append(page.Lines, line)
	}
	for _, one := range file.Photos {
		line, err := v.bringPhoto(one)
		if err != nil {
			return err
		}
		page.Lines = append(page.Lines, line)
	}
	return v.show(http.StatusOK, "unsent.html", "From a phone", "settings", page)
}

func (v *visit) unsentFile() (f unsentFile, err error) {
	parts, err := v.r.MultipartReader()
	if err != nil {
		return f, errors.New("no file was chosen")
	}
	for {
		part, err := parts.NextPart()
		if errors.Is(err, io.EOF) {
			return f, errors.New("no file was chosen")
		}
		if err != nil {
			return f, errors.New("the file did not arrive whole; it may have 200 MB at most")
		}
		if part.FormName() != "file" {
			continue
		}
		if err := json.NewDecoder(part).Decode(&f); err != nil || f.Version != 1 {
			return f, errors.New("that is no file that a phone has saved on its page On this phone")
		}
		return f, nil
	}
}

// bringFirstDay puts a day that was signed without signal on record.
func (v *visit) bringFirstDay(line unsentLine, site string, said url.Values) (unsentLine, error) {
	line.What = "first day"
	page, _, _, err := v.as(site, said).signed()
	switch {
	case err != nil:
		line.Why = explained(err).says
		return line, serious(err)
	case len(page.Wrong) > 0:
		line.Why = page.Wrong[0]
	default:
		line.State = "kept"
	}
	return line, nil
}

// bringReading logs what a phone's form says, as if the phone had sent it.
func (v *visit) bringReading(one unsentReading) (unsentLine, error) {
	line := unsentLine{Name: one.Name, What: "reading", State: "not kept"}
	said, err := url.ParseQuery(one.Said)
	if site, ok := v.siteIn(one.To, "/first-day"); ok && err == nil {
		return v.bringFirstDay(line, site, said)
	}
	site, ok := v.siteIn(one.To, "/reading")
	if err != nil || !ok {
		line.Why = "It cannot be read."
		return line, nil
	}
	page, samples, err := v.as(site, said).typedReading()
	if err != nil {
		line.Why = explained(err).says
		return line, serious(err)
	}
	if page.Wrong {
		line.Why = page.whatIsWrong()
		return line, nil
	}
	receipts, err := v.count(v.store.Log(v.r.Context(), v.person(), samples))
	if err != nil {
		return line, err
	}
	v.foreseer.wake()
	line.State = "kept"
	for _, r := range receipts {
		if errors.Is(r.Err, store.ErrConflict) {
			line.State = "two versions"
		} else if r.Err != nil {
			line.State, line.Why = "not kept", explained(r.Err).says
		}
	}
	return line, nil
}

// bringSurvey saves what a phone's survey says, as if the phone had sent it.
func (v *visit) bringSurvey(one unsentReading) (unsentLine, error) {
	line := unsentLine{Name: one.Name, What: "survey", State: "not kept"}
	said, err := url.ParseQuery(one.Said)
	site, ok := v.siteIn(one.To, "/survey")
	if err != nil || !ok {
		line.Why = "It cannot be read."
		return line, nil
	}
	e, _, err := v.as(site, said).keepSurvey()
	if err != nil {
		line.Why = explained(err).says
		return line, serious(err)
	}
	line.State = "kept"
	if len(e.held) > 0 {
		line.State = "two versions"
	}
	for _, key := range sortedKeys(e.wrong) {
		line.State, line.Why = "not kept", fieldWords(key)+": "+e.wrong[key]
	}
	return line, nil
}

// bringPhoto keeps a photo from the file.
func (v *visit) bringPhoto(one unsentPhoto) (unsentLine, error) {
	line := unsentLine{Name: one.Name, What: "photo", State: "not kept"}
	site, ok := v.siteIn(one.To, "/photos")
	if !ok || v.options.Photos == nil {
		line.Why = "It cannot be read."
		return line, nil
	}
	about, _, err := v.as(site, url.Values{
		"photo": {store.Hash(string(one.Data))}, "bytes": {fmt.Sprint(len(one.Data))}, "words": {one.Words}, "taken": {fmt.Sprint(one.At)}, "offset": {fmt.Sprint(one.Offset)},
	}).aboutPhoto()
	if err != nil {
		line.Why = err.Error()
		return line, nil
	}
	if err := v.takePhoto(about, one.Data); errors.Is(err, errPicture) || errors.Is(err, store.ErrNone) || errors.Is(err, store.ErrText) {
		line.Why = "It is no picture that can be taken, or its site is gone."
		return line, nil
	} else if err != nil {
		return line, err
	}
	line.State = "kept"
	return line, nil
}

// siteIn is the site in the address to which a phone would have sent.
func (v *visit) siteIn(to, what string) (string, bool) {
	id, ok := strings.CutSuffix(strings.TrimPrefix(strings.TrimPrefix(to, v.options.Base), "/sites/"), what)
	return id, ok && store.SoundID(id)
}

// as is this visit as if the form said had come for a site.
func (v *visit) as(site string, said url.Values) *visit {
	other := *v
	other.r = v.r.Clone(v.r.Context())
	other.r.Method, other.r.Body, other.r.PostForm, other.r.Form = http.MethodPost, http.NoBody, said, said
	other.r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	other.r.SetPathValue("id", site)
	return &other
}

// serious is an error that is about us and not about what was sent.
func serious(err error) error {
	if explained(err).status >= 500 {
		return err
	}
	return nil
}
