package study

import (
	"fmt"

	"rinsewright/membrane"
	"rinsewright/plant"
	"rinsewright/quantity"
	"rinsewright/site"
)

// Rigged is a closer look at a site's rig as it hangs on the wall: where it
// settles, through the year, along its membrane, in its first minutes, against
// every limit, and what each tube costs it.
type Rigged struct {
	Point    plant.Point
	Season   Season
	Profile  Along
	Start    plant.Start // after a usual standstill
	Standing quantity.Time
	Limits   []membrane.Margin
	Permeate []TubeCost   // for the tube from membrane to tank
	Delivery []TubeCost   // for the line to the guns
	Curve    *PumpLine    // nil where the pump cannot reach the guns
	Moments  []Moment     // of its day, where its controls are known
	Sweep    *plant.Sweep // what a flush does; nil without one
	Diverted quantity.Time
	Assumed  []Assumption
}

// usualStandstill is how long a rig stands between two starts when nobody
// counted. Source: [TradeDefaults].
const usualStandstill = quantity.Time(3 * 3600)

// Rig looks closely at the rig of a site. Each answer comes from the same plant
// that [Check] runs. The error wraps [ErrNoRig] without a membrane,
// [ErrNoSample], or is that of the part that cannot work.
func Rig(s *site.Site, o Options) (*Rigged, error) {
	if s.Rig.Membrane == nil {
		return nil, fmt.Errorf("look at the rig of %s: %w", s.Name, ErrNoRig)
	}
	n := &notes{units: o.Units, locale: o.Locale}
	l, err := rigLook(s, n)
	if err != nil {
		return nil, fmt.Errorf("look at the rig of %s: %w", s.Name, err)
	}
	r := &Rigged{Standing: usualStandstill}
	if k := s.Rig.Controls; k != nil {
		r.Diverted = k.Divert.Or(0)
	}
	for _, step := range []struct {
		name string
		do   func() error
	}{
		{"operating point", func() (err error) { r.Point, err = l.settle(l.feed.Temperature); return err }},
		{"seasons", func() (err error) { r.Season, err = l.season(s, n); return err }},
		{"profile", func() (err error) { r.Profile, err = along(&r.Point.Membrane); return err }},
		{"start", func() (err error) {
			r.Start, err = l.rig.plant.StartFrom(r.Point, plant.Standstill{Idle: usualStandstill, Divert: r.Diverted})
			return err
		}},
		{"limits", func() (err error) { r.Limits, err = r.Point.Membrane.Margins(feedQuality(s)); return err }},
		{"controls", func() (err error) { r.Moments, err = l.moments(s, n); return err }},
		{"flush", func() (err error) { r.Sweep, err = l.sweep(); return err }},
		{"permeate tube", func() (err error) { r.Permeate, err = l.permeateTubes(s, n); return err }},
		{"line", func() error { return r.line(l, s, n) }},
	} {
		if err := step.do(); err != nil {
			return nil, fmt.Errorf("look at the rig of %s: %s: %w", s.Name, step.name, err)
		}
	}
	r.Assumed = n.assumed
	return r, nil
}

// rigLook is as much of a look as the rig needs: a site that says nothing of
// its demand still has one.
func rigLook(s *site.Site, n *notes) (*look, error) {
	l := &look{}
	if err := l.takeWater(s, drawn{}, n, change{}); err != nil {
		return nil, err
	}
	if err := l.soften(s, n); err != nil {
		return nil, err
	}
	if err := l.maybeDemand(s, drawn{}, n); err != nil {
		return nil, err
	}
	var err error
	if l.rig, err = rigOf(s, drawn{}, n); err != nil {
		return nil, err
	}
	l.store, err = storeOf(s, l, n)
	return l, err
}

// feedQuality is the kind of feed that design flux is told for.
func feedQuality(s *site.Site) membrane.FeedQuality {
	if s.Supply.Source == site.Well || s.Rig.Softener != nil {
		return membrane.WellFeed
	}
	return membrane.SurfaceFeed
}
