// Package hydraulics tells what pressure the path takes and what flow it gives:
// pipe and tube, fittings, valves, guns, filters, restrictors, the city main,
// pumps, and small networks of them.
//
// Every part that takes pressure is a [Resistance]; every part that gives it is
// a [Supply]. A loss is a [quantity.Pressure] and has the sign of the flow.
// Pressures are gauge or difference, save where "absolute" is said. The water
// comes in as a [Fluid], so that this package knows nothing of chemistry.
//
// Symbols: Q flow, v mean velocity, d bore, A area of the bore, L length, ε
// roughness, ρ density, μ and ν dynamic and kinematic viscosity, Re = v d/ν
// Reynolds number, f Darcy friction factor (four times Fanning's), K loss in
// velocity heads, C Hazen-Williams coefficient, Δp pressure loss, h head loss,
// g standard gravity.
//
// Limits: steady flow of a liquid in full round pipes; no water hammer, no air.
//
// Caution: water under pressure stores energy. Depressurise before opening a
// housing, a vessel or a line; a pump that cannot slip needs a relief valve.
//
// Sources: [Colebrook1939] C. F. Colebrook, Turbulent flow in pipes, 1939.
// [SwameeJain1976] P. K. Swamee and A. K. Jain, Explicit equations for
// pipe-flow problems, 1976. [Dunlop1991] the transitional cubic of the general
// pipe-network engine, whose results are in testdata/ref.
// [Moody1944] L. F. Moody, Friction factors for pipe flow, 1944.
// [HazenWilliams1905] A. Hazen and G. S. Williams, Hydraulic tables, 1905.
// [Poiseuille1846] J. L. M. Poiseuille, flow in tubes of very small diameter,
// 1846. [Crane410] Flow of fluids through valves, fittings and pipe, technical
// paper 410. [IEC60534] IEC 60534-2-1, sizing equations for control valves.
// [Bachus2003] L. Bachus and A. Custodio, Know and understand centrifugal
// pumps, 2003, ch. 2. [TodiniPilati1988] E. Todini and S. Pilati, A gradient
// algorithm for the analysis of pipe networks, 1988. [ISA1976] U.S. Standard
// Atmosphere, 1976. [TradeNozzle] nozzle-number charts of the trade.
// [TradeHydraulics] common practice of the trade, no source.
package hydraulics
