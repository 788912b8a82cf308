package web

import (
	"net/http"
	"regexp"
	"strings"
	"testing"
)

func TestBackupFromThePage(t *testing.T) {
	s := serving(t)
	v := s.visitor(t)
	v.begins()
	if _, body := v.get("/backup"); !strings.Contains(body, "There is no backup yet") {
		t.Error("before any backup")
	}
	if status, body := v.post("/backup"); status != http.StatusSeeOther {
		t.Fatalf("%d %s", status, body)
	}
	_, page := v.get("/backup")
	found := regexp.MustCompile(`/backup/(rinsewright-[0-9-]+\.sqlite)`).FindString(page)
	if found == "" || !strings.Contains(page, "within a day") || !strings.Contains(page, `class="state fine"`) {
		t.Fatalf("after one: %s", page)
	}
	status, file, header := v.send(http.MethodGet, found, nil)
	if status != http.StatusOK || !strings.HasPrefix(file, "SQLite format 3") || !strings.HasPrefix(header.Get("Content-Disposition"), "attachment") {
		t.Errorf("%d, %d bytes", status, len(file))
	}
	for _, other := range []string{"/backup/..%2fdata.sqlite", "/backup/data.sqlite", "/backup/" + strings.Repeat("x", 300)} {
		if status, _ := v.get(other); status != http.StatusNotFound {
			t.Errorf("%s: %d", other, status)
		}
	}
}
