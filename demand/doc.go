// Package demand says how much spot-free water a site asks for and whether a
// tank can give it: bays, vends and arrivals through the day, week and year; a
// tank with a float and a low-level cut-off over time; and exact queueing
// results that the simulation is held against.
//
// A bay sells minutes. A vehicle arrives, takes a free bay or waits, and the
// last part of its vend draws spot-free water from the shared tank. What the
// bays do does not depend on the tank: a vend whose water fails keeps its bay
// until its minutes are up. So the draw is a given process and the tank's level
// follows from it, which makes two tanks comparable on the same arrivals.
//
// # Simulation
//
// [SimulateYear] moves from event to event (arrival, gun opens, vend ends, the
// level meets a float, a new hour), never by a time step. Between events every
// flow is constant, so the level is exactly piecewise linear. A year has 365
// days; day 0 is 1 January. The only approximation is that rates of arrival are
// constant within a clock hour and make-up is constant within a day; where the
// tank pushes back, make-up is also constant within a slice of the tank.
//
// [Simulate] runs one year of a [Case]: a profile with its groups of outlets, a
// tank, make-up, back-pressure, interruptions. [Repeat] and [RepeatTo] run many
// and give intervals; [MapRisk], [GoodUntil] and [GapForStarts] answer what more
// tank, more make-up, more customers or another float would do. [FitLog] makes
// the profile from a vend log, with the doubt of each factor.
//
// # Symbols
//
//	λ  vends per time            r  make-up flow
//	S  water of one vend         ρ  load, λ E[S] / r
//	D  deficit below full        V  usable volume
//	A  offered load in erlangs   N  bays
//
// # Limits
//
// Customers do not learn: a short vend brings nobody back and drives nobody
// away. Bays of one group are alike. A pressurised tank is described by its
// drawdown and, as back-pressure, by what its air takes from make-up; the fall
// of gun flow with its pressure is not followed. A year starts full.
//
// Sources:
//   - [Erlang1917] A. K. Erlang, loss and delay formulas.
//   - [PollaczekKhinchine] mean of the M/G/1 workload.
//   - [Tripos2004] University of Cambridge, Mathematical Tripos 2004, workload
//     of M/M/1.
//   - [Franx2001] waiting time of M/D/c as a sum of positive terms.
//   - [Ramaswami1988] stable recursion for M/G/1 queue lengths.
//   - [AnickMitraSondhi1982] fluid with on-off sources.
//   - [Lundberg] exponential bound on a workload's tail.
//   - [Wilson1927] interval for a share.
//   - [McCullaghNelder1989] Poisson counts by weekday, month and trend.
//   - [TradeTable] table of field facts and rules of thumb of the trade.
package demand
