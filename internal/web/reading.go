package web

import (
	"cmp"
	"errors"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"time"

	"rinsewright/internal/door"
	"rinsewright/internal/sitefile"
	"rinsewright/internal/store"
	"rinsewright/quantity"
	"rinsewright/site"
)

// readingView is the page for the phone: three strengths in path order, then
// what else the meter bag has.
type readingView struct {
	Site   store.Site
	ID     string // of the device: a phone, or this form when there is no script
	Asks   []ask
	Scale  string
	Scales []string
	More   []bagAsk
	Gauges []gaugeAsk
	RigID  string // of the sample of the rig's gauges
	Note   string
	After  string // minutes since the rig started, for what comes after the membrane
	Late   string // why they could not be taken
	Taken  int64  // milliseconds: when the page was opened
	Offset int64  // minutes of the phone's clock from UTC
	Fresh  bool   // nothing is typed yet
	Doubts []door.Doubt
	Wrong  bool

	Decimal string // how the form writes numbers
	System  string // us or si
	File    string // of the site with what was logged last, for a phone without signal
	locale  quantity.Locale
	units   quantity.System
	record  *site.Site // the same
}

// Sure is what the form says back when what looks odd is right.
func (r readingView) Sure() string {
	var says []string
	for _, d := range r.Doubts {
		says = append(says, d.Says)
	}
	return strings.Join(says, "|")
}

// ask is one strength.
type ask struct {
	ID      string // of its sample
	Place   string
	Title   string
	Value   string
	Unit    string
	Skipped string
	Last    string // what was read last time
	Timed   bool   // it reads high in the first minutes
	Wrong   string
}

// sinceStart names how long the rig had run, among the readings of a sample.
const sinceStart = "since_start"

var (
	strengthUnits = []string{"ppm", "uS/cm"}
	skips         = []string{"not measured", "sensor bad", "no access"}
)

// GaugesOpen tells whether somebody has typed into the gauges, or did last time.
func (r readingView) GaugesOpen() bool {
	return slices.ContainsFunc(r.Gauges, func(g gaugeAsk) bool { return g.Value != "" || g.Last != "" || g.Skipped != "" })
}

// MoreOpen tells whether somebody has typed into what else the bag has, or did
// last time.
func (r readingView) MoreOpen() bool {
	return slices.ContainsFunc(r.More, func(f bagAsk) bool { return f.Value != "" || f.Last != "" })
}

// Units and Skips are for the page.
func (readingView) Units() []string { return strengthUnits }

// Skips are the reasons why nothing was read.
func (readingView) Skips() []string { return skips }

func (v *visit) readingPage() error {
	page, err := v.newReading()
	if err != nil {
		return err
	}
	return v.show(http.StatusOK, "reading.html", "Reading at "+page.Site.Name, "sites", page)
}

// newReading is the page before anything is typed.
func (v *visit) newReading() (readingView, error) {
	kept, record, file, err := v.found()
	if err != nil {
		return readingView{}, err
	}
	now := v.options.Now()
	reads, err := v.reader()
	if err != nil {
		return readingView{}, err
	}
	page := readingView{Decimal: reads.Decimal(), locale: reads.locale, Site: kept, ID: store.NewID(now), Taken: now.UnixMilli(), Fresh: true, Scales: sitefile.Words("sample.scale")}
	for _, place := range placesOf(record) {
		last, err := v.last(kept.ID, place)
		if err != nil {
			return readingView{}, err
		}
		one := ask{ID: store.NewID(now), Place: place, Title: capital(placeWords(place)), Unit: "ppm", Timed: place == "permeate", Last: cmp.Or(last["strength"].Typed, last["conductivity"].Typed)}
		if one.Last == "" {
			one.Last = surveyedStrength(record, place)
		}
		if strings.Contains(one.Last, "S/cm") {
			one.Unit = "uS/cm"
		}
		page.Scale = cmp.Or(page.Scale, last["scale"].Typed)
		page.Asks = append(page.Asks, one)
	}
	for _, w := range record.Samples {
		page.Scale = cmp.Or(page.Scale, w.Strength.Scale)
	}
	if page.More, err = v.bagAsks(kept.ID, reads); err != nil {
		return readingView{}, err
	}
	page.System, page.units, page.record = reads.unitsWord(), reads.units, record
	if !v.fromPhone() { // a phone has held it against the past already
		samples, err := v.yearOf(kept.ID)
		if err != nil {
			return readingView{}, err
		}
		page.record = withLines(record, samples, file)
		page.File = string(sitefile.Update([]byte(kept.File), page.record, file))
	}
	last, err := v.last(kept.ID, ofTheRig)
	page.RigID, page.Gauges = store.NewID(now), gaugeAsks(record, last, reads.units)
	return page, err
}

// last is what was read last at a place, for the page; a phone that sends what
// it has kept shows none.
func (v *visit) last(site, place string) (map[string]store.Reading, error) {
	if v.fromPhone() {
		return nil, nil
	}
	return v.store.Last(v.r.Context(), site, place)
}

func capital(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

// placesOf are the places where this path can be read, in path order.
func placesOf(record *site.Site) []string {
	places := []string{"raw"}
	if record.Rig.Membrane != nil {
		places = append(places, "permeate")
	}
	if len(record.Rig.Resin) > 0 {
		places = append(places, "polished")
	}
	if len(places) == 1 { // nobody said what hangs there
		return []string{"raw", "permeate", "polished"}
	}
	return places
}

func surveyedStrength(record *site.Site, place string) string {
	last := ""
	for _, w := range record.Samples {
		if w.Place == place {
			last = cmp.Or(w.Strength.PPM.Typed, w.Strength.Conductivity.Typed, last)
		}
	}
	return last
}

// reading keeps what was read. What looks odd is said first, once: saved again
// it is kept as it is, since the water is right and not we.
func (v *visit) reading() error {
	page, samples, err := v.typedReading()
	if err != nil {
		return err
	}
	if v.fromPhone() {
		return v.logFromPhone(page, samples)
	}
	if page.Wrong || len(page.Doubts) > 0 && v.r.PostFormValue("sure") != page.Sure() {
		return v.show(http.StatusUnprocessableEntity, "reading.html", "Reading at "+page.Site.Name, "sites", page)
	}
	receipts, err := v.count(v.store.Log(v.r.Context(), v.person(), samples))
	if err != nil {
		return err
	}
	v.foreseer.wake()
	for _, r := range receipts {
		if errors.Is(r.Err, store.ErrConflict) {
			return refuse(http.StatusConflict, "This form was kept before, with other numbers.", "Open the reading page anew to log another sample: nothing that was kept is changed.")
		}
		if r.Err != nil {
			return r.Err
		}
	}
	return v.redirect("/sites/" + page.Site.ID + "?saved")
}

// doubts tells the script what looks odd while someone types.
func (v *visit) doubts() error {
	page, _, err := v.typedReading()
	if err != nil {
		return err
	}
	return v.fragment("reading.html", "doubts", page)
}

// typedReading reads the form: the page as it was typed, and its samples.
func (v *visit) typedReading() (readingView, []store.Sample, error) {
	if err := v.form(); err != nil {
		return readingView{}, nil, err
	}
	page, err := v.newReading()
	if err != nil {
		return readingView{}, nil, err
	}
	if page.locale, err = v.typedIn(); err != nil {
		return readingView{}, nil, err
	}
	page.Decimal = reader{locale: page.locale}.Decimal()
	page.ID = v.r.PostFormValue("id")
	page.Scale = v.r.PostFormValue("scale")
	page.Note = strings.TrimSpace(v.r.PostFormValue("note"))
	page.After = strings.TrimSpace(v.r.PostFormValue("after"))
	page.Fresh = false
	if err := page.when(v.r.PostFormValue("taken"), v.r.PostFormValue("offset")); err != nil {
		return readingView{}, nil, err
	}
	first, err := strconv.ParseInt(cmp.Or(v.r.PostFormValue("seq"), "1"), 10, 64)
	if err != nil {
		return readingView{}, nil, &problem{http.StatusBadRequest, "The form does not say which number it has.", "Open the reading page anew.", err}
	}
	var samples []store.Sample
	for i := range page.Asks {
		one := &page.Asks[i]
		v.typedAsk(one)
		sample := store.Sample{ID: one.ID, Site: page.Site.ID, Place: one.Place, Taken: time.UnixMilli(page.Taken), OffsetMinutes: page.Offset, Device: page.ID, DeviceSeq: first + int64(i), Program: v.options.Version}
		sample.Readings, one.Wrong = strengthRead(*one, page.Scale, page.locale)
		if one.Place != "raw" && one.Value != "" {
			sample.Readings = append(sample.Readings, page.ran()...)
		}
		if one.Place == "raw" {
			for k := range page.More {
				sample.Readings = append(sample.Readings, v.bagRead(&page.More[k], page.locale)...)
				page.Wrong = page.Wrong || page.More[k].Wrong != ""
			}
			sample.Note = page.Note
		}
		page.Wrong = page.Wrong || one.Wrong != "" || page.Late != ""
		sample.Readings = page.marked(sample.Readings)
		if len(sample.Readings) > 0 || sample.Note != "" {
			samples = append(samples, sample)
		}
	}
	if rig, ok := v.typedGauges(&page, first+int64(len(page.Asks))); ok {
		samples = append(samples, rig)
	}
	if len(samples) == 0 && !page.Wrong {
		page.Wrong = true
		page.Asks[0].Wrong = "Nothing is typed yet. One number is enough."
	}
	if !v.fromPhone() {
		page.Doubts = page.doubtful(samples)
	}
	return page, samples, nil
}

// longestRun is how many minutes since the start are taken.
const longestRun = 30 * 24 * 60

// ran is how long the rig had run when a strength was read, a number of minutes
// unless it carries its own unit.
func (r *readingView) ran() []store.Reading {
	if r.After == "" {
		return nil
	}
	text := r.After
	if strings.Trim(text, "0123456789., ") == "" {
		text += " min"
	}
	t, err := quantity.Parse[quantity.Time](text, r.locale)
	if err != nil || !(0 <= t && t <= longestRun*60) {
		r.Late = "Wanted: minutes since the rig started, such as 10."
		return nil
	}
	return []store.Reading{{Name: sinceStart, Typed: text, SI: float64(t), Unit: "s"}}
}

// typedGauges reads the rig's gauges, and tells whether any was read.
func (v *visit) typedGauges(page *readingView, seq int64) (store.Sample, bool) {
	page.RigID = v.r.PostFormValue("rig.id")
	sample := store.Sample{ID: page.RigID, Site: page.Site.ID, Place: ofTheRig, Taken: time.UnixMilli(page.Taken), OffsetMinutes: page.Offset, Device: page.ID, DeviceSeq: seq, Program: v.options.Version}
	for i := range page.Gauges {
		g := &page.Gauges[i]
		g.Skipped = v.r.PostFormValue(g.Key() + ".skipped")
		sample.Readings = append(sample.Readings, g.typed(v.r.PostFormValue(g.Key()), v.r.PostFormValue(g.Key()+".unit"), page.Scale, page.locale)...)
		page.Wrong = page.Wrong || g.Wrong != ""
	}
	sample.Readings = page.marked(sample.Readings)
	return sample, len(sample.Readings) > 0
}

// marked tells of readings that were typed with a decimal comma.
func (r readingView) marked(readings []store.Reading) []store.Reading {
	if r.locale.DecimalComma && slices.ContainsFunc(readings, func(r store.Reading) bool { return strings.Contains(r.Typed, ",") || strings.Contains(r.Typed, ".") }) {
		return append(readings, commaTyped)
	}
	return readings
}

func (v *visit) typedAsk(one *ask) {
	name := func(what string) string { return one.Place + "." + what }
	one.ID = v.r.PostFormValue(name("id"))
	one.Value = strings.TrimSpace(v.r.PostFormValue(name("value")))
	one.Unit = v.r.PostFormValue(name("unit"))
	one.Skipped = v.r.PostFormValue(name("skipped"))
}

// when is the time that the page was opened, by the phone's clock where its
// script tells, otherwise by ours. It is part of what the form says, so that
// the same form sent twice says the same.
func (r *readingView) when(taken, offset string) error {
	var err1, err2 error
	r.Taken, err1 = strconv.ParseInt(taken, 10, 64)
	r.Offset, err2 = strconv.ParseInt(offset, 10, 64)
	if err := errors.Join(err1, err2); err != nil {
		return &problem{http.StatusBadRequest, "The form does not say when it was opened.", "Open the reading page anew.", err}
	}
	return nil
}

// strengthRead reads one strength; a number may carry its own unit.
func strengthRead(one ask, scale string, locale quantity.Locale) (readings []store.Reading, wrong string) {
	if one.Value == "" {
		if one.Skipped != "" {
			return []store.Reading{{Name: "strength", Skipped: one.Skipped}}, ""
		}
		return nil, ""
	}
	typed := one.Value
	if strings.Trim(typed, "0123456789., ") == "" {
		typed += " " + one.Unit
	}
	name := "strength"
	if _, err := quantity.Parse[quantity.Conductivity](typed, locale); err == nil {
		name = "conductivity"
	}
	scratch := &site.Site{}
	if err := sitefile.Set(scratch, "sample.1."+name, typed, locale); err != nil {
		return nil, door.WhatIsWrong(err)
	}
	s := scratch.Samples[0].Strength
	if name == "conductivity" {
		return []store.Reading{{Name: name, Typed: typed, SI: float64(s.Conductivity.Value), Unit: "S/m"}}, ""
	}
	readings = []store.Reading{{Name: name, Typed: typed, SI: float64(s.PPM.Value), Unit: "kg/m3"}}
	if scale != "" {
		readings = append(readings, store.Reading{Name: "scale", Typed: scale})
	}
	return readings, ""
}
