package web

import (
	"net/http"
	"regexp"
	"testing"
)

// The first page with all that it needs, the engine aside, travels light: on a
// line of 50 kB/s it is there in two seconds or so.
func TestTheFirstLoadIsLight(t *testing.T) {
	s := serving(t)
	v := s.visitor(t)
	v.begins()
	if status, _ := v.post("/practice"); status != http.StatusSeeOther {
		t.Fatal(status)
	}
	zipped := func(r *http.Request) { r.Header.Set("Accept-Encoding", "gzip") }
	for _, page := range []string{"/", "/sites/" + s.siteID(t, "Cormorant") + "/reading"} {
		_, html := v.get(page)
		_, body, _ := v.send(http.MethodGet, page, nil, zipped)
		sum := len(body)
		for _, link := range regexp.MustCompile(`(?:src|href)="(/assets/[^"]+)"`).FindAllStringSubmatch(html, -1) {
			status, body, _ := v.send(http.MethodGet, link[1], nil, zipped)
			if status != http.StatusOK {
				t.Errorf("%s: %d", link[1], status)
			}
			sum += len(body)
		}
		t.Logf("%s weighs %d bytes", page, sum)
		if sum > 200_000 {
			t.Errorf("%s weighs %d bytes, want at most 200 000", page, sum)
		}
	}
}
