// Package study answers the questions a technician asks of a site, one function
// a question: a site goes in, a result comes out, and every face of the
// program shows that result. It wires stations into a plant, says what it had
// to assume, and carries the doubt of every reading through the same model.
//
// Nothing here computes a station: that is the stations' own packages. Nothing
// here reads a file, a clock or chance: a seed goes in.
//
// Sources:
//
//	[TradeDefaults] common practice, no source: what a practitioner takes for a part that nobody described
//	[JCGM101] JCGM 101:2008, propagation of distributions by a Monte Carlo method
//	[HyndmanFan1996] Hyndman and Fan, sample quantiles in statistical packages, 1996
//	[Saltelli2008] Saltelli et al., Global Sensitivity Analysis: The Primer, 2008
package study
