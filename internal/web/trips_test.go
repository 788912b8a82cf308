package web

import (
	"io"
	"net/http"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"rinsewright/internal/store"
)

// pierLog is a marina on the shore whose bottle lasts a fortnight, logged up to
// two days ago (invented).
func pierLog(name string, today time.Time) string {
	day := func(ago int) string { return today.AddDate(0, 0, -ago).Format(time.DateOnly) }
	return `rinsewright = 1
[site]
name = "` + name + `"
area = "shore"
use = "boats"
target = "15 ppm"
[supply]
source = "city"
disinfectant = "none"
static_pressure = "60 psi"
running_pressure = "52 psi"
running_flow = "4 gpm"
[[sample]]
place = "raw"
date = "` + day(60) + `"
strength = "200 ppm"
scale = "NaCl"
[demand]
bays = 1
normal_day = 10
vend_time = "4 min"
gun_flow = "1.5 gpm"
[membrane]
size = "2540"
count = 2
flow = "750 gpd"
rejection = "99 %"
pressure = "100 psi"
test_salt = "500 mg/L"
temperature = "77 F"
recovery = "15 %"
area = "28 ft2"
[[filter]]
rating = "5 um"
[restrictor]
kind = "fixed"
flow = "0.6 gpm"
pressure = "50 psi"
[[resin]]
volume = "1 ft3"
place = "before tank"
[tank]
kind = "vented"
volume = "300 gal"
[[visit]]
date = "` + day(17) + `"
changed = ["lead resin", "sediment filter"]
meter = "1000 gal"
readings = ["feed_strength = 200 ppm NaCl, by pen A"]
[[visit]]
date = "` + day(2) + `"
meter = "3400 gal"
readings = ["permeate_strength = 6 ppm NaCl, after 20 min, by pen A"]
`
}

func TestTripsOnThePage(t *testing.T) {
	s := serving(t)
	p := visits(t, s, 1440)
	p.begins()
	today := dayOf(time.Now())
	for _, name := range []string{"North Pier", "South Pier"} {
		if _, err := s.store.AddSite(t.Context(), "", pierLog(name, today), false); err != nil {
			t.Fatal(err)
		}
	}
	s.pages.wake()
	p.open("/trips")
	p.waits(`!document.querySelector("meta[http-equiv]") && document.querySelector(".weeks li") !== null`)
	p.sees("Week of")
	p.sees("bottle of mixed-bed resin, 1 ft3")
	p.sees("one drive with")
	p.sees("a day in spots")
	p.ask(`document.querySelectorAll(".weeks details[open] .trips > li").length >= 2`)
	p.presses("These days are told to people")
	p.sees("Days were told on")
	p.presses("Make an address")
	p.sees("shown only this once")
	feed := p.text(`document.querySelector(".feed code").textContent`)
	text := fetched(t, feed, http.StatusOK)
	if !strings.Contains(text, "BEGIN:VEVENT") || !strings.Contains(strings.ReplaceAll(text, "\r\n ", ""), "SUMMARY:North Pier: ") {
		t.Errorf("the calendar is %s", text)
	}
	p.open("/trips")
	p.sees("An address was made on")
	if strings.Contains(p.text(`document.body.innerText`), feed[len(feed)-20:]) {
		t.Error("the address is shown again")
	}
	for _, size := range []int64{380, 1440} {
		p.look("trips", "/trips", size)
	}
	p.open("/")
	p.sees("likely")
	for _, size := range []int64{380, 1440} {
		p.look("sites-foreseen", "/", size)
	}
	p.open("/trips")
	p.presses("Make another address, end the old one")
	p.sees("shown only this once")
	fetched(t, feed, http.StatusNotFound)
	fetched(t, s.URL+"/calendar/nothing.ics", http.StatusNotFound)
	fetched(t, s.URL+"/calendar/"+strings.ToLower(feed[len(feed)-30:len(feed)-4]), http.StatusNotFound)
}

func fetched(t *testing.T, address string, want int) string {
	t.Helper()
	request, err := http.NewRequestWithContext(t.Context(), http.MethodGet, address, nil)
	if err != nil {
		t.Fatal(err)
	}
	answer, err := http.DefaultClient.Do(request)
	if err != nil {
		t.Fatal(err)
	}
	body, err := io.ReadAll(answer.Body)
	if answer.Body.Close() != nil || err != nil || answer.StatusCode != want {
		t.Errorf("status %d, want %d, %v", answer.StatusCode, want, err)
	}
	return string(body)
}

// A bottle changed by the phone moves the next trip, without anybody asking.
func TestAReadingReplans(t *testing.T) {
	s := serving(t)
	v := s.visitor(t)
	v.begins()
	today := dayOf(time.Now())
	kept, err := s.store.AddSite(t.Context(), "", pierLog("North Pier", today), false)
	if err != nil {
		t.Fatal(err)
	}
	told := func() string {
		for range 200 {
			all, old, err := s.store.Forecasts(t.Context(), foreseenBy("test", dayOf(time.Now())))
			if err != nil {
				t.Fatal(err)
			}
			if old == 0 && len(all) == 1 {
				return all[0].Told
			}
			time.Sleep(20 * time.Millisecond)
		}
		t.Fatal("no forecast was made")
		return ""
	}
	s.pages.wake()
	before := told()
	x := store.Sample{
		ID: store.NewID(time.Now()), Site: kept.ID, Place: ofTheRig, Taken: time.Now(), Device: store.NewID(time.Now()), DeviceSeq: 1,
		Readings: []store.Reading{{Name: "lead_strength", Typed: "9 ppm NaCl", SI: 2e-3, Unit: "S/m"}},
	}
	if receipts, err := s.store.Log(t.Context(), "", []store.Sample{x}); err != nil || !receipts[0].Kept {
		t.Fatal(err, receipts)
	}
	s.pages.wake()
	if after := told(); after == before {
		t.Error("a bottle past its limit changes no forecast")
	}
}

// text is what an expression of the page says.
func (p *person) text(expression string) string {
	p.t.Helper()
	text, err := chromedp.Run(p.ctx, chromedp.Evaluate[string](expression))
	if err != nil {
		p.fail(err)
	}
	return text
}
