package web

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"golang.org/x/net/html"

	"rinsewright/internal/store"
)

// mark is what every payload carries, so that what became of it is found.
const mark = "zq7mark"

// payloads are ways out of every place where a page shows what somebody typed.
func payloads() (all []string) {
	out := []string{"", `">`, `'>`, `</textarea>`, `</title>`, `</script>`, `-->`, `</option></select>`, `</svg>`, "` ", `" `, `' `, `\`, `&quot;>`, `<![CDATA[`, `</style>`, `</code></p>`, "\n", "}}", `%22%3E`}
	do := []string{
		`<script>zq7mark()</script>`, `<ScRiPt src=//zq7mark>`, `<img src=zq7mark onerror=zq7mark()>`, `<svg/onload=zq7mark()>`, `<svg><script>zq7mark()</script></svg>`,
		`onmouseover=zq7mark() x=`, `autofocus onfocus=zq7mark() `, `style=background:url(zq7mark) `, `<iframe src=javascript:zq7mark()>`, `<iframe srcdoc="<script>zq7mark()</script>">`,
		`<a href="javascript:zq7mark()">x</a>`, `<a href=" java	script:zq7mark()">x</a>`, `<form action=javascript:zq7mark()><button>`, `<object data=zq7mark>`, `<embed src=zq7mark>`,
		`<base href=//zq7mark/>`, `<meta http-equiv=refresh content="0;url=//zq7mark">`, `<link rel=stylesheet href=//zq7mark>`, `<style>@import "//zq7mark"</style>`, `<math><mi xlink:href="data:x,zq7mark">`,
		`{{zq7mark}}`, `${zq7mark()}`, `javascript:zq7mark()`, `<body onload=zq7mark()>`, `<details open ontoggle=zq7mark()>`, `<template><script>zq7mark()</script></template>`,
	}
	for _, o := range out {
		for _, d := range do {
			all = append(all, o+d)
		}
	}
	return all
}

// escaped lists what a browser would make of a page that is more than text: an
// element or attribute that carries the mark where only the program's own may
// stand.
func escaped(page string) (found []string) {
	z := html.NewTokenizer(strings.NewReader(page))
	script := false
	for {
		kind := z.Next()
		if kind == html.ErrorToken {
			return found
		}
		token := z.Token()
		switch kind {
		case html.TextToken:
			if script && strings.Contains(token.Data, mark) {
				found = append(found, "script: "+token.Data)
			}
		case html.StartTagToken, html.SelfClosingTagToken:
			script = token.Data == "script" || token.Data == "style"
			for _, a := range token.Attr {
				loose := strings.ToLower(strings.Map(func(r rune) rune {
					if r <= ' ' {
						return -1
					}
					return r
				}, a.Val))
				runs := strings.HasPrefix(a.Key, "on") || a.Key == "style" || a.Key == "srcdoc" || strings.Contains(a.Key, mark)
				leads := a.Key == "href" || a.Key == "src" || a.Key == "action" || a.Key == "data" || a.Key == "formaction" || a.Key == "content" && token.Data == "meta" || a.Key == "xlink:href"
				away := strings.HasPrefix(loose, "javascript:") || strings.HasPrefix(loose, "data:") || strings.HasPrefix(loose, "//") || strings.Contains(loose, mark) && !strings.HasPrefix(loose, "/")
				if strings.Contains(a.Val+a.Key, mark) && (runs || leads && away) {
					found = append(found, fmt.Sprintf("<%s %s=%q>", token.Data, a.Key, a.Val))
				}
			}
		case html.EndTagToken:
			script = false
		}
	}
}

// quoted writes a text as a site file does.
func quoted(t *testing.T, text string) string {
	t.Helper()
	b, err := json.Marshal(text)
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

// Each payload is typed wherever somebody can type, and every page is read as a
// browser reads it: nothing of them is more than text.
func TestNothingTypedRunsOnAnyPage(t *testing.T) {
	s := serving(t)
	v := s.visitor(t)
	v.begins()
	all := payloads()
	joined := strings.Join(all, " ")
	var ids []string
	for i, p := range all {
		if i%20 != 0 && i < len(all)-1 {
			continue // each stands in a text below; some are names as well
		}
		name := strings.ReplaceAll(p, "\n", " ")
		file := "rinsewright = 1\n[site]\nname = " + quoted(t, name) + "\nabout = " + quoted(t, strings.Join(all[i:min(len(all), i+20)], " ")) + "\n"
		site, err := s.store.AddSite(t.Context(), "", file, i%40 == 0)
		if err != nil {
			t.Fatalf("%q: %v", p, err)
		}
		ids = append(ids, site.ID)
		device := store.NewID(time.Now())
		for n := range 4 {
			x := store.Sample{
				ID: store.NewID(time.Now()), Site: site.ID, Place: "raw", Taken: time.Now(), Device: device, DeviceSeq: int64(n + 1), Program: p[:min(len(p), 60)], Note: strings.Join(all[(i+5*n)%500:(i+5*n)%500+20], " "),
				Readings: []store.Reading{{Name: "strength", Typed: p, SI: 0.3, Unit: "kg/m3"}, {Name: p, Typed: p, SI: 1}},
			}
			if r, err := s.store.Log(t.Context(), "", []store.Sample{x}); err != nil || !r[0].Kept {
				t.Fatalf("%q: %+v, %v", p, r, err)
			}
		}
		if err := s.store.AddPhoto(t.Context(), "", store.Photo{ID: strings.Repeat("a", 64), Site: site.ID, Kept: strings.Repeat("b", 64), Words: p, Taken: time.Now()}); err != nil {
			t.Fatal(err)
		}
		if _, err := s.store.AddPerson(t.Context(), "", store.Person{Login: fmt.Sprint("p", i), Name: p, Role: store.Tech}); err != nil {
			t.Fatal(err)
		}
		if err := s.store.Set(t.Context(), "", "note", p); err != nil {
			t.Fatal(err)
		}
	}
	pages, seen := 0, 0
	look := func(path, body string) {
		pages++
		seen += strings.Count(body, mark)
		for _, f := range escaped(body) {
			t.Errorf("%s shows %s", path, f)
		}
	}
	for _, route := range routes() {
		path, get := strings.CutPrefix(route.pattern, "GET ")
		if !get || strings.Contains(path, "{name}") || strings.Contains(path, "{file}") || strings.Contains(path, "{kept}") || strings.HasPrefix(path, "/engine") || strings.HasPrefix(path, "/api") {
			continue
		}
		path = strings.ReplaceAll(path, "{$}", "")
		of := ids[:1]
		if strings.Contains(path, "{id}") && !strings.Contains(path, "sizing") && !strings.Contains(path, "faults") {
			of = []string{ids[0], ids[len(ids)/2], ids[len(ids)-1]}
		}
		for _, id := range of {
			at := strings.NewReplacer("{id}", id, "{row}", "0").Replace(path)
			status, body, header := v.send(http.MethodGet, at, nil)
			if strings.HasPrefix(header.Get("Content-Type"), "text/html") && status < 500 {
				look(at, body)
			}
		}
	}
	for i := 0; i < len(all); i += 25 {
		text := url.QueryEscape(strings.Join(all[i:min(len(all), i+25)], " "))
		for _, path := range []string{"/?q=" + text, "/sign-in?next=" + text, "/setup?token=" + text, "/" + text, "/sites/" + text, "/audit?after=" + text} {
			_, body := v.get(path)
			look(path[:12], body)
		}
		status, body := v.post("/sites/new", "name", "", "use", strings.Join(all[i:min(len(all), i+25)], " "))
		look("/sites/new", body)
		if status >= 500 {
			t.Errorf("/sites/new: %d", status)
		}
		_, body = v.post("/sites/"+ids[0]+"/survey", "rev", "1", "site.about", joined[:3000], "sample.1.place", all[i], "sample.1.strength", all[i])
		look("survey", body)
		_, body = v.post("/sign-in", "login", all[i], "password", all[i])
		look("/sign-in", body)
	}
	t.Logf("%d payloads, %d pages, %d marks seen, none of them more than text", len(all), pages, seen)
	if len(all) < 500 || seen < 3000 {
		t.Error("the pages show too little of what was typed")
	}
}

// The control puts each payload into a page as it is: the detector must trip.
func TestInjectionControl(t *testing.T) {
	missed := 0
	for _, p := range payloads() {
		harmless := strings.HasSuffix(p, "{{zq7mark}}") || strings.HasSuffix(p, "${zq7mark()}") || strings.HasSuffix(p, "javascript:zq7mark()") && !strings.Contains(p, "<")
		in := fmt.Sprintf(`<p title="%s">%s</p><a href="%s">x</a><script>x("%s")</script>`, p, p, p, p)
		if !harmless && len(escaped(in)) == 0 {
			missed++
			t.Errorf("not seen: %s", p)
		}
	}
	if len(escaped(`<p title="`+html.EscapeString(`" onclick=zq7mark()`)+`">`+html.EscapeString("<script>zq7mark()</script>")+`</p>`)) != 0 {
		t.Error("text is taken for more")
	}
}

// What a spreadsheet would take for a formula goes out as text, and numbers
// stay numbers.
func TestNoFormulaGoesOut(t *testing.T) {
	for _, text := range []string{"=1+1", "+1", "-cmd|x", "@x", "\t=1", "\r=1", "=HYPERLINK(\"x\")", "-5 kPa"} {
		if got := cell(text); got != "'"+text {
			t.Errorf("%q goes out as %q", text, got)
		}
	}
	s := serving(t)
	v := s.visitor(t)
	v.begins()
	site := s.gullPoint(t)
	x := store.Sample{
		ID: store.NewID(time.Now()), Site: site.ID, Place: "raw", Taken: time.Now(), Device: store.NewID(time.Now()), DeviceSeq: 1, Note: "=1+1",
		Readings: []store.Reading{{Name: "strength", Typed: "=1+1", SI: 0.3, Unit: "kg/m3"}},
	}
	if r, err := s.store.Log(t.Context(), "", []store.Sample{x}); err != nil || !r[0].Kept {
		t.Fatal(r, err)
	}
	status, body := v.get("/sites/" + site.ID + "/trends.csv")
	rows, err := csv.NewReader(strings.NewReader(body)).ReadAll()
	if status != http.StatusOK || err != nil {
		t.Fatalf("%d, %v: %s", status, err, body)
	}
	for _, row := range rows {
		for _, c := range row {
			if c != "" && strings.ContainsRune("=+@\t\r", rune(c[0])) {
				t.Errorf("%q goes out", c)
			}
		}
	}
}
