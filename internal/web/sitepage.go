package web

import (
	"context"
	"html/template"
	"net/http"
	"sort"
	"strings"
	"time"

	"rinsewright/internal/door"
	"rinsewright/internal/say"
	"rinsewright/internal/store"
	"rinsewright/plant"
	"rinsewright/site"
	"rinsewright/water"
)

// siteLooks is how closely the engine looks for a site's own page.
const siteLooks = 64

// mostStory is how many logged samples a site's story tells; the page Trends has
// a year of them.
const mostStory = 120

// patience is how long a page waits for the engine before it says so.
const patience = 4 * time.Second

type siteView struct {
	Site   store.Site
	About  string
	Origin string
	Body   template.HTML
	Why    string // there is no check
	Slow   bool   // the engine still works on it
	Story  []chapterOfStory
	Photos []photoView
	Saved  int
}

func (p siteView) unfinished() bool { return p.Slow }

// chapterOfStory is one day of a site's story.
type chapterOfStory struct {
	When  string
	Lines []storyLine
	at    string
}

type storyLine struct {
	What, Says, Who string
	Corrected       bool
}

func (v *visit) site() error {
	kept, record, locale, err := v.found()
	if err != nil {
		return err
	}
	reads, err := v.reader()
	if err != nil {
		return err
	}
	samples, err := v.store.Samples(v.r.Context(), kept.ID, mostStory)
	if err != nil {
		return err
	}
	page := siteView{Site: kept, About: record.About, Origin: record.Origin}
	if v.r.URL.Query().Has("saved") {
		page.Saved = 1
	}
	if page.Photos, err = v.photosOf(kept.ID); err != nil {
		return err
	}
	if page.Story, err = v.story(kept.ID, record, samples); err != nil {
		return err
	}
	q := question{hash: kept.Hash, sample: joined(samples), reader: reads, looks: siteLooks}
	ctx, stop := context.WithTimeout(v.r.Context(), patience)
	defer stop()
	found, err := v.views.ask(ctx, q, func() *site.Site {
		withSamples(record, samples, locale)
		return record
	})
	switch {
	case v.r.Context().Err() != nil:
		return v.r.Context().Err()
	case err != nil:
		page.Slow = true
	case found.err != nil:
		page.Why = door.Unanswered(found.err)
	default:
		page.Body = found.body
	}
	return v.show(http.StatusOK, "site.html", kept.Name, "sites", page)
}

// story is what happened on site, the latest day first: samples that were
// logged, and the visits that the site file tells of.
func (v *visit) story(id string, record *site.Site, samples []store.Sample) ([]chapterOfStory, error) {
	names, err := v.names()
	if err != nil {
		return nil, err
	}
	corrected := map[string]bool{}
	for _, x := range samples {
		corrected[x.Corrects] = true
	}
	days := map[string][]storyLine{}
	for _, x := range samples {
		day := local(x).Format(time.DateOnly)
		line := storyLine{What: placeWords(x.Place), Says: spokenSample(v.speaker(), x), Who: names[x.Person], Corrected: corrected[x.ID]}
		days[day] = append(days[day], line)
	}
	for _, visit := range record.Log {
		days[visit.Date] = append(days[visit.Date], storyLine{What: "visit", Says: visited(v.speaker(), visit), Who: visit.By})
	}
	for _, w := range record.Samples {
		days[w.Date] = append(days[w.Date], storyLine{What: placeWords(w.Place), Says: surveyed(v.speaker(), w), Who: v.say("survey")})
	}
	if err := v.keptBeside(id, names, func(day string, line storyLine) { days[day] = append(days[day], line) }); err != nil {
		return nil, err
	}
	var story []chapterOfStory
	for day, lines := range days {
		when := v.say("no date")
		if t, err := time.Parse(time.DateOnly, day); err == nil {
			when = v.speaker().Date(t)
		}
		story = append(story, chapterOfStory{when, lines, day})
	}
	sort.Slice(story, func(i, j int) bool { return story[i].at > story[j].at })
	return story, nil
}

// visited is a visit's entry of the log in one line.
func visited(s *say.Speaker, v site.Visit) string {
	var says []string
	for _, text := range []string{v.Words, v.Said, v.Notice} {
		if text != "" {
			says = append(says, text)
		}
	}
	for _, c := range v.Changed {
		says = append(says, s.Say(string(c)))
	}
	for _, r := range v.Read {
		says = append(says, r.String())
	}
	return strings.Join(says, " · ")
}

func surveyed(s *say.Speaker, w water.Sample) string {
	var says []string
	add := func(name, typed string, known bool) {
		if known {
			says = append(says, strings.TrimSpace(s.Say(name)+" "+s.Say(typed)))
		}
	}
	add("", w.Strength.PPM.Typed, w.Strength.PPM.Known)
	add("", w.Strength.Conductivity.Typed, w.Strength.Conductivity.Known)
	add("at", w.Temperature.Typed, w.Temperature.Known)
	add("hardness", w.Hardness.Typed, w.Hardness.Known)
	add("alkalinity", w.Alkalinity.Typed, w.Alkalinity.Known)
	return strings.Join(says, ", ")
}

func spokenSample(s *say.Speaker, x store.Sample) string {
	var says []string
	for _, r := range x.Readings {
		switch {
		case r.Name == "scale" || r == commaTyped:
		case r.Skipped != "" && plant.Gauge(r.Name).Known():
			says = append(says, s.Say(plant.Gauge(r.Name).Title())+": "+s.Say(r.Skipped))
		case r.Skipped != "":
			says = append(says, s.Say(label(r.Name))+": "+s.Say(r.Skipped))
		case r.Name == sinceStart:
			says = append(says, s.Sayf("after %s", r.Typed))
		case r.Name == "strength" || r.Name == "conductivity":
			says = append([]string{r.Typed}, says...)
		case plant.Gauge(r.Name).Known():
			says = append(says, s.Say(plant.Gauge(r.Name).Title())+" "+r.Typed)
		default:
			says = append(says, s.Say(strings.ToLower(label(r.Name)))+" "+r.Typed)
		}
	}
	if x.Note != "" {
		says = append(says, "“"+x.Note+"”")
	}
	return strings.Join(says, ", ")
}

// placeWords are the places of a sample as a person says them.
func placeWords(place string) string {
	switch place {
	case "raw":
		return "raw water"
	case "permeate":
		return "after the membrane"
	case "polished":
		return "after the resin"
	case "feed":
		return "before the membrane"
	case ofTheRig:
		return "gauges"
	}
	return place
}
