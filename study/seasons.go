package study

import (
	"fmt"
	"math"
	"slices"
	"time"

	"rinsewright/quantity"
	"rinsewright/service"
	"rinsewright/site"
)

// SeasonTask is one piece of work that the calendar brings.
type SeasonTask struct {
	Name     string // "lay_up"
	Title    string
	From     string // ISO 8601 day: not before
	By       string // and done by
	Why      string
	Do       []string
	Cautions []string // where the work can hurt someone: before the work
	Parts    []string // for the van
}

// freezing is when pipes are at risk where nobody told of the air: a feed this
// cold comes with air below freezing. Source: [TradeDefaults].
const freezing = quantity.Temperature(273.15 + 7)

// Seasons returns a site's tasks of the year that begins with the day from, in
// order: frost, lay-up and spring start, carbon ahead of a utility's switch, the
// yearly cleaning of the tank. Months turn with the feed's coldest one, February
// where nobody said; what the site does not say is taken as in [Check]. The order of work is common practice, no source;
// the maker's sheet and the local code win.
func Seasons(s *site.Site, from time.Time) []SeasonTask {
	c := calendar{site: s, from: from}
	var all []SeasonTask
	for _, task := range []func() (SeasonTask, bool){c.springStart, c.layUp, c.frost, c.switchCarbon, c.tank} {
		if t, due := task(); due {
			all = append(all, t)
		}
	}
	slices.SortStableFunc(all, func(a, b SeasonTask) int {
		switch {
		case a.By < b.By:
			return -1
		case a.By > b.By:
			return 1
		}
		return 0
	})
	return all
}

type calendar struct {
	site *site.Site
	from time.Time
}

// next is the first such day of a month that is not before from.
func (c calendar) next(month, day int) time.Time {
	t := time.Date(c.from.Year(), time.Month(month), day, 0, 0, 0, 0, time.UTC)
	if t.Before(c.from) {
		t = t.AddDate(1, 0, 0)
	}
	return t
}

func span(by time.Time, days int) (from, until string) {
	return by.AddDate(0, 0, -days).Format(time.DateOnly), by.Format(time.DateOnly)
}

// seasonal tells whether the site closes for a part of the year.
func (c calendar) seasonal() bool {
	d := c.site.Demand
	return d.FirstMonth > 0 && d.LastMonth > 0 && (d.LastMonth+1)%12 != d.FirstMonth%12
}

// turned is a month of the north as it falls here.
func (c calendar) turned(month int) int {
	return (month-1+coldestMonth(c.site)-northernFebruary+12)%12 + 1
}

// firstFrost is the day of the first night of frost, and whether there is one.
//
// By the coldest night, where it is told: nights run through the year as a cosine
// about the feed's yearly mean, which is the air's, coldest half way through the
// month before the feed's coldest; frost begins where it crosses 0 °C:
//
//	d = d_coldest − 365/(2π) arccos(m/(m − c))   m mean, c coldest night, °C
//
// Else by the feed: a cold one means frost from 1 November on, turned as the months.
// Source: that mean feed and mean air agree is [TradeDefaults]; own derivation.
func (c calendar) firstFrost() (time.Time, bool) {
	night := c.site.ColdestNight
	if !night.Known {
		return c.next(c.turned(11), 1), c.cold()
	}
	l := look{}
	if l.takeWater(c.site, drawn{}, &notes{}, change{}) != nil {
		return c.next(c.turned(11), 1), night.Value.Celsius() < 0
	}
	cold, warm := l.coldAndWarm(c.site, &notes{})
	mean, coldest := (cold.Celsius()+warm.Celsius())/2, night.Value.Celsius()
	if coldest >= 0 {
		return time.Time{}, false
	}
	before := math.Acos(math.Max(math.Min(mean/(mean-coldest), 1), -1)) * 365 / (2 * math.Pi)
	middle := c.next(c.turned(1), 15)
	frost := middle.AddDate(0, 0, -int(math.Round(before)))
	if frost.Before(c.from) {
		frost = frost.AddDate(1, 0, 0)
	}
	return frost, true
}

func (c calendar) cold() bool {
	if e := c.site.Supply.Coldest; e.Known {
		return e.Value <= freezing
	}
	return c.site.Supply.Source != site.Well
}

func (c calendar) springStart() (SeasonTask, bool) {
	if !c.seasonal() {
		return SeasonTask{}, false
	}
	t := SeasonTask{
		Name: "spring_start", Title: "Spring start", Why: fmt.Sprintf("the season opens on 1 %s", time.Month(c.site.Demand.FirstMonth)),
		Cautions: []string{
			"Water that stood warm can carry legionella: flush every gun low and open, without mist, before anyone sprays.",
			"Sanitiser is never mixed with acid or ammonia, and never reaches membrane or resin. Gloves and eyes.",
			"Never enter the tank: it is a confined space.",
		},
		Do: []string{
			"Look for frost damage: housings, check valves, gauges. Fill slowly with every high point open.",
			"Sanitise tank and lines with membrane and resin bypassed, rinse below 0.1 mg/L of total chlorine.",
			"Membrane to the drain for half an hour: the preservative is not for tank or resin.",
			"Read the path as on the first day, and log it: the season's trend begins there.",
		},
		Parts: []string{"sediment filters", "total chlorine kit", "sanitiser"},
	}
	if c.site.Rig.Carbon != nil {
		t.Parts = append(t.Parts, "carbon")
		t.Do = append(t.Do, "Fresh carbon: what stood wet all winter is a growth site.")
	}
	t.From, t.By = span(c.next(c.site.Demand.FirstMonth, 1), 14)
	return t, true
}

func (c calendar) layUp() (SeasonTask, bool) {
	if !c.seasonal() {
		return SeasonTask{}, false
	}
	last := time.Date(c.from.Year(), time.Month(c.site.Demand.LastMonth)+1, 1, 0, 0, 0, 0, time.UTC)
	if last.Before(c.from) {
		last = last.AddDate(1, 0, 0)
	}
	t := SeasonTask{
		Name: "lay_up", Title: "Lay-up", Why: fmt.Sprintf("the season ends with %s, and standing water grows or freezes", time.Month(c.site.Demand.LastMonth)),
		Cautions: []string{
			"Let the pressure off before opening anything; lock the power off.",
			"Bisulphite gives off a gas that hurts lungs: outdoors or doors open, gloves and eyes, never with acid.",
		},
		Do: []string{"Read the path and the totaliser once more.", "Shut the feed, let the pressure off, open every drain and every gun.", "Empty the tank from outside and leave its drain open."},
	}
	if c.site.Rig.Membrane != nil {
		t.Do = append(t.Do, "Membrane: fill with fresh bisulphite, shut it in, keep it between 5 and 35 °C. A frozen element is scrap.")
		t.Parts = append(t.Parts, "sodium bisulphite, food grade")
	}
	if len(c.site.Rig.Resin) > 0 {
		t.Do = append(t.Do, "Resin: bottles off, capped, kept wet and above freezing.")
	}
	t.From, t.By = span(last.AddDate(0, 0, 7), 14)
	return t, true
}

func (c calendar) frost() (SeasonTask, bool) {
	first, frost := c.firstFrost()
	if !frost || c.seasonal() && closedIn(c.site.Demand.FirstMonth, c.site.Demand.LastMonth, service.DayOf(first)) && closedIn(c.site.Demand.FirstMonth, c.site.Demand.LastMonth, service.DayOf(first.AddDate(0, 3, 0))) {
		return SeasonTask{}, false // closed and drained all winter
	}
	t := SeasonTask{
		Name: "frost", Title: "Ready for frost", Why: "the feed's coldest months bring frost to whatever stands outside",
		Cautions: []string{"Electric heating beside water: residual-current (GFCI) protection, a licensed electrician.", "What drips freezes: grit on the floor before someone falls."},
		Do: []string{
			"Test the frost thermostat by raising its setpoint; its sensor hangs in the coldest shady spot.",
			"Guns and lines: weep, blow-down or heating tape tried out before the first frost.",
			"The rig's room stays above 5 °C: a frozen element is scrap, a frozen housing bursts.",
			"Permeate falls with the cold: look at the coldest month of rinsewright check, fill the tank in the quiet hours.",
		},
		Parts: []string{"heating tape or weep valves", "grit"},
	}
	t.From, t.By = span(first, 21)
	return t, true
}

// switchDay is when a utility's weeks of free chlorine begin where nobody said:
// early March. Source: [TradeDefaults].
const switchMonth, switchOn = 3, 1

func (c calendar) switchCarbon() (SeasonTask, bool) {
	weeks := c.site.Supply.SwitchWeeks
	if weeks == 0 || c.site.Rig.Carbon == nil || c.site.Rig.Membrane == nil {
		return SeasonTask{}, false
	}
	t := SeasonTask{
		Name: "carbon_before_switch", Title: "Carbon ahead of the utility's switch",
		Why: fmt.Sprintf("for about %d weeks the utility sends free chlorine, which ruins a membrane behind spent carbon; ask for this year's date, early %s is only usual", weeks, time.Month(c.turned(switchMonth))),
		Cautions: []string{
			"Let the pressure off before opening a housing.",
			"Carbon dust is not for lungs or membrane: flush new carbon to the drain until clear.",
		},
		Do: []string{
			"Change the carbon in the two weeks before.",
			"Read total chlorine ahead of the membrane on the first day of the switch and once a week: below 0.1 mg/L.",
		},
		Parts: []string{"carbon", "total chlorine kit"},
	}
	t.From, t.By = span(c.next(c.turned(switchMonth), switchOn), 14)
	return t, true
}

// tankEvery is how often a tank is cleaned. Source: [TradeDefaults].
const tankEvery = 365

func (c calendar) tank() (SeasonTask, bool) {
	r := c.site.Rig
	if r.Tank == nil || r.Tank.Kind == "pressurised" {
		return SeasonTask{}, false
	}
	by, why := c.next(c.turned(4), 15), "once a year; nobody logged the last time"
	for _, v := range c.site.Log {
		done, err := time.Parse(time.DateOnly, v.Date)
		if err != nil || !slices.Contains(v.Changed, site.TankCleaned) && !slices.Contains(v.Changed, site.Sanitised) {
			continue
		}
		by, why = done.AddDate(0, 0, tankEvery), "a year after "+v.Date
		if by.Before(c.from) {
			by = c.from
		}
	}
	dose := ""
	if v := r.Tank.Volume; v.Known {
		dose = fmt.Sprintf(": about %.2g L of 5 %% bleach for this tank", math.Max(v.Value.Litres()*50e-3/50, 0.01))
	}
	t := SeasonTask{
		Name: "tank_cleaning", Title: "Yearly cleaning of the tank", Why: why,
		Cautions: []string{
			"Never enter the tank: it is a confined space with its own law. Clean it from outside with a long brush or a spray lance.",
			"Bleach never meets acid or ammonia: the gases can kill. One chemical a day, gloves, eye protection, doors open.",
			"Bleach never reaches membrane or resin; chlorinated water never goes to a storm drain.",
		},
		Do: []string{
			"Membrane and resin off. Drain the tank, brush and rinse it from outside.",
			"Fill with 50 mg/L of free chlorine" + dose + "; an hour at least, every gun run.",
			"Drain, rinse, prove below 0.1 mg/L of total chlorine before anything is put back.",
			"Log it as sanitised: the next year counts from that day.",
		},
		Parts: []string{"unscented bleach", "total chlorine kit", "long brush"},
	}
	t.From, t.By = span(by, 30)
	return t, true
}
