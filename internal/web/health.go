package web

import (
	"io"
	"net/http"
)

// health says that the program runs.
func (v *visit) health() error { return v.plain("alive\n") }

// ready says that it can answer: the store does.
func (v *visit) ready() error {
	if err := v.store.Ready(v.r.Context()); err != nil {
		http.Error(v.w, "the store does not answer", http.StatusServiceUnavailable)
		return nil
	}
	return v.plain("ready\n")
}

func (v *visit) plain(text string) error {
	v.w.Header().Set("Content-Type", "text/plain; charset=utf-8")
	v.w.Header().Set("Cache-Control", "no-store")
	_, err := io.WriteString(v.w, text)
	return err
}

func (v *visit) nowhere() error {
	return refuse(http.StatusNotFound, "There is no such page.", "The list of sites is a good place to go on from.")
}
