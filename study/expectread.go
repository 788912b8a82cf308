package study

import (
	"rinsewright/plant"
	"rinsewright/quantity"
	"rinsewright/water"
)

// firstMinute is when a reading "in the first minute" is taken, and firstSpray
// one "in the first 20 s". Source: [TradeDefaults].
const (
	firstMinute = quantity.Time(25)
	firstSpray  = quantity.Time(10)
)

// Readings returns what every gauge of the path should read, running so long
// since the last start, in path order. A gauge that this site cannot have, or of
// which the model knows nothing, is left out. A start's creep is in the
// membrane's strength: conductivity follows the salt that is washed out, to some
// 2 %. Tank, resin and guns are as in steady service.
func (e *Expected) Readings(running quantity.Time) (all []plant.Reading) {
	add := func(of plant.Gauge, si float64) {
		all = append(all, plant.Reading{Of: of, SI: si, Running: running, Timed: true})
	}
	e.feedSide(add)
	e.membraneSide(running, add)
	for i, p := range e.housings() {
		all = append(all, plant.Reading{Of: plant.HousingStrength, Number: i + 1, SI: p, Running: running, Timed: true})
	}
	e.storeSide(add)
	for bay := range e.bays {
		for _, at := range e.atGuns() {
			all = append(all, plant.Reading{Of: at.of, Number: bay + 1, SI: at.si, Running: running, Timed: true})
		}
	}
	return all
}

// Reading returns what one gauge should read, false where the model does not
// know it. Number 0 is the first of several.
func (e *Expected) Reading(of plant.Gauge, number int, running quantity.Time) (plant.Reading, bool) {
	for _, r := range e.Readings(running) {
		if r.Of == of && (r.Number == number || number == 0) {
			return r, true
		}
	}
	return plant.Reading{}, false
}

type adding func(plant.Gauge, float64)

func (e *Expected) feedSide(add adding) {
	l := e.look
	raw := l.raw.Water
	add(plant.StaticPressure, float64(e.static))
	add(plant.TapPressure, float64(e.from))
	add(plant.FeedTemperature, float64(raw.Temperature))
	if k, err := raw.Conductivity25(); err == nil {
		add(plant.FeedStrength, float64(k))
	}
	add(plant.FeedHardness, float64(raw.Hardness()))
	add(plant.FeedPH, l.raw.Solution.PH)
	add(plant.FeedSilica, float64(water.Silica.Mass(raw.Total[water.Silica])))
	add(plant.FeedIron, float64(water.Iron.Mass(raw.Total[water.Iron])))
	add(plant.FeedFreeChlorine, float64(l.challenge.FreeChlorine))
	add(plant.FeedChlorine, float64(l.challenge.FreeChlorine+l.challenge.Chloramine))
	if l.softening != nil {
		add(plant.MembraneHardness, float64(l.feed.Hardness()))
	}
	if e.leak != nil {
		add(plant.MembraneFreeChlorine, float64(e.leak.free))
		add(plant.MembraneChlorine, float64(e.leak.total))
	}
}

func (e *Expected) membraneSide(running quantity.Time, add adding) {
	l := e.look
	if e.start == nil {
		return
	}
	p := &l.today
	add(plant.FeedPressure, float64(p.Feed.Pressure))
	add(plant.FeedFlow, float64(p.Feed.Flow))
	add(plant.ConcentratePressure, float64(p.Membrane.Concentrate.Pressure))
	add(plant.PermeatePressure, float64(p.BackPressure))
	add(plant.PermeateFlow, float64(p.Product().Flow))
	add(plant.ConcentrateFlow, float64(p.ToDrain()))
	if k, err := p.Membrane.Concentrate.Water.Conductivity25(); err == nil {
		add(plant.ConcentrateStrength, float64(k))
	}
	add(plant.PermeateStrength, e.creeping(running))
	add(plant.PermeateFirst, e.creeping(firstMinute))
	add(plant.PermeatePH, l.permeate.solution.PH)
	if day := float64(l.demand.OpenDay); day > 0 && p.Product().Flow > 0 {
		add(plant.HoursPerDay, min(day/float64(p.Product().Flow)/86400, 1))
	}
}

// creeping is the permeate's conductivity so long after the start.
func (e *Expected) creeping(running quantity.Time) float64 {
	c, steady := e.start.Creep, float64(e.look.permeate.at25)
	if !(c.Steady > 0) {
		return steady
	}
	return steady * float64(c.After(e.start.Flow.Over(max(running, 0)))/c.Steady)
}

func (e *Expected) housings() (strengths []float64) {
	elements := e.look.today.Membrane.Elements
	if len(elements) < 2 {
		return nil
	}
	for i := range elements {
		k, err := elements[i].Permeate.Water.Conductivity25()
		if err != nil {
			return nil
		}
		strengths = append(strengths, float64(k))
	}
	return strengths
}

func (e *Expected) storeSide(add adding) {
	l := e.look
	if n := len(l.rig.beds); n > 0 {
		if n > 1 {
			add(plant.LeadStrength, float64(l.polished.at25))
		}
		add(plant.PolishStrength, float64(l.polished.at25))
		add(plant.PolishSilica, float64(water.Silica.Mass(l.polished.water.Total[water.Silica])))
	}
	add(plant.TankStrength, float64(l.tank.at25))
	if l.store.vented {
		total := float64(l.store.tank.Total)
		add(plant.TankDrop, 0)
		add(plant.FloatStop, float64(l.store.tank.Stop)/total)
		add(plant.FloatStart, float64(l.store.tank.Start)/total)
		add(plant.LowCut, float64(l.store.tank.CutOff)/total)
	}
	if e.all.GunFlow > 0 {
		add(plant.GunFlowAll, float64(e.all.GunFlow))
	}
}

type atGun struct {
	of plant.Gauge
	si float64
}

func (e *Expected) atGuns() []atGun {
	k := float64(e.look.gun.at25)
	at := []atGun{{plant.GunStrength, k}, {plant.GunFirst, k}}
	if e.alone.GunFlow > 0 {
		at = append(at, atGun{plant.GunPressure, float64(e.alone.GunPressure)}, atGun{plant.GunFlow, float64(e.alone.GunFlow)})
	}
	return at
}
