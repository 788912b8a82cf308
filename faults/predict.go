package faults

import (
	"math"
	"slices"

	"rinsewright/carbon"
	"rinsewright/plant"
	"rinsewright/quantity"
)

// seen is a state with what follows from it along the path, SI.
type seen struct {
	*state
	n         *nominal
	r         *ran
	permeate  float64 // m³/s
	first     float64 // S/m in the first permeate
	lead, out float64 // S/m behind the lead vessel and behind the last
	tank      float64
	gun       float64 // of a bay without fault
	one, all  gunPoint
	free      float64 // kg/m³ of chlorine at the membrane
	combined  float64
}

// see follows the water of a state to the guns.
func (n *nominal) see(s *state) (*seen, error) {
	r, err := n.run(s.rig)
	if err != nil {
		return nil, err
	}
	v := &seen{state: s, n: n, r: r, permeate: r.permeate}
	if s.stopped {
		v.permeate = 0
	}
	channel := (s.rig.strength + r.strong) / 2 // feed at its head, concentrate at its tail
	v.first = r.fresh + min(r.creep*s.creep, 1)*max(channel-r.fresh, 0)
	v.polish()
	bays := max(n.facts.Bays, 1)
	v.one = n.deliver(s, 1)
	v.all = v.one
	if bays > 1 {
		v.all = n.deliver(s, bays)
	}
	v.dechlorinate()
	return v, nil
}

// after is the permeate's strength so many minutes after a start.
func (v *seen) after(minutes float64) float64 {
	passed := v.permeate * minutes * 60 // m³
	return v.r.fresh + (v.first-v.r.fresh)*math.Exp(-passed/v.washout)
}

// runs1 is how many minutes one run lasts.
func (v *seen) runs1() float64 {
	return v.gap / max(v.starts*v.permeate*60, 1e-9)
}

// mean is the run mean of the permeate with what each start adds, spread over a run.
func (v *seen) mean() float64 {
	perRun := max(v.gap/max(v.starts, 0.1), v.washout)
	return v.r.fresh + (v.first-v.r.fresh)*min(v.washout/perRun, 1)*-math.Expm1(-perRun/v.washout)
}

// polish is resin and tank, in the order they hang.
func (v *seen) polish() {
	n := v.n
	mean := v.mean()
	if n.bed == nil {
		v.tank = v.stand(mean)
		v.gun, v.lead, v.out = v.tank, v.tank, v.tank
		return
	}
	if n.facts.ResinPlace == AfterTank {
		v.tank = v.stand(mean)
		v.throughResin(v.tank, 0.2*v.r.gas) // a tank gives most of its gas to the air
		v.gun = v.out*(1-v.bypassed) + v.tank*v.bypassed
		return
	}
	v.throughResin(v.r.fresh, v.r.gas)
	v.tank = v.stand(v.out*(1-v.bypassed) + mean*v.bypassed)
	v.gun = v.tank
}

func (v *seen) throughResin(in, gas float64) {
	vessel := func(in, gas, passes float64) float64 {
		return 0.06*microsiemens + math.Hypot(v.slip*in+passes*in, gas)
	}
	v.lead = vessel(in, gas*v.leadGas, v.state.lead) + v.rinseOut
	v.out = v.lead
	if v.n.facts.Lag > 0 {
		v.out = vessel(v.lead, 0.2*gas*v.leadGas, v.lag)
	}
}

// stand is what a tank makes of what flows in: air's carbon dioxide, dirt, and
// what it still holds from before.
func (v *seen) stand(in float64) float64 {
	if old := v.n.oldTank; old > 0 {
		in = v.tankNew*in + (1-v.tankNew)*old
	}
	return math.Hypot(in, v.tankAir) + v.tankDirt
}

// dechlorinate is what passes the carbon.
func (v *seen) dechlorinate() {
	v.free, v.combined = v.tap.free, v.tap.combined
	if v.n.carbon == nil {
		return
	}
	feed := quantity.Flow(max(v.r.permeate+v.r.concentrate, 1e-8))
	leak, err := v.n.carbon.Leak(carbon.Challenge{
		FreeChlorine: quantity.MassConc(v.tap.free), Chloramine: quantity.MassConc(v.tap.combined),
		Temperature: quantity.Temperature(v.rig.temperature), PH: quantity.PH(v.rig.pH),
	}, feed, quantity.Ratio(v.carbonUsed))
	if err != nil {
		return
	}
	v.free = min(float64(leak.FreeChlorine)*v.carbonFactor, v.tap.free)
	v.combined = min(float64(leak.Chloramine)*v.carbonFactor, v.tap.combined)
}

// usualWait is how long a rig has run when nobody noted it. Source:
// [TradeFaults]: 5 to 10 minutes by the book, less by habit.
const usualWait = 8.0 // minutes

// Figures of the service book that are weighed as readings are: water through the lead
// vessel since its change, m³, and the same by the calendar, s.
const (
	ResinWater plant.Gauge = "water since the resin's change"
	ResinTime  plant.Gauge = "time since the resin's change"
)

// value is what a gauge should show, SI, instruments taken for exact. The
// second result is false for what this rig cannot show.
func (v *seen) value(e *Evidence) (float64, bool) {
	if v.n.facts.Bare && slices.Contains(ofMembrane, e.Of) {
		return 0, false
	}
	switch e.Of {
	case plant.StaticPressure:
		return v.rig.static, true
	case plant.TapPressure:
		return v.r.tap, true
	case plant.FeedTemperature:
		return v.rig.temperature, true
	case plant.FeedPressure:
		return v.r.feed, true
	case plant.ConcentratePressure:
		return v.r.end, true
	case plant.PermeatePressure:
		return v.r.behind, true
	case plant.PermeateFlow:
		return v.permeate, true
	case plant.ConcentrateFlow:
		return v.r.concentrate, true
	case plant.ConcentrateFlowFull:
		return v.r.concentrate * v.drains, true
	case plant.HoursPerDay:
		return v.runs(), true
	case plant.StartsPerHour:
		return v.permeate * 3600 / v.gap * v.starts, true
	case plant.TankLevel:
		return v.level, true
	case plant.TankDrop:
		return v.leak, true
	case plant.GunFlow:
		return v.one.flow, true
	case plant.GunFlowAll:
		return v.all.flow, true
	case plant.GunPressure:
		return v.one.pressure, true
	case ResinWater:
		return v.life() * v.used, v.n.bed != nil
	case ResinTime:
		return v.life() * v.used / v.demand * dayLong, v.n.bed != nil
	}
	if x, ok := v.strength(e); ok {
		return x, true
	}
	return v.chemistry(e)
}

// strength is value for conductivities.
func (v *seen) strength(e *Evidence) (float64, bool) {
	resin := v.n.bed != nil
	switch e.Of {
	case plant.FeedStrength:
		return v.rig.strength, true
	case plant.ConcentrateStrength:
		return v.r.strong, true
	case plant.PermeateStrength:
		wait := min(v.wait, v.runs1())
		if e.Timed {
			wait = e.Running.Minutes()
		}
		return v.after(wait), true
	case plant.PermeateFirst:
		return v.after(0.5), true
	case plant.HousingStrength:
		if i := e.Number - 1; i >= 0 && i < len(v.r.housings) {
			return v.r.housings[i], true
		}
	case plant.LeadStrength:
		return v.lead, resin
	case plant.PolishStrength:
		return v.out, resin
	case plant.PolishFirst:
		return v.out + v.firstResin, resin
	case plant.TankStrength:
		return v.tank, true
	case plant.GunStrength:
		if e.Number == 0 && v.crossBay >= 0 { // who names no bay read the one complained of
			return v.gunOf(v.crossBay + 1), true
		}
		return v.gunOf(e.Number), true
	case plant.GunFirst:
		g := v.gunOf(e.Number)
		extra := 0.0
		if resin && v.n.facts.ResinPlace == AfterTank {
			extra = v.firstResin
		}
		return g + extra + v.stale*max(v.rig.strength-g, 0), true
	case plant.DripStrength:
		return v.gunOf(e.Number) + v.film, true
	}
	return 0, false
}

// gunOf is the strength at one bay's gun; of no particular bay without a number.
func (v *seen) gunOf(bay int) float64 {
	if v.crossBay >= 0 && bay-1 == v.crossBay {
		return v.gun + v.cross*max(v.rig.strength-v.gun, 0)
	}
	return v.gun
}

// chemistry is value for kits and pH.
func (v *seen) chemistry(e *Evidence) (float64, bool) {
	switch e.Of {
	case plant.FeedHardness:
		return v.r.hardness, true
	case plant.MembraneHardness:
		return v.r.atMembrane, true
	case plant.FeedPH:
		return v.rig.pH, true
	case plant.FeedAlkalinity:
		return v.r.alkalinity, true
	case plant.FeedSilica:
		return v.rig.silica, true
	case plant.FeedIron:
		return v.tap.iron, true
	case plant.FeedFreeChlorine:
		return v.tap.free, true
	case plant.FeedChlorine:
		return v.tap.free + v.tap.combined, true
	case plant.MembraneFreeChlorine:
		return v.free, true
	case plant.MembraneChlorine:
		return v.free + v.combined, true
	case plant.PermeatePH:
		return v.r.pH - v.tankAcid, true
	case plant.LeadSilica, plant.PolishSilica:
		if v.n.bed == nil {
			return v.r.silica, true
		}
		return v.silicaOut + (v.state.lead*0.5+v.bypassed)*v.r.silica, true
	}
	return 0, false
}

// runs is the share of the day that the membrane runs: for the guns, for a
// leak, and for nothing.
func (v *seen) runs() float64 {
	if v.stopped || !(v.permeate > 0) {
		return 0
	}
	tank := float64(v.n.facts.Tank.Or(quantity.Volume(usualTank)))
	need := (v.demand + v.leak*96*tank) / (v.permeate * dayLong)
	share := need / math.Pow(1+math.Pow(need, 6), 1.0/6) // no day is longer
	return share + (1-share)*v.runsOn
}

// life is how much water the lead vessel polishes until its endpoint, m³.
func (v *seen) life() float64 {
	if v.n.bed == nil {
		return 1
	}
	load := v.r.load
	if v.n.facts.ResinPlace == AfterTank {
		load = v.r.airLoad
	}
	if v.r.fresh > 0 { // creep adds strong ions
		load *= 1 + 0.7*(v.mean()/v.r.fresh-1)
	}
	return v.n.capacity / max(load, 1e-4)
}
