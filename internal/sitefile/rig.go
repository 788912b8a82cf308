package sitefile

import (
	"rinsewright/quantity"
	"rinsewright/site"
)

// The parts of a rig that few walls have: unlike rows, recycle, a second pass, a
// flush valve, and the controls.

func rowFields(s *site.Site, index int) []field {
	return withoutKey(withoutKey(membraneFields(grown(&s.Rig.Rows, index)), "parallel"), "age")
}

func recycleFields(r *site.Recycle) []field {
	return []field{
		entry("flow", "that comes back", "1 gpm", &r.Flow, quantity.LitresPerMinute(0.01), quantity.LitresPerMinute(500)),
		entry("pressure", "across its valve at that flow", "60 psi", &r.Pressure, quantity.Bar(0.1), quantity.Bar(60)),
	}
}

// secondFields are the membrane's own, and its restrictor's under keys that say so.
func secondFields(p *site.Second) []field {
	fields := withoutKey(membraneFields(&p.Membrane), "age")
	return append(
		fields,
		entry("drain_flow", "concentrate flow of this pass", "0.3 gpm", &p.Restrictor.Flow, quantity.LitresPerMinute(0.01), quantity.LitresPerMinute(200)),
		entry("drain_pressure", "at which its restrictor has that flow", "60 psi", &p.Restrictor.Pressure, quantity.Bar(0.2), quantity.Bar(60)),
		entry("drain_recovery", "what it was set to, when flow is not known", "75 %", &p.Restrictor.Recovery, quantity.Ratio(0.03), quantity.Ratio(0.97)),
	)
}

func flushFields(f *site.Flush) []field {
	return []field{
		entry("flow", "through the valve", "3 gpm", &f.Flow, quantity.LitresPerMinute(0.05), quantity.LitresPerMinute(1000)),
		entry("pressure", "across it at that flow", "10 psi", &f.Pressure, quantity.Bar(0.05), quantity.Bar(40)),
		entry("lasts", "how long it stays open", "30 s", &f.Lasts, quantity.Time(1), quantity.Hours(1)),
		count("per_day", "how often", &f.PerDay, 1, 500, 4),
	}
}

func controlFields(c *site.Controls) []field {
	found := func(key, says string, at *site.Control) field {
		return choice(key, says, at, site.Sound, site.NoControl, site.StuckOn, site.StuckOff)
	}
	return []field{
		found("float", "float or level switch of the tank", &c.Float),
		choice("float_stops", "what it acts on", &c.FloatStops, "inlet valve", "booster"),
		found("inlet_valve", "solenoid on the feed", &c.InletValve),
		found("shut_off_valve", "auto shut-off valve that the permeate's pressure closes", &c.ShutOff),
		found("low_pressure_cut_out", "switch at the booster's suction", &c.LowPressure),
		entry("trips_at", "suction pressure at which it stops the booster", "10 psi", &c.TripsAt, quantity.Bar(0), quantity.Bar(6)),
		entry("resets_at", "suction pressure at which it lets it start again", "20 psi", &c.ResetsAt, quantity.Bar(0), quantity.Bar(8)),
		found("low_level_cut_off", "switch that keeps the delivery pump from running dry", &c.LowLevel),
		found("vend_timer", "lets water run for what was paid", &c.VendTimer),
		found("flush_valve", "opens at a flush only", &c.FlushValve),
		entry("divert", "permeate goes to the drain for so long after a start", "3 min", &c.Divert, 0, quantity.Hours(2)),
	}
}
