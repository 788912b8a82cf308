package study

import (
	"fmt"
	"math"
	"strings"

	"rinsewright/carbon"
	"rinsewright/hydraulics"
	"rinsewright/membrane"
	"rinsewright/plant"
	"rinsewright/quantity"
	"rinsewright/resin"
	"rinsewright/site"
	"rinsewright/water"
)

// notes collects what had to be assumed, once each.
type notes struct {
	assumed []Assumption
	seen    map[string]bool
	units   quantity.System
	locale  quantity.Locale
}

// Assumption is something nobody said, what was taken instead, and why it is
// needed.
type Assumption struct {
	What  string `json:"what"`
	Value string `json:"value"`
	Why   string `json:"why"`
}

func (n *notes) assume(what, value, why string) {
	if n.seen == nil {
		n.seen = map[string]bool{}
	}
	if !n.seen[what] {
		n.seen[what] = true
		n.assumed = append(n.assumed, Assumption{what, value, why})
	}
}

// or returns what was told of e, or the default, which it notes.
func or[Q quantity.Quantity](n *notes, e quantity.Entry[Q], d Q, what, why string) Q {
	if e.Known {
		return e.Value
	}
	n.assume(what, quantity.FormatLocale(d, n.units, n.locale), why)
	return d
}

// rig is a site's rig made of the stations' own types.
type rig struct {
	plant      plant.Plant
	main       hydraulics.CityCurve // the tap, without a booster
	element    membrane.Element
	carbon     *carbon.Bed
	carbonUsed quantity.Ratio
	beds       []resin.Bed
	afterTank  bool // where the resin hangs
}

// rigOf builds what hangs on the wall, as d sees it.
func rigOf(s *site.Site, d drawn, n *notes) (rig, error) {
	var r rig
	err := r.supply(s, d, n)
	if err != nil {
		return r, err
	}
	r.plant.FeedSide = filtersOf(s.Rig.Filters, d, n)
	if r.carbon, err = carbonOf(s.Rig.Carbon, n); err != nil {
		return r, err
	}
	if r.carbon != nil {
		r.plant.FeedSide = append(r.plant.FeedSide, plant.Part{Name: "carbon", Resistance: carbonLoss(*r.carbon, s.Rig.Carbon)})
		r.carbonUsed = carbonUsed(s.Rig.Carbon, *r.carbon)
	}
	if err := r.membrane(s.Rig.Membrane, d, n); err != nil {
		return r, err
	}
	if s.Rig.Membrane != nil {
		if r.plant.Restrictor, err = restrictorOf(s, r, d, n); err != nil {
			return r, err
		}
	}
	if err := r.further(s, d, n); err != nil {
		return r, err
	}
	if err := r.resin(s, d, n); err != nil {
		return r, err
	}
	r.permeateSide(s, n)
	return r, nil
}

// Pressure a bed of media takes, as a flow coefficient per volume: 5 psi at
// 5 gpm per cubic foot. Source: [TradeDefaults].
var (
	carbonDropAt = hydraulics.Filter{CleanDrop: quantity.PSI(4), RatedFlow: quantity.GallonsPerMinute(5), ChangeDrop: quantity.PSI(20)}
	resinDropAt  = hydraulics.Filter{CleanDrop: quantity.PSI(5), RatedFlow: quantity.GallonsPerMinute(5), ChangeDrop: quantity.PSI(25)}
)

// carbonLoss is what a stage of carbon takes. Where nobody said, loose carbon
// takes by its volume, a cartridge block 4 psi at 1 gpm for each half litre of it.
// Source: [TradeDefaults].
func carbonLoss(b carbon.Bed, c *site.Carbon) hydraulics.Resistance {
	if c.Drop.Known && c.Flow.Known {
		loss := carbonDropAt
		loss.CleanDrop, loss.RatedFlow = max(c.Drop.Value, 100), c.Flow.Value
		loss.ChangeDrop = max(loss.ChangeDrop, 2*loss.CleanDrop)
		if b.Kind != carbon.Block {
			loss.Exponent = bedExponent
		}
		return loss
	}
	if b.Kind != carbon.Block {
		return bedLoss(b.Volume, carbonDropAt)
	}
	loss := carbonDropAt
	loss.RatedFlow = quantity.GallonsPerMinute(b.Volume.Litres() / 0.5)
	return loss
}

// bedExponent is how a bed's loss rises with flow. Source: [TradeDefaults].
const bedExponent = 1.2

func bedLoss(v quantity.Volume, perCubicFoot hydraulics.Filter) hydraulics.Resistance {
	loss := perCubicFoot
	loss.RatedFlow *= quantity.Flow(v.CubicFeet())
	loss.Exponent = bedExponent
	return loss
}

// supplyOf is what feeds the path: the tap, with a booster where there is one.
func supplyOf(s *site.Site, d drawn, n *notes) (hydraulics.Supply, error) {
	var r rig
	err := r.supply(s, d, n)
	return r.pushes(), err
}

// pushes is all that gives the feed its pressure.
func (r *rig) pushes() hydraulics.Supply {
	if r.plant.Booster == nil {
		return r.plant.Supply
	}
	return hydraulics.Boosted{From: r.plant.Supply, Pump: r.plant.Booster}
}

func (r *rig) supply(s *site.Site, d drawn, n *notes) error {
	u := s.Supply
	main := hydraulics.CityCurve{
		Static: or(n, u.StaticPressure, quantity.PSI(55), "static pressure at the tap", "a gauge on a hose bib, nothing running"),
	}
	main.Static *= quantity.Pressure(d.factor(supplyDoubt))
	if u.RunningPressure.Known && u.RunningFlow.Known {
		drop := u.StaticPressure.Or(main.Static) - u.RunningPressure.Value
		main.RunningPressure = max(main.Static-drop, 0)
		main.RunningFlow = u.RunningFlow.Value
	} else {
		n.assume("pressure drop of the main while it runs", "a tenth of static at 5 gpm", "static pressure alone hides a weak supply: read the gauge while a bucket fills")
	}
	r.main, r.plant.Supply = main, main
	if s.Rig.Booster == nil {
		return nil
	}
	pump, err := pumpOf(s.Rig.Booster, "booster", quantity.GallonsPerMinute(2), quantity.PSI(80), n)
	if err != nil {
		return err
	}
	r.plant.Booster = pump
	return nil
}

func pumpOf(p *site.Pump, name string, flow quantity.Flow, rise quantity.Pressure, n *notes) (hydraulics.PumpCurve, error) {
	duty := hydraulics.PumpPoint{
		Flow:     or(n, p.Flow, flow, name+" pump's duty flow", "on its plate or curve"),
		Pressure: or(n, p.Pressure, rise, name+" pump's duty pressure", "on its plate or curve"),
	}
	shut := or(n, p.ShutOff, 1.3*duty.Pressure, name+" pump's shut-off pressure", "on its curve; 1.3 times the duty is usual")
	curve, err := hydraulics.DutyPump(shut, duty)
	if err != nil {
		return curve, fmt.Errorf("%s pump: %w", name, err)
	}
	return curve, nil
}

func filtersOf(filters []site.Filter, d drawn, n *notes) (parts []plant.Part) {
	for i, f := range filters {
		name := filterName(f)
		clean := hydraulics.Filter{
			Rating:     f.Rating.Or(quantity.Length(5e-6)),
			CleanDrop:  or(n, f.Drop, quantity.PSI(1.5), fmt.Sprintf("pressure drop of filter %d", i+1), "two gauge readings across it while running"),
			RatedFlow:  or(n, f.Flow, quantity.GallonsPerMinute(1), fmt.Sprintf("flow through filter %d at that drop", i+1), "by bucket"),
			ChangeDrop: quantity.PSI(60),
		}
		clean.CleanDrop = max(clean.CleanDrop*quantity.Pressure(d.factor(filterDoubt)), 100)
		parts = append(parts, plant.Part{Name: name, Resistance: clean})
	}
	return parts
}

// filterName is a filter by its pore size, which the trade tells in
// micrometres everywhere.
func filterName(f site.Filter) string {
	if !f.Rating.Known {
		return "filter"
	}
	return fmt.Sprintf("%.3g µm filter", float64(f.Rating.Value)*1e6)
}

func carbonOf(c *site.Carbon, n *notes) (*carbon.Bed, error) {
	if c == nil {
		return nil, nil
	}
	kinds := map[string]carbon.Kind{"block": carbon.Block, "granular": carbon.Granular, "catalytic": carbon.Catalytic}
	kind, told := kinds[c.Kind]
	if !told {
		kind = carbon.Block
		n.assume("kind of carbon", "cartridge block", "on the cartridge's label")
	}
	volume := or(n, c.Volume, quantity.Litres(1.1), "volume of carbon", "a 10-inch cartridge holds about 0.5 L, a 20-inch one 1.1 L; contact time follows from it")
	bed, err := carbon.NewBed(kind, volume)
	if err != nil {
		return nil, err
	}
	return &bed, nil
}

// carbonUsed is a rough share of what the bed can take: feed water passed at
// 1 mg/L over its capacity.
func carbonUsed(c *site.Carbon, bed carbon.Bed) quantity.Ratio {
	if !c.Passed.Known || !(bed.Capacity > 0) {
		return 0
	}
	return quantity.Ratio(min(float64(c.Passed.Value)*1e-3/float64(bed.Capacity), 1))
}

// Generic element where a survey says only that there is a membrane: a tap
// element of the commonest small size. Source: [TradeDefaults].
const defaultSize = "2540"

func (r *rig) membrane(m *site.Membrane, d drawn, n *notes) error {
	if m == nil {
		return nil
	}
	var err error
	if r.plant.Train, err = trainOf(m, "", d, n); err != nil {
		return err
	}
	r.element = r.plant.Train.Housings[0].Element
	if !m.Age.Known {
		n.assume("state of the membrane", "as new", "its age, or a reading of flow and strength on the day it was new, would tell")
	}
	return nil
}

// trainOf is one row of elements, or rows of one side by side. Whose tells of
// which membrane an assumption is, "" for the first pass's.
func trainOf(m *site.Membrane, whose string, d drawn, n *notes) (membrane.Train, error) {
	sheet := membrane.Sheet{
		Name:            m.Size,
		Area:            or(n, m.Area, quantity.Area(2.6), "membrane area"+whose, "on the data sheet; 2.6 m² is usual for size "+defaultSize),
		PermeateFlow:    or(n, m.Flow, quantity.GallonsPerDay(750), "element's rated permeate flow"+whose, "on the data sheet"),
		Rejection:       or(n, m.Rejection, 0.99, "element's salt rejection"+whose, "on the data sheet"),
		Length:          m.Length.Or(0),
		TestPressure:    or(n, m.Pressure, quantity.PSI(100), "pressure of the data sheet's test"+whose, "on the data sheet"),
		TestSalt:        m.TestSalt.Or(0),
		TestTemperature: m.Temperature.Or(0),
		TestRecovery:    m.Recovery.Or(0),
	}
	sheet.PermeateFlow *= quantity.Flow(d.factor(elementFlowDoubt))
	passage := (1 - float64(sheet.Rejection)) * d.factor(saltPassageDoubt)
	sheet.Rejection = quantity.Ratio(1 - min(passage, 0.5))
	element, assumed, err := membrane.FromSheet(sheet)
	if err != nil {
		return membrane.Train{}, err
	}
	if len(assumed) > 0 {
		said := strings.ReplaceAll(strings.Join(assumed, "; "), "assumed ", "")
		n.assume("what the element's data sheet leaves out"+whose, said, "usual values of spiral elements")
	}
	count := max(m.Count, 1)
	if m.Count == 0 {
		n.assume("number of elements"+whose, "1", "count the housings")
	}
	train := membrane.Train{Parallel: 1}
	if m.Parallel {
		train.Parallel, count = count, 1
	}
	for range count {
		train.Housings = append(train.Housings, membrane.Housing{Element: element, Wear: membrane.New()})
	}
	return train, nil
}

func restrictorOf(s *site.Site, r rig, d drawn, n *notes) (hydraulics.Resistance, error) {
	c := s.Rig.Restrictor
	if c != nil && c.Kind == "capillary" && c.Bore.Known && c.Length.Known {
		return hydraulics.Capillary{Bore: c.Bore.Value * quantity.Length(math.Pow(d.factor(restrictorDoubt), 0.25)), Length: c.Length.Value}, nil
	}
	if c != nil && c.Flow.Known {
		at := or(n, c.Pressure, quantity.PSI(60), "pressure of the restrictor's rating", "printed beside its flow")
		return hydraulics.RatedRestrictor{Rated: c.Flow.Value * quantity.Flow(d.factor(restrictorDoubt)), At: at}, nil
	}
	recovery := quantity.Ratio(0.33)
	if c != nil && c.Recovery.Known {
		recovery = c.Recovery.Value
	} else {
		n.assume("restrictor", "one that gives "+percent(recovery)+" recovery on the data sheet's test", "a bucket under the drain line tells its flow")
	}
	return restrictorFor(r, recovery, d)
}

// restrictorFor is a restrictor that would give a recovery if the train made
// its rated flow at half the test pressure: what someone setting it on site
// finds, within the doubt of a bucket.
func restrictorFor(r rig, recovery quantity.Ratio, d drawn) (hydraulics.Resistance, error) {
	return restrictorOn(r.plant.Train, recovery, d), nil
}

func restrictorOn(t membrane.Train, recovery quantity.Ratio, d drawn) hydraulics.Restrictor {
	sheet := t.Housings[0].Element.Sheet
	count := float64(len(t.Housings) * max(t.Parallel, 1))
	made := float64(sheet.PermeateFlow) * count / 2 // m³/s
	concentrate := made * (1/float64(recovery) - 1) * d.factor(restrictorDoubt)
	return hydraulics.RatedRestrictor{Rated: quantity.Flow(concentrate), At: sheet.TestPressure / 2}
}

func (r *rig) resin(s *site.Site, d drawn, n *notes) error {
	for i, v := range s.Rig.Resin {
		condition := resin.New
		if v.Made == "regenerated" {
			condition = resin.Regenerated
		} else if v.Made == "" {
			n.assume("resin's filling", "new", "regenerated resin holds about a tenth less")
		}
		volume := or(n, v.Volume, quantity.CubicFeet(0.5), fmt.Sprintf("volume of resin bottle %d", i+1), "diameter and height of the bottle")
		bed, err := resin.MixedBed(volume, condition)
		if err != nil {
			return err
		}
		bed.Utilisation = min(bed.Utilisation*quantity.Ratio(d.factor(resinDoubt)), 1)
		r.beds = append(r.beds, bed)
		if i == 0 {
			r.afterTank = v.Place == "after tank"
			if v.Place == "" {
				n.assume("place of the resin", "before the tank", "behind the tank it meets rinse flow, ahead of it membrane flow")
			}
		}
	}
	return nil
}

// permeateSide lines up what the permeate passes on its way to the tank.
func (r *rig) permeateSide(s *site.Site, n *notes) {
	p := &r.plant
	if !r.afterTank {
		for i, bed := range r.beds {
			p.PermeateOut = append(p.PermeateOut, plant.Part{Name: vesselName(i, len(r.beds)), Resistance: bedLoss(bed.Volume, resinDropAt)})
		}
	}
	if s.Rig.Tank != nil {
		p.Lift = s.Rig.Tank.Height.Or(0)
	}
	line := s.Rig.Line
	if line == nil || line.PermeateTube == "" {
		return
	}
	if tube, ok := tubeNamed(line.PermeateTube); ok {
		length := or(n, line.PermeateLength, quantity.Metres(3), "length of the permeate tube", "a tape")
		p.PermeateOut = append(p.PermeateOut, plant.Part{Name: "permeate tube", Resistance: tube.Pipe(length)})
	}
}

func vesselName(i, of int) string {
	switch {
	case of == 1:
		return "resin"
	case i == 0:
		return "lead resin"
	}
	return "lag resin"
}

func percent(r quantity.Ratio) string { return quantity.Format(r, quantity.SI) }

// challengeOf is the chlorine that arrives, with what a sample or the kind of
// town says of it.
func challengeOf(s *site.Site, raw water.Completion, n *notes) (carbon.Challenge, bool) {
	c := carbon.Challenge{Temperature: raw.Water.Temperature, PH: quantity.PH(raw.Solution.PH)}
	if w, ok := sampleAt(s, "raw"); ok && (w.TotalChlorine.Known || w.FreeChlorine.Known) {
		c.FreeChlorine = w.FreeChlorine.Or(0)
		if s.Supply.Disinfectant != site.Chloramine && !w.FreeChlorine.Known {
			c.FreeChlorine = w.TotalChlorine.Value
		}
		c.Chloramine = max(w.TotalChlorine.Or(c.FreeChlorine)-c.FreeChlorine, 0)
		return c, c.FreeChlorine+c.Chloramine > 0
	}
	switch disinfectantOf(s, n) {
	case site.Chlorine:
		c.FreeChlorine = quantity.MilligramsPerLitre(0.8)
		n.assume("free chlorine in the raw water", "0.8 mg/L", "a drop kit tells in three minutes")
	case site.Chloramine:
		c.Chloramine = quantity.MilligramsPerLitre(2)
		n.assume("chloramine in the raw water", "2 mg/L", "a total chlorine kit tells in three minutes")
	default:
		return c, false
	}
	return c, true
}

func disinfectantOf(s *site.Site, n *notes) site.Disinfectant {
	if s.Supply.Disinfectant != "" {
		return s.Supply.Disinfectant
	}
	if s.Supply.Source == site.Well {
		return site.NoDisinfectant
	}
	n.assume("disinfectant", string(site.Chlorine), "a city supply has chlorine or chloramine; a utility report or a total chlorine kit tells")
	return site.Chlorine
}
