package web

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"strings"

	"rinsewright/internal/store"
)

// held is an answer kept back until it is on disk.
type held struct {
	header http.Header
	status int
	body   bytes.Buffer
}

func (h *held) Header() http.Header { return h.header }

func (h *held) WriteHeader(status int) {
	if h.status == 0 {
		h.status = status
	}
}

func (h *held) Write(b []byte) (int, error) {
	h.WriteHeader(http.StatusOK)
	return h.body.Write(b)
}

// once makes a change that came with a key: sent again, with the answer lost on
// the way, it is answered as before and not made twice. A change that was
// refused is answered alike too; one that failed on our side may be tried again
// under the same key.
func (v *visit) once(token store.Token, do func(*visit) error) error {
	key := v.r.Header.Get("Idempotency-Key")
	if len(key) > 200 {
		return refuse(http.StatusBadRequest, "A key has at most 200 letters.", "A UUID does well.")
	}
	body, err := v.body()
	if err != nil {
		return err
	}
	v.r.Body = io.NopCloser(strings.NewReader(body))
	sum := sha256.Sum256(fmt.Appendf(nil, "%s %s\n%s\n%s", v.r.Method, v.r.URL.RequestURI(), v.r.Header.Get("If-Match"), body))
	claim := store.KeptAnswer{Token: token.ID, Key: key, Request: hex.EncodeToString(sum[:])}
	there, first, err := v.store.BeginAnswer(v.r.Context(), claim)
	switch {
	case err != nil:
		return err
	case first:
		return v.first(claim, do)
	case there.Request != claim.Request:
		return refuseCoded("key-reused", http.StatusUnprocessableEntity, "This Idempotency-Key came with another request before.", "Make a new key for each change.")
	case there.Status == 0:
		return refuseCoded("key-under-way", http.StatusConflict, "The same request is still under way.", "Send it again in a moment, with the same key.")
	}
	var header http.Header
	if err := json.Unmarshal([]byte(there.Headers), &header); err != nil {
		return err
	}
	header.Set("Idempotent-Replayed", "true")
	return v.sendHeld(&held{header, int(there.Status), *bytes.NewBufferString(there.Body)})
}

func (v *visit) first(claim store.KeptAnswer, do func(*visit) error) error {
	out := &held{header: http.Header{}}
	inner := *v
	inner.w = out
	if err := do(&inner); err != nil {
		inner.failAPI(err)
	}
	if out.status < 500 {
		headers, err := json.Marshal(out.header)
		if err != nil {
			return err
		}
		claim.Status, claim.Headers, claim.Body = int64(out.status), string(headers), out.body.String()
	}
	if err := v.store.KeepAnswer(v.r.Context(), claim); err != nil {
		return err
	}
	return v.sendHeld(out)
}

func (v *visit) sendHeld(h *held) error {
	for name, values := range h.header {
		v.w.Header()[name] = values
	}
	v.w.WriteHeader(h.status)
	_, err := v.w.Write(h.body.Bytes())
	return err
}
