package study

import (
	"fmt"
	"hash/fnv"
	"strings"
	"time"
	"unicode/utf8"
)

// Appointment is one dated piece of work for a calendar.
type Appointment struct {
	Site, Title string
	From, By    string // ISO 8601 days, both included
	Says        string
	// Key tells one from others of a site, where that is not title and year.
	Key string
}

// Appointments are the tasks of a season as a calendar holds them.
func Appointments(place string, tasks []SeasonTask) (all []Appointment) {
	for _, t := range tasks {
		says := "Why: " + t.Why + "\n"
		for _, c := range t.Cautions {
			says += "Take care: " + c + "\n"
		}
		for _, d := range t.Do {
			says += "- " + d + "\n"
		}
		if len(t.Parts) > 0 {
			says += "Bring: " + strings.Join(t.Parts, ", ")
		}
		all = append(all, Appointment{Site: place, Title: t.Title, From: t.From, By: t.By, Says: strings.TrimSpace(says)})
	}
	return all
}

// CalendarFeed writes appointments as iCalendar: whole days, stamped with the
// time that is passed in. The same appointment has the same identifier each time,
// so that a calendar that reads the feed again moves it and makes no second one.
// Source: RFC 5545: CRLF line ends, lines of at most 75 octets, text escaped,
// DTEND the day after. An appointment whose days cannot be read is left out.
func CalendarFeed(all []Appointment, now time.Time) string {
	var b strings.Builder
	line := func(s string) { b.WriteString(folded(s) + "\r\n") }
	line("BEGIN:VCALENDAR")
	line("VERSION:2.0")
	line("PRODID:-//rinsewright//tasks//EN")
	for _, a := range all {
		from, err1 := time.Parse(time.DateOnly, a.From)
		by, err2 := time.Parse(time.DateOnly, a.By)
		if err1 != nil || err2 != nil || by.Before(from) {
			continue
		}
		line("BEGIN:VEVENT")
		line("UID:" + a.identifier(by.Year()))
		line("DTSTAMP:" + now.UTC().Format("20060102T150405Z"))
		line("DTSTART;VALUE=DATE:" + from.Format("20060102"))
		line("DTEND;VALUE=DATE:" + by.AddDate(0, 0, 1).Format("20060102"))
		line("SUMMARY:" + escaped(a.Site+": "+a.Title))
		line("DESCRIPTION:" + escaped(a.Says))
		line("TRANSP:TRANSPARENT")
		line("END:VEVENT")
	}
	line("END:VCALENDAR")
	return b.String()
}

func (a Appointment) identifier(year int) string {
	h := fnv.New64a()
	if a.Key != "" {
		fmt.Fprintf(h, "%s|%s", a.Site, a.Key)
		return fmt.Sprintf("%016x@rinsewright", h.Sum64())
	}
	fmt.Fprintf(h, "%s|%s|%d", a.Site, a.Title, year)
	return fmt.Sprintf("%016x@rinsewright", h.Sum64())
}

// escaped is text as an iCalendar value; what it has no way to write goes.
func escaped(s string) string {
	s = strings.Map(func(r rune) rune {
		if r < ' ' && r != '\n' || r == utf8.RuneError {
			return -1
		}
		return r
	}, s)
	return strings.NewReplacer(`\`, `\\`, ";", `\;`, ",", `\,`, "\n", `\n`).Replace(s)
}

// folded breaks a line after at most 75 octets, between characters.
func folded(s string) string {
	const most = 75
	var b strings.Builder
	room := most
	for _, r := range s {
		n := utf8.RuneLen(r)
		if n > room {
			b.WriteString("\r\n ")
			room = most - 1
		}
		b.WriteRune(r)
		room -= n
	}
	return b.String()
}
