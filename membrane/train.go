package membrane

import (
	"fmt"

	"rinsewright/quantity"
)

// DefaultSlices is how many slices an element's channel is cut into. Flow and
// strength then differ by less than 0.1 % from those of a hundred times as many.
const DefaultSlices = 16

// Housing is one pressure vessel with one element in it.
type Housing struct {
	Element Element
	Wear    Wear
}

// Train is housings in series, feed end first, and how many such rows stand
// side by side and share the feed alike. Parallel 0 means 1.
type Train struct {
	Housings []Housing
	Parallel int
}

// Feed is a feed as the fast march sees it. Flow, Pressure, Temperature must be
// given; zero Viscosity, Density, Diffusivity and Passage mean those of a
// dilute NaCl feed. [FeedOf] makes one of a stream.
type Feed struct {
	Flow             quantity.Flow
	Pressure         quantity.Pressure
	PermeatePressure quantity.Pressure
	Temperature      quantity.Temperature
	OsmoticPressure  quantity.Pressure
	Viscosity        quantity.Viscosity
	Density          quantity.Density
	Diffusivity      quantity.Diffusivity // of the salt in the film
	Passage          float64              // ratio: permeability of this feed's salts over NaCl's
}

// Flows returns the permeate of the train and the pressure where its
// concentrate leaves, for one lumped salt. Run on the same feed gives the same
// two numbers. It allocates nothing unless it fails.
//
// Source: the package's element model. Valid as the package says. Errors wrap
// [ErrRange], [ErrNoFlow] or [ErrStarved].
func (t Train) Flows(f Feed) (permeate quantity.Flow, concentrate quantity.Pressure, err error) {
	w, parallel, err := t.start(&f)
	if err != nil {
		return 0, 0, err
	}
	total, q0 := 0.0, w.q // m3/s
	back, pi := float64(f.PermeatePressure), float64(f.OsmoticPressure)
	for h := range t.Housings {
		e := t.Housings[h].conduit(&f)
		made, dry := w.through(&e, DefaultSlices, back, pi, starved*q0)
		if total += made; dry {
			return 0, 0, &StarvedError{Feed: quantity.Flow(q0), Element: h}
		}
	}
	if !finite(total) || !finite(w.p) {
		return 0, 0, fmt.Errorf("membrane: flows: no finite answer: %w", ErrRange)
	}
	return quantity.Flow(total * parallel), quantity.Pressure(w.p), nil
}

// start checks the train and the feed, fills the feed's defaults and stands at
// the first element's inlet.
func (t Train) start(f *Feed) (place, float64, error) {
	if err := t.check(); err != nil {
		return place{}, 0, err
	}
	if err := f.fill(); err != nil {
		return place{}, 0, err
	}
	if !(f.Pressure > f.PermeatePressure+f.OsmoticPressure) {
		return place{}, 0, &NoFlowError{Feed: f.Pressure, Permeate: f.PermeatePressure, Osmotic: f.OsmoticPressure}
	}
	parallel := float64(max(t.Parallel, 1))
	q := float64(f.Flow) / parallel
	return place{q: q, salt: q, p: float64(f.Pressure)}, parallel, nil
}

func (t Train) check() error {
	if len(t.Housings) == 0 || len(t.Housings) > 50 || t.Parallel < 0 || t.Parallel > 1000 {
		return fmt.Errorf("membrane: train of %d elements in series, %d in parallel: %w", len(t.Housings), t.Parallel, ErrRange)
	}
	for h := range t.Housings {
		if !t.Housings[h].Element.sound() {
			return fmt.Errorf("membrane: element %d was not made from a data sheet: %w", h+1, ErrRange)
		}
		if t.Housings[h].Wear.sound() {
			continue
		}
		if err := t.Housings[h].Wear.check(); err != nil {
			return fmt.Errorf("membrane: element %d: %w", h+1, err)
		}
	}
	return nil
}

// conduit makes the housing ready to be marched in this feed.
func (h *Housing) conduit(f *Feed) conduit {
	c := h.Element.conduit(f)
	c.leak = float64(h.Wear.Bypass) * float64(h.Element.WaterPermeability) * c.area
	c.a *= h.Wear.WaterPermeability
	c.b *= h.Wear.SaltPermeability
	c.friction *= h.Wear.Drop
	c.tail = float64(h.Wear.ScaledTail)
	return c
}
