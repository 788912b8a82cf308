package web

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"time"

	"rinsewright/internal/store"
	"rinsewright/quantity"
	"rinsewright/study"
)

// tripWeeks are how many weeks a person may ask for.
var tripWeeks = []int{4, 8, 13, 26}

const usualWeeks = 8

// tripsView is the page of the weeks ahead.
type tripsView struct {
	From, Until string
	Weeks       []tripWeekView
	Choice      []int
	Chosen      int
	Sites       int
	Old         int64 // sites whose forecast is being made
	Slow        bool
	Why         string // there is no plan
	Shared      []study.Shared
	Looks       []study.Look
	Undated     []study.Undated
	Money       [3]string // lost, travelled, each job by itself
	Ahead       int
	Assumed     []study.Assumption
	Told        string // when and by whom days were told; empty for never
	Moved       int    // jobs whose told day moved
	Feed        feedView
}

// tripWeekView is one line, and what stands behind it.
type tripWeekView struct {
	ID, Monday, Where, Why, Bring, Hours string
	Count                                string
	Open                                 bool
	Long                                 []string
	Trips                                []tripView
}

type tripView struct {
	Key, Day, Site, Area, Hours, Bring string
	Jobs                               []tripJobView
	Looks                              []study.Look
}

type tripJobView struct {
	Name, Due, Why, Do, Narrow, Moved string
	Steps, Cautions                   []string
}

// planQuestion is what a plan is the answer to.
type planQuestion struct {
	sites  string // hash of what each wants, and of what was told
	day    time.Time
	weeks  int
	reader reader
}

type planned struct {
	plan *study.TripPlan
	err  error
}

// plan asks for the plan of the weeks from today.
func (s *Server) plan(ctx context.Context, weeks int, reads reader) (p planned, old int64, told store.ToldTrips, err error) {
	day := dayOf(s.options.Now())
	kept, old, err := s.store.Forecasts(ctx, foreseenBy(s.options.Version, day))
	if err != nil {
		return p, 0, told, err
	}
	if told, err = s.store.TripsTold(ctx); err != nil {
		return p, 0, told, err
	}
	h := sha256.New()
	for _, f := range kept {
		_, _ = h.Write([]byte(f.Told)) // a hash takes everything
	}
	_, _ = h.Write([]byte(told.Told))
	q := planQuestion{hex.EncodeToString(h.Sum(nil)), day, weeks, reads}
	p, err = s.plans.ask(ctx, q, func(context.Context) planned { return planOf(kept, told.Told, q) })
	return p, old, told, err
}

func planOf(kept []store.Forecast, told string, q planQuestion) (p planned) {
	o := study.TripOptions{Options: study.Options{Units: q.reader.units, Locale: q.reader.locale}, From: q.day, Weeks: q.weeks}
	all := make([]study.Wants, len(kept))
	for i, f := range kept {
		if p.err = json.Unmarshal([]byte(f.Told), &all[i]); p.err != nil {
			return p
		}
	}
	if told != "" {
		if p.err = json.Unmarshal([]byte(told), &o.Agreed); p.err != nil {
			return p
		}
	}
	p.plan, p.err = study.PlanTrips(all, o)
	return p
}

// trips shows the weeks ahead, each as a van load.
func (v *visit) trips() error { return v.showTrips(http.StatusOK, "") }

func (v *visit) showTrips(status int, address string) error {
	reads, err := v.reader()
	if err != nil {
		return err
	}
	page := tripsView{Choice: tripWeeks, Chosen: weeksAsked(v.r)}
	if page.Feed, err = v.feedOf(address); err != nil {
		return err
	}
	ctx, stop := context.WithTimeout(v.r.Context(), patience)
	defer stop()
	p, old, told, err := v.plan(ctx, page.Chosen, reads)
	switch {
	case v.r.Context().Err() != nil:
		return v.r.Context().Err()
	case ctx.Err() != nil:
		page.Slow = true
	case err != nil:
		return err
	case p.err != nil:
		page.Why = capital(p.err.Error()) + "."
	default:
		page.fill(p.plan, reads)
	}
	page.Old = old
	if told.Told != "" {
		page.Told = told.At.Local().Format("2 January 2006, 15:04")
	}
	return v.show(status, "trips.html", "Trips", "trips", page)
}

func weeksAsked(r *http.Request) int {
	n, err := strconv.Atoi(r.FormValue("weeks"))
	if err != nil || !slices.Contains(tripWeeks, n) {
		return usualWeeks
	}
	return n
}

func (p *tripsView) fill(plan *study.TripPlan, reads reader) {
	p.From, p.Until, p.Sites = dayWords(plan.From), dayWords(plan.Until), plan.Sites
	p.Shared, p.Looks, p.Undated, p.Ahead, p.Assumed = plan.Shared, plan.Looks, plan.Undated, plan.Ahead, plan.Assumed
	for i, f := range []study.Figure{plan.Work, plan.Travel, plan.Alone} {
		p.Money[i] = f.Text(reads.units, reads.locale)
	}
	for i, w := range plan.Weeks {
		one := weekView(w, reads)
		one.Open = i == 0
		p.Weeks = append(p.Weeks, one)
		for _, t := range one.Trips {
			for _, j := range t.Jobs {
				if j.Moved != "" {
					p.Moved++
				}
			}
		}
	}
}

func weekView(w study.TripWeek, reads reader) tripWeekView {
	out := tripWeekView{
		ID: "w" + w.Monday.Format("20060102"), Monday: w.Monday.Format("2 January"), Bring: study.VanWords(w.Bring), Hours: hoursWords(w.Hours, reads),
		Where: fewOf(w.Places(), 4), Why: fewOf(w.Reasons(), 4), Count: countWords(w),
	}
	for _, d := range w.LongDays() {
		out.Long = append(out.Long, fmt.Sprintf("%s is %s of work: two vans, or take a part of it another day.", d.On.Format("Monday 2 January"), hoursWords(d.Hours, reads)))
	}
	for _, t := range w.Trips {
		one := tripView{Key: t.Key, Day: t.On.Format("Mon 2 Jan"), Site: t.Site, Area: t.Area, Hours: hoursWords(t.Hours, reads), Bring: study.VanWords(t.Bring), Looks: t.Looks}
		for _, j := range t.Jobs {
			one.Jobs = append(one.Jobs, jobView(j))
		}
		out.Trips = append(out.Trips, one)
	}
	return out
}

func jobView(j study.TripJob) tripJobView {
	out := tripJobView{Name: capital(j.Name), Due: j.Due, Why: capital(j.Why), Narrow: j.Narrow, Cautions: j.Cautions}
	if j.Nth > 1 {
		out.Name += " again"
		return out
	}
	if out.Steps = j.Steps; len(j.Steps) == 0 {
		out.Do = capital(j.Do)
	}
	if !j.Told.IsZero() && !j.Told.Equal(j.On) {
		out.Moved = j.Told.Format("Monday 2 January")
	}
	return out
}

// countWords says how many trips on how many days.
func countWords(w study.TripWeek) string {
	days := map[time.Time]bool{}
	for _, t := range w.Trips {
		days[t.On] = true
	}
	trips, on := fmt.Sprintf("%d trips", len(w.Trips)), fmt.Sprintf("%d days", len(days))
	if len(w.Trips) == 1 {
		trips = "1 trip"
	}
	if len(days) == 1 {
		on = "1 day"
	}
	return trips + " on " + on
}

// fewOf names things, as many as a line can bear.
func fewOf(all []string, most int) string {
	if len(all) > most {
		return strings.Join(all[:most], ", ") + fmt.Sprintf(" and %d more", len(all)-most)
	}
	return strings.Join(all, ", ")
}

func dayWords(t time.Time) string { return t.Format("2 January 2006") }

func hoursWords(x quantity.Time, reads reader) string {
	text := fmt.Sprintf("%.1f h", float64(x)/3600)
	if reads.locale.DecimalComma {
		text = strings.Replace(text, ".", ",", 1)
	}
	return text
}

// tellTrips keeps the days of the plan as told to people, or lets go of them.
func (v *visit) tellTrips() error {
	if err := v.form(); err != nil {
		return err
	}
	back := "/trips?weeks=" + strconv.Itoa(weeksAsked(v.r))
	if v.r.PostFormValue("do") == "forget" {
		if err := v.store.TellTrips(v.r.Context(), v.person(), ""); err != nil {
			return err
		}
		return v.redirect(back)
	}
	reads, err := v.reader()
	if err != nil {
		return err
	}
	p, _, _, err := v.plan(v.r.Context(), weeksAsked(v.r), reads)
	if err != nil {
		return err
	}
	if p.err != nil {
		return refuse(http.StatusConflict, "There is no plan to tell.", p.err.Error())
	}
	text, err := json.Marshal(p.plan.Promises())
	if err != nil {
		return err
	}
	if err := v.store.TellTrips(v.r.Context(), v.person(), string(text)); err != nil {
		return err
	}
	return v.redirect(back)
}
