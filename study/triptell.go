package study

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"rinsewright/quantity"
	"rinsewright/service"
)

// tell turns days into trips and weeks.
func (f *fleet) tell(done service.Planned) {
	type key struct {
		on   service.Day
		site int
	}
	trips := map[key]*Trip{}
	var order []key
	for i, day := range done.Days {
		if day == 0 || day.Date().After(f.p.Until) {
			continue
		}
		k := key{day, f.work[i].site}
		if trips[k] == nil {
			trips[k] = &Trip{On: day.Date(), Key: f.keys[k.site], Site: f.names[k.site], Area: f.plan.Sites[k.site].Area}
			order = append(order, k)
		}
		trips[k].take(&f.work[i], f.job(done, i))
	}
	slices.SortStableFunc(order, func(a, b key) int {
		return cmp.Or(cmp.Compare(a.on, b.on), cmp.Compare(f.plan.Sites[a.site].Area, f.plan.Sites[b.site].Area), cmp.Compare(f.names[a.site], f.names[b.site]))
	})
	for _, k := range order {
		for _, other := range order {
			if other != k && other.on == k.on && trips[k].Area != "" && trips[other].Area == trips[k].Area {
				trips[k].With = append(trips[k].With, trips[other].Site)
			}
		}
	}
	first := f.plan.From
	for f.plan.Off[first.Date().Weekday()] {
		first++
	}
	for _, k := range order {
		t := trips[k]
		t.Hours += quantity.Minutes(stopMinutes)
		f.attach(t)
		t.because(first.Date())
		f.load(*t)
	}
	f.p.Looks = f.looks
	f.p.Work, f.p.Travel, f.p.Alone = amount{done.Work, f.currency}, amount{done.Travel, f.currency}, amount{done.Alone, f.currency}
}

func (f *fleet) job(done service.Planned, i int) TripJob {
	w := &f.work[i]
	j := TripJob{
		Name: w.Name, Do: w.Do, Steps: w.Steps, Due: w.due, Why: w.Says, Cautions: w.Cautions, Nth: w.nth,
		alike: w.Part == "", Low: w.From.Date(), High: w.By.Date(), On: done.Days[i].Date(), Own: done.Own[i].Date(), Extra: amount{done.Extra[i], f.currency},
	}
	if !j.alike {
		j.Why = w.loses(f)
		j.Low, j.Likely, j.High = w.spent.Low.Date(), w.spent.Likely.Date(), w.spent.High.Date()
	}
	if f.promised != nil && f.promised[i] > 0 {
		j.Told = f.promised[i].Date()
	}
	if wide := w.Spent.High - w.Spent.Low; !j.alike && w.nth == 1 && wide > wideDays {
		j.Narrow = w.Narrow
	}
	return j
}

func (t *Trip) take(w *pieceOfWork, j TripJob) {
	t.Jobs = append(t.Jobs, j)
	t.Hours += quantity.Minutes(w.Minutes)
	t.Bring = added(t.Bring, w.Bring)
}

// added adds parts to a load, like to like.
func added(load, more []VanPart) []VanPart {
	for _, p := range more {
		k := slices.IndexFunc(load, func(x VanPart) bool { return x.What == p.What })
		if k < 0 {
			load = append(load, p)
			continue
		}
		if load[k].Count += p.Count; isTool(p.What) {
			load[k].Count = 1
		}
	}
	return load
}

// isTool says that one in the van serves every site.
func isTool(what string) bool {
	return slices.Contains([]string{"total chlorine kit", "gloves, goggles", "long brush", "heating tape or weep valves", "grit", "sanitiser", "unscented bleach"}, what)
}

// attach gives a trip what is to be looked at there; the first trip takes it.
func (f *fleet) attach(t *Trip) {
	f.looks = slices.DeleteFunc(f.looks, func(l Look) bool {
		if l.Site == t.Site {
			t.Looks = append(t.Looks, l)
		}
		return l.Site == t.Site
	})
}

// wideDays is how wide a band must be for a reading to be worth asking for.
const wideDays = 28

// because ends each job's why with what made the day: its own best, or company.
// first is the first working day of the plan.
func (t *Trip) because(first time.Time) {
	for i := range t.Jobs {
		j := &t.Jobs[i]
		if j.Nth == 1 { // its costs are told with the first
			j.Whys = append(j.Whys, j.Why)
		}
		j.Whys = append(j.Whys, j.dayWords(t.company(i), first))
		j.Why = strings.Join(j.Whys, "; ")
	}
}

// company are who shares a job's drive: other jobs there, and neighbours.
func (t *Trip) company(job int) (all []string) {
	for k, other := range t.Jobs {
		if k != job {
			all = append(all, other.Name)
		}
	}
	return append(all, t.With...)
}

func (j *TripJob) dayWords(company []string, first time.Time) string {
	days := int(j.On.Sub(j.Own).Hours() / 24)
	switch {
	case j.alike && len(company) > 0:
		return "any day of these is as good, so one drive with " + companyWords(company)
	case j.alike:
		return "any day of these is as good"
	case days == 0 && j.On.Equal(first):
		return "this is its best day of those left"
	case days == 0:
		return "this is its best day"
	}
	side, n := "before", "a day"
	if days > 0 {
		side = "after"
	}
	if days != 1 && days != -1 {
		n = fmt.Sprintf("%d days", max(days, -days))
	}
	if len(company) == 0 {
		return n + " " + side + " its own best day: the cost of both weighed"
	}
	return n + " " + side + " its own best day: one drive with " + companyWords(company)
}

// companyWords names who shares a drive, as many as a line can bear.
func companyWords(all []string) string {
	const most = 4
	if len(all) > most {
		all = append(slices.Clone(all[:most]), fmt.Sprintf("%d more", len(all)-most))
	}
	return strings.Join(all, " and ")
}

// load puts a trip into its week.
func (f *fleet) load(t Trip) {
	monday := t.On.AddDate(0, 0, -(int(t.On.Weekday())+6)%7)
	n := len(f.p.Weeks)
	if n == 0 || !f.p.Weeks[n-1].Monday.Equal(monday) {
		f.p.Weeks = append(f.p.Weeks, TripWeek{Monday: monday})
		n++
	}
	w := &f.p.Weeks[n-1]
	w.Trips = append(w.Trips, t)
	w.Hours += t.Hours
	w.Bring = added(w.Bring, t.Bring)
}

// longDay is how much work fits a day with its drive. Source: [TradeDefaults].
var longDay = quantity.Hours(7)

// LongDay is a day with more work than fits it.
type LongDay struct {
	On    time.Time
	Hours quantity.Time
}

// LongDays are the week's days with more work than fits one.
func (w *TripWeek) LongDays() (all []LongDay) {
	for i, t := range w.Trips {
		if i == 0 || !t.On.Equal(all[len(all)-1].On) {
			all = append(all, LongDay{On: t.On})
		}
		all[len(all)-1].Hours += t.Hours
	}
	return slices.DeleteFunc(all, func(d LongDay) bool { return d.Hours <= longDay })
}

// Places are the week's sites in the order they are gone to, each once.
func (w *TripWeek) Places() (all []string) {
	for _, t := range w.Trips {
		if !slices.Contains(all, t.Site) {
			all = append(all, t.Site)
		}
	}
	return all
}

// Reasons are the week's kinds of work, each once.
func (w *TripWeek) Reasons() (all []string) {
	for _, t := range w.Trips {
		for _, j := range t.Jobs {
			if !slices.Contains(all, j.Name) {
				all = append(all, j.Name)
			}
		}
	}
	return all
}

// Promises are the plan's days as they are told to people: given back as
// [TripOptions].Agreed they move only for more than a call.
func (p *TripPlan) Promises() (all []Agreed) {
	for _, w := range p.Weeks {
		for _, t := range w.Trips {
			for _, j := range t.Jobs {
				all = append(all, Agreed{t.Site, j.Name, t.On})
			}
		}
	}
	return all
}

// TripAppointments are a plan's trips as a calendar holds them. The next trip to
// a site keeps its identifier when it moves.
func TripAppointments(p *TripPlan) (all []Appointment) {
	seen := map[string]int{}
	for _, w := range p.Weeks {
		for _, t := range w.Trips {
			seen[t.Site]++
			all = append(all, t.appointment(seen[t.Site]))
		}
	}
	return all
}

func (t *Trip) appointment(nth int) Appointment {
	var names []string
	says := ""
	for _, j := range t.Jobs {
		names = append(names, j.Name)
		says += capital(j.Name) + ": " + j.Due + ". " + capital(j.Why) + ".\n"
		for _, c := range j.Cautions {
			says += "Take care: " + c + "\n"
		}
		steps := j.Steps
		if len(steps) == 0 {
			steps = []string{j.Do}
		}
		for _, step := range steps {
			says += "- " + capital(step) + "\n"
		}
	}
	for _, l := range t.Looks {
		says += "Look: " + l.Name + ": " + l.Says + "\n"
	}
	if parts := VanWords(t.Bring); parts != "" {
		says += "Bring: " + parts
	}
	on := t.On.Format(time.DateOnly)
	return Appointment{Site: t.Site, Title: strings.Join(names, ", "), From: on, By: on, Says: strings.TrimSpace(says), Key: fmt.Sprintf("trip %d", nth)}
}

// VanWords is a load in words: "2 × sediment cartridge, total chlorine kit".
func VanWords(load []VanPart) string {
	var words []string
	for _, p := range load {
		w := p.What
		if p.Count > 1 {
			w = fmt.Sprintf("%d × %s", p.Count, p.What)
		}
		words = append(words, w)
	}
	return strings.Join(words, "; ")
}
