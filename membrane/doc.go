// Package membrane is reverse osmosis: an element as its data sheet tells it,
// elements in a train as they stand in a rig, and what wear does to them.
//
// An element's channel is cut into slices from feed to concentrate end. In
// each slice water and salt cross by solution-diffusion from a film whose
// strength the flux itself raises:
//
//	J = A (Δp − Δπ)      Js = B (c_m − c_p)      (c_m − c_p)/(c_b − c_p) = exp(J/k)
//
// with k and the channel's friction from [Schock1987], A and B following
// temperature by Arrhenius. [FromSheet] finds A and B by running this same
// model backwards at the sheet's own test.
//
// [Train.Flows] marches water and one lumped salt: it is fast and allocates
// nothing, for a rig's root finder. [Train.Run] marches the same water and
// lets every ion ride on it, so flows and pressures of the two agree exactly.
//
// # Symbols
//
//	A   water permeability, m/(s·Pa)      J  flux, m/s          Y  recovery
//	B   salt permeability, m/s            k  film transfer, m/s  π  osmotic pressure, Pa
//	c_b bulk, c_m at the membrane, c_p permeate strength       β  c_m/c_b
//
// # Sources
//
//   - [Schock1987] mass transfer and friction in spacer-filled channels.
//   - [ShahLondon1978] laminar flow forced convection in ducts.
//   - [D4516] normalising reverse osmosis performance.
//   - [D4582] concentrate of a stage, by balance.
//   - [D4189] silt density index.
//   - [Banchik2014] closed forms for membranes in counter- and parallel flow.
//   - [Glater1983] chlorine and ozone on reverse osmosis membranes.
//   - [RobinsonStokes] limiting conductances and diffusivities of ions.
//   - [Practice] what the trade commonly uses, no source.
//   - [Memory] a number from memory, unverified.
//
// # Limits
//
// Fresh to brackish feeds (to about 5 g/L), 0 to 60 °C, spiral elements with a
// feed spacer. Local osmotic pressure is the feed's real one scaled by local
// strength, so its coefficient is that of the feed: up to 1 % of π. Nothing
// precipitates here, and pressures must never be exceeded on its word: obey
// the element maker's limits, raise pressure slowly, and never work on a
// housing under pressure.
package membrane
