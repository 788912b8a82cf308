package cli

import (
	"fmt"
	"time"

	"rinsewright/demand"
	"rinsewright/quantity"
)

// How the tank door answers.
const (
	tankSimulated   = "simulate"
	tankExponential = "exponential"
	tankConstant    = "constant"
	tankOnOff       = "on-off"
)

var tankDoor = calcDoor{
	name: "tank", about: "how often a tank runs short: years simulated, or the exact law of a simple one",
	notes: "`simulate` takes the columns of demand and the tank's. The three exact laws are of a tank that may borrow without limit, with vends at random: " +
		"`exponential` or `constant` lumps (every_min, lump_L, make_up_cold_L_min, deficit_L), or `on-off`, one bay whose draws and pauses last exponentially long " +
		"(on_min, off_min, gun_L_min, make_up_cold_L_min, deficit_L). They bound from above what a tank does that stops its pump when empty. " +
		"A simulation of forty years takes a good part of a second a row.",
	keys: []calcColumn{idColumn},
	inputs: append(append([]calcColumn{
		wordColumn("method", "how to answer", tankSimulated, tankSimulated, tankExponential, tankConstant, tankOnOff),
		needColumn("make_up_cold_L_min", "L/min", "flow into the tank when coldest", 1e-6, 1e5),
		mayColumn("make_up_warm_L_min", "L/min", "flow into the tank half a year later; empty is as when cold", 1e-6, 1e5, ""),
		wholeColumn(mayColumn("coldest_month", "", "1 to 12; January is assumed", 1, 12, "")),
		mayColumn("tank_L", "L", "volume to the overflow", 0.1, 1e8, ""),
		mayColumn("stop_L", "L", "make-up stops; give all four levels or none", 0, 1e8, ""),
		mayColumn("start_L", "L", "make-up restarts", 0, 1e8, ""),
		mayColumn("cut_off_L", "L", "the pump stops", 0, 1e8, ""),
		mayColumn("restart_L", "L", "the pump may run again", 0, 1e8, ""),
		mayColumn("pump_L_min", "L/min", "most that the pump delivers; empty for no limit", 1e-6, 1e6, ""),
		wholeColumn(mayColumn("years", "", "years simulated; 40 is assumed", 2, 1000, "")),
		mayColumn("day_to_day_share", "", "how far days of one kind differ beyond chance, one standard deviation", 0, 2, "0"),
		mayColumn("risk", "", "chance of a year with a short vend that is accepted; asks for usable_needed_L and good_until_day, twenty times the work", 1e-3, 0.999, ""),
		wholeColumn(mayColumn("regeneration_every_d", "d", "a softener or filter takes the make-up at night every so many days", 1, 365, "")),
		mayColumn("regeneration_min", "min", "for so long, from two in the morning", 1, 1440, "90"),
		wholeColumn(mayColumn("membrane_out_d", "d", "what if: no make-up for so many days, the last the busiest", 1, 30, "")),
		mayColumn("power_cut_min", "min", "what if: no power from the peak hour of the busiest day on", 1, 1440, ""),
		wholeColumn(mayColumn("seed", "", "of the simulation: the same seed gives the same answer", 0, 9e15, "1")),
	}, answerColumns()...),
		mayColumn("every_min", "min", "mean time between vends", 1e-6, 1e8, ""),
		mayColumn("lump_L", "L", "mean water of a vend", 1e-6, 1e8, ""),
		mayColumn("on_min", "min", "mean length of a draw", 1e-6, 1e8, ""),
		mayColumn("off_min", "min", "mean pause between draws", 1e-6, 1e8, ""),
		mayColumn("deficit_L", "L", "asks how often more than this is missing", 0, 1e9, ""),
	),
	results: tankResults,
	flags:   []string{"--log"},
	compute: tankAnswer,
}

var tankResults = []calcColumn{
	resultColumn("load", "", "water asked for over make-up; of a simulation, in the busiest hour"),
	resultColumn("deficit_probability", "", "share of time that more than deficit_L is missing; exact laws only"),
	resultColumn("mean_deficit_L", "L", "mean volume below full; lumps only"),
	resultColumn("usable_L", "L", "between full and the pump's cut-off; simulations only, as all that follow"),
	resultColumn("float_differential_L", "L", "between stop and restart of make-up"),
	resultColumn("fill_min", "min", "to make the usable volume when coldest, with no draw"),
	resultColumn("short_year", "", "vends a year cut or refused for want of water"),
	resultColumn("short_low", "", "low end, 95 % of the simulation"),
	resultColumn("short_high", "", "high end"),
	resultColumn("short_share", "", "short vends over vehicles"),
	resultColumn("run_dry", "", "chance of a year with any short vend"),
	resultColumn("run_dry_low", "", "low end, 95 % of the simulation"),
	resultColumn("run_dry_high", "", "high end"),
	resultColumn("worst_day_short", "", "most short vends on a day of any year"),
	resultColumn("turned_away_year", "", "vehicles a year that found no bay"),
	resultColumn("starts_day", "", "starts of make-up a day"),
	resultColumn("starts_busiest_day", "", "most on a day"),
	resultColumn("run_per_start_min", "min", "running time of make-up per start"),
	resultColumn("at_full_share", "", "share of the year at full"),
	resultColumn("recovery_min", "min", "from empty to full; empty where the tank never emptied"),
	resultColumn("lowest_L", "L", "lowest level of any year"),
	resultColumn("delivered_L", "L", "a year"),
	resultColumn("made_L", "L", "a year"),
	resultColumn("run_dry_busiest", "", "chance that the busiest day has a short vend"),
	resultColumn("short_busiest", "", "short vends on the busiest day"),
	resultColumn("dry_hour", "", "clock hour in which most vends lose their water; empty if none does"),
	resultColumn("usable_needed_L", "L", "usable volume that keeps the risk asked; empty without one"),
	resultColumn("good_until_day", "", "vends on the busiest day until which this tank keeps the risk asked; empty without one"),
	resultColumn("run_dry_bound", "", "upper limit on the share of time dry, were the busiest hour to last"),
	assumedColumn,
}

func tankAnswer(s calcSetting, r calcRow) (calcAnswer, error) {
	if r.text("method") != tankSimulated {
		return exactTank(r)
	}
	if !r.has("tank_L") {
		return nil, fmt.Errorf("tank_L: nothing read, wanted a number to %s", tankSimulated)
	}
	answers, err := answersOf(r)
	if err != nil {
		return nil, err
	}
	litres := func(name string) quantity.Volume { return quantity.Litres(r.number(name)) }
	flow := func(name string) quantity.Flow { return quantity.LitresPerMinute(r.number(name)) }
	whatIf, err := interruptionsOf(s, r, answers)
	if err != nil {
		return nil, err
	}
	got := demand.CalcTank(s.ctx, []demand.TankRow{{
		DayToDay: quantity.Ratio(r.number("day_to_day_share")), Risk: quantity.Ratio(r.number("risk")), Interruptions: whatIf,
		Answers: answers, Log: s.vends,
		Tank: demand.Tank{
			Total: litres("tank_L"), Stop: litres("stop_L"), Start: litres("start_L"), CutOff: litres("cut_off_L"), Restart: litres("restart_L"),
			Pump: flow("pump_L_min"),
		},
		MakeUpCold: flow("make_up_cold_L_min"), MakeUpWarm: flow("make_up_warm_L_min"), ColdestMonth: time.Month(r.number("coldest_month")),
		Years: int(r.number("years")), Seed: uint64(r.number("seed")),
	}})[0]
	if got.Err != nil {
		return nil, got.Err
	}
	return simulatedTank(got), nil
}

func simulatedTank(got demand.TankResult) calcAnswer {
	p := got.Replication
	var recovery any
	if p.MeanRecovery.Mean > 0 {
		recovery = p.MeanRecovery.Mean.Minutes()
	}
	var dryHour, needed, good any
	if p.Short.Mean > 0 {
		dryHour = p.DryHour
	}
	if got.Needed > 0 {
		needed, good = got.Needed.Litres(), got.Good.BusiestDay
	}
	return calcAnswer{
		got.Bound.Load, nil, nil,
		got.Usable.Litres(), got.Tank.FloatDifferential().Litres(), got.Fill.Minutes(),
		p.Short.Mean, p.Short.Low, p.Short.High, float64(p.ShortShare.Mean),
		float64(p.RunDry.Mean), float64(p.RunDry.Low), float64(p.RunDry.High), p.WorstDayShort, p.TurnedAway.Mean,
		p.StartsPerDay.Mean, p.StartsBusiestDay.Mean, p.RunPerStart.Mean.Minutes(), float64(p.AtFull.Mean), recovery,
		p.LowestLevel.Litres(), p.Delivered.Mean.Litres(), p.Made.Mean.Litres(),
		float64(p.RunDryBusiest.Mean), p.ShortBusiest.Mean, dryHour, needed, good, float64(got.Bound.AtMost), assumedText(got.Assumed),
	}
}

// exactTank answers by the law of a tank that may borrow.
func exactTank(r calcRow) (calcAnswer, error) {
	wanted := []string{"every_min", "lump_L", "deficit_L"}
	if r.text("method") == tankOnOff {
		wanted = []string{"on_min", "off_min", "gun_L_min", "deficit_L"}
	}
	for _, name := range wanted {
		if !r.has(name) {
			return nil, fmt.Errorf("%s: nothing read, wanted a number for method %q", name, r.text("method"))
		}
	}
	makeUp, x := quantity.LitresPerMinute(r.number("make_up_cold_L_min")), quantity.Litres(r.number("deficit_L"))
	if r.text("method") == tankOnOff {
		return onOffTank(r, makeUp, x)
	}
	every, lump := quantity.Minutes(r.number("every_min")), quantity.Litres(r.number("lump_L"))
	law, spread := demand.DeficitExponential, quantity.Ratio(1)
	if r.text("method") == tankConstant {
		law, spread = demand.DeficitConstant, 0
	}
	p, err := law(every, lump, makeUp, x)
	if err != nil {
		return nil, err
	}
	mean, err := demand.MeanDeficit(every, lump, spread, makeUp)
	if err != nil {
		return nil, err
	}
	return exactAnswer(float64(lump)/(float64(every)*float64(makeUp)), float64(p), mean.Litres()), nil
}

func onOffTank(r calcRow, makeUp quantity.Flow, x quantity.Volume) (calcAnswer, error) {
	on, off, draw := quantity.Minutes(r.number("on_min")), quantity.Minutes(r.number("off_min")), quantity.LitresPerMinute(r.number("gun_L_min"))
	p, err := demand.DeficitOnOff(on, off, draw, makeUp, x)
	if err != nil {
		return nil, err
	}
	load := float64(draw) / float64(makeUp) * float64(on) / float64(on+off)
	return exactAnswer(load, float64(p), nil), nil
}

// exactAnswer leaves empty what only a simulation answers.
func exactAnswer(load, probability float64, mean any) calcAnswer {
	a := make(calcAnswer, len(tankResults))
	a[0], a[1], a[2] = load, probability, mean
	return a
}
