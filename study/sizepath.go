package study

import (
	"context"
	"math"
	"slices"

	"rinsewright/cost"
	"rinsewright/plant"
	"rinsewright/quantity"
	"rinsewright/site"
	"rinsewright/sizing"
	"rinsewright/water"
)

// pathLook is a path from tap to tank, settled.
type pathLook struct {
	look look
	warm plant.Point
	cold plant.Point

	verdict sizing.Verdict
	settled bool              // false when the chain has no answer
	least   quantity.MassConc // on the pen at the gun without resin
	load    load
}

// rigFor is the rig of a site with the train's element solved once for all.
func (z *sizer) rigFor(s *site.Site, train int) (rig, error) {
	made, err := z.trainFor(s, train)
	if err != nil {
		return made, err
	}
	bare := *s
	bare.Rig.Membrane = nil
	r, err := rigOf(&bare, drawn{}, &notes{})
	if err != nil {
		return r, err
	}
	r.element = made.element
	r.plant.Train, r.plant.Beside, r.plant.Recycle, r.plant.Second = made.plant.Train, made.plant.Beside, made.plant.Recycle, made.plant.Second
	r.plant.Restrictor, err = restrictorOf(s, r, drawn{}, &notes{})
	return r, err
}

func (z *sizer) trainFor(s *site.Site, train int) (rig, error) {
	made := z.trains.of(train, func() *trained {
		var t trained
		if t.err = t.rig.membrane(s.Rig.Membrane, drawn{}, &notes{}); t.err == nil {
			t.err = t.rig.further(s, drawn{}, &notes{})
		}
		return &t
	})
	return made.rig, made.err
}

// judgeColdest settles the path from the tap to the tank at the coldest feed of the
// open months, once for every delivery: most that fail, fail there.
func (z *sizer) judgeColdest(_ context.Context, chosen []int) (sizing.Verdict, error) {
	v := verdict{Verdict: *z.feedOf(chosen), z: z}
	v.Margins = slices.Clip(v.Margins)
	if v.broken() <= z.allow {
		v.Margins = append(v.Margins, z.coldest(chosen).verdict.Margins...)
	}
	return v.Verdict, nil
}

// judgePath settles the path at the warmest feed and today's as well.
func (z *sizer) judgePath(_ context.Context, chosen []int) (sizing.Verdict, error) {
	v := verdict{z: z}
	p := z.settled(chosen)
	v.Margins = slices.Clone(p.verdict.Margins)
	if !p.settled {
		return v.Verdict, nil
	}
	v.Levels = z.levelsOf(0, p.look.today.Recovery())
	yearly, err := z.pathYearly(z.siteOf(chosen), p.look.softening, p.load, chosen)
	if err != nil {
		return v.cannot("yearly cost", err)
	}
	v.Yearly = yearly
	if !z.polished(chosen) {
		v.add("strength at the gun", float64(p.least)/float64(z.target), "at least %s on the pen without resin, at most %s", tenth(p.least), tenth(z.target))
	}
	return v.Verdict, nil
}

// settled returns the path that the parts make; it is not settled where the
// chain has no answer or too many limits are broken.
func (z *sizer) settled(chosen []int) *pathLook {
	return z.paths.of(z.keyOf(chosen), func() *pathLook {
		cold := z.coldest(chosen)
		if !cold.settled {
			return cold
		}
		p := *cold
		v := verdict{Verdict: p.verdict, z: z}
		v.Margins = slices.Clip(v.Margins)
		p.settled = z.settleYear(&v, &p, chosen, z.allow)
		p.verdict = v.Verdict
		if p.settled = p.settled && v.broken() <= z.allow; !p.settled {
			return &pathLook{verdict: p.verdict} // thousands are kept
		}
		return &p
	})
}

// coldest is the path settled in the coldest month alone.
func (z *sizer) coldest(chosen []int) *pathLook {
	return z.colds.of(z.keyOf(chosen), func() *pathLook {
		p := &pathLook{look: z.base}
		v := verdict{z: z}
		p.settled = z.settleCold(&v, p, chosen, z.allow)
		if p.verdict = v.Verdict; !p.settled {
			return &pathLook{verdict: p.verdict}
		}
		return p
	})
}

// polished says whether resin hangs anywhere.
func (z *sizer) polished(chosen []int) bool {
	return z.at(chosen, resinStage).put != nil
}

// freed is the least that the gun could give without resin: the permeate of the
// warmest feed with all its carbon dioxide gone to the air.
func (p *pathLook) freed() error {
	open, err := water.Standing(p.warm.Product().Water, 1, quantity.Days(3650))
	if err != nil {
		return err
	}
	aired, err := open.Conductivity25()
	if err != nil {
		return err
	}
	closed, err := p.warm.Product().Water.Conductivity25()
	if err != nil {
		return err
	}
	p.least, err = penNaCl(min(aired, closed))
	return err
}

// settlePath settles a path, and stops where more limits are broken than are
// allowed.
func (z *sizer) settlePath(v *verdict, p *pathLook, chosen []int, allow int) {
	p.settled = z.settleCold(v, p, chosen, allow) && z.settleYear(v, p, chosen, allow)
}

// settling is a step of settling a path, and the constraint that tells of its error.
type settling struct {
	constraint string
	do         func() error
}

func (z *sizer) settleCold(v *verdict, p *pathLook, chosen []int, allow int) bool {
	s := z.siteOf(chosen[:feedStage+1])
	if !z.at(chosen, outletStage).before {
		s.Rig.Resin = nil // the path is shared by all bottles behind the tank
	}
	l := &p.look
	return v.steps(allow, []settling{
		{"softener", func() error { return l.soften(s, &notes{}) }},
		{"tank", func() (err error) { l.store.back, err = z.backOf(z.at(chosen, outletStage), s); return err }},
		{"parts", func() (err error) { l.rig, err = z.rigFor(s, chosen[trainStage]); return err }},
		{"coldest month", func() (err error) { p.cold, err = l.settle(z.cold); return err }},
		{"limits of the membrane", func() error { v.capacity(&p.cold); return v.membrane(&p.cold) }},
	})
}

func (z *sizer) settleYear(v *verdict, p *pathLook, chosen []int, allow int) bool {
	l := &p.look
	return v.steps(allow, []settling{
		{"warmest month", func() (err error) { p.warm, err = l.settle(z.warm); return err }},
		{"operating point", func() (err error) { l.today, err = l.settle(l.feed.Temperature); return err }},
		{"limits of the membrane", func() error { z.interpolate(p); return v.membrane(&p.warm) }},
		{"supply", func() error { return v.supply(z.at(chosen, feedStage), p) }},
		{"strength at the gun", p.freed},
		{"resin", func() (err error) {
			p.load, err = loadOf(l.today.Product().Water, l.today.Recovery())
			return err
		}},
		{"limits of the membrane", func() error { v.merge(); return nil }},
	})
}

// steps takes one after another, and says whether all were taken.
func (v *verdict) steps(allow int, all []settling) bool {
	for _, step := range all {
		if err := step.do(); err != nil {
			v.add(step.constraint, impossible, "%v", err)
			return false
		}
		if v.broken() > allow {
			return false
		}
	}
	return true
}

// backOf is the pressure that the outlet pushes back with, whatever the size
// of its tank.
func (z *sizer) backOf(outlet choice, s *site.Site) (quantity.Pressure, error) {
	if !outlet.pressurised {
		s.Rig.Tank = &site.Tank{Kind: "vented"}
		if hang := z.rig.Tank; hang != nil {
			s.Rig.Tank.Height = hang.Height
		}
		return 0, nil
	}
	t := &site.Tank{Kind: "pressurised", Volume: quantity.Told(quantity.Gallons(40)), Precharge: quantity.Told(newPrecharge), StartAt: quantity.Told(newStartAt), StopAt: quantity.Told(newStopAt)}
	if outlet.standing {
		t = z.rig.Tank
	}
	s.Rig.Tank = t
	st, err := pressurised(t, &notes{})
	return st.back, err
}

func (z *sizer) yearly(s *site.Site, l *look) (cost.Money, error) {
	c := checking{site: s, base: l, notes: &notes{}}
	year, err := c.costOf(l)
	return year.Total, err
}

// interpolate gives every month its make-up: the parabola in temperature
// through the three points that were settled.
func (z *sizer) interpolate(p *pathLook) {
	l := &p.look
	x := [3]float64{float64(z.cold), float64(l.feed.Temperature), float64(z.warm)} // K
	y := [3]float64{float64(p.cold.Product().Flow), float64(l.today.Product().Flow), float64(p.warm.Product().Flow)}
	for month, at := range z.temps {
		l.monthly[month] = quantity.Flow(max(through(x, y, float64(at)), 0))
	}
}

// through is the parabola through three points, or the line through the outer
// two where points fall together.
func through(x, y [3]float64, at float64) float64 {
	const near = 0.3 // K
	line := func(i, j int) float64 {
		if math.Abs(x[j]-x[i]) < 1e-6 {
			return y[i]
		}
		return y[i] + (y[j]-y[i])*(at-x[i])/(x[j]-x[i])
	}
	if math.Abs(x[1]-x[0]) < near || math.Abs(x[2]-x[1]) < near || math.Abs(x[2]-x[0]) < near {
		return line(0, 2)
	}
	sum := 0.0
	for i := range 3 {
		term := y[i]
		for j := range 3 {
			if j != i {
				term *= (at - x[j]) / (x[i] - x[j])
			}
		}
		sum += term
	}
	return sum
}
