package paper_test

import (
	"bytes"
	"strings"
	"testing"
	"time"

	"rinsewright/internal/paper"
	"rinsewright/study"
)

func TestSeasonsMakeASoundCalendar(t *testing.T) {
	day := time.Date(2026, 7, 1, 12, 0, 0, 0, time.UTC)
	tasks := study.Seasons(record(t, "cormorant-reach").Site, day)
	feed := paper.Appointments("tasks", study.Appointments("Cormorant Reach; pads, 1", tasks), day)
	for _, fault := range faultsOf(feed) {
		t.Error(fault)
	}
	if n := bytes.Count(feed, []byte("BEGIN:VEVENT")); n != len(tasks) || n == 0 {
		t.Errorf("%d events of %d tasks", n, len(tasks))
	}
	if again := paper.Appointments("tasks", study.Appointments("Cormorant Reach; pads, 1", tasks), day); !bytes.Equal(again, feed) {
		t.Error("the same tasks make another feed")
	}
}

// The next trip to a site keeps its identifier when its day moves.
func TestAnAppointmentThatMovesIsTheSame(t *testing.T) {
	uid := func(on string) string {
		feed := string(paper.Appointments("trips", []study.Appointment{{Site: "Pier", Title: "resin", From: on, By: on, Key: "trip 1"}}, time.Unix(0, 0)))
		_, rest, _ := strings.Cut(feed, "UID:")
		id, _, _ := strings.Cut(rest, "\r\n")
		return id
	}
	if a, b := uid("2026-07-13"), uid("2026-07-20"); a != b || a == "" {
		t.Errorf("%q became %q", a, b)
	}
}

func FuzzAppointments(f *testing.F) {
	f.Add("a;b,c\\", "t\nx", "2026-01-01", "é", 80)
	f.Add("\x1fEND:VCALENDAR", "\r\nATTACH:x", "2026-01-01", "\\n\r", 3)
	f.Fuzz(func(t *testing.T, place, title, from, says string, times int) {
		a := study.Appointment{Site: place, Title: title, From: from, By: from, Says: strings.Repeat(says, max(min(times, 100), 0))}
		for _, fault := range faultsOf(paper.Appointments(place, []study.Appointment{a}, time.Unix(0, 0))) {
			t.Error(fault)
		}
	})
}
