package study

import (
	"errors"
	"fmt"
	"math"

	"rinsewright/carbon"
	"rinsewright/hydraulics"
	"rinsewright/quantity"
	"rinsewright/resin"
	"rinsewright/site"
	"rinsewright/water"
)

// strengths follows the water from the membrane to the gun.
func (l *look) strengths(*site.Site) (err error) {
	if l.permeate, err = strengthOf(l.today.Product().Water); err != nil {
		return fmt.Errorf("permeate: %w", err)
	}
	inTank := l.permeate.water
	if len(l.rig.beds) > 0 && !l.rig.afterTank {
		if inTank, err = l.polish(inTank); err != nil {
			return err
		}
	}
	if l.tank, err = l.stand(inTank); err != nil {
		return fmt.Errorf("tank: %w", err)
	}
	switch {
	case len(l.rig.beds) == 0:
		l.polished = l.tank
	case l.rig.afterTank:
		polished, err := l.polish(l.tank.water)
		if err != nil {
			return err
		}
		if l.polished, err = strengthOf(polished); err != nil {
			return fmt.Errorf("polished water: %w", err)
		}
	default:
		if l.polished, err = strengthOf(inTank); err != nil {
			return fmt.Errorf("polished water: %w", err)
		}
	}
	l.gun = l.tank
	if l.rig.afterTank && len(l.rig.beds) > 0 {
		l.gun = l.polished
	}
	return nil
}

func (l *look) polish(w water.Water) (water.Water, error) {
	polished, err := resin.InService(w)
	if err != nil {
		return w, fmt.Errorf("polished water: %w", err)
	}
	return polished, nil
}

// stand is what a tank does to its water: a vented tank gives carbon dioxide
// to the air, all of it when it is aerated, part of it while the water stands.
func (l *look) stand(w water.Water) (strength, error) {
	if !l.store.vented {
		return strengthOf(w)
	}
	stands := quantity.Days(1)
	if day := float64(l.demand.OpenDay); day > 0 {
		stands = quantity.Time(float64(l.store.volume) / day * 86400)
	}
	if l.store.aerated {
		stands = quantity.Days(3650)
	}
	open, err := water.Standing(w, l.store.depth, stands)
	if err != nil {
		return strength{}, err
	}
	return strengthOf(open)
}

// toResin is the water that reaches the first bottle.
func (l *look) toResin() strength {
	if l.rig.afterTank {
		return l.tank
	}
	return l.permeate
}

// resinLife is how long the first bottle lasts by what it has to hold, and how
// long a pen and the label would promise.
func (l *look) resinLife(*site.Site) (err error) {
	if len(l.rig.beds) == 0 {
		l.unused = true
		return nil
	}
	meets := l.toResin()
	l.inlet = resin.InletOf(meets.water, meets.solution)
	if l.creep, err = l.creepLoad(); err != nil {
		return err
	}
	l.inlet.Creep = l.creep
	bed := l.rig.beds[0]
	if l.life, err = bed.Life(l.inlet); errors.Is(err, resin.ErrNoLoad) {
		l.unused = true
		return nil
	} else if err != nil {
		return err
	}
	pen, err := penNaCl(meets.at25)
	if err != nil {
		return err
	}
	l.label, err = bed.LabelLife(max(pen, quantity.MilligramsPerLitre(0.5)))
	return err
}

func penNaCl(c quantity.Conductivity) (quantity.MassConc, error) { return water.ScaleNaCl.Reading(c) }

// creepLoad is what the starts of a year add to the resin's load: salt that
// crosses while the membrane stands, told as charge per volume of its water.
func (l *look) creepLoad() (quantity.EquivConc, error) {
	starts, made := float64(l.year.Starts), l.year.Made
	if starts < 1 || !(made > 0) || len(l.rig.plant.Train.Housings) == 0 {
		return 0, nil
	}
	idle := quantity.Time((365*86400 - float64(l.year.Running)) / starts)
	feed, permeate := l.feed.DissolvedSolids(), l.permeate.water.DissolvedSolids()
	creep, err := l.rig.plant.Train.Creep(max(idle, 0), feed, min(permeate, feed), l.raw.Water.Temperature)
	if err != nil {
		return 0, err
	}
	perMass := ionsPerMass(l.feed)
	excess := quantity.EquivConc(float64(creep.First-creep.Steady) * perMass)
	slug := min(creep.HoldUp, made/quantity.Volume(starts))
	return resin.Starts{Slug: slug, Excess: excess, Count: starts, Water: made}.Creep()
}

// ionsPerMass is the charge of strong cations that a mass of a water's solids
// carries, in eq/kg.
func ionsPerMass(w water.Water) float64 {
	solids := float64(w.DissolvedSolids())
	if !(solids > 0) {
		return 0
	}
	return float64(water.ElectroneutralAlkalinity(w)+strongAnions(w)) / solids
}

func strongAnions(w water.Water) (sum quantity.EquivConc) {
	for _, c := range []water.Component{water.Chloride, water.Sulphate, water.Nitrate, water.Fluoride} {
		sum += quantity.EquivConc(math.Abs(float64(c.Equivalents(w.Total[c]))))
	}
	return sum
}

// chlorineClock keeps the membrane's account of chlorine over ten years.
func (l *look) chlorineClock(s *site.Site, n *notes) (err error) {
	l.challenge, l.chlorine = challengeOf(s, l.raw, n)
	if !l.chlorine {
		return nil
	}
	feed := l.supplied()
	if l.rig.carbon != nil {
		if l.contact, err = l.rig.carbon.Contact(l.challenge, feed); err != nil {
			return err
		}
	}
	plan := carbon.Plan{
		Carbon: l.rig.carbon, Calendar: carbon.Calendar{Usual: l.challenge}, Flow: feed,
		RunPerDay: l.runPerDay(), Used: l.rig.carbonUsed, Years: 10,
	}
	if weeks := s.Supply.SwitchWeeks; weeks > 0 {
		free := l.challenge
		free.FreeChlorine, free.Chloramine = free.FreeChlorine+free.Chloramine, 0
		plan.Calendar.Events = []carbon.Event{{Name: "free-chlorine weeks", Start: quantity.Days(60), Length: quantity.Days(7 * float64(weeks)), Challenge: free}}
	}
	if plan.Carbon != nil {
		for year := range 2 * plan.Years { // changed twice a year, as is usual
			plan.Changes = append(plan.Changes, quantity.Days(182.5*float64(year+1)))
		}
		n.assume("carbon changes", "every six months", "the habit; the log tells")
	}
	l.clock, err = carbon.Clock(plan)
	return err
}

// runPerDay is how long the membrane runs on a mean day of the year.
func (l *look) runPerDay() quantity.Time { return l.year.Running / 365 }

// deliver finds what the guns get: one open, and as many as the site opens.
func (l *look) deliver(s *site.Site, n *notes) error {
	fluid, err := fluidAt(l.raw.Water.Temperature)
	if err != nil {
		return err
	}
	from, err := l.deliverySupply(s, fluid, n)
	if err != nil {
		return err
	}
	d := hydraulics.Delivery{From: from}
	if line := s.Rig.Line; line != nil {
		d.Rise = line.Rise.Or(0)
		if tube, ok := tubeNamed(line.Tube); ok {
			d.Shared = tube.Pipe(or(n, line.Length, quantity.Metres(10), "length of the line to the guns", "a tape"))
		}
	}
	flow := l.gunFlow(s)
	if d.Gun, err = gunFor(d, flow, fluid); err != nil {
		return nil // the supply cannot give one gun its flow: told by a zero delivery
	}
	if l.alone, err = d.With(1, fluid); err != nil {
		return err
	}
	guns := s.Demand.GunsAtOnce
	if guns == 0 {
		guns = max(l.profile.Bays, 1)
	}
	l.delivery, err = d.With(guns, fluid)
	return err
}

func (l *look) gunFlow(s *site.Site) quantity.Flow {
	if len(l.profile.Vends) > 0 && l.profile.Vends[0].Flow > 0 {
		return l.profile.Vends[0].Flow
	}
	return s.Demand.GunFlow.Or(quantity.GallonsPerMinute(1.5))
}

// gunFor is the gun that passes the flow said of one gun open alone.
func gunFor(d hydraulics.Delivery, flow quantity.Flow, fluid hydraulics.Fluid) (hydraulics.FlowCoefficient, error) {
	p, err := d.From.Pressure(flow)
	if err != nil {
		return 0, err
	}
	rise, err := hydraulics.ElevationLoss(d.Rise, fluid)
	if err != nil {
		return 0, err
	}
	if d.Shared != nil {
		loss, err := d.Shared.Loss(flow, fluid)
		if err != nil {
			return 0, err
		}
		p -= loss
	}
	return hydraulics.CoefficientOf(flow, p-rise, fluid)
}

// deliverySupply is what pushes water to the guns: the pump, or the cushion of
// a pressurised tank.
func (l *look) deliverySupply(s *site.Site, fluid hydraulics.Fluid, n *notes) (hydraulics.Supply, error) {
	if !l.store.vented {
		head, err := hydraulics.Head(l.store.back, fluid)
		return hydraulics.Level{Height: head, Fluid: fluid}, err
	}
	pump := s.Rig.Pump
	if pump == nil {
		pump = &site.Pump{}
		n.assume("delivery pump", "one that fits the guns", "nothing was said of a pump; a vented tank needs one")
	}
	guns := quantity.Flow(max(s.Demand.GunsAtOnce, l.profile.Bays, 1))
	return pumpOf(pump, "delivery", guns*l.gunFlow(s), quantity.PSI(45), n)
}

func fluidAt(t quantity.Temperature) (hydraulics.Fluid, error) {
	density, err := water.Density(t)
	if err != nil {
		return hydraulics.Fluid{}, err
	}
	viscosity, err := water.Viscosity(t)
	return hydraulics.Fluid{Density: density, Viscosity: viscosity}, err
}

// tubeNamed is the generic tube of a nominal size in inches.
func tubeNamed(size string) (hydraulics.Tube, bool) {
	for _, t := range hydraulics.Tubes() {
		if len(t.Name) > len(size) && t.Name[:len(size)] == size && t.Name[len(size)] == ' ' {
			return t, true
		}
	}
	return hydraulics.Tube{}, false
}
