package paper

import (
	"crypto/sha256"
	"encoding/hex"
	"strconv"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	ical "github.com/arran4/golang-ical"

	"rinsewright/study"
)

// Appointments writes dated work as an iCalendar of whole days, stamped with the
// time that is passed in. The same appointment has the same identifier each time,
// so that a calendar that reads the feed again moves it and makes no second one.
// One whose days cannot be read is left out.
func Appointments(name string, all []study.Appointment, now time.Time) []byte {
	c := ical.NewCalendar()
	c.SetProductId("-//rinsewright//tasks//EN")
	c.SetMethod(ical.MethodPublish)
	c.SetName(oneLine(name))
	c.SetRefreshInterval("PT6H")
	for _, a := range all {
		from, err1 := time.Parse(time.DateOnly, a.From)
		by, err2 := time.Parse(time.DateOnly, a.By)
		if err1 != nil || err2 != nil || by.Before(from) {
			continue
		}
		e := c.AddEvent(identifier(a, by.Year()))
		e.SetDtStampTime(now)
		e.SetAllDayStartAt(from)
		e.SetAllDayEndAt(by.AddDate(0, 0, 1))
		e.SetSummary(oneLine(a.Site + ": " + a.Title))
		e.SetDescription(lines(a.Says))
		e.SetTimeTransparency(ical.TransparencyTransparent)
	}
	return []byte(c.Serialize(ical.WithNewLineWindows))
}

// identifier tells an appointment from all others.
func identifier(a study.Appointment, year int) string {
	of := a.Key
	if of == "" {
		of = a.Title + "\x00" + strconv.Itoa(year)
	}
	sum := sha256.Sum256([]byte(a.Site + "\x00" + of))
	return hex.EncodeToString(sum[:8]) + "@rinsewright"
}

// lines keeps the ends of lines and drops what a calendar has no way to write.
func lines(s string) string {
	return strings.Map(func(r rune) rune {
		if r != '\n' && unicode.IsControl(r) || r == utf8.RuneError {
			return -1
		}
		return r
	}, s)
}
