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
	From, Until time.Time
	Weeks       []tripWeekView
	Choice      []int
	Chosen      int
	Sites       int
	Old         int // sites whose forecast is being made
	Slow        bool
	Why         string // there is no plan
	Shared      []study.Shared
	Looks       []study.Look
	Undated     []study.Undated
	Money       [3]string // lost, travelled, each job by itself
	Ahead       int
	Assumed     []study.Assumption
	Told        time.Time // when days were told; zero for never
	Moved       int       // jobs whose told day moved
	Feed        feedView
}

// tripWeekView is one line, and what stands behind it.
type tripWeekView struct {
	ID                       string
	Monday                   time.Time
	Where, Why, Bring, Hours string
	Days                     int
	Open                     bool
	Long                     []longView
	Trips                    []tripView
}

// longView is a day with more work than fits it.
type longView struct {
	On    time.Time
	Hours string
}

type tripView struct {
	On                            time.Time
	Key, Site, Area, Hours, Bring string
	Weekday                       string
	Jobs                          []tripJobView
	Looks                         []study.Look
}

type tripJobView struct {
	Name, Do, Narrow      string
	Again, Window         bool
	Low, Likely, High     time.Time
	Moved                 time.Time // the day that was told; zero where it stands
	Whys, Steps, Cautions []string
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
	page.Old = int(old)
	if told.Told != "" {
		page.Told = told.At
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
	p.From, p.Until, p.Sites = plan.From, plan.Until, plan.Sites
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
				if !j.Moved.IsZero() {
					p.Moved++
				}
			}
		}
	}
}

func weekView(w study.TripWeek, reads reader) tripWeekView {
	out := tripWeekView{
		ID: "w" + w.Monday.Format("20060102"), Monday: w.Monday, Bring: study.VanWords(w.Bring), Hours: hoursWords(w.Hours, reads),
		Where: fewOf(w.Places(), 4), Why: fewOf(w.Reasons(), 4), Days: daysOf(w),
	}
	for _, d := range w.LongDays() {
		out.Long = append(out.Long, longView{d.On, hoursWords(d.Hours, reads)})
	}
	for _, t := range w.Trips {
		one := tripView{On: t.On, Weekday: t.On.Weekday().String(), Key: t.Key, Site: t.Site, Area: t.Area, Hours: hoursWords(t.Hours, reads), Bring: study.VanWords(t.Bring), Looks: t.Looks}
		for _, j := range t.Jobs {
			one.Jobs = append(one.Jobs, jobView(j))
		}
		out.Trips = append(out.Trips, one)
	}
	return out
}

func jobView(j study.TripJob) tripJobView {
	out := tripJobView{Name: j.Name, Again: j.Nth > 1, Window: j.Likely.IsZero(), Low: j.Low, Likely: j.Likely, High: j.High, Whys: j.Whys, Narrow: j.Narrow, Cautions: j.Cautions}
	if out.Again {
		return out
	}
	if out.Steps = j.Steps; len(j.Steps) == 0 {
		out.Do = j.Do
	}
	if !j.Told.Equal(j.On) {
		out.Moved = j.Told
	}
	return out
}

// daysOf is how many days a week's trips take.
func daysOf(w study.TripWeek) int {
	days := map[time.Time]bool{}
	for _, t := range w.Trips {
		days[t.On] = true
	}
	return len(days)
}

// fewOf names things, as many as a line can bear.
func fewOf(all []string, most int) string {
	if len(all) > most {
		return strings.Join(all[:most], ", ") + fmt.Sprintf(" and %d more", len(all)-most)
	}
	return strings.Join(all, ", ")
}

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
