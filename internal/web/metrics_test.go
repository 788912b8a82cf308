package web

import (
	"fmt"
	"net/http/httptest"
	"strings"
	"testing"

	"rinsewright/internal/store"
)

// Whoever watches the program asks from this machine, or holds a token; through a
// proxy on this machine nobody is taken for being here.
func TestWhoMayWatch(t *testing.T) {
	s, p := inAllScopes(t)
	p.ask("POST", apiRoot+"/sites", exampleSite)
	here := program{t, s.URL, ""}
	got := here.ask("GET", "/metrics", "")
	for _, line := range []string{"rinsewright_sites 1", "rinsewright_ready 1", `rinsewright_requests_total{route="POST /api/v1/sites",status="201"} 1`, `rinsewright_request_seconds_bucket{route="POST /api/v1/sites",le="60"} 1`} {
		if got.status != 200 || !strings.Contains(got.body, line) {
			t.Errorf("%d, without %s", got.status, line)
		}
	}
	if strings.Contains(got.body, "Gull") {
		t.Error("it tells what was typed")
	}
	for _, header := range []string{"X-Forwarded-For", "Forwarded", "Via"} {
		if got := here.ask("GET", "/metrics", "", header, "192.0.2.7"); got.code(t) != "no-token" {
			t.Errorf("by a proxy that says %s: %d", header, got.status)
		}
	}
	if got := s.programs(t, store.ReadScope).ask("GET", "/metrics", "", "Via", "x"); got.status != 200 {
		t.Errorf("with a token: %d", got.status)
	}
	if got := s.programs(t, store.LogScope).ask("GET", "/metrics", "", "Via", "x"); got.code(t) != "no-scope" {
		t.Errorf("with a token that may only log: %d", got.status)
	}
	elsewhere := httptest.NewRequest("GET", "/metrics", nil)
	elsewhere.RemoteAddr = "192.0.2.7:5"
	w := httptest.NewRecorder()
	s.pages.ServeHTTP(w, elsewhere)
	if w.Code != 401 {
		t.Errorf("from elsewhere: %d", w.Code)
	}
}

// What arrives is counted by what became of it.
func TestSamplesAreCounted(t *testing.T) {
	s, p := inAllScopes(t)
	var site apiSite
	p.ask("POST", apiRoot+"/sites", exampleSite).into(t, &site)
	id, device := store.NewID(s.pages.options.Now()), store.NewID(s.pages.options.Now())
	for _, value := range []string{"300 ppm", "300 ppm", "310 ppm"} {
		p.ask("POST", apiRoot+"/sites/"+site.ID+"/samples", fmt.Sprintf(`{"samples":[{"id":%q,"place":"raw","taken":"2026-06-13T09:30:00Z","device":%q,"number":1,"readings":[{"name":"strength","value":%q}]}]}`, id, device, value))
	}
	got := program{t, s.URL, ""}.ask("GET", "/metrics", "").body
	for _, line := range []string{`rinsewright_samples_total{became="kept"} 2`, `rinsewright_samples_total{became="two versions"} 1`, "rinsewright_open_versions 1"} {
		if !strings.Contains(got, line) {
			t.Errorf("without %s", line)
		}
	}
}
