// Package rinse says what a spot-free rinse leaves on a panel: the film that
// stays after draining, how far the rinse has displaced what was there before,
// and the solids left when the film dries.
//
// The wash film must be displaced, not diluted: what is left falls with the
// litres of rinse per square metre, so seconds per side is a quality number.
// Rinse per area is told as a depth: one litre per square metre is one
// millimetre.
//
// No published threshold for visible spots is known, in mg/m² or otherwise, so
// every limit here is the user's to set. [Surfaces] holds what circulates in
// the trade as a start. The strength that dries counts all dissolved solids,
// silica included, which a pen hardly sees.
//
// # Symbols
//
//	h   film thickness          C   dissolved solids, by mass
//	μ   viscosity               V   rinse per area
//	ρ   density                 h0  film being displaced
//	z   distance from the top   θ   contact angle
//
// # Limits
//
// Films are on clean, smooth, upright panels. A sheeting surface dries as a
// film, a beading one as drops, whose solids end at the drops' edges: the same
// mg/m² can be clear on one and dotted on the other. Wind, hot panels and
// soap are not followed.
//
// Sources:
//   - [Jeffreys1930] drainage of a film on a vertical plate.
//   - [PlatingHandbook] table of drag-out by position and draining.
//   - [TradeTable] table of field facts and rules of thumb of the trade.
package rinse
