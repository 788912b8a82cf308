package web

import (
	"net/http"
	"strings"
	"testing"

	"rinsewright/internal/sitefile"
	"rinsewright/internal/store"
	"rinsewright/plant"
	"rinsewright/quantity"
	"rinsewright/site"
)

// A visit on the phone: strengths, gauges of the rig and a drop kit. It reaches
// the record as a visit that the model can follow.
func TestAReadingReachesTheModel(t *testing.T) {
	s := serving(t)
	v := s.visitor(t)
	v.begins()
	if status, _ := v.post("/practice"); status != http.StatusSeeOther {
		t.Fatal(status)
	}
	id := s.siteID(t, "Cormorant")
	page := "/sites/" + id + "/reading"
	if _, body := v.get(page); !strings.Contains(body, `name="gauge.permeate_flow"`) || !strings.Contains(body, "Permeate totaliser") {
		t.Error("the page does not offer the membrane's gauges")
	}
	now := s.pages.options.Now()
	form := []string{"id", store.NewID(now), "seq", "4", "taken", "1781343000000", "offset", "-240", "decimal", "comma", "scale", "NaCl", "raw.id", store.NewID(now), "permeate.id", store.NewID(now), "polished.id", store.NewID(now), "rig.id", store.NewID(now)}
	read := append([]string{ // invented
		"raw.value", "310,5", "raw.unit", "ppm", "hardness", "9,5 gpg", "alkalinity", "150 mg/L as CaCO3", "permeate.value", "8,5", "permeate.unit", "ppm",
		"gauge.permeate_flow", "0,31", "gauge.permeate_flow.unit", "gpm", "gauge.permeate_meter", "45250", "gauge.permeate_meter.unit", "gal", "gauge.tank_level", "60", "gauge.tank_level.unit", "%",
		"gauge.gun_strength", "9,5 ppm", "gauge.feed_pressure", "3,5 bar", "note", "drips at the float",
	}, form...)
	for range 2 {
		if status, body := v.post(page, read...); status != http.StatusSeeOther {
			t.Fatalf("%d %s", status, body)
		}
	}
	samples, err := s.store.Samples(t.Context(), id, 10)
	if err != nil || len(samples) != 3 {
		t.Fatalf("%d samples, %v", len(samples), err)
	}
	kept, err := s.store.Site(t.Context(), id)
	if err != nil {
		t.Fatal(err)
	}
	record, err := sitefile.Read("site.toml", []byte(kept.File))
	if err != nil {
		t.Fatal(err)
	}
	visits, waters := len(record.Log), len(record.Samples)
	if !withSamples(record, samples, quantity.Locale{}) {
		t.Error("nothing joined")
	}
	if got := len(record.Log) - visits; got != 3 {
		t.Errorf("%d visits joined, want 3", got)
	}
	joined := map[string]string{}
	for _, w := range record.Samples[waters:] {
		joined[w.Place] = w.Strength.PPM.Typed
	}
	if joined["raw"] != "310.5 ppm" || joined["permeate"] != "8.5 ppm" {
		t.Errorf("waters that joined: %v", joined)
	}
	if _, ok := joined["gun"]; !ok {
		t.Error("the gun's strength did not join")
	}
	gauges := map[plant.Gauge]site.Reading{}
	for _, visit := range record.Log[visits:] {
		for _, r := range visit.Read {
			gauges[r.Of] = r
		}
		if visit.Date != "2026-06-13" || visit.At != "05:30" {
			t.Errorf("a visit on %s at %s", visit.Date, visit.At)
		}
	}
	for g, want := range map[plant.Gauge]float64{ // published: 1 US gallon is 3.785411784 L
		plant.PermeateFlow: 0.31 * 3.785411784e-3 / 60, plant.PermeateVolume: 45250 * 3.785411784e-3, plant.TankLevel: 0.6, plant.FeedPressure: 350000,
	} {
		if got := gauges[g].SI; !(got > want*0.999999 && got < want*1.000001) {
			t.Errorf("%s is %v, want %v", g, got, want)
		}
	}
	// The record with them is a file that can be written and read again.
	if _, err := sitefile.Read("again.toml", sitefile.Write(record, quantity.Locale{})); err != nil {
		t.Errorf("with what was logged it is no file: %v", err)
	}
	if _, body := v.get("/sites/" + id); !strings.Contains(body, "permeate flow 0,31 gpm") || !strings.Contains(body, "drips at the float") {
		t.Error("the story does not tell of the gauges")
	}
	if _, body := v.get(page); !strings.Contains(body, "last time 0,31 gpm") {
		t.Error("what was read last is not beside the field")
	}
	for what, read := range map[string][]string{
		"Strength of the raw water reads 3105 ppm": {"raw.value", "3105", "raw.unit", "ppm"},
		"Permeate flow reads 3,1 gpm":              {"gauge.permeate_flow", "3,1", "gauge.permeate_flow.unit", "gpm"},
		"ermeate totaliser reads 44.000 gal":       {"gauge.permeate_meter", "44.000", "gauge.permeate_meter.unit", "gal"},
	} {
		if status, body := v.post(page, append(read, form...)...); status != http.StatusUnprocessableEntity || !strings.Contains(body, what) {
			t.Errorf("%v: %d, not asked about", read, status)
		}
	}
	if status, body := v.post(page, append([]string{"gauge.permeate_flow", "9 psi"}, form...)...); status != http.StatusUnprocessableEntity || !strings.Contains(body, "Wanted") {
		t.Errorf("a pressure for a flow: %d", status)
	}
}

// A raw strength alone leaves the survey's analysis in its place.
func TestARawStrengthDoesNotHideTheAnalysis(t *testing.T) {
	record := &site.Site{}
	x := store.Sample{ID: "x", Place: "raw", Readings: []store.Reading{{Name: "strength", Typed: "300 ppm", SI: 0.3}}}
	if withSamples(record, []store.Sample{x}, quantity.Locale{}) || len(record.Samples) != 0 || len(record.Log) != 1 {
		t.Errorf("it joined: %+v", record.Samples)
	}
	wrong := store.Sample{ID: "y", Place: "permeate", Readings: []store.Reading{{Name: "strength", Typed: "9 ppm", SI: 0.009}}}
	right := wrong
	right.ID, right.Corrects = "z", "y"
	record = &site.Site{}
	if withSamples(record, []store.Sample{right, wrong}, quantity.Locale{}); len(record.Samples) != 1 {
		t.Errorf("%d samples of one and its correction", len(record.Samples))
	}
}
