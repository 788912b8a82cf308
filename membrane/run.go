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
	r, err := Array{{t}}.Ready(feed.Water)
	if err != nil {
		return Result{}, err
	}
	r.slices = slices
	return r.Run(feed.Flow, feed.Pressure, permeate)
}

// Run returns the array at work, ion by ion, as [Train.Run] tells of one
// train. Errors wrap [ErrRange], [ErrNoFlow], [ErrStarved] or the water
// package's.
func (r *Ready) Run(q quantity.Flow, pressure, back quantity.Pressure) (Result, error) {
	if err := r.refuse(q, pressure, back); err != nil {
		return Result{}, err
	}
	if !(pressure > back+r.feed.OsmoticPressure) {
		return Result{}, &NoFlowError{Feed: pressure, Permeate: back, Osmotic: r.feed.OsmoticPressure}
	}
	feed := water.Stream{Water: r.water, Flow: q, Pressure: pressure}
	if len(r.stages) > 1 || len(r.stages[0].rows) > 1 { // let unlike rows settle first
		if _, _, err := r.Flows(q, pressure, back); err != nil {
			return Result{}, err
		}
	}
	f := r.feed
	f.PermeatePressure = back
	n := runner{
		f: &f, slices: r.slices, w: place{q: float64(q), salt: float64(q), p: float64(pressure)},
		stream: feed, species: r.species.n,
	}
	n.allocate(r)
	for i := range r.stages {
		if err := n.stage(r, i); err != nil {
			return Result{}, err
		}
	}
	res, err := n.gather(feed)
	res.FeedPH = r.species.pH
	return res, err
}

// runner is a run half done: what stands at the inlet of the next element.
type runner struct {
	f        *Feed
	w        place
	u        float64 // log of the closing factor, last slice
	slices   int
	stream   water.Stream // of one row inside a row, of the whole stage between stages
	species  amounts      // mol/m3 in stream
	length   float64      // m of channel behind
	elements []ElementResult
	profile  []Slice
}

func (r *runner) allocate(of *Ready) {
	n := 0
	for _, s := range of.stages {
		for _, o := range s.rows {
			n += len(o.elements)
		}
	}
	r.elements = make([]ElementResult, 0, n)
	r.profile = make([]Slice, 0, n*r.slices)
}

// stage runs the rows of a stage on their shares of what stands at its inlet
// and joins their concentrates.
func (r *runner) stage(of *Ready, index int) error {
	s := &of.stages[index]
	inlet := *r
	var w place
	longest := 0.0
	left := make([]water.Stream, 0, len(s.rows))
	for i := range s.rows {
		share := s.shares[i] / s.rows[i].alike
		r.w, r.stream, r.species = inlet.w.times(share), inlet.stream, inlet.species
		r.stream.Flow, r.length = quantity.Flow(r.w.q), inlet.length
		if err := r.row(of, index, i); err != nil {
			return err
		}
		longest = max(longest, r.length)
		n := s.rows[i].alike
		w.q, w.salt, w.p = w.q+r.w.q*n, w.salt+r.w.salt*n, w.p+r.w.p*s.shares[i]
		out := r.stream
		out.Flow *= quantity.Flow(n)
		left = append(left, out)
	}
	r.w, r.length = w, longest
	r.stream = joined(left)
	r.stream.Flow, r.stream.Pressure = quantity.Flow(w.q), quantity.Pressure(w.p)
	if index == len(of.stages)-1 {
		return nil
	}
	sp, err := speciate(&r.stream.Water)
	r.species = sp.n
	return err
}

// joined mixes streams of one temperature.
func joined(streams []water.Stream) water.Stream {
	out := streams[0]
	for _, s := range streams[1:] {
		q, more := float64(out.Flow), float64(s.Flow)
		mix := func(a, b float64) float64 { return (a*q + b*more) / (q + more) }
		for c := range out.Water.Total {
			out.Water.Total[c] = quantity.MolarConc(mix(float64(out.Water.Total[c]), float64(s.Water.Total[c])))
		}
		out.Water.Alkalinity = quantity.EquivConc(mix(float64(out.Water.Alkalinity), float64(s.Water.Alkalinity)))
		out.Flow += s.Flow
	}
	return out
}

// row runs the elements of one row, feed end first.
func (r *runner) row(of *Ready, stage, index int) error {
	o := &of.stages[stage].rows[index]
	least := starved * r.w.q
	for h := range o.elements {
		out := ElementResult{Stage: stage, Row: index, Alike: int(o.alike), Feed: r.stream, Limits: o.limits[h]}
		if err := r.element(&o.elements[h], &out, least); err != nil {
			return err
		}
		r.elements = append(r.elements, out)
		if h == len(o.elements)-1 {
			break
		}
		sp, err := speciate(&r.stream.Water)
		if err != nil {
			return fmt.Errorf("membrane: concentrate: %w", err)
		}
		r.species = sp.n
	}
	return nil
}

// element runs one element and moves on to its concentrate.
func (r *runner) element(e *conduit, out *ElementResult, least float64) error {
	p := board(&r.species, r.w.q, r.f)
	p.base, p.u = e.b/r.f.Passage, r.u
	before := r.w
	leak, _ := r.w.enter(e, float64(r.f.PermeatePressure))
	p.leak(leak / before.q)
	if err := r.channel(e, &p, out, least); err != nil {
		return err
	}
	out.Leak = quantity.Flow(leak)
	out.Flux = quantity.Flux((before.q - r.w.q - leak) / e.area)
	out.Recovery = quantity.Ratio(1 - r.w.q/before.q)
	out.Drop = quantity.Pressure(before.p - r.w.p)
	r.length += e.length
	r.u = p.u
	r.leave(out, &p, before.q-r.w.q)
	return nil
}

// channel marches the slices of one element.
func (r *runner) channel(e *conduit, p *passengers, out *ElementResult, least float64) error {
	back, pi := float64(r.f.PermeatePressure), float64(r.f.OsmoticPressure)
	n := float64(r.slices)
	driving := 0.0 // Pa, summed
	for i := range r.slices {
		q := r.w.q
		m := r.w.step(e, i, r.slices, back, pi)
		if !(r.w.q > least) {
			return &StarvedError{Feed: out.Feed.Flow, Element: len(r.elements)}
		}
		p.cross(&m, q, e.area/n)
		driving += m.p - back - m.osmotic
		s := m.slice(len(r.elements), r.length+(float64(i)+0.5)*e.length/n)
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

// leave closes the element's two outlets and stands at its concentrate.
func (r *runner) leave(out *ElementResult, p *passengers, q float64) {
	out.Permeate = water.Stream{Flow: quantity.Flow(q), Pressure: r.f.PermeatePressure}
	out.Permeate.Water.Temperature = r.stream.Water.Temperature
	if q > 0 {
		total := p.over.totals()
		for c := range total {
			out.Permeate.Water.Total[c] = quantity.MolarConc(total[c] / q)
		}
		out.Permeate.Water.Alkalinity = water.ElectroneutralAlkalinity(out.Permeate.Water)
	}
	out.Concentrate = less(r.stream, out.Permeate, quantity.Pressure(r.w.p))
	r.stream = out.Concentrate
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

// gather sums the elements over all rows.
func (r *runner) gather(feed water.Stream) (Result, error) {
	res := Result{
		Permeate:    water.Stream{Pressure: r.f.PermeatePressure},
		Concentrate: r.stream,
		Drop:        feed.Pressure - r.stream.Pressure,
		FeedOsmotic: r.f.OsmoticPressure,
		FirstFlux:   r.profile[0].Flux,
		LastFlux:    r.profile[len(r.profile)-1].Flux,
		Elements:    r.elements,
		Profile:     r.profile,
	}
	res.Permeate.Water.Temperature = feed.Water.Temperature
	r.mix(&res)
	if q := float64(res.Permeate.Flow); q > 0 {
		res.Recovery = quantity.Ratio(q / float64(feed.Flow))
		res.Passage = quantity.Ratio((float64(feed.Flow) - r.w.salt) / q)
	}
	return res, res.check()
}

// mix joins the elements' permeates: summed, not taken as a difference, so that
// traces keep their digits.
func (r *runner) mix(res *Result) {
	var q, area, flux, driving float64
	var mol [water.NComponents]float64
	for i := range res.Elements {
		e := &res.Elements[i]
		n := float64(e.Alike)
		qe := float64(e.Permeate.Flow) * n
		q += qe
		for c := range mol {
			mol[c] += float64(e.Permeate.Water.Total[c]) * qe
		}
		res.Polarisation = max(res.Polarisation, e.Polarisation)
		a := 0.0
		if e.Flux > 0 {
			a = (qe - float64(e.Leak)*n) / float64(e.Flux)
		}
		area += a
		flux += float64(e.Flux) * a
		driving += float64(e.NetDriving) * a
	}
	res.Permeate.Flow = quantity.Flow(q)
	for c := range mol {
		if q > 0 {
			res.Permeate.Water.Total[c] = quantity.MolarConc(mol[c] / q)
		}
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
