package web

import (
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	_ "embed"
	"encoding/hex"
	"net/http"
	"strings"
	"sync"

	"rinsewright/internal/paper"
	"rinsewright/internal/say"
)

//go:embed assets/app.css
var appStyle string

//go:embed assets/app.js
var appScript string

// assets are the style and the script of every page.
type assets struct {
	bodies map[string][]byte
	kinds  map[string]string
	sums   map[string]string
	base   string // path of the pages
}

func newAssets(base string) *assets {
	a := &assets{base: base, bodies: map[string][]byte{}, kinds: map[string]string{}, sums: map[string]string{}}
	a.add("app.css", "text/css; charset=utf-8", paper.StyleSheet()+a.typeface()+paper.SizeStyle()+paper.FaultsStyle()+appStyle+whatIfStyle+lookStyle)
	a.add("app.js", "text/javascript; charset=utf-8", appScript)
	a.add("tile.png", "image/png", tile(192))
	a.add("tile-large.png", "image/png", tile(512))
	a.add("photos.js", "text/javascript; charset=utf-8", photoScript)
	a.add("phone.js", "text/javascript; charset=utf-8", phoneScript)
	a.add("drafts.js", "text/javascript; charset=utf-8", draftScript)
	a.add("keys.js", "text/javascript; charset=utf-8", keysScript)
	a.add("road.js", "text/javascript; charset=utf-8", roadScript)
	a.add("reading.js", "text/javascript; charset=utf-8", readingScript)
	a.add("survey.js", "text/javascript; charset=utf-8", surveyScript)
	a.add("faults.js", "text/javascript; charset=utf-8", faultsScript)
	a.add("trends.js", "text/javascript; charset=utf-8", trendsScript)
	a.add("startup.js", "text/javascript; charset=utf-8", startUpScript)
	a.add("steady.js", "text/javascript; charset=utf-8", steadyScript)
	a.add("engine.js", "text/javascript; charset=utf-8", engineScript)
	a.add("engineworker.js", "text/javascript; charset=utf-8", engineWorker)
	a.add("whatif.js", "text/javascript; charset=utf-8", whatIfScript)
	a.add("passkeys.js", "text/javascript; charset=utf-8", passkeyScript)
	for _, language := range say.Languages[1:] {
		a.add(wordsOf(language), "text/javascript; charset=utf-8", scriptWords(say.Shared(language, false)))
	}
	return a
}

func (a *assets) add(name, kind, body string) {
	sum := sha256.Sum256([]byte(body))
	a.bodies[name], a.kinds[name], a.sums[name] = []byte(body), kind, hex.EncodeToString(sum[:6])
}

// link is an asset's address, which changes with its content, so that a
// browser may keep it for ever.
func (a *assets) link(name string) string { return a.base + "/assets/" + name + "?v=" + a.sums[name] }

func (v *visit) asset() error {
	name := v.r.PathValue("name")
	body, ok := v.assets.bodies[name]
	if !ok {
		return refuse(http.StatusNotFound, "That is not here.", "")
	}
	h := v.w.Header()
	h.Set("Content-Type", v.assets.kinds[name])
	h.Set("Cache-Control", "no-cache")
	if v.r.URL.Query().Get("v") == v.assets.sums[name] {
		h.Set("Cache-Control", "public, max-age=31536000, immutable")
	}
	_, err := v.w.Write(body)
	return err
}

// compressed answers in gzip where the browser takes it.
func compressed(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		w.Header().Add("Vary", "Accept-Encoding")
		// Photos and backups are dense already, and too large to hold back.
		whole := strings.HasPrefix(r.URL.Path, "/photos/") || strings.HasPrefix(r.URL.Path, "/backup/")
		if whole || !strings.Contains(r.Header.Get("Accept-Encoding"), "gzip") {
			next.ServeHTTP(w, r)
			return
		}
		z := &zipped{ResponseWriter: w}
		next.ServeHTTP(z, r)
		z.finish() // not after a panic, which is answered outside
	})
}

// zipped holds an answer back until it is whole: pages are small.
type zipped struct {
	http.ResponseWriter
	status int
	body   bytes.Buffer
}

// Unwrap lets a long answer have a limit of its own.
func (z *zipped) Unwrap() http.ResponseWriter { return z.ResponseWriter }

func (z *zipped) WriteHeader(status int) {
	if z.status == 0 {
		z.status = status
	}
}

func (z *zipped) Write(b []byte) (int, error) { return z.body.Write(b) }

// finish sends what was written. A browser that has gone is no news.
func (z *zipped) finish() {
	if z.status == 0 {
		z.status = http.StatusOK
	}
	if z.body.Len() < 600 || z.Header().Get("Content-Encoding") != "" {
		z.ResponseWriter.WriteHeader(z.status)
		_, _ = z.ResponseWriter.Write(z.body.Bytes())
		return
	}
	z.Header().Set("Content-Encoding", "gzip")
	z.ResponseWriter.WriteHeader(z.status)
	out := zippers.Get().(*gzip.Writer)
	out.Reset(z.ResponseWriter)
	_, _ = out.Write(z.body.Bytes())
	_ = out.Close()
	zippers.Put(out)
}

// zippers are used again: each takes most of a megabyte. The fastest level
// costs a tenth more bytes than the usual one and a third of its time.
var zippers = sync.Pool{New: func() any {
	w, err := gzip.NewWriterLevel(nil, gzip.BestSpeed)
	if err != nil { // only for a level that does not exist
		return gzip.NewWriter(nil)
	}
	return w
}}
