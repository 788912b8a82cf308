package study

import (
	"fmt"

	"rinsewright/quantity"
	"rinsewright/site"
	"rinsewright/water"
)

// path lines up the stations as the water meets them, each with what a gauge
// would show there and how it stands.
func (c *checking) path(r *Checked) []Station {
	stations := []Station{c.tapStation()}
	stations = append(stations, c.filterStations()...)
	if c.base.rig.carbon != nil {
		stations = append(stations, c.carbonStation())
	}
	if c.base.softening != nil {
		stations = append(stations, c.softenerStation())
	}
	if c.site.Rig.Booster != nil {
		stations = append(stations, Station{
			Kind: "booster pump", Name: "Booster", Left: -1, State: Fine,
			Above: []Fact{{Label: "feed", Figure: figure(c.base.today.Feed.Pressure)}},
		})
	}
	if c.site.Rig.Membrane != nil {
		stations = append(stations, c.membraneStation(r))
	}
	if !c.base.rig.afterTank {
		stations = append(stations, c.resinStations(r)...)
	}
	stations = append(stations, c.tankStation())
	if c.base.rig.afterTank {
		stations = append(stations, c.resinStations(r)...)
	}
	if c.base.store.vented {
		stations = append(stations, Station{
			Kind: "delivery pump", Name: "Pump", Left: -1, State: Fine,
			Above: []Fact{{Label: "", Figure: figure(c.base.delivery.SupplyPressure)}},
		})
	}
	stations = append(stations, c.gunStation(r))
	c.flows(stations)
	return stations
}

// flows gives every station the water that enters it on a mean open day and
// the strength that leaves it where it has not said so.
func (c *checking) flows(stations []Station) {
	day := c.base.demand.OpenDay
	feed := day / quantity.Volume(c.base.today.Recovery())
	entering, strength := feed, c.base.raw.Conductivity
	for i := range stations {
		stations[i].Entering = entering
		if stations[i].Kind == "membrane" {
			entering = day
		}
		if stations[i].Strength == 0 {
			stations[i].Strength = strength
		}
		strength = stations[i].Strength
	}
}

func (c *checking) tapStation() Station {
	kind, name := "tap", "City main"
	if c.site.Supply.Source == site.Well {
		kind, name = "well", "Well"
	}
	l := c.base
	s := Station{Kind: kind, Name: name, Left: -1, State: Fine, Strength: l.raw.Conductivity}
	sample, _ := sampleAt(c.site, "raw")
	if sample.Strength.Known() {
		s.Above = append(s.Above, Fact{Figure: readStrength(sample.Strength), Read: true})
	}
	s.Above = append(s.Above, Fact{Figure: figure(l.raw.Water.Temperature), Read: sample.Temperature.Known}, Fact{"running", figure(c.tapPressure()), false, c.book.of("p_tap")})
	s.Below = append(s.Below, Fact{"carbon dioxide", figure(water.CarbonDioxideMass(l.raw.Solution.CO2())), false, c.book.of("CO2_raw")})
	return s
}

func (c *checking) filterStations() (all []Station) {
	for i, f := range c.site.Rig.Filters {
		s := Station{Kind: "filter", Name: capital(filterName(f)), Left: -1, State: NotKnown, Word: "no change date"}
		if i < len(c.base.today.FeedLosses) {
			s.Above = []Fact{{"takes", figure(c.base.today.FeedLosses[i].Drop), false, c.book.of(fmt.Sprintf("d_%d", i+1))}}
		}
		all = append(all, s)
	}
	return all
}

func (c *checking) carbonStation() Station {
	s := Station{Kind: "carbon", Name: "Carbon", Left: -1, State: Fine}
	if contact, err := c.base.rig.carbon.ContactTime(c.base.supplied()); err == nil {
		s.Above = []Fact{{"contact", figure(contact), false, c.book.of("t_c")}}
	}
	for _, v := range c.base.contact {
		if !v.Holds {
			s.State, s.Word = Due, "contact too short"
		}
	}
	if !c.base.chlorine {
		s.Word = "no chlorine to hold"
	}
	if c.site.Rig.Carbon.Passed.Known {
		s.Left = 1 - float64(c.base.rig.carbonUsed)
	}
	return s
}

func (c *checking) softenerStation() Station {
	cycle := c.base.softening.cycle
	s := Station{
		Kind: "softener", Name: "Softener", Left: -1, State: Fine,
		Above: []Fact{{Label: "leaks", Figure: figure(cycle.Leak)}}, Below: []Fact{{Label: "each run", Figure: figure(cycle.Water)}},
	}
	if f, ok := c.softenerFinding(); ok {
		s.State = f.State
	}
	return s
}

func (c *checking) membraneStation(r *Checked) Station {
	l := c.base
	count := max(c.site.Rig.Membrane.Count, 1)
	s := Station{Kind: "membrane", Name: "Membrane", Left: -1, State: Fine, Strength: l.permeate.at25}
	if count > 1 {
		s.Name = fmt.Sprintf("Membrane ×%d", count)
	}
	for _, row := range c.site.Rig.Rows {
		s.Name += fmt.Sprintf(" + %d", max(row.Count, 1))
	}
	if c.site.Rig.Second != nil {
		s.Name = "Two passes"
	}
	s.Above = []Fact{{"makes", figure(l.today.Product().Flow), false, c.book.of("Q_p")}}
	if sample, ok := sampleAt(c.site, "permeate"); ok && sample.Strength.Known() {
		s.Above = append(s.Above, Fact{Label: "read", Figure: readStrength(sample.Strength), Read: true})
	}
	s.Above = append(s.Above, Fact{"", figure(l.permeate.at25), false, c.book.of("k_p")})
	for _, p := range r.Promises {
		if p.Name == "permeate_flow_coldest" {
			s.Below = append(s.Below, Fact{"coldest", p.Band.Value, false, p.Working})
		}
	}
	for _, f := range r.Findings {
		if f.About == "membrane" || f.About == "cold" && f.State == Today {
			s.State, s.Word = f.State, "over a limit"
		}
	}
	if c.base.chlorine && c.base.clock.Ruin.Reached && c.base.clock.Ruin.Time < quantity.Days(730) {
		s.State, s.Word = Today, "chlorine reaches it"
	}
	return s
}

func (c *checking) resinStations(r *Checked) (all []Station) {
	for i, bed := range c.base.rig.beds {
		s := Station{Kind: "resin", Name: "Resin", Left: -1, State: NotKnown, Strength: c.base.polished.at25}
		if len(c.base.rig.beds) > 1 {
			s.Name = []string{"Lead resin", "Lag resin"}[min(i, 1)]
			if i > 0 {
				s.Kind = "resin lag"
			}
		}
		s.Above = []Fact{{Figure: asTold(c.site.Rig.Resin[i].Volume, bed.Volume), Read: true}, {"", figure(c.base.polished.at25), false, c.book.of("k_r")}}
		if sample, ok := sampleAt(c.site, "polished"); ok && i == len(c.base.rig.beds)-1 && sample.Strength.Known() {
			s.Above = append(s.Above, Fact{Label: "read", Figure: readStrength(sample.Strength), Read: true})
		}
		if r.Resin != nil && i == 0 {
			s.Below = []Fact{{"lasts", r.Resin.Days.Value, false, c.book.of("t_r")}, {"label says", r.Resin.LabelDays, false, c.book.of("t_l")}}
			s.State, s.Word = Fine, ""
			if quantity.Time(resinDays(c, c.base)) < shortLife {
				s.State, s.Word = Due, "every "+c.words(r.Resin.Days.Value)
			}
		}
		all = append(all, s)
	}
	return all
}

func (c *checking) tankStation() Station {
	st := c.base.store
	s := Station{
		Kind: "vented tank", Name: "Tank", Left: -1, State: Fine, Strength: c.base.tank.at25,
		Above: []Fact{{Figure: figure(st.volume), Read: true}},
	}
	if !st.vented {
		s.Kind = "pressurised tank"
		s.Above = append(s.Above, Fact{"pushes back", figure(st.back), false, c.book.of("p_back")})
	} else {
		s.Stop = float64(st.tank.Stop) / float64(st.tank.Total)
		s.Start = float64(st.tank.Start) / float64(st.tank.Total)
	}
	share := float64(c.years.ShortShare.Mean)
	s.Below = []Fact{{"short of water", shortOfWater(share), false, c.book.of("s_short")}}
	if total := float64(st.tank.Total); total > 0 {
		s.Left = float64(c.base.year.LevelAt(c.base.demand.PeakHour, 0.5)) / total
	}
	switch {
	case share > 0.05:
		s.State, s.Word = Today, "runs dry"
	case share > 0.005:
		s.State, s.Word = Due, "runs short on busy days"
	}
	return s
}

// never is a share of nothing at all, in a word.
type never struct{}

func (never) Text(quantity.System, quantity.Locale) string { return "never" }

func (never) Plain(quantity.System) (float64, string) { return 0, "1" }

func shortOfWater(share float64) Figure {
	if share == 0 {
		return never{}
	}
	return figure(quantity.Ratio(share))
}

func (c *checking) gunStation(r *Checked) Station {
	l := c.base
	s := Station{
		Kind: "gun", Name: "Guns", Left: -1, State: Fine, Strength: l.gun.at25,
		Above: []Fact{{"each", figure(l.delivery.GunFlow), false, c.book.of("q_n")}, {Figure: figure(l.gun.at25)}},
	}
	if l.dried.known {
		s.Below = append(s.Below, Fact{"leaves", perArea{l.dried.left}, false, c.book.of("m_r")})
	}
	for _, p := range r.Promises {
		if p.Name == "cost_per_rinse" {
			s.Below = append(s.Below, Fact{"a rinse costs", p.Band.Value, false, p.Working})
		}
	}
	for _, f := range r.Findings {
		if (f.About == "gun" || f.About == "guns") && f.State != Fine {
			s.State, s.Word = f.State, map[string]string{"gun": "above target", "guns": "weak together"}[f.About]
		}
	}
	return s
}
