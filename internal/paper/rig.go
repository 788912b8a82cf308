package paper

import (
	"fmt"
	"html/template"
	"math"

	"rinsewright/internal/scene"
	"rinsewright/quantity"
	"rinsewright/study"
)

// rigView is a closer look at the rig, as the page shows it.
type rigView struct {
	Start                  string
	Profile, ProfileNarrow template.HTML
	Rows                   []row
	Moments                []study.Moment
	Pump, PumpNarrow       template.HTML // "" without a pump that reaches the guns
	Season, SeasonNarrow   template.HTML // "" where no month makes anything
	Tubes                  []tubeRow
}

type tubeRow struct {
	Name, For, Loss, Gives string
	Here                   bool
}

func (p page) rig() (*rigView, error) {
	r := p.checked.Rig
	if r == nil {
		return nil, nil
	}
	say := sayer{p.options.Units, p.options.Locale}
	v := &rigView{Start: StartWords(r, say.units, say.locale)}
	for _, t := range r.Permeate {
		v.Tubes = append(v.Tubes, tubeRow{t.Tube, "permeate, " + words(say, t.Length), words(say, t.Loss), words(say, t.Strength), t.Here})
	}
	for _, t := range r.Delivery {
		gives := words(say, t.Gun)
		if t.Why != "" {
			gives = t.Why
		}
		v.Tubes = append(v.Tubes, tubeRow{t.Tube, "guns, " + words(say, t.Length), words(say, t.Loss), gives, t.Here})
	}
	for _, told := range RigRows(r, say.units, say.locale) {
		v.Rows = append(v.Rows, row{Name: told[0], Value: told[1]})
	}
	v.Moments = r.Moments
	return v, p.rigCharts(r, v)
}

func (p page) rigCharts(r *study.Rigged, v *rigView) error {
	profile := p.profile(r.Profile)
	if err := p.both(profile, "profile", &v.Profile, &v.ProfileNarrow); err != nil {
		return err
	}
	if r.Curve != nil {
		if err := p.both(p.pumpCurves(r.Curve), "pump", &v.Pump, &v.PumpNarrow); err != nil {
			return err
		}
	}
	season, ok := seasonCurves(&r.Season)
	if !ok {
		return nil
	}
	return p.both(season, "season", &v.Season, &v.SeasonNarrow)
}

// both draws for a desk and for a phone.
func (p page) both(d drawable, prefix string, wide, narrow *template.HTML) (err error) {
	if *wide, err = p.options.chart(d, 560, prefix); err == nil {
		*narrow, err = p.options.chart(d, 340, prefix+"-narrow")
	}
	return err
}

type sayer struct {
	units  quantity.System
	locale quantity.Locale
}

func words[Q quantity.Quantity](s sayer, q Q) string {
	return quantity.FormatLocale(q, s.units, s.locale)
}

// StartWords says how long a start gives strong water.
func StartWords(r *study.Rigged, units quantity.System, loc quantity.Locale) string {
	say := sayer{units, loc}
	return fmt.Sprintf("After standing for %s the first permeate is strong: up to %s of dissolved solids, steady after %s and %s.",
		words(say, r.Standing), words(say, r.Start.Worst), words(say, r.Start.SteadyIn), words(say, r.Start.Steady))
}

// profile draws what changes along the membrane.
func (p page) profile(a study.Along) scene.Profile {
	out := scene.Profile{Title: "Along the membrane, feed end first", Along: "along the membrane", Unit: "m"}
	flux := scene.Panel{Name: "flux", Unit: "L/(m²·h)", Limit: math.NaN(), FromZero: true}
	strength := scene.Panel{Name: "strength in the channel", Unit: "mg/L", Limit: math.NaN(), FromZero: true}
	index := scene.Panel{Name: "saturation index at the membrane, " + a.Mineral, Limit: 0, LimitName: "scales above"}
	for _, at := range a.Places {
		out.Places = append(out.Places, float64(at.Position))
		flux.Values = append(flux.Values, at.Flux.LitresPerSquareMetreHour())
		strength.Values = append(strength.Values, at.Strength.MilligramsPerLitre())
		index.Values = append(index.Values, at.Index)
	}
	for _, end := range a.Ends {
		out.Ends = append(out.Ends, float64(end))
	}
	out.Panels = []scene.Panel{flux, strength, index}
	return out
}
