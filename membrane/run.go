package membrane

import (
	"fmt"

	"rinsewright/quantity"
	"rinsewright/water"
)

// Run returns the train at work on a feed, ion by ion. Water, pressure and one
// lumped salt march as in [Train.Flows]; every ion rides along with its own
// permeability, and a common factor on cations against anions closes the
// permeate's charge in every slice ([closing]). CO2 and ammonia gas cross as
// if there were no membrane. Weak acids are speciated at each element's feed
// end and hold that split along its channel. Slices is per element; 0 means
// [DefaultSlices].
//
// What enters leaves: water and every component close to 1e-12. The permeate's
// alkalinity is that of its ions, so its pH follows from equilibrium.
//
// Source: the package's element model; relative permeabilities are [Memory].
// Valid as the package says. Errors wrap [ErrRange], [ErrNoFlow], [ErrStarved]
// or the water package's.
func (t Train) Run(feed water.Stream, permeate quantity.Pressure, slices int) (Result, error) {
	if slices == 0 {
		slices = DefaultSlices
	}
	if slices < 1 || slices > 20000 {
		return Result{}, fmt.Errorf("membrane: run: %d slices: %w", slices, ErrRange)
	}
	f, sp, err := feedOf(feed, permeate)
	if err != nil {
		return Result{}, err
	}
	w, parallel, err := t.start(&f)
	if err != nil {
		return Result{}, err
	}
	r := runner{f: &f, w: w, inlet: w, slices: slices, stream: feed, species: sp.n, profile: make([]Slice, 0, slices*len(t.Housings))}
	r.stream.Flow = quantity.Flow(w.q)
	elements := make([]ElementResult, 0, len(t.Housings))
	for h := range t.Housings {
		e, err := r.element(&t.Housings[h], h)
		if err != nil {
			return Result{}, err
		}
		elements = append(elements, e)
	}
	res, err := r.gather(feed, elements, parallel)
	if err != nil {
		return Result{}, err
	}
	res.FeedPH = sp.pH
	return res, nil
}

// runner is a run half done: what stands at the inlet of the next element.
type runner struct {
	f       *Feed
	w       place
	inlet   place   // where the train began
	u       float64 // log of the closing factor, last slice
	slices  int
	stream  water.Stream
	species amounts // mol/m3 in stream
	length  float64 // m of channel behind
	profile []Slice
}

// element runs one housing and moves on to its concentrate.
func (r *runner) element(h *Housing, index int) (ElementResult, error) {
	e := h.conduit(r.f)
	out := ElementResult{Feed: r.stream, Limits: h.Element.Sheet.Limits}
	p := board(&r.species, r.w.q, r.f)
	p.base, p.u = e.b/r.f.Passage, r.u
	before := r.w
	leak, _ := r.w.enter(&e, float64(r.f.PermeatePressure))
	p.leak(leak / before.q)
	if err := r.channel(&e, &p, &out, index); err != nil {
		return out, err
	}
	out.Leak = quantity.Flow(leak)
	out.Flux = quantity.Flux((before.q - r.w.q - leak) / e.area)
	out.Recovery = quantity.Ratio(1 - r.w.q/before.q)
	out.Drop = quantity.Pressure(before.p - r.w.p)
	r.length += e.length
	r.u = p.u
	return out, r.leave(&out, &p, before.q-r.w.q)
}

// channel marches the slices of one element.
func (r *runner) channel(e *conduit, p *passengers, out *ElementResult, index int) error {
	back, pi := float64(r.f.PermeatePressure), float64(r.f.OsmoticPressure)
	n := float64(r.slices)
	driving := 0.0 // Pa, summed
	for i := range r.slices {
		q := r.w.q
		m := r.w.step(e, i, r.slices, back, pi)
		if !(r.w.q > starved*r.inlet.q) {
			return &StarvedError{Feed: quantity.Flow(r.inlet.q), Element: index}
		}
		p.cross(&m, q, e.area/n)
		driving += m.p - back - m.osmotic
		s := m.slice(index, r.length+(float64(i)+0.5)*e.length/n)
		out.Polarisation = max(out.Polarisation, s.Polarisation)
		r.profile = append(r.profile, s)
	}
	out.NetDriving = quantity.Pressure(driving / n)
	return nil
}

// slice is what a crossing looks like from outside.
func (m *crossing) slice(element int, position float64) Slice {
	s := Slice{
		Element:          element,
		Position:         quantity.Length(position),
		Flux:             quantity.Flux(m.j),
		Pressure:         quantity.Pressure(m.p),
		Osmotic:          quantity.Pressure(m.osmotic),
		Speed:            quantity.Speed(m.v),
		Polarisation:     1,
		Strength:         m.c,
		PermeateStrength: m.cp,
	}
	if m.c > 0 {
		s.Polarisation = (m.cp + (m.c-m.cp)*m.raise) / m.c
	}
	return s
}

// leave closes the element's two outlets and speciates what goes on.
func (r *runner) leave(out *ElementResult, p *passengers, q float64) error {
	feed := r.stream
	out.Permeate = water.Stream{Flow: quantity.Flow(q), Pressure: r.f.PermeatePressure}
	out.Permeate.Water.Temperature = feed.Water.Temperature
	if q > 0 {
		total := p.over.totals()
		for c := range total {
			out.Permeate.Water.Total[c] = quantity.MolarConc(total[c] / q)
		}
		out.Permeate.Water.Alkalinity = water.ElectroneutralAlkalinity(out.Permeate.Water)
	}
	out.Concentrate = less(feed, out.Permeate, quantity.Pressure(r.w.p))
	sp, err := speciate(&out.Concentrate.Water)
	if err != nil {
		return fmt.Errorf("membrane: concentrate: %w", err)
	}
	r.stream, r.species = out.Concentrate, sp.n
	return nil
}

// less returns what is left of a stream when another is taken from it.
func less(from, taken water.Stream, pressure quantity.Pressure) water.Stream {
	q, qt := float64(from.Flow), float64(taken.Flow)
	rest := water.Stream{Flow: quantity.Flow(q - qt), Pressure: pressure}
	rest.Water.Temperature = from.Water.Temperature
	left := func(a, b float64) float64 { return (a*q - b*qt) / (q - qt) }
	for c := range rest.Water.Total {
		x := left(float64(from.Water.Total[c]), float64(taken.Water.Total[c]))
		rest.Water.Total[c] = quantity.MolarConc(max(0, x))
	}
	rest.Water.Alkalinity = quantity.EquivConc(left(float64(from.Water.Alkalinity), float64(taken.Water.Alkalinity)))
	return rest
}

// gather sums the elements of one row and multiplies by the rows.
func (r *runner) gather(feed water.Stream, elements []ElementResult, rows float64) (Result, error) {
	inlet := feed
	inlet.Flow = quantity.Flow(r.inlet.q)
	last := elements[len(elements)-1].Concentrate
	res := Result{
		Permeate:    less(inlet, last, r.f.PermeatePressure),
		Concentrate: last,
		Drop:        quantity.Pressure(r.inlet.p - r.w.p),
		FeedOsmotic: r.f.OsmoticPressure,
		FirstFlux:   r.profile[0].Flux,
		LastFlux:    r.profile[len(r.profile)-1].Flux,
		Elements:    elements,
		Profile:     r.profile,
	}
	r.mix(&res)
	q := float64(res.Permeate.Flow)
	res.Recovery = quantity.Ratio(q / r.inlet.q)
	if q > 0 {
		res.Passage = quantity.Ratio((r.inlet.salt - r.w.salt) / q)
	}
	res.Permeate.Flow *= quantity.Flow(rows)
	res.Concentrate.Flow *= quantity.Flow(rows)
	return res, res.check()
}

// mix joins the elements' permeates: summed, not taken as a difference, so that
// traces keep their digits.
func (r *runner) mix(res *Result) {
	var q, area, flux, driving float64
	var mol [water.NComponents]float64
	for i := range res.Elements {
		e := &res.Elements[i]
		qe := float64(e.Permeate.Flow)
		q += qe
		for c := range mol {
			mol[c] += float64(e.Permeate.Water.Total[c]) * qe
		}
		res.Polarisation = max(res.Polarisation, e.Polarisation)
		a := 0.0
		if e.Flux > 0 {
			a = (qe - float64(e.Leak)) / float64(e.Flux)
		}
		area += a
		flux += float64(e.Flux) * a
		driving += float64(e.NetDriving) * a
	}
	res.Permeate.Flow = quantity.Flow(q)
	for c := range mol {
		res.Permeate.Water.Total[c] = quantity.MolarConc(mol[c] / q)
	}
	if area > 0 {
		res.MeanFlux = quantity.Flux(flux / area)
		res.NetDriving = quantity.Pressure(driving / area)
	}
	res.Permeate.Water.Alkalinity = water.ElectroneutralAlkalinity(res.Permeate.Water)
}

// check refuses to let anything but numbers out.
func (r *Result) check() error {
	sum := float64(r.Permeate.Flow) + float64(r.Concentrate.Flow) + float64(r.Concentrate.Pressure) + r.Polarisation + float64(r.NetDriving)
	for c := range r.Permeate.Water.Total {
		sum += float64(r.Permeate.Water.Total[c]) + float64(r.Concentrate.Water.Total[c])
	}
	sum += float64(r.Permeate.Water.Alkalinity) + float64(r.Concentrate.Water.Alkalinity)
	if !finite(sum) {
		return fmt.Errorf("membrane: run: no finite answer: %w", ErrRange)
	}
	return nil
}
