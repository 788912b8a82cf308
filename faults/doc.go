// Package faults says what may be wrong with a rig, how surely, and which test
// settles it soonest. Each [Cause] is a change of the parameters of the plant
// model, the same wear that the tracker estimates; its readings come from the
// model and from nowhere else.
//
// # Method
//
// A rig is a state x: permeabilities, restrictor, filters, waters, resin, tank,
// guns, and how the instruments are off. The model f gives the readings of a
// state. A baseline, where there is one, is fitted first (Gauss-Newton, healthy
// rig). Then each cause k moves the state by its severity s, and around each
//
//	y = f(x_k(s)) + J (x − x_k) + ε     x ~ N(m, P + drift)     ε ~ N(0, R)
//
// so that its likelihood is that of a normal with covariance J P Jᵀ + R, made
// heavy-tailed (Student) so that one bad reading decides nothing. Severity is
// integrated by four nodes, each as wide as its share. A reading that was not
// taken has no row. Pairs of the likeliest causes are tried together.
//
// Symbols: A, B water and salt permeability over new; y a reading on a scale
// on which its error is about constant.
//
// # Limits
//
// One linearisation per cause: where the doubt is wide (no baseline, nothing
// noted) the model bends within it, and probabilities are tempered for that.
// Causes that no reading shows are told by words or not at all. Priors and
// phrases are common practice, not counts.
//
// Sources:
//   - [TradeFaults] signatures of failures and accuracy of field readings.
//   - [LangeLittleTaylor1989] robust modelling with the t distribution.
//   - [Maron1961] what a text is about, from its words taken for independent.
package faults
