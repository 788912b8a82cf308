package web

import (
	_ "embed"
	"encoding/json"
	"errors"
	"net/http"
	"strconv"
	"strings"

	"rinsewright/internal/store"
)

//go:embed assets/phone.js
var phoneScript string

//go:embed assets/photos.js
var photoScript string

//go:embed assets/drafts.js
var draftScript string

//go:embed assets/road.js
var roadScript string

//go:embed assets/reading.js
var readingScript string

//go:embed assets/sw.js
var workerSource string

// worker is the script that answers on the phone when there is no signal. It
// names what every page needs, by content, so that a new program brings a new
// one.
func (a *assets) worker() string {
	files := []string{a.base + "/phone"}
	version := ""
	for _, name := range []string{"latin-400.woff2", "latin-600.woff2", "app.css", "app.js", "photos.js", "drafts.js", "phone.js", "road.js", "keys.js", "reading.js", "engine.js", "engineworker.js", "whatif.js", "survey.js", "faults.js", "trends.js", "startup.js", "steady.js", wordsOf("es")} {
		files = append(files, a.link(name))
		version += a.sums[name]
	}
	quoted := make([]string, len(files))
	for i, f := range files {
		quoted[i] = strconv.Quote(f)
	}
	return strings.NewReplacer("ROOT", a.base, "VERSION", version, "FILES", strings.Join(quoted, ", ")).Replace(workerSource)
}

func (v *visit) worker() error {
	v.w.Header().Set("Content-Type", "text/javascript; charset=utf-8")
	v.w.Header().Set("Cache-Control", "no-cache")
	_, err := v.w.Write([]byte(v.assets.worker()))
	return err
}

// manifest lets the pages be installed like a program of the phone.
func (v *visit) manifest() error {
	v.w.Header().Set("Content-Type", "application/manifest+json")
	return json.NewEncoder(v.w).Encode(map[string]any{
		"name": "rinsewright", "short_name": "rinsewright", "start_url": v.options.Base + "/", "scope": v.options.Base + "/", "display": "standalone",
		"background_color": "#fbfaf7", "theme_color": "#fbfaf7",
		"icons": []map[string]string{
			{"src": v.assets.link("tile.png"), "sizes": "192x192", "type": "image/png", "purpose": "any maskable"},
			{"src": v.assets.link("tile-large.png"), "sizes": "512x512", "type": "image/png", "purpose": "any maskable"},
		},
	})
}

// phone lists what is on this phone. The page itself holds nothing of anybody,
// so that it may be kept for when there is no signal.
func (v *visit) phone() error {
	v.session = store.Session{}
	return v.show(http.StatusOK, "phone.html", "On this phone", "phone", v.r.URL.Query().Has("stay"))
}

// fromPhone tells whether a phone sends what it has kept.
func (v *visit) fromPhone() bool { return v.r.Header.Get("X-Part") == "phone" }

// receipt answers a phone: only "sent" lets it stop sending.
func (v *visit) receipt(status int, why string) error {
	v.w.Header().Set("Content-Type", "application/json")
	v.w.Header().Set("Cache-Control", "no-store")
	v.w.WriteHeader(status)
	return json.NewEncoder(v.w).Encode(map[string]string{"why": v.say(why)})
}

// logFromPhone keeps what a phone has sent. The phone has asked about doubts.
func (v *visit) logFromPhone(page readingView, samples []store.Sample) error {
	if page.Wrong {
		return v.receipt(http.StatusUnprocessableEntity, page.whatIsWrong())
	}
	receipts, err := v.count(v.store.Log(v.r.Context(), v.person(), samples))
	if err != nil {
		return err
	}
	v.foreseer.wake()
	for _, r := range receipts {
		if errors.Is(r.Err, store.ErrConflict) {
			return v.receipt(http.StatusConflict, "The office has another reading under the same number. It keeps both, until somebody there chooses.")
		}
		if r.Err != nil {
			return r.Err
		}
	}
	return v.receipt(http.StatusOK, "")
}

// whatIsWrong is the first thing that could not be taken.
func (r readingView) whatIsWrong() string {
	for _, a := range r.Asks {
		if a.Wrong != "" {
			return a.Title + ": " + a.Wrong
		}
	}
	for _, g := range r.Gauges {
		if g.Wrong != "" {
			return g.Title + ": " + g.Wrong
		}
	}
	for _, f := range r.More {
		if f.Wrong != "" {
			return f.Title + ": " + f.Wrong
		}
	}
	return "It cannot be read."
}
