package site

import (
	"fmt"

	"rinsewright/quantity"
)

// Problem is one rule that a record breaks: which key, what it says, what
// would be right.
type Problem struct {
	Key     string // "supply.running_pressure"
	Read    string
	Wanted  string
	Example string
}

// Error tells the problem as one line.
func (p Problem) Error() string {
	text := "read " + p.Read + "; wanted " + p.Wanted
	if p.Example != "" {
		text += ", for example " + p.Example
	}
	return text
}

// Problems returns every rule that the record breaks across its fields. Single
// values are judged where they are read.
func (s *Site) Problems() []Problem {
	var ps []Problem
	add := func(bad bool, key, read, wanted, example string) {
		if bad {
			ps = append(ps, Problem{key, read, wanted, example})
		}
	}
	add(s.Name == "", "site.name", "a site without a name", "a name", `name = "Gull Point wash"`)
	u := s.Supply
	add(u.StaticPressure.Known && u.RunningPressure.Known && u.RunningPressure.Value > u.StaticPressure.Value,
		"supply.running_pressure", fmt.Sprintf("running_pressure %q above static_pressure %q", u.RunningPressure.Typed, u.StaticPressure.Typed),
		"a running pressure at or below the static one", `running_pressure = "48 psi"`)
	add(u.RunningPressure.Known && !u.RunningFlow.Known, "supply.running_pressure", "running_pressure without running_flow",
		"the flow at which it was read", `running_flow = "4 gpm"`)
	add(u.Coldest.Known && u.Warmest.Known && u.Coldest.Value > u.Warmest.Value, "supply.coldest",
		fmt.Sprintf("coldest %q above warmest %q", u.Coldest.Typed, u.Warmest.Typed), "the coldest month no warmer than the warmest", `coldest = "6 C"`)
	ps = append(ps, s.demandProblems()...)
	ps = append(ps, s.sampleProblems()...)
	ps = append(ps, s.commissioningProblems()...)
	return append(ps, s.rigProblems()...)
}

func (s *Site) demandProblems() (ps []Problem) {
	d := s.Demand
	if d.NormalDay > 0 && d.BusiestDay > 0 && d.BusiestDay < d.NormalDay {
		ps = append(ps, Problem{"demand.busiest_day", fmt.Sprintf("busiest_day %d below normal_day %d", d.BusiestDay, d.NormalDay), "at least as many vehicles on the busiest day", "busiest_day = 30"})
	}
	if (d.FirstMonth == 0) != (d.LastMonth == 0) {
		ps = append(ps, Problem{"demand.first_month", "one end of the season", "both first_month and last_month, or neither", "first_month = 5"})
	}
	if d.Opens != "" && d.Closes != "" && d.Opens >= d.Closes {
		ps = append(ps, Problem{"demand.closes", fmt.Sprintf("closes %q at or before opens %q", d.Closes, d.Opens), "closing after opening on the same day", `closes = "20:00"`})
	}
	return ps
}

func (s *Site) sampleProblems() (ps []Problem) {
	for i, w := range s.Samples {
		key := func(k string) string { return fmt.Sprintf("sample.%d.%s", i+1, k) }
		if w.Place == "" {
			ps = append(ps, Problem{fmt.Sprintf("sample.%d", i+1), "a sample without a place", "where it was taken", `place = "raw"`})
		}
		if w.Strength.PPM.Known && w.Strength.Conductivity.Known {
			ps = append(ps, Problem{key("conductivity"), "strength and conductivity for one sample", "one of the two: what the meter showed", `conductivity = "590 uS/cm"`})
		}
		if w.FreeChlorine.Known && w.TotalChlorine.Known && w.FreeChlorine.Value > w.TotalChlorine.Value {
			ps = append(ps, Problem{key("free_chlorine"), "free chlorine above total chlorine", "free at or below total", `total_chlorine = "2 mg/L"`})
		}
	}
	return ps
}

func (s *Site) rigProblems() (ps []Problem) {
	r := s.Rig
	if t := r.Tank; t != nil {
		ps = append(ps, t.problems()...)
	}
	if c := r.Restrictor; c != nil && r.Membrane == nil {
		ps = append(ps, Problem{"restrictor", "a restrictor without a membrane", "the membrane whose concentrate it holds back", "[membrane]"})
	}
	if c := r.Restrictor; c != nil && c.Kind == "capillary" && c.Bore.Known != c.Length.Known {
		ps = append(ps, Problem{"restrictor.bore", "half a capillary", "both bore and length", `bore = "0.6 mm"`})
	}
	return append(ps, r.problems()...)
}

// problems are those of the parts that hang on a membrane.
func (r *Rig) problems() (ps []Problem) {
	need := func(there bool, key, read, wanted, example string, without bool) {
		if there && without {
			ps = append(ps, Problem{key, read, wanted, example})
		}
	}
	need(len(r.Rows) > 0, "row", "a row without a membrane", "the membrane whose feed it shares", "[membrane]", r.Membrane == nil)
	need(r.Recycle != nil, "recycle", "a recycle without a booster", "the pump that it returns to", "[booster]", r.Booster == nil)
	need(r.Second != nil, "second_pass", "a second pass without a membrane", "the membrane whose permeate it takes", "[membrane]", r.Membrane == nil)
	need(r.SecondPump != nil, "second_pump", "a pump between passes without a second pass", "the second pass", "[second_pass]", r.Second == nil)
	need(r.Flush != nil, "flush", "a flush valve without a membrane", "the membrane that it sweeps", "[membrane]", r.Membrane == nil)
	k := r.Controls
	if k == nil {
		return ps
	}
	need(k.FloatStops == "booster", "controls.float_stops", "a float that stops a booster which is not there", "the booster, or \"inlet valve\"", `float_stops = "inlet valve"`, r.Booster == nil)
	need(k.LowPressure != "" && k.LowPressure != NoControl, "controls.low_pressure_cut_out", "a cut-out without a booster", "the booster that it stops", "[booster]", r.Booster == nil)
	need(k.FlushValve != "" && k.FlushValve != NoControl, "controls.flush_valve", "a flush valve without [flush]", "what the valve lets through", "[flush]", r.Flush == nil)
	need(k.TripsAt.Known && k.ResetsAt.Known, "controls.resets_at", fmt.Sprintf("resets_at %q at or below trips_at %q", k.ResetsAt.Typed, k.TripsAt.Typed),
		"a reset above the trip", `resets_at = "20 psi"`, k.ResetsAt.Value <= k.TripsAt.Value)
	return ps
}

func (t *Tank) problems() (ps []Problem) {
	order := []struct {
		key        string
		low, high  quantity.Entry[quantity.Volume]
		lowN, hiN  string
		mustBeLess bool
	}{
		{"tank.start", t.Start, t.Stop, "start", "stop", true},
		{"tank.stop", t.Stop, t.Volume, "stop", "volume", false},
		{"tank.low_cut", t.LowCut, t.Start, "low_cut", "start", true},
	}
	for _, o := range order {
		if !o.low.Known || !o.high.Known {
			continue
		}
		if o.low.Value > o.high.Value || o.mustBeLess && o.low.Value == o.high.Value {
			ps = append(ps, Problem{o.key, fmt.Sprintf("%s %q not below %s %q", o.lowN, o.low.Typed, o.hiN, o.high.Typed), "levels in the order low_cut < start < stop ≤ volume", `start = "230 gal"`})
		}
	}
	if t.StartAt.Known && t.StopAt.Known && t.StartAt.Value >= t.StopAt.Value {
		ps = append(ps, Problem{"tank.start_at", fmt.Sprintf("start_at %q not below stop_at %q", t.StartAt.Typed, t.StopAt.Typed), "a start pressure below the stop pressure", `start_at = "20 psi"`})
	}
	return ps
}
