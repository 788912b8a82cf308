package study

import (
	"context"
	"fmt"
	"slices"

	"rinsewright/quantity"
	"rinsewright/site"
	"rinsewright/water"
)

// raisedPH is where carbon dioxide has nearly all become bicarbonate, which a
// membrane holds back. Source: [TradeDefaults], pH 8 to 8.5.
const raisedPH = 8.3

// resin tells why the first bottle lasts as long as it does, and what another
// arrangement would do, each run through the whole chain.
func (c *checking) resin(ctx context.Context) (*Resin, error) {
	l := c.base
	if l.unused {
		return nil, nil
	}
	r := &Resin{Ends: string(l.life.Ends)}
	byName := map[string]promised{}
	for _, p := range promisedTable {
		byName[p.name] = p
	}
	take := func(name string) Band {
		p := byName[name]
		value := p.of(c, l)
		low, high := c.band(p, value)
		return Band{p.as(c, value), p.as(c, low), p.as(c, high)}
	}
	r.Volume, r.Days = take("resin_volume"), take("resin_days")
	if l.demand.OpenDay > 0 {
		r.LabelDays = life{quantity.Days(float64(l.label) / float64(l.demand.OpenDay))}
	}
	bed := l.rig.beds[0]
	if silica, err := bed.SilicaBreak(l.inlet); err == nil && l.demand.OpenDay > 0 {
		r.SilicaDays = life{quantity.Days(float64(silica.Volume) / float64(l.demand.OpenDay))}
	}
	r.Eats = eats(l)
	if c.once {
		return r, nil
	}
	var err error
	r.Changes, err = c.changes(ctx)
	return r, err
}

// eats lists what takes the places on the resin, largest first.
func eats(l *look) []Share {
	s := l.life.Shares
	all := []Share{
		{"carbon dioxide", s.CO2},
		{"dissolved salts", s.Ions},
		{"bicarbonate", s.Bicarbonate},
		{"silica", s.Silica},
		{"first minutes after each start", s.Starts},
		{"ammonia", s.Ammonia},
		{"boron", s.Borate},
	}
	all = slices.DeleteFunc(all, func(x Share) bool { return x.Share < 0.0005 })
	slices.SortStableFunc(all, func(a, b Share) int {
		if a.Share > b.Share {
			return -1
		}
		return 1
	})
	return all
}

// changes runs the chain again under the usual remedies, cheapest first.
func (c *checking) changes(ctx context.Context) (all []Change, err error) {
	for _, v := range c.variants() {
		var n notes
		l, err := lookAt(ctx, v.site, drawn{}, &n, c.options.Seed, v.change)
		if err != nil || l.unused {
			continue // a remedy that cannot work here is not offered
		}
		days := resinDays(c, l)
		now := resinDays(c, c.base)
		if !(days > 0 && now > 0) {
			continue
		}
		all = append(all, Change{Name: v.name, Days: life{quantity.Time(days)}, Times: days / now, Note: v.note})
	}
	slices.SortStableFunc(all, func(a, b Change) int {
		if a.Times > b.Times {
			return -1
		}
		return 1
	})
	return all, ctx.Err()
}

type variant struct {
	name, note string
	site       *site.Site
	change     change
}

func (c *checking) variants() []variant {
	var all []variant
	if c.base.store.vented && !c.base.store.aerated && c.base.life.Shares.CO2 < 0.2 {
		// nothing to gain from the air
	} else if !c.base.store.aerated && c.site.Rig.Membrane != nil {
		all = append(all, variant{
			name: "a vented, aerated tank, the resin after it", site: ventedSite(c.site, c.base),
			note: "carbon dioxide leaves to the air; a delivery pump takes over from the tank's pressure",
		})
	}
	if c.site.Rig.Membrane != nil && c.base.raw.Solution.PH < raisedPH-0.3 {
		all = append(all, variant{
			name: fmt.Sprintf("soda dosed ahead of the membrane to pH %.1f", raisedPH), site: c.site,
			note:   "carbon dioxide becomes bicarbonate, which the membrane holds; watch scaling, and caustic burns: gloves and eyes",
			change: change{raw: raisePH},
		})
	}
	if c.site.Rig.Membrane == nil {
		return append(all, variant{name: "a small membrane ahead of the resin", site: membraned(c.site), note: "most of the salts and the silica go to the drain instead; carbon dioxide still passes"})
	}
	all = append(all, variant{name: "an element that passes half the salt", site: halfPassage(c.site), note: "helps only against what the membrane can hold"})
	if c.site.Rig.Tank != nil && c.base.life.Shares.Starts > 0.05 {
		all = append(all, variant{name: "twice the gap between stop and start", site: widerGap(c.site, c.base), note: "fewer starts, fewer first minutes"})
	}
	return all
}

func raisePH(w water.Water) (water.Water, error) {
	dosed, _, _, err := water.AcidTo(w, raisedPH, water.CausticSoda)
	return dosed, err
}

// ventedSite is s with its tank opened to the air and the resin behind it.
func ventedSite(s *site.Site, l *look) *site.Site {
	changed := *s
	volume := max(l.store.volume, l.demand.BusyDay)
	changed.Rig.Tank = &site.Tank{Kind: "vented", Aerated: true, Volume: quantity.Told(volume)}
	if s.Rig.Tank != nil {
		changed.Rig.Tank.Height = s.Rig.Tank.Height
	}
	changed.Rig.Resin = slices.Clone(s.Rig.Resin)
	for i := range changed.Rig.Resin {
		changed.Rig.Resin[i].Place = "after tank"
	}
	return &changed
}

func halfPassage(s *site.Site) *site.Site {
	changed := *s
	m := *s.Rig.Membrane
	m.Rejection = quantity.Told(1 - (1-m.Rejection.Or(0.99))/2)
	changed.Rig.Membrane = &m
	return &changed
}

func widerGap(s *site.Site, l *look) *site.Site {
	changed := *s
	t := *s.Rig.Tank
	gap := l.store.tank.Stop - l.store.tank.Start
	if l.store.vented {
		t.Start = quantity.Told(max(l.store.tank.Stop-2*gap, l.store.tank.CutOff*1.1))
	} else {
		t.StartAt = quantity.Told((t.Precharge.Or(quantity.PSI(18)) + t.StartAt.Or(quantity.PSI(20))) / 2)
	}
	changed.Rig.Tank = &t
	return &changed
}

// reading is a strength as it was read: number, unit and scale.
type reading struct {
	s water.Strength
}

func readStrength(s water.Strength) Figure { return reading{s} }

func (r reading) Text(sys quantity.System, loc quantity.Locale) string {
	if r.s.Conductivity.Known {
		return quantity.FormatLocale(r.s.Conductivity.Value, sys, loc)
	}
	scale := r.s.Scale
	switch scale {
	case "":
		scale = "scale not known"
	case "NaCl", "KCl", "442":
		scale += " scale"
	default:
		scale = "factor " + scale
	}
	ppm := localised(fmt.Sprintf("%.4g ppm", r.s.PPM.Value.MilligramsPerLitre()), loc)
	if r.s.PPM.Value == 0 {
		ppm = "below half a ppm"
	}
	return ppm + ", " + scale
}

func (r reading) Plain(sys quantity.System) (float64, string) {
	if r.s.Conductivity.Known {
		return quantity.Plain(r.s.Conductivity.Value, sys)
	}
	return r.s.PPM.Value.MilligramsPerLitre(), "ppm"
}
