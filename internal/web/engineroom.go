package web

import (
	"context"
	"crypto/sha256"
	_ "embed"
	"encoding/hex"
	"encoding/json"
	"errors"
	"io"
	"net/http"
	"strings"
	"sync"
	"sync/atomic"

	"rinsewright/internal/door"
	"rinsewright/internal/web/engine"
)

//go:embed assets/engine.js
var engineScript string

//go:embed assets/survey.js
var surveyScript string

//go:embed assets/engineworker.js
var engineWorker string

// engineRoom gets the browser's engine ready in the background. Until it is,
// and where there is none, pages ask the server.
type engineRoom struct {
	found  atomic.Pointer[engineLinks]
	cancel context.CancelFunc
	done   sync.WaitGroup
}

// engineLinks are the engine and its addresses, which change with its content.
type engineLinks struct {
	Wasm, Script string
	files        engine.Files
}

func newEngineRoom(base string, find func(context.Context) (engine.Files, error), say func(error)) *engineRoom {
	ctx, cancel := context.WithCancel(context.Background())
	room := &engineRoom{cancel: cancel}
	if find == nil {
		return room
	}
	room.done.Go(func() {
		files, err := find(ctx)
		if err != nil {
			if ctx.Err() == nil {
				say(err)
			}
			return
		}
		sum := sha256.Sum256(append(append([]byte{}, files.Wasm...), files.Script...))
		version := "?v=" + hex.EncodeToString(sum[:6])
		room.found.Store(&engineLinks{base + "/engine/engine.wasm" + version, base + "/engine/start.js" + version, files})
	})
	return room
}

func (e *engineRoom) stop() {
	e.cancel()
	e.done.Wait()
}

// engineFile answers with the engine or with the script that starts it.
func (v *visit) engineFile() error {
	links := v.engine.found.Load()
	if links == nil {
		return refuse(http.StatusNotFound, "There is no engine here.", "Pages ask the server instead.")
	}
	h := v.w.Header()
	h.Set("Cache-Control", "no-cache")
	if strings.HasSuffix(links.Wasm, "?"+v.r.URL.RawQuery) {
		h.Set("Cache-Control", "public, max-age=31536000, immutable")
	}
	switch v.r.PathValue("name") {
	case "engine.wasm":
		h.Set("Content-Type", "application/wasm")
		return v.packed(links.files)
	case "start.js":
		h.Set("Content-Type", "text/javascript; charset=utf-8")
		_, err := v.w.Write(links.files.Script)
		return err
	}
	return refuse(http.StatusNotFound, "That is not here.", "")
}

// packed sends the module as it is kept where the browser takes it so.
func (v *visit) packed(files engine.Files) error {
	if strings.Contains(v.r.Header.Get("Accept-Encoding"), "gzip") {
		v.w.Header().Set("Content-Encoding", "gzip")
		_, err := v.w.Write(files.Wasm)
		return err
	}
	wasm, err := files.Unpack()
	if err != nil {
		return err
	}
	_, err = v.w.Write(wasm)
	return err
}

// answerQuestion is the door for a browser without an engine. The question
// brings its own site file, and nothing of it is kept.
func (v *visit) answerQuestion() error {
	text, err := io.ReadAll(v.r.Body)
	if err != nil {
		return &problem{http.StatusRequestEntityTooLarge, "The question is too long.", "A site file may hold 1 MB at most.", err}
	}
	if !json.Valid(text) {
		return refuse(http.StatusBadRequest, "The question cannot be read.", "")
	}
	select {
	case v.views.engine <- struct{}{}:
		defer func() { <-v.views.engine }()
	case <-v.r.Context().Done():
		return v.r.Context().Err()
	}
	var d door.Door
	answer := d.JSON(v.r.Context(), text)
	if err := v.r.Context().Err(); err != nil {
		return err
	}
	v.w.Header().Set("Content-Type", "application/json")
	v.w.Header().Set("Cache-Control", "no-store")
	_, err = v.w.Write(answer)
	return err
}

// noEngine logs why there is none.
func (s *Server) noEngine(err error) {
	if errors.Is(err, engine.ErrNone) {
		s.options.Log.Info("pages ask the server", "why", err.Error())
		return
	}
	s.options.Log.Warn("pages ask the server", "why", err.Error())
}
