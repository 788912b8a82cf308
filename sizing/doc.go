// Package sizing finds, among all systems that can be put together from lists
// of parts, those that hold every constraint, and picks three: least first
// cost, least cost over the years, most headroom. It knows no station: whoever
// asks hands in stages, each with its options and a function that judges them.
//
// The search is best first, by branch and bound. A system is decided stage by
// stage; a partial system carries what its parts cost, the least that its
// remaining stages can add, and the largest share of any limit it uses so far.
// It is set aside only when no completion of it can be a pick, explain one, or
// stand on the frontier between first and yearly cost. So the picks are those
// of trying everything, and a test holds the search against doing that.
//
// Symbols:
//
//	C₁  first cost          C_y  yearly cost        n  years
//	C   cost over the years, C₁ + a C_y             i  rate of discount
//	a   present value of 1 a year, (1 − (1+i)^−n)/i
//	u   share of a limit that is used; above 1 it is broken
//	h   headroom, 1 − max u
//
// A constraint binds a pick when a system that breaks this constraint alone
// would beat it: relax that one and the cheaper system comes in.
//
// Limits: bounds are only as true as the stages' word that cost and use of
// limits never fall as a system is completed.
//
// Sources: [BranchAndBound] for the method.
package sizing
