package web

import (
	"bytes"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"
)

// FuzzUnsent brings in files as phones save them, and as others may write them:
// whatever is in one, it is taken or refused in words.
func FuzzUnsent(f *testing.F) {
	s := serving(f)
	site := s.gullPoint(f)
	answer := httptest.NewRecorder()
	first := httptest.NewRequest(http.MethodPost, "/setup", strings.NewReader(url.Values{"token": {setupToken}, "name": {"Kit"}, "login": {"kit"}, "password": {password}}.Encode()))
	first.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	s.pages.ServeHTTP(answer, first)
	cookies := answer.Result().Cookies()
	if len(cookies) == 0 {
		f.Fatalf("setup: %d", answer.Code)
	}
	to := "/sites/" + site.ID + "/reading"
	f.Add(`{"rinsewright_unsent":1,"readings":[{"name":"Gull Point","to":"`+to+`","said":"raw.value=290&raw.unit=ppm"}]}`, true)
	f.Add(`{"rinsewright_unsent":1,"readings":[{"to":"../../x","said":"%zz"}],"photos":[{"data":"AAAA","bytes":-1}]}`, true)
	f.Add(`{"rinsewright_unsent":1e400}`, true)
	f.Add(strings.Repeat("[", 100_000), true)
	f.Add("", false)
	f.Fuzz(func(t *testing.T, text string, whole bool) {
		var b bytes.Buffer
		w := multipart.NewWriter(&b)
		part, err := w.CreateFormFile("file", "unsent.json")
		if err != nil {
			t.Fatal(err)
		}
		_, _ = part.Write([]byte(text))
		if whole {
			_ = w.Close()
		}
		r := httptest.NewRequest(http.MethodPost, "/unsent", &b)
		r.Header.Set("Content-Type", w.FormDataContentType())
		for _, c := range cookies {
			r.AddCookie(c)
		}
		answer := httptest.NewRecorder()
		s.pages.ServeHTTP(answer, r)
		if answer.Code >= 500 {
			t.Errorf("%d: %s", answer.Code, answer.Body)
		}
	})
}
