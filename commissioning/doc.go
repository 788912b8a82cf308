// Package commissioning judges a rig on the day it starts: whether its meters
// agree with each other, and whether it keeps each promise, given how well the
// meters read. Everything here is cheap enough to run at every key stroke.
//
// # Decision rule
//
// A promise is a tolerance interval T: a lower limit, an upper limit or both. A
// reading y with standard uncertainty u (normal) conforms with probability
//
//	p = Φ((T_U − y)/u) − Φ((T_L − y)/u)
//
// and is accepted where p is at least 95 %, which on one side is an acceptance
// limit moved inwards by a guard band w = 1.645 u:
//
//	holds                      p ≥ 95 %
//	holds within doubt         the reading lies inside T, p below that
//	can't tell                 outside T, p above 5 %; or two limits closer than 2 w
//	falls short                p ≤ 5 %
//
// Balances come first: readings that break the conservation of water or salt
// question the meters, and no verdict is made of a meter under question.
//
// # Symbols
//
//	y u      a reading and its standard uncertainty
//	T w      tolerance limits, guard band
//	Q_f Q_p Q_c   feed, permeate, concentrate flow
//	k_f k_p k_c   their strengths
//
// Sources:
//
//   - [JCGM106] JCGM 106:2012, the role of measurement uncertainty in conformity assessment
//   - [GUM] JCGM 100:2008, guide to the expression of uncertainty in measurement
//   - [FieldPractice] common practice, no source: how well usual field instruments read
package commissioning
