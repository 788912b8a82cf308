// Package service watches a plant through its log: what state it is in, what
// was read that does not fit, and when each thing that wears out will be due.
//
// The state of a site is some forty numbers, nearly all of them logarithms,
// since nearly every doubt here is a factor: how much is drawn, how strong the
// feed is, the plant's wear (the same [plant.Wear] that prediction and fault
// finding use), the carbon dioxide that loads the resin unseen, how much each
// bottle holds and has taken. They are kept as one joint normal belief. Time
// moves it: levels wander, clocks run on. Each reading looks at one combination
// of it; the reading's likelihood, with a broad part for slips of pen and hand,
// is multiplied into that combination by quadrature, and the rest follows by
// regression. So a reading of 0, a rounded one, a bottle past its limit and a
// pen misread all count for what they say. What a plant does in a state is
// [plant.Plant.Operate], linearised where the state is and again when it has
// moved; there is no second model.
//
// Clocks (litres since the meter was read, charge on the lead bottle, chlorine
// on the carbon) add up rates. In logarithms a sum of rates is nearly linear,
// exactly so where one rate dominates, which is why they are kept so.
//
// Symbols: x share of a bottle's capacity offered, φ share of a bottle's inlet
// that passes it, w half the width of its front, m and P mean and covariance.
//
// # Sources
//
//   - [Kalman1960], [RauchTungStriebel1965] filtering and smoothing of a normal belief
//   - [Minka2001] taking a reading of any likelihood by matching moments
//   - [BoxTiao1968] readings of which a few are slips
//   - [Practice] trade practice without a citable source
//   - [Memory] from memory, unverified
//
// docs/sources/service.md gives them in full.
//
// Limits: one path, first pass; a belief of one hump, so that of two stories
// that fit alike only their middle and spread are kept. Simulated agreement is
// not field validation; docs/explanation/forecast.md says what was measured.
package service

import "errors"

var (
	// ErrRange is wrapped by errors about an input outside the range that a
	// function states, NaN and infinities included.
	ErrRange = errors.New("out of range")
	// ErrOrder is wrapped when a log is not in order of time.
	ErrOrder = errors.New("not in order of time")
)
