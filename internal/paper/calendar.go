package paper

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"strings"
	"time"
	"unicode"

	ical "github.com/arran4/golang-ical"

	"rinsewright/site"
)

// dayDue is one thing due at a site: from the day, and every so many months.
type dayDue struct {
	name   string
	day    time.Time
	months int // between repeats, 0 for none
	about  string
}

// Calendar is what is due at a site as an iCalendar file of whole days, which
// need no time zone. The same record gives the same bytes.
func Calendar(r Record, j Job) ([]byte, error) {
	p := &setting{speaker: newSpeaker(j.Language), Record: r, job: j}
	s, err := p.system()
	if err != nil {
		return nil, fmt.Errorf("calendar of %s: %w", r.Site.Name, err)
	}
	c := ical.NewCalendar()
	c.SetProductId("-//rinsewright//papers//EN")
	c.SetMethod(ical.MethodPublish)
	name := oneLine(r.Site.Name)
	c.SetName(name)
	for _, d := range p.dueDays(s) {
		sum := sha256.Sum256([]byte(j.Number + "\x00" + d.name))
		e := c.AddEvent(hex.EncodeToString(sum[:8]) + "@rinsewright")
		e.SetDtStampTime(j.Date)
		e.SetAllDayStartAt(d.day)
		e.SetAllDayEndAt(d.day.AddDate(0, 0, 1))
		e.SetSummary(name + ": " + d.name)
		if d.about != "" {
			e.SetDescription(d.about)
		}
		e.SetTimeTransparency(ical.TransparencyTransparent)
		if d.months > 0 {
			e.AddRrule(fmt.Sprintf("FREQ=MONTHLY;INTERVAL=%d", d.months))
		}
	}
	return []byte(c.Serialize(ical.WithNewLineWindows)), nil
}

// oneLine keeps what a person typed from reaching over its line.
func oneLine(s string) string {
	return strings.Join(strings.FieldsFunc(s, func(r rune) bool { return unicode.IsSpace(r) || unicode.IsControl(r) }), " ")
}

// dueDays are the days that the record knows of.
func (p *setting) dueDays(s system) (all []dayDue) {
	on := p.job.Date
	if p.Coming != nil && p.job.Option == "" {
		return append(append(p.foreseen(), p.yearly(s)...), p.seasons(s.site)...)
	}
	if d, ok := p.resinDue(s); ok {
		all = append(all, d)
	}
	if s.has("filter") {
		all = append(all, dayDue{p.say("change filters"), on.AddDate(0, 6, 0), 6, p.say("twice a year is the habit; the pressure across them tells sooner")})
	}
	if s.has("carbon") {
		all = append(all, dayDue{p.say("change carbon"), on.AddDate(0, 6, 0), 6, p.say("test total chlorine behind it first")})
	}
	return append(append(all, p.yearly(s)...), p.seasons(s.site)...)
}

// foreseen are the days that the log gives, each at the early end of its band.
func (p *setting) foreseen() (all []dayDue) {
	for _, d := range p.Coming.Dues {
		if d.Beyond {
			continue
		}
		on := d.Low
		if on.Before(p.job.Date) {
			on = p.job.Date
		}
		all = append(all, dayDue{p.say(d.Name), on, 0, p.due(d) + ". " + upperFirst(p.say(d.Do)) + "."})
	}
	return all
}

func (p *setting) yearly(s system) (all []dayDue) {
	on := p.job.Date
	all = append(all, dayDue{p.say("backflow assembly tested"), on.AddDate(1, 0, 0), 12, p.say("by whoever the local code names")})
	if s.has("vented tank") {
		all = append(all, dayDue{p.say("clean and sanitise the tank"), on.AddDate(1, 0, 0), 12, p.say("Do not enter a tank: it is a confined space.")})
	}
	return all
}

// resinDue is the early end of the band: a visit too soon costs less than
// spots.
func (p *setting) resinDue(s system) (dayDue, bool) {
	x, ok := s.promise("resin_days")
	if !ok {
		return dayDue{}, false
	}
	days, _ := x.Band.Low.Plain(p.job.Units)
	if !(days >= 1 && days < 3650) {
		return dayDue{}, false
	}
	return dayDue{p.say("swap the lead resin"), p.job.Date.AddDate(0, 0, int(days)), 0, p.sayf("one bottle lasts %s", p.band(x.Band))}, true
}

// seasons are the lay-up and the start of a site that closes in winter.
func (p *setting) seasons(s *site.Site) []dayDue {
	if s.Demand.FirstMonth == 0 || s.Demand.LastMonth == 0 {
		return nil
	}
	next := func(month int, day int) time.Time {
		d := time.Date(p.job.Date.Year(), time.Month(month), day, 0, 0, 0, 0, time.UTC)
		if d.Before(p.job.Date) {
			d = d.AddDate(1, 0, 0)
		}
		return d
	}
	return []dayDue{
		{p.say("drain and preserve for winter"), next(s.Demand.LastMonth, 28), 12, p.say("a frozen membrane is scrap")},
		{p.say("start the season"), next(s.Demand.FirstMonth, 1).AddDate(0, 0, -14), 12, p.say("the first water goes to the drain")},
	}
}
