package paper_test

import (
	"bytes"
	"fmt"
	"regexp"
	"strings"
	"testing"
	"unicode/utf8"

	"rinsewright/internal/paper"
	"rinsewright/testdata/sites"
)

// faultsOf holds a calendar to RFC 5545: lines end in CR LF and are folded at
// 75 octets (3.1); a calendar has one PRODID and one VERSION of 2.0 (3.6); each
// event has one UID, one DTSTAMP in UTC and one DTSTART (3.6.1), its DTEND is
// later and of the same type (3.8.2.2); commas, semicolons and backslashes in
// text are escaped (3.3.11); blocks begin and end in order.
// published: RFC 5545, Desruisseaux, 2009.
func faultsOf(calendar []byte) (faults []string) {
	text := string(calendar)
	if strings.Contains(strings.ReplaceAll(text, "\r\n", ""), "\n") || strings.Contains(strings.ReplaceAll(text, "\r\n", ""), "\r") {
		faults = append(faults, "a line does not end in CR LF")
	}
	for _, line := range strings.Split(text, "\r\n") {
		if len(line) > 75 || !utf8.ValidString(line) {
			faults = append(faults, fmt.Sprintf("line of %d octets: %q", len(line), line))
		}
	}
	var open []string
	type block struct {
		count  map[string]int
		values map[string]string
	}
	blocks := []block{{map[string]int{}, map[string]string{}}}
	for _, line := range strings.Split(strings.TrimSuffix(strings.ReplaceAll(text, "\r\n ", ""), "\r\n"), "\r\n") {
		head, value, found := strings.Cut(line, ":")
		name, parameters, _ := strings.Cut(head, ";")
		if !found || !regexp.MustCompile(`^[A-Z-]+$`).MatchString(name) {
			faults = append(faults, fmt.Sprintf("no property: %q", line))
			continue
		}
		switch name {
		case "BEGIN":
			open = append(open, value)
			blocks = append(blocks, block{map[string]int{}, map[string]string{}})
			continue
		case "END":
			if len(open) == 0 || open[len(open)-1] != value {
				return append(faults, "END:"+value+" without its BEGIN")
			}
			last := blocks[len(blocks)-1]
			faults = append(faults, wanting(value, last.count, last.values)...)
			open, blocks = open[:len(open)-1], blocks[:len(blocks)-1]
			continue
		case "SUMMARY", "DESCRIPTION":
			if strings.ContainsAny(regexp.MustCompile(`\\[\\,;nN]`).ReplaceAllString(value, ""), ",;\\\r") {
				faults = append(faults, fmt.Sprintf("%s is not escaped: %q", name, value))
			}
		}
		last := blocks[len(blocks)-1]
		last.count[name]++
		last.values[name], last.values[name+";"] = value, parameters
	}
	if len(open) > 0 {
		faults = append(faults, "BEGIN:"+open[0]+" without its END")
	}
	return faults
}

func wanting(block string, count map[string]int, values map[string]string) (faults []string) {
	switch block {
	case "VEVENT":
		for _, name := range []string{"UID", "DTSTAMP", "DTSTART"} {
			if count[name] != 1 {
				faults = append(faults, fmt.Sprintf("an event has %d of %s", count[name], name))
			}
		}
		if !regexp.MustCompile(`^\d{8}T\d{6}Z$`).MatchString(values["DTSTAMP"]) {
			faults = append(faults, "DTSTAMP is not in UTC: "+values["DTSTAMP"])
		}
		if values["DTSTART;"] != "VALUE=DATE" || values["DTEND;"] != "VALUE=DATE" || values["DTEND"] <= values["DTSTART"] {
			faults = append(faults, fmt.Sprintf("an event from %s to %s", values["DTSTART"], values["DTEND"]))
		}
		if r := values["RRULE"]; r != "" && !regexp.MustCompile(`^FREQ=MONTHLY;INTERVAL=[1-9]\d*$`).MatchString(r) {
			faults = append(faults, "RRULE "+r)
		}
	case "VCALENDAR":
		if values["VERSION"] != "2.0" || values["PRODID"] == "" {
			faults = append(faults, "a calendar without version 2.0 or maker")
		}
	}
	return faults
}

func TestCalendarsKeepToTheStandard(t *testing.T) {
	for _, name := range sites.Names {
		for _, language := range paper.Languages {
			j := plainJob()
			j.Language = language
			calendar, err := paper.Calendar(record(t, name), j)
			if err != nil {
				t.Fatal(err)
			}
			for _, fault := range faultsOf(calendar) {
				t.Errorf("%s: %s", name, fault)
			}
			if !bytes.Contains(calendar, []byte("BEGIN:VEVENT")) {
				t.Errorf("%s has nothing due", name)
			}
		}
	}
}

func TestAHostileNameCannotBreakTheCalendar(t *testing.T) {
	r := record(t, "cormorant-reach")
	site := *r.Site
	site.Name = "Reach; \\ , \nEND:VCALENDAR\r\nATTACH:x " + strings.Repeat("ñ", 120)
	r.Site = &site
	calendar, err := paper.Calendar(r, plainJob())
	if err != nil {
		t.Fatal(err)
	}
	for _, fault := range faultsOf(calendar) {
		t.Error(fault)
	}
}

func TestCalendarControl(t *testing.T) {
	good := "BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:x\r\nBEGIN:VEVENT\r\nUID:1\r\nDTSTAMP:20260613T000000Z\r\nDTSTART;VALUE=DATE:20260613\r\nDTEND;VALUE=DATE:20260614\r\nSUMMARY:a\\, b\r\nEND:VEVENT\r\nEND:VCALENDAR\r\n"
	if faults := faultsOf([]byte(good)); len(faults) > 0 {
		t.Errorf("a sound calendar has faults %q", faults)
	}
	for _, bad := range []string{
		strings.Replace(good, "\r\n", "\n", 1), strings.Replace(good, "UID:1\r\n", "", 1), strings.Replace(good, "a\\, b", "a, b", 1), strings.Replace(good, "END:VEVENT\r\n", "", 1),
		strings.Replace(good, "000000Z", "000000", 1), strings.Replace(good, "20260614", "20260612", 1), strings.Replace(good, "SUMMARY:a", "SUMMARY:"+strings.Repeat("a", 80), 1),
	} {
		if len(faultsOf([]byte(bad))) == 0 {
			t.Errorf("no fault found in %q", bad)
		}
	}
}
