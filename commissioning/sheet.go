package commissioning

import (
	"fmt"

	"rinsewright/plant"
	"rinsewright/quantity"
)

// Has is what hangs on the wall, as far as a start-up sheet needs to know.
type Has struct {
	Filters     int
	Carbon      bool
	LooseCarbon bool // granular or catalytic, not a cartridge
	CarbonFlush quantity.Time
	Softener    bool
	Booster     bool
	Membrane    bool
	Housings    int
	Needle      bool // a restrictor that is turned
	Resin       int  // bottles
	ResinAfter  bool // behind the tank
	Vented      bool // tank
	Pressurised bool
	Bays        int
	Chlorine    bool            // in the supply
	Bleach      quantity.Volume // that sanitises the full tank; 0 when its size is not known
}

// Step is one step of the start-up sheet, in the order the valves are touched.
type Step struct {
	Name     string
	Title    string
	Cautions []string // where the work can hurt someone: said before the work
	Do       []string
	Stop     []Stop          // when the step is done
	Dose     quantity.Volume // of plain bleach; 0 when the step takes none, or nobody knows
	Read     []Asked         // what is read at it
}

// Stop ends a step: a shortest time, a reading, or what the eye sees.
type Stop struct {
	Kind  StopKind
	Of    plant.Gauge
	Limit float64       // number in the SI unit of the gauge
	Least quantity.Time // however it looks
	Says  string
}

// StopKind is how a step ends.
type StopKind string

// How a step ends.
const (
	ByTime  StopKind = "time"      // after Least
	ByEye   StopKind = "clear"     // it runs clear into a white cup, after Least
	Below   StopKind = "below"     // surely below Limit: see [Stop.Done]
	Settled StopKind = "steady"    // see [StrengthSteady]
	ByHand  StopKind = "confirmed" // a person looked and says so
)

// Asked is a reading that the sheet asks for.
type Asked struct {
	Of     plant.Gauge
	Number int
	Twice  bool
}

// Title names what is read, with its bay or housing.
func (a Asked) Title() string {
	switch {
	case a.Of == plant.HousingStrength && a.Number > 0:
		return fmt.Sprintf("strength after housing %d", a.Number)
	case a.Number > 0:
		return fmt.Sprintf("%s, bay %d", a.Of.Title(), a.Number)
	}
	return a.Of.Title()
}

// Key names the reading as a record does, such as "gun_flow 2".
func (a Asked) Key() string { return plant.Reading{Of: a.Of, Number: a.Number}.Key() }

// Words say when the step is done, with its least time where the eye or a slope
// decides.
func (s Stop) Words() string {
	if s.Kind == ByEye || s.Kind == Settled {
		return fmt.Sprintf("%s; %.0f min at least", s.Says, s.Least.Minutes())
	}
	return s.Says
}

// ChlorineBound is what total chlorine must stay below ahead of membrane and
// resin. Source: [FieldPractice].
const ChlorineBound = quantity.MassConc(0.1e-3)

// Done tells whether a reading y ± u ends a step: below its limit with at least
// 95 % probability, by the decision rule of the package. Numbers in the unit of
// the gauge. Stops of another kind are never done by a reading.
func (s Stop) Done(y, u float64) bool {
	if s.Kind != Below {
		return false
	}
	p, err := AtMost(s.Limit).Conformance(y, u)
	return err == nil && p >= asked
}

// Sheet returns the start-up sheet of a rig: what is not there is left out. Order
// and times are common practice, no source; where a maker's sheet or the local
// code says otherwise, they win, and the sheet says so.
func Sheet(h Has) []Step {
	var all []Step
	for _, step := range []func(Has) (Step, bool){
		before, flush, softenerStep, sanitise, leaks, wet, restrictor, floats, steadyStep, path, guns, sign,
	} {
		if s, needed := step(h); needed {
			all = append(all, s)
		}
	}
	return all
}

func before(h Has) (Step, bool) {
	s := Step{
		Name: "before", Title: "Before the first valve",
		Cautions: []string{
			"Backflow: drinking water is protected by an air gap or an approved assembly. A licensed plumber and the local code decide which.",
			"Electricity beside water: residual-current (GFCI) protection and bonding, connected by a licensed electrician. Lock off before opening.",
		},
		Do: []string{
			"Write down each instrument, its scale and when it was last calibrated. Check the pen in a known water.",
			"Shut every valve, lock the power off. Take out filter cartridges, or set the bypass; membrane and resin stay dry and apart.",
			"Look at the arrow of each check valve, of the restrictor and of every housing: a check valve the wrong way round shuts the permeate in and breaks the membrane.",
			"Air gap at the drain, backflow assembly tested. Nothing of copper, brass or galvanised steel behind the membrane.",
			"Read the static pressure at the tap.",
		},
		Read: []Asked{{Of: plant.StaticPressure}},
	}
	if h.Vented || h.Pressurised {
		s.Do = append(s.Do, "Tank clean and empty, lid and vent screen on.")
	}
	return s, true
}

func flush(h Has) (Step, bool) {
	if h.Filters == 0 && !h.Carbon {
		return Step{}, false
	}
	s := Step{
		Name: "flush", Title: "Flush to the drain",
		Cautions: []string{"Pressure: open the feed slowly, no more than 0.7 bar (10 psi) in a second, and stand beside a housing, never over it. Let the pressure off before loosening anything."},
		Do:       []string{"Run the supply to the drain through the empty housings until it is clear."},
	}
	if h.Filters > 0 {
		s.Do = append(s.Do, "Fit the filter cartridges, flush each for a minute.")
	}
	if h.Carbon && h.LooseCarbon {
		s.Do = append(s.Do, "Let loose carbon stand under water overnight, then backwash it, then run it to the drain. Its dust ruins a membrane.")
	} else if h.Carbon {
		s.Do = append(s.Do, "Fit the carbon and run it to the drain, the membrane disconnected. Its dust ruins a membrane.")
	}
	s.Stop = []Stop{{Kind: ByEye, Least: max(h.CarbonFlush, quantity.Minutes(5)), Says: "clear in a white cup, however long it takes"}}
	return s, true
}

func softenerStep(h Has) (Step, bool) {
	return Step{
		Name: "softener", Title: "Regenerate the softener once",
		Cautions: []string{"Brine goes where the sewer authority allows, never to a storm drain."},
		Do:       []string{"Fill the salt, set clock and hardness, run one regeneration by hand and watch brine being drawn.", "Test behind it with the drop kit."},
		Stop:     []Stop{{Kind: Below, Of: plant.MembraneHardness, Limit: float64(quantity.GrainsPerGallon(1.5)), Says: "hardness behind it surely below 1.5 grains"}},
		Read:     []Asked{{Of: plant.MembraneHardness}},
	}, h.Softener
}

func sanitise(h Has) (Step, bool) {
	s := Step{
		Name: "sanitise", Title: "Sanitise tank and lines, rinse, prove it gone",
		Cautions: []string{
			"Bleach never meets acid or ammonia: the gases can kill. One chemical a day, gloves and eye protection, doors open, its safety sheet at hand.",
			"Bleach never reaches membrane or resin: they stay disconnected until a test says below 0.1 mg/L.",
			"Never enter a tank: it is a confined space with its own law. Work from outside.",
			"Water with chlorine goes to the sewer as the authority allows, never to a storm drain.",
		},
		Do: []string{
			"Membrane and resin off and capped. Fill tank and lines with 50 mg/L of free chlorine, unscented bleach, every gun run until it smells.",
			"Let it stand an hour at least. Drain, rinse and drain again through every gun.",
			"Test the rinse at the last gun with a total chlorine kit; a strip cannot see 0.1.",
		},
		Stop: []Stop{
			{Kind: ByTime, Least: quantity.Hours(1), Says: "contact of an hour"},
			{Kind: Below, Of: plant.MembraneChlorine, Limit: float64(ChlorineBound), Says: "total chlorine surely below 0.1 mg/L"},
		},
		Read: []Asked{{Of: plant.MembraneChlorine}},
		Dose: h.Bleach,
	}
	return s, h.Vented || h.Bays > 0
}

func leaks(h Has) (Step, bool) {
	s := Step{
		Name: "leaks", Title: "Leak check under full pressure",
		Cautions: []string{"Pressure: look with a mirror and a dry tissue, not with a hand. No joint is tightened under pressure."},
		Do:       []string{"Guns shut, feed open, everything at its highest pressure for half an hour. Wipe each joint with a dry tissue."},
		Stop:     []Stop{{Kind: ByTime, Least: quantity.Minutes(30), Says: "dry for half an hour"}, {Kind: ByHand, Says: "every joint dry"}},
	}
	if h.Vented {
		s.Do = append(s.Do, "Shut the tank off and mark its level: it must not fall.")
		s.Read = []Asked{{Of: plant.TankDrop}}
	}
	return s, true
}

func wet(h Has) (Step, bool) {
	if !h.Membrane && h.Resin == 0 {
		return Step{}, false
	}
	s := Step{Name: "wet", Title: "Fit membrane and resin, first water to the drain"}
	if h.Resin > 0 {
		s.Cautions = append(s.Cautions, "A wet bottle of 1 cubic foot weighs about 30 kg (65 lb): two people or a trolley. Spilled beads are slippery.")
		s.Do = append(s.Do, "Resin: run its first bed volumes to the drain until the strength stands still.")
	}
	if h.Membrane {
		s.Cautions = append(s.Cautions, "Never shut the permeate while the membrane is fed: the back pressure breaks it.")
		s.Do = append([]string{
			"Chlorine ahead of the membrane first: test it at the feed, running.",
			"Membrane: seals greased with glycerine, the arrow with the flow. Restrictor open, raise the pressure slowly, under 0.7 bar (10 psi) a second.",
			"Permeate and concentrate to the drain for half an hour: the preservative is not for tank or resin.",
		}, s.Do...)
		s.Stop = []Stop{{Kind: ByTime, Least: quantity.Minutes(30), Says: "half an hour to the drain"}}
		if h.Chlorine {
			s.Read = []Asked{{Of: plant.FeedChlorine}, {Of: plant.MembraneChlorine, Twice: true}}
		}
	}
	return s, true
}

func restrictor(h Has) (Step, bool) {
	s := Step{
		Name: "restrictor", Title: "Set the concentrate flow",
		Do:   []string{"Bucket under permeate and concentrate, a minute each by the clock."},
		Read: []Asked{{Of: plant.PermeateFlow}, {Of: plant.ConcentrateFlow}},
	}
	if h.Needle {
		s.Do = append(s.Do, "Turn the needle until the concentrate is what was promised at this temperature; never shut it. Mark its place.")
	} else {
		s.Do = append(s.Do, "A fixed restrictor is not turned: if the flow is not as promised, look for a wrong one or for dirt in it.")
	}
	return s, h.Membrane
}

func floats(h Has) (Step, bool) {
	return Step{
		Name: "floats", Title: "Float levels and the low cut-off",
		Cautions: []string{
			"Never reach in over the edge of a tall tank, never enter it: lift the float with a hook or fill and drain.",
			"Water and electricity: a licensed electrician has connected and tested pump and floats before anyone touches them.",
		},
		Do: []string{
			"Trip the residual-current (GFCI) protection by its button, and reset it.",
			"Fill until the float stops the membrane: note the level. Draw until it starts again: note the level.",
			"Draw until the pump is cut off: note the level. It must stop before it sucks air, and restart higher.",
			"Shut the drain valve, see that the overflow runs to the drain.",
		},
		Stop: []Stop{{Kind: ByHand, Says: "stops, starts and cuts off by itself, twice"}},
		Read: []Asked{{Of: plant.FloatStop}, {Of: plant.FloatStart}, {Of: plant.LowCut}},
	}, h.Vented
}

func steadyStep(h Has) (Step, bool) {
	return Step{
		Name: "steady", Title: "Run until the strength stands still",
		Do:   []string{"Read the strength after the membrane every two or three minutes; the slope of the readings says when to go on."},
		Stop: []Stop{{Kind: Settled, Of: plant.PermeateStrength, Least: quantity.Minutes(10), Says: "the slope's 95 % interval within 5 % in ten minutes"}},
		Read: []Asked{{Of: plant.PermeateFirst}, {Of: plant.PermeateStrength}},
	}, h.Membrane
}

func path(h Has) (Step, bool) {
	s := Step{
		Name: "path", Title: "The readings, along the path, each twice",
		Do: []string{"One pen and one gauge all along the path: their own error then cancels. Rinse the cup three times in the water it will hold."},
	}
	twice := func(gauges ...plant.Gauge) {
		for _, g := range gauges {
			s.Read = append(s.Read, Asked{Of: g, Twice: true})
		}
	}
	twice(plant.FeedTemperature, plant.FeedStrength)
	s.Read = append(s.Read, Asked{Of: plant.FeedHardness}, Asked{Of: plant.TapPressure})
	if h.Membrane {
		twice(plant.FeedPressure, plant.ConcentratePressure, plant.PermeateFlow, plant.ConcentrateFlow, plant.ConcentrateStrength, plant.PermeateStrength)
		s.Read = append(s.Read, Asked{Of: plant.PermeatePressure})
		for i := range h.Housings {
			if h.Housings > 1 {
				s.Read = append(s.Read, Asked{Of: plant.HousingStrength, Number: i + 1})
			}
		}
	}
	if h.Resin > 1 {
		twice(plant.LeadStrength)
	}
	if h.Resin > 0 {
		twice(plant.PolishStrength)
	}
	if h.Vented || h.Pressurised {
		s.Read = append(s.Read, Asked{Of: plant.TankStrength})
	}
	return s, true
}

func guns(h Has) (Step, bool) {
	s := Step{
		Name: "guns", Title: "At the guns",
		Cautions: []string{"Low-TDS water is not for drinking: label every outlet. It eats copper, brass and galvanised steel."},
		Do: []string{
			"One gun open: flow into a bucket, pressure, strength after a minute. Then every bay's open at once.",
			"Rinse a black panel, let it dry: no spots is the proof that a customer believes.",
		},
	}
	for bay := range max(h.Bays, 1) {
		s.Read = append(s.Read, Asked{Of: plant.GunStrength, Number: bay + 1}, Asked{Of: plant.GunFlow, Number: bay + 1})
	}
	if h.Bays > 1 {
		s.Read = append(s.Read, Asked{Of: plant.GunFlowAll})
	}
	return s, true
}

func sign(h Has) (Step, bool) {
	s := Step{
		Name: "sign", Title: "Verdicts, meters at zero, signature",
		Do: []string{"Read the verdicts with the owner. Note totaliser and hour meter. Photos of every gauge, and of the valves as they stand.", "Sign: the record is the baseline and is not changed afterwards; a correction is a record of its own."},
	}
	if h.Membrane {
		s.Read = []Asked{{Of: plant.PermeateVolume}, {Of: plant.RunTime}}
	}
	return s, true
}
