// Package working holds how a number came about, as data: the formula in
// symbols, the same formula's inputs with units and origin, and its source.
// The engine fills it; screens and papers draw it. Nothing here computes.
package working

// Origin says where an input came from.
type Origin string

// The origins a person can tell apart.
const (
	Read     Origin = "read"     // a meter or a person on site
	Reported Origin = "reported" // a data sheet, a utility, a laboratory
	Assumed  Origin = "assumed"  // nobody said; the engine chose a default
	Computed Origin = "computed" // another step
)

// Input is one symbol of a step's formula.
type Input struct {
	Symbol string  `json:"symbol"`
	Name   string  `json:"name"`
	Value  float64 `json:"value"`
	Unit   string  `json:"unit"`
	Origin Origin  `json:"origin"`
	// Step is the id of the step that computed the input, when Origin is Computed.
	Step string `json:"step,omitempty"`
}

// Step is how one number came about. Formula is arithmetic over the inputs'
// symbols: + - * / ^, parentheses and exp, ln, log10, sqrt, floor; it gives
// Value in Unit from the inputs' values in their units, so that a reader with
// a pocket calculator can repeat it. A step with Solved set has no closed
// formula: Solved says in words what was solved, and Formula is empty.
type Step struct {
	ID      string  `json:"id"`
	Name    string  `json:"name"`
	Symbol  string  `json:"symbol"`
	Value   float64 `json:"value"`
	Unit    string  `json:"unit"`
	Formula string  `json:"formula,omitempty"`
	Solved  string  `json:"solved,omitempty"`
	Inputs  []Input `json:"inputs"`
	Source  string  `json:"source"`
	Limits  string  `json:"limits,omitempty"`
}
