package study_test

import (
	"strings"
	"testing"
	"time"

	"rinsewright/study"
)

func TestACalendarFeedKeepsTheRulesOfItsFormat(t *testing.T) {
	day := time.Date(2026, 7, 1, 12, 0, 0, 0, time.UTC)
	tasks := study.Seasons(example(t, "cormorant-reach"), day)
	feed := study.CalendarFeed(study.Appointments("Cormorant Reach; pads, 1", tasks), day)
	if strings.Count(feed, "BEGIN:VEVENT") != len(tasks) || strings.Count(feed, "END:VEVENT") != len(tasks) {
		t.Errorf("%d events of %d tasks", strings.Count(feed, "BEGIN:VEVENT"), len(tasks))
	}
	// RFC 5545 3.1: lines end with CRLF and have at most 75 octets; 3.3.11: commas
	// and semicolons are escaped; 3.6.1: a date's end is not included.
	for _, line := range strings.Split(strings.TrimSuffix(feed, "\r\n"), "\r\n") {
		if len(line) > 75 || strings.ContainsAny(line, "\r\n") {
			t.Errorf("%d octets: %q", len(line), line)
		}
	}
	for _, want := range []string{`Cormorant Reach\; pads\, 1`, "DTEND;VALUE=DATE:20261109", "DTSTAMP:20260701T120000Z"} {
		if !strings.Contains(feed, want) {
			t.Errorf("no %q in\n%s", want, feed)
		}
	}
	if again := study.CalendarFeed(study.Appointments("Cormorant Reach; pads, 1", tasks), day); again != feed {
		t.Error("the same tasks make another feed")
	}
}

func FuzzCalendarFeed(f *testing.F) {
	f.Add("a;b,c\\", "t\nx", "2026-01-01", "é", 80)
	f.Fuzz(func(t *testing.T, place, title, from, says string, times int) {
		a := study.Appointment{Site: place, Title: title, From: from, By: from, Says: strings.Repeat(says, max(min(times, 100), 0))}
		feed := study.CalendarFeed([]study.Appointment{a}, time.Unix(0, 0))
		for _, line := range strings.Split(feed, "\r\n") {
			if len(line) > 75 || strings.ContainsAny(line, "\r\n") {
				t.Fatalf("%d octets: %q", len(line), line)
			}
		}
	})
}
