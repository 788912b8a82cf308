package study

import (
	"errors"
	"fmt"
	"slices"
	"time"

	"rinsewright/quantity"
	"rinsewright/service"
	"rinsewright/site"
)

// ErrCurrencies marks sites whose prices cannot be added up.
var ErrCurrencies = errors.New("prices in more than one currency")

// TripPlan is what a fleet wants done in the weeks ahead, as van loads.
type TripPlan struct {
	From, Until time.Time // both included
	Sites       int
	Weeks       []TripWeek
	Shared      []Shared // causes that explain several sites, each told once
	Looks       []Look   // what nobody can date, at sites that no trip goes to
	Undated     []Undated
	// Work is what is expected to be thrown away or lost to being late, Travel what
	// drives and stops come to, Alone both with a trip for every piece of work; all
	// over the weeks looked ahead, which are a few more than those told.
	Work, Travel, Alone Figure
	Ahead               int // weeks looked ahead
	Assumed             []Assumption
}

// TripWeek is one week as a van load.
type TripWeek struct {
	Monday time.Time
	Trips  []Trip
	Hours  quantity.Time // of work, without the drive
	Bring  []VanPart
}

// Trip is one drive to one site.
type Trip struct {
	On    time.Time
	Key   string // by which a face knows the site
	Site  string
	Area  string // empty where nobody said
	With  []string
	Jobs  []TripJob
	Looks []Look
	Hours quantity.Time
	Bring []VanPart
}

// TripJob is one piece of work on a trip.
type TripJob struct {
	Name, Do string
	Steps    []string // where it is more than a sentence
	Due      string   // "likely 4 Dec (29 Nov to 9 Dec)"
	// Low, Likely and High are the band that Due tells, for the calendar's work the
	// first day, none and the last.
	Low, Likely, High time.Time
	Why               string   // this day, all of it
	Whys              []string // the same, sentence by sentence
	Cautions          []string
	Nth               int    // 2 for the one after the next
	Narrow            string // the reading that would narrow its date; empty where it is narrow, or nothing would
	// On is the day, Own the day it would be done on if driving cost nothing.
	On, Own time.Time
	Told    time.Time // the day it was promised for; zero for none
	Extra   Figure    // that On costs over Own

	alike bool
}

// Look is something whose day is in too much doubt for a trip of its own: look
// when there.
type Look struct {
	Site, Name, Says string
	From             service.Day // it may be due, one in twenty, from this day
}

// Undated is a site of which no log says what comes due.
type Undated struct{ Site, Why string }

// VanPart is what goes into the van.
type VanPart struct {
	Count int
	What  string
}

// TripOptions are what a plan of trips is asked for.
type TripOptions struct {
	Options
	From  time.Time
	Weeks int // to be told, 1 to 52
	// Agreed are days told to somebody before; they move only where that saves more
	// than a telephone call.
	Agreed []Agreed
}

// Agreed is a piece of work and the day it was promised for.
type Agreed struct {
	Site, Name string
	On         time.Time
}

// What trips cost beyond the price list. Source: [TradeDefaults].
const (
	stopMinutes = 20 // from one neighbour to the next, tools out and in
	wipeMinutes = 5  // to dry one spotted vehicle by hand
	bother      = 15 // minutes, to call and agree on another day
	moreWeeks   = 8  // looked ahead past those told, so that the last is not cut short
)

// Trips plans the work of a fleet: what its logs say comes due and what the
// calendar brings, grouped into days by expected cost. The error wraps
// [ErrCurrencies] or service.ErrRange; a site that cannot be forecast brings the
// calendar's tasks alone, and is told among the undated.
func Trips(sites []*site.Site, o TripOptions) (*TripPlan, error) {
	if err := o.check(); err != nil {
		return nil, err
	}
	all := make([]Wants, len(sites))
	for i, s := range sites {
		all[i] = WantsOf(s, o.Options, o.From)
	}
	return PlanTrips(all, o)
}

func (o *TripOptions) check() error {
	if !(o.Weeks >= 1 && o.Weeks <= 52) {
		return fmt.Errorf("trips: %w: %d weeks, wanted 1 to 52", service.ErrRange, o.Weeks)
	}
	return nil
}

// PlanTrips is [Trips] from what each site wants, worked out before.
func PlanTrips(sites []Wants, o TripOptions) (*TripPlan, error) {
	if err := o.check(); err != nil {
		return nil, err
	}
	from := service.DayOf(o.From)
	f := &fleet{options: o, p: &TripPlan{From: from.Date(), Until: from.Date().AddDate(0, 0, 7*o.Weeks-1), Sites: len(sites), Ahead: o.Weeks + moreWeeks}}
	f.plan = service.Fleet{From: from, Days: 7 * f.p.Ahead, Off: [7]bool{time.Saturday: true, time.Sunday: true}}
	for i := range sites {
		if err := f.add(&sites[i]); err != nil {
			return nil, err
		}
	}
	days, agreed := []service.Day(nil), float64(0)
	if len(o.Agreed) > 0 {
		days, agreed = f.agreed(), f.labour*bother/60
		f.promised = days
	}
	done, err := service.Replan(f.plan, days, agreed)
	if err != nil {
		return nil, err
	}
	f.p.Shared = sharedOf(f.foreseen, f.drifts)
	f.tell(done)
	f.assume()
	return f.p, nil
}

// fleet is a plan in the making.
type fleet struct {
	options  TripOptions
	p        *TripPlan
	plan     service.Fleet
	work     []pieceOfWork // by task
	names    []string      // by site
	keys     []string      // by site
	promised []service.Day // by task; 0 for none
	foreseen []string      // names of the sites with a forecast
	drifts   [][]service.Drift
	looks    []Look
	currency string
	labour   float64 // minor units an hour, the dearest
	defaults int     // sites that left out a price that counts here
}

// pieceOfWork is what a task is to the person who does it.
type pieceOfWork struct {
	*Want
	site  int
	due   string
	nth   int
	spent service.When // zero for the calendar's work
}

func (f *fleet) add(w *Wants) error {
	if w.Guessed {
		f.defaults++
	}
	if f.currency == "" {
		f.currency = w.Currency
	}
	if f.currency != w.Currency {
		return fmt.Errorf("trips: %w: %s in %s, others in %s", ErrCurrencies, w.Name, w.Currency, f.currency)
	}
	f.labour = max(f.labour, w.Labour)
	f.plan.Sites = append(f.plan.Sites, service.Place{Area: w.Area, Drive: w.Drive, Stop: w.Stop})
	name := w.Name
	for n := 2; slices.Contains(f.names, name); n++ { // or nobody can tell one's trips from the other's
		name = fmt.Sprintf("%s (%d)", w.Name, n)
	}
	f.names, f.keys = append(f.names, name), append(f.keys, w.Key)
	at := len(f.names) - 1
	for i := range w.Work {
		if want := &w.Work[i]; want.Part == "" {
			f.window(want, at)
		} else {
			f.repeat(w, want, at)
		}
	}
	until := f.plan.From + service.Day(f.plan.Days)
	for _, l := range w.Looks {
		if l.Site = name; l.From < until {
			f.looks = append(f.looks, l)
		}
	}
	if w.Why != "" {
		f.p.Undated = append(f.p.Undated, Undated{name, w.Why})
		return nil
	}
	f.foreseen, f.drifts = append(f.foreseen, name), append(f.drifts, w.Drifts)
	return nil
}

// window adds work that the calendar brings; what is over is left out.
func (f *fleet) window(w *Want, at int) {
	if w.By < f.plan.From {
		return
	}
	piece := pieceOfWork{Want: w, site: at, due: "between " + shortDay(w.From.Date()) + " and " + shortDay(w.By.Date()), nth: 1}
	// A cent a day: of days that are alike the first.
	f.take(piece, service.Task{Site: at, Spent: service.When{Low: w.From, Likely: w.From, High: w.From}, Harm: 1, First: w.From, Last: w.By})
}

func (f *fleet) take(p pieceOfWork, t service.Task) {
	f.work, f.plan.Tasks = append(f.work, p), append(f.plan.Tasks, t)
}

// agreed are the days promised before, by task. Days that are past are done or
// missed; those left go to a site's jobs of one name in order, so that when a
// bottle is changed the second promise becomes the first.
func (f *fleet) agreed() []service.Day {
	left := map[[2]string][]service.Day{}
	for _, a := range f.options.Agreed {
		if on := service.DayOf(a.On); on >= f.plan.From {
			left[[2]string{a.Site, a.Name}] = append(left[[2]string{a.Site, a.Name}], on)
		}
	}
	for _, days := range left {
		slices.Sort(days)
	}
	days := make([]service.Day, len(f.work))
	for i, w := range f.work {
		if mine := left[[2]string{f.names[w.site], w.Name}]; w.nth <= len(mine) {
			days[i] = mine[w.nth-1]
		}
	}
	return days
}

func (f *fleet) assume() {
	n := &notes{units: f.options.Units, locale: f.options.Locale}
	n.assume("a day late with resin", fmt.Sprintf("%d min of labour for each vehicle of a normal day, to dry spots by hand", wipeMinutes), "common practice, no source")
	n.assume("a day late with carbon", "a thirtieth of the elements' price", "from memory, unverified; chlorine ruins them in weeks")
	n.assume("a day late with filters or cleaning", "two minutes of labour", "common practice, no source")
	n.assume("one more stop", fmt.Sprintf("%d min of labour", stopMinutes), "common practice, no source")
	n.assume("a day's drive", "prices.visit, once for all sites with the same area", "the dearest of them")
	n.assume("working days", "Monday to Friday; no holidays, and no limit to a day's hours", "look at the hours told")
	if f.defaults > 0 {
		n.assume("prices that a site file does not tell", "round figures, nobody's prices", fmt.Sprintf("at %d of %d sites", f.defaults, f.p.Sites))
	}
	f.p.Assumed = n.assumed
}
