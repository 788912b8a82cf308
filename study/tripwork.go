package study

import (
	"fmt"
	"math"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"rinsewright/cost"
	"rinsewright/quantity"
	"rinsewright/service"
	"rinsewright/site"
)

// worth is what a site's work is worth, early and late.
type worth struct {
	site     *site.Site
	prices   cost.Prices
	forecast *Forecasted
	from     service.Day
}

// repeat adds a part's changes up to the end of the plan. One is taken to follow
// the other by the life of the part, none on the day of the one before.
func (f *fleet) repeat(w *Wants, d *Want, at int) {
	from, until := f.plan.From, f.plan.From+service.Day(f.plan.Days)
	task := service.Task{Site: at, Spent: d.Spent, Hurts: d.Hurts, First: d.Opens, Thrown: d.Thrown, Harm: d.Harm}
	piece := pieceOfWork{Want: d, site: at}
	half := service.Day(d.Life / 2)
	next := max(task.Spent.Likely, from, task.First)
	task.Last = max(next+half, from+6)
	for piece.nth = 1; piece.nth <= 60; piece.nth++ {
		piece.due, piece.spent = bandWords(task.Spent), task.Spent
		f.take(piece, task)
		by := service.Day(d.Life)
		if next += by; !d.comesBack() || next >= until || w.closed(next) {
			return
		}
		doubt := service.Day(0.2 * d.Life * float64(piece.nth)) // that the life itself is another. Source: [TradeDefaults]
		task.Spent = service.When{Low: next - (d.Spent.Likely - d.Spent.Low) - doubt, Likely: next, High: next + (d.Spent.High - d.Spent.Likely) + doubt}
		task.Hurts = service.When{}
		task.First, task.Last = next-half+1, next+half
	}
}

func whenOf(d *DueRow) service.When {
	return service.When{Low: service.DayOf(d.Low), Likely: service.DayOf(d.Likely), High: service.DayOf(d.High)}
}

// hurts is when being late begins to hurt: for a lead with a lag behind it, when
// both are spent.
func (w *worth) hurts(d *DueRow) service.When {
	if d.part == service.LeadResin {
		for i := range w.forecast.Dues {
			if x := &w.forecast.Dues[i]; x.part == service.AllResin {
				return whenOf(x)
			}
		}
	}
	return whenOf(d)
}

// life is how long a part lasts, in days: from its last change to its likely day,
// or by what is used of it.
func (w *worth) life(d *DueRow) float64 {
	likely := float64(service.DayOf(d.Likely))
	begun := math.Inf(-1)
	for _, v := range w.site.Log {
		on, err := time.Parse(time.DateOnly, v.Date)
		if err != nil || on.After(w.forecast.AsOf) {
			continue
		}
		for _, c := range v.Changed {
			if part := changesOf[c]; part == d.part || d.part == service.LeadResin && (part == service.FirstBottle || part == service.AllResin) {
				begun = math.Max(begun, float64(service.DayOf(on)))
			}
		}
	}
	days := likely - begun
	if math.IsInf(days, 1) {
		days = (likely - float64(w.from)) / math.Max(1-float64(d.Used), 0.1)
	}
	return math.Min(math.Max(days, 7), 3650)
}

// loss is what a day early throws away and a day late does harm, in minor units.
func (w *worth) loss(d *DueRow, life float64) (thrown, harm float64) {
	labour := float64(w.prices.Labour.Value)
	customers := labour
	if customers == 0 { // an owner's own hour is not free to a customer who waits
		customers = float64(cost.Default().Labour.Value)
	}
	spots := customers * wipeMinutes / 60 * math.Max(float64(w.site.Demand.NormalDay), 1)
	elements := 0.0
	if m := w.site.Rig.Membrane; m != nil {
		elements = float64(w.prices.Membrane.Value) * math.Max(float64(m.Count), 1)
	}
	switch d.part {
	case service.LeadResin:
		return w.bottle() / life, spots
	case service.CarbonPart:
		return float64(w.prices.Carbon.Value) / life, elements / 30
	case service.Membrane:
		return elements / life, spots
	case service.Cleaning:
		return 2 * labour / life, labour / 30
	}
	return float64(w.prices.Filter.Value) * math.Max(float64(len(w.site.Rig.Filters)), 1) / life, labour / 30
}

func (w *worth) bottle() float64 {
	if len(w.site.Rig.Resin) == 0 {
		return 0
	}
	v := w.site.Rig.Resin[0]
	if v.Price.Known {
		return float64(v.Price.Value)
	}
	return float64(w.prices.Resin.Value) * v.Volume.Or(quantity.Litres(28.3)).Litres()
}

// piece is a due part as work: what to do, bring and mind.
func (w *worth) piece(d *DueRow) Want {
	p := Want{Name: d.Name, Do: d.Do, Minutes: 30}
	r := &w.site.Rig
	switch d.part {
	case service.LeadResin:
		p.Bring = []VanPart{{1, "bottle of mixed-bed resin" + volumeWords(r.Resin[0].Volume)}}
	case service.CarbonPart:
		p.Bring = []VanPart{{1, strings.TrimSpace("carbon " + r.Carbon.Kind + volumeWords(r.Carbon.Volume))}, {1, "total chlorine kit"}}
	case service.Filters:
		p.Minutes = 15
		for _, x := range r.Filters {
			p.Bring = append(p.Bring, VanPart{1, strings.TrimSpace("sediment cartridge " + x.Rating.Typed)})
		}
	case service.Cleaning:
		p.Minutes = 120
		p.Bring = []VanPart{{1, "membrane cleaner, by the element's sheet"}, {1, "gloves, goggles"}}
	case service.Membrane:
		p.Minutes = 90
		p.Bring = []VanPart{{max(r.Membrane.Count, 1), strings.TrimSpace(r.Membrane.Size + " membrane element")}, {1, "set of seals"}}
	}
	return p
}

func volumeWords(v quantity.Entry[quantity.Volume]) string {
	if v.Typed == "" {
		return ""
	}
	return ", " + v.Typed
}

// look is a part whose day is in too much doubt for a trip of its own: the most
// likely first, then how early it may be, then what would tell.
func (w *worth) look(d *DueRow) Look {
	says := fmt.Sprintf("most likely not within three years, one in twenty by %s", shortDay(d.Low))
	if service.DayOf(d.Low) <= w.from {
		says = "most likely good for three years, but it may be due already"
	}
	if tells := NarrowWords(d.Narrows); tells != "" {
		says += "; " + tells
	}
	return Look{w.forecast.Site.Name, d.Name, says, service.DayOf(d.Low)}
}

// opens is the first day that a site is worth going to: two weeks before a place
// that is closed opens again; 0 where it is open.
func (w *worth) opens() service.Day {
	if !w.closed(w.from) {
		return 0
	}
	c := calendar{site: w.site, from: w.from.Date()}
	return max(service.DayOf(c.next(w.site.Demand.FirstMonth, 1).AddDate(0, 0, -14)), w.from)
}

func (w *worth) closed(day service.Day) bool {
	return closedIn(w.site.Demand.FirstMonth, w.site.Demand.LastMonth, day)
}

// closedIn says whether a place that is open from a month to another is closed on
// a day; 0 is open all year.
func closedIn(first, last int, day service.Day) bool {
	m := int(day.Date().Month())
	switch {
	case first == 0 || last == 0:
		return false
	case first <= last:
		return m < first || m > last
	}
	return m < first && m > last
}

func (f *fleet) money(minor float64) string {
	return amount{minor, f.currency}.Text(f.options.Units, f.options.Locale)
}

func shortDay(t time.Time) string { return t.Format("2 Jan 2006") }

// bandWords is a band of days, years told only where they differ.
func bandWords(w service.When) string {
	low, likely, high := w.Low.Date(), w.Likely.Date(), w.High.Date()
	short := func(t time.Time) string {
		if t.Year() != likely.Year() {
			return shortDay(t)
		}
		return t.Format("2 Jan")
	}
	return fmt.Sprintf("likely %s (%s to %s)", shortDay(likely), short(low), short(high))
}

func lowerFirst(s string) string {
	r, n := utf8.DecodeRuneInString(s)
	return string(unicode.ToLower(r)) + s[n:]
}
