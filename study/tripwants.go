package study

import (
	"errors"
	"fmt"
	"time"

	"rinsewright/service"
	"rinsewright/site"
)

// Wants is what one site wants of a plan of trips: what its log says comes due
// and what its calendar brings. It holds until a reading comes in or the day is
// over, and can be kept as JSON meanwhile, so that a fleet is planned without
// forecasting every site anew.
type Wants struct {
	Key        string // by which a face knows the site; may be empty
	Name, Area string
	On         service.Day // as of
	Currency   string
	// Drive and Stop are numbers of minor units for a day's drive there and for one
	// more stop; Labour is the number of them for an hour of work.
	Drive, Stop, Labour float64
	Guessed             bool // some price that counts here was left out
	FirstMonth          int  // in which the place is open, 0 all year
	LastMonth           int
	Work                []Want
	Looks               []Look
	Why                 string // there is no forecast; empty where there is one
	Drifts              []service.Drift
	First               *Coming // what comes due first; nil where nothing is foreseen
}

// Want is one kind of work at a site, the first time and how it comes back.
type Want struct {
	Name, Do string
	Steps    []string // where it is more than a sentence
	Cautions []string
	Bring    []VanPart
	Minutes  float64 // number of minutes it takes
	Narrow   string  // the reading that would narrow its date; empty for none
	// Says is why, for the calendar's work, and From and By the days it may be done
	// on; the work of a forecast has the rest.
	Says     string
	From, By service.Day

	Part         service.Part
	Spent, Hurts service.When
	// Thrown and Harm are numbers of minor units lost for a day early and a day late,
	// Life is the number of days that the part lasts.
	Thrown, Harm, Life float64
	Opens              service.Day // not before; 0 for no bound
}

// Coming is what comes due first at a site.
type Coming struct {
	Name              string
	State             State
	Low, Likely, High service.Day
	Beyond            bool // more likely than not past the horizon
}

// Words are the day with its band: "likely 4 Dec 2026 (29 Nov to 9 Dec)".
func (c *Coming) Words() string {
	if c.Beyond {
		return "beyond three years"
	}
	return bandWords(service.When{Low: c.Low, Likely: c.Likely, High: c.High})
}

// WantsOf returns what a site wants of a plan made on a day. A site that cannot
// be forecast brings the calendar's work alone and says why.
func WantsOf(s *site.Site, o Options, on time.Time) Wants {
	n := &notes{}
	prices := pricesOn(&s.Rig, pricesOf(s.Prices, n))
	labour := float64(prices.Labour.Value)
	w := Wants{
		Name: s.Name, Area: s.Area, On: service.DayOf(on), Currency: prices.Currency, Guessed: len(n.assumed) > 0,
		Drive: float64(prices.Visit.Value), Stop: labour * stopMinutes / 60, Labour: labour, FirstMonth: s.Demand.FirstMonth, LastMonth: s.Demand.LastMonth,
	}
	w.calendarWork(s)
	forecast, err := Forecast(s, o, on)
	switch {
	case errors.Is(err, ErrNoLog):
		w.Why = "nothing is logged up to this day: the calendar's tasks alone"
	case err != nil: // one site that cannot be foreseen does not stop the van for the others
		w.Why = err.Error() + ": the calendar's tasks alone"
	default:
		w.Drifts = forecast.drifts
		w.dueWork(&worth{site: s, prices: prices, forecast: forecast, from: w.On})
		w.First = firstOf(forecast)
	}
	return w
}

// firstOf is what comes due first, of what is known to come.
func firstOf(f *Forecasted) *Coming {
	for i := range f.Dues {
		if d := &f.Dues[i]; !d.Beyond && d.part != service.AllResin {
			w := whenOf(d)
			return &Coming{Name: d.Name, State: d.State, Low: w.Low, Likely: w.Likely, High: w.High}
		}
	}
	if len(f.Dues) == 0 {
		return nil
	}
	w := whenOf(&f.Dues[0])
	return &Coming{Name: f.Dues[0].Name, State: f.Dues[0].State, Low: w.Low, Likely: w.Likely, High: w.High, Beyond: true}
}

// calendarWork adds what the seasons bring.
func (w *Wants) calendarWork(s *site.Site) {
	for _, t := range Seasons(s, w.On.Date()) {
		from, err1 := time.Parse(time.DateOnly, t.From)
		by, err2 := time.Parse(time.DateOnly, t.By)
		if err1 != nil || err2 != nil {
			continue
		}
		want := Want{
			Name: lowerFirst(t.Title), Do: "the steps: rinsewright log SITE --seasons", Steps: t.Do, Says: t.Why, Cautions: t.Cautions, Minutes: seasonMinutes[t.Name],
			From: service.DayOf(from), By: service.DayOf(by),
		}
		for _, part := range t.Parts {
			want.Bring = append(want.Bring, VanPart{1, part})
		}
		w.Work = append(w.Work, want)
	}
}

// seasonMinutes is how long a season's task takes. Source: [TradeDefaults].
var seasonMinutes = map[string]float64{"spring_start": 180, "lay_up": 120, "frost": 60, "carbon_before_switch": 30, "tank_cleaning": 150}

// dueWork adds what a forecast brings.
func (w *Wants) dueWork(x *worth) {
	for i := range x.forecast.Dues {
		d := &x.forecast.Dues[i]
		switch {
		case d.part == service.AllResin: // is when the lead's being late begins to hurt
		case d.Beyond:
			w.Looks = append(w.Looks, x.look(d))
		default:
			w.Work = append(w.Work, x.want(d))
		}
	}
}

// want is a part that comes due as work.
func (w *worth) want(d *DueRow) Want {
	out := w.piece(d)
	out.Part, out.Life, out.Spent, out.Hurts, out.Opens = d.part, w.life(d), whenOf(d), w.hurts(d), w.opens()
	out.Thrown, out.Harm = w.loss(d, out.Life)
	out.Narrow = NarrowWords(d.Narrows)
	return out
}

// comesBack says that a part is changed again and again.
func (w *Want) comesBack() bool {
	return w.Part == service.LeadResin || w.Part == service.CarbonPart || w.Part == service.Filters
}

// loses says what a day late and a day early cost.
func (w *Want) loses(f *fleet) string {
	in := ""
	switch w.Part {
	case service.LeadResin, service.Membrane:
		in = " in spots"
	case service.CarbonPart:
		in = " of membrane"
	}
	return fmt.Sprintf("late costs %s a day%s, early %s", f.money(w.Harm), in, f.money(w.Thrown))
}

// closed says whether the place is closed on a day.
func (w *Wants) closed(day service.Day) bool {
	return closedIn(w.FirstMonth, w.LastMonth, day)
}
