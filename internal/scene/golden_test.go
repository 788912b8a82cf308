package scene

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"
)

// sample is a drawing kept under testdata. The files are ours: they hold that
// nothing moved unseen, not that anything is right. UPDATE=1 rewrites them.
type sample struct {
	name string
	draw func() (Drawing, error)
}

func samples() []sample {
	path := func(p Path, s Style) func() (Drawing, error) {
		return func() (Drawing, error) { return p.Draw(s) }
	}
	return append(busySamples(), []sample{
		{"marina-wide", path(marina(), Style{LinkBase: "#"})},
		{"marina-narrow", path(marina(), Style{Layout: Narrow})},
		{"depot-wide", path(depot(), Style{})},
		{"depot-narrow", path(depot(), Style{Layout: Narrow, LinkBase: "#", Gallons: true})},
		{"depot-mini", path(depot(), Style{Layout: Mini})},
		{"bars-resin", func() (Drawing, error) { return resinBars().Draw(0) }},
		{"bars-cost", func() (Drawing, error) { return costBars().Draw(0) }},
		{"bars-single", func() (Drawing, error) { return singleBars().Draw(380) }},
		{"band-holds", func() (Drawing, error) {
			return Band{Label: "Permeate strength", Unit: "µS", Low: 12, High: 22, Value: 18, Doubt: 1.5, Verdict: "holds"}.Draw(0)
		}},
		{"band-short", func() (Drawing, error) {
			return Band{Label: "Permeate flow", Unit: "L/min", Low: 0.74, High: unknown, Value: 0.61, Doubt: 0.04, Verdict: "falls short"}.Draw(0)
		}},
		{"band-cant-tell", func() (Drawing, error) {
			return Band{Label: "Strength after the lag, at the gun, with both guns open", Unit: "µS", Low: 0.3, High: 0.6, Value: 0.5, Doubt: 0.5, Verdict: "can't tell"}.Draw(0)
		}},
		{"months-permeate", func() (Drawing, error) { return permeateYear().Draw(0) }},
		{"months-phone", func() (Drawing, error) { return permeateYear().Draw(300) }},
		{"profile-housings", func() (Drawing, error) { return housings().Draw(0) }},
		{"profile-phone", func() (Drawing, error) { return housings().Draw(300) }},
		{"curves-pump", func() (Drawing, error) { return pumpAndLine().Draw(0) }},
		{"smallest-wide", path(smallest(), Style{})},
		{"worst-wide", path(worst(14), Style{})},
		{"worst-narrow", path(worst(14), Style{Layout: Narrow})},
	}...)
}

func TestDrawingsStayAsTheyWere(t *testing.T) {
	for _, s := range samples() {
		t.Run(s.name, func(t *testing.T) {
			d, err := s.draw()
			if err != nil {
				t.Fatal(err)
			}
			var got bytes.Buffer
			if err := d.SVG(&got, SVGOptions{Prefix: "g", Standalone: true}); err != nil {
				t.Fatal(err)
			}
			file := filepath.Join("testdata", s.name+".svg")
			if os.Getenv("UPDATE") == "1" {
				if err := os.WriteFile(file, got.Bytes(), 0o644); err != nil {
					t.Fatal(err)
				}
			}
			want, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			if !bytes.Equal(got.Bytes(), want) {
				t.Errorf("%s differs from what is kept; UPDATE=1 rewrites it, then look at the change", file)
			}
		})
	}
}
