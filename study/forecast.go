package study

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"rinsewright/plant"
	"rinsewright/quantity"
	"rinsewright/service"
	"rinsewright/site"
)

// Forecasted is what a site's log says of it: what comes due and when, the
// trends behind it, and readings that do not fit.
type Forecasted struct {
	Site      Heading
	AsOf      time.Time
	Visits    int
	LastVisit time.Time
	Dues      []DueRow
	PerDay    Band // permeate drawn on an open day now
	Trends    []Trend
	Surprises []SurpriseRow
	Salt      *Salt // nil without a softener
	Assumed   []Assumption

	drifts []service.Drift // to compare with other sites
}

// DueRow is one thing that comes due.
type DueRow struct {
	Name              string // "lead resin"
	Do                string // what to do then
	Low, Likely, High time.Time
	Beyond            bool           // more likely than not past the horizon
	Reached           quantity.Ratio // share of the futures in which it is due within the horizon
	Volume            Band           // permeate until then
	Used              quantity.Ratio // 1 is due
	UsedLow, UsedHigh quantity.Ratio
	State             State
	Drives, Eats      []Share
	Narrows           []Narrowing // readings that would narrow it, the best first

	part service.Part
}

// SurpriseRow is a reading that does not fit what all others say.
type SurpriseRow struct {
	On             time.Time
	What           string
	Read, Expected Figure
}

// Salt is what a softener takes.
type Salt struct {
	EachDays Band // between regenerations
	BagDays  Band // that a bag of [saltBag] lasts
}

// saltBag is the usual bag, 40 lb.
const saltBag = quantity.Mass(18.14)

// soon is how near a part must be for a person to plan it.
const soon = 28 // days

// unknownWithin is the width of a used share's band beyond which a part's state
// is not known.
const unknownWithin = 0.8

// Forecast foresees what comes due on a site from its log, as of a day; zero is
// the day of the last visit. Visits after that day are left out. The error wraps [ErrNoLog],
// [ErrNoRig], [ErrNoSample] or that of the part that cannot work.
func Forecast(s *site.Site, o Options, asOf time.Time) (*Forecasted, error) {
	n := &notes{units: o.Units, locale: o.Locale}
	w, log, err := follow(s, n, asOf)
	if err != nil {
		return nil, err
	}
	f := &Forecasted{Site: Heading{s.Name, s.About, s.Origin, string(s.Use)}, Visits: len(log), LastVisit: log[len(log)-1].Day.Date(), Assumed: n.assumed}
	f.AsOf = f.LastVisit
	if !asOf.IsZero() {
		f.AsOf = service.DayOf(asOf).Date()
	}
	return f, f.fill(s, w)
}

// follow tracks a site's parts through its log up to a day; zero takes all.
func follow(s *site.Site, n *notes, asOf time.Time) (*service.Watch, []service.Entry, error) {
	log, err := logOf(s)
	if err != nil {
		return nil, nil, err
	}
	out, err := outsetOf(s, n)
	if err != nil {
		return nil, nil, fmt.Errorf("forecast of %s: %w", s.Name, err)
	}
	if !asOf.IsZero() {
		log = slices.DeleteFunc(log, func(e service.Entry) bool { return e.Day > service.DayOf(asOf) })
		if len(log) == 0 {
			return nil, nil, fmt.Errorf("forecast of %s as of %s: %w", s.Name, asOf.Format(time.DateOnly), ErrNoLog)
		}
	}
	out.From = log[0].Day
	w, err := service.Follow(out)
	if err != nil {
		return nil, nil, fmt.Errorf("forecast of %s: %w", s.Name, err)
	}
	w.Keep()
	for _, e := range log {
		if err := w.Add(e); err != nil {
			return nil, nil, fmt.Errorf("forecast of %s: %w", s.Name, err)
		}
	}
	return w, log, nil
}

func (f *Forecasted) fill(s *site.Site, w *service.Watch) error {
	day := service.DayOf(f.AsOf)
	dues, err := w.Due(day)
	if err != nil {
		return fmt.Errorf("forecast of %s: %w", s.Name, err)
	}
	for _, d := range dues {
		row := dueRow(d, day, len(s.Rig.Resin))
		if d.Part == service.CarbonPart && s.Rig.Membrane == nil {
			row.Do = strings.Replace(row.Do, dueWords[d.Part][1], carbonAhead, 1)
		}
		f.Dues = append(f.Dues, row)
	}
	low, likely, high := w.PerDay(day)
	f.PerDay = Band{figure(likely), figure(low), figure(high)}
	f.Trends = trendsOf(w, eventsOf(s, f.AsOf))
	for _, x := range w.Surprises() {
		f.Surprises = append(f.Surprises, surpriseRow(x))
	}
	f.drifts = w.Drifts(sharedDays)
	f.Salt = saltOf(s, low, likely, high)
	return nil
}

// words of what comes due.
var dueWords = map[service.Part][2]string{
	service.LeadResin:  {"lead resin", "move the lag to the lead and put a fresh bottle behind it; heavy and wet, lift with two"},
	service.AllResin:   {"both resins", "two fresh bottles: past here spots show; heavy and wet, lift with two"},
	service.CarbonPart: {"carbon", "change it before chlorine reaches the membrane; test total chlorine after"},
	service.Filters:    {"sediment filter", "change the cartridge; shut the feed and let the pressure off first"},
	service.Cleaning:   {"membrane, cleaning", "flow is 15 % below where it began: clean by the element's sheet; gloves and eyes, never mix acid with chlorine"},
	service.Membrane:   {"membrane, replacing", "twice the salt passes: find out why, then replace"},
}

// carbonAhead is what to do with carbon ahead of resin alone.
const carbonAhead = "change it before chlorine reaches the resin; test total chlorine after"

func dueRow(d service.Due, day service.Day, bottles int) DueRow {
	words := dueWords[d.Part]
	if d.Part == service.LeadResin && bottles < 2 {
		words = [2]string{"resin", "put a fresh bottle in; heavy and wet, lift with two"}
	}
	r := DueRow{
		part: d.Part,
		Name: words[0], Do: words[1], Low: d.When.Low.Date(), Likely: d.When.Likely.Date(), High: d.When.High.Date(),
		Reached: d.Reached, Beyond: d.Reached < 0.5,
		Volume: Band{figure(d.Likely), figure(d.Low), figure(d.High)},
		Used:   quantity.Ratio(d.Used.Likely), UsedLow: quantity.Ratio(d.Used.Low), UsedHigh: quantity.Ratio(d.Used.High), State: Fine,
	}
	switch {
	case d.Used.High-d.Used.Low > unknownWithin:
		r.State, r.Do = NotKnown, hardlyKnown(d)+"; when due, "+r.Do
	case d.When.Likely <= day:
		r.State = Today
	case d.When.Low <= day+soon && !r.Beyond:
		r.State = Due
	}
	for _, x := range d.Drives {
		r.Drives = append(r.Drives, Share{x.Name, x.Share})
	}
	r.Narrows = narrowingsOf(d)
	for _, x := range d.Eats {
		r.Eats = append(r.Eats, Share{x.Name, x.Share})
	}
	return r
}

// hardlyKnown says why nobody can tell how far a part is used.
func hardlyKnown(d service.Due) string {
	if slices.ContainsFunc(d.Narrows, func(w service.Worth) bool { return w.Of == "" }) {
		return "nobody noted when it was last changed: look and write it down"
	}
	return "the log hardly tells how far it is used"
}

func surpriseRow(x service.Surprise) SurpriseRow {
	return SurpriseRow{On: x.Day.Date(), What: x.Gauge.Title(), Read: gaugeFigure(x.Gauge, x.Read), Expected: gaugeFigure(x.Gauge, x.Expected)}
}

// saltOf is how often the softener regenerates and how long a bag of salt lasts.
func saltOf(s *site.Site, low, likely, high quantity.Volume) *Salt {
	if s.Rig.Softener == nil {
		return nil
	}
	l, err := rigLook(s, &notes{})
	if err != nil || l.softening == nil {
		return nil
	}
	point, err := l.settle(l.feed.Temperature)
	if err != nil {
		return nil
	}
	dose := s.Rig.Softener.SaltDose.Or(0)
	if !(dose > 0) || !(point.Recovery() > 0) {
		return nil
	}
	days := func(perDay quantity.Volume, times float64) Figure {
		feed := float64(perDay) / float64(point.Recovery())
		return life{quantity.Days(times * float64(l.softening.cycle.Water) / math.Max(feed, 1e-9))}
	}
	bag := float64(saltBag) / float64(dose)
	return &Salt{
		EachDays: Band{days(likely, 1), days(high, 1), days(low, 1)},
		BagDays:  Band{days(likely, bag), days(high, bag), days(low, bag)},
	}
}

// gauged is a gauge's number, in words of its kind.
type gauged struct {
	kind quantity.Kind
	si   float64
}

func gaugeFigure(g plant.Gauge, si float64) Figure { return gauged{g.Kind(), si} }

func (g gauged) Text(s quantity.System, loc quantity.Locale) string {
	return quantity.FormatKind(g.kind, g.si, s, loc)
}

func (g gauged) Plain(s quantity.System) (float64, string) {
	return quantity.PlainKind(g.kind, g.si, s)
}
