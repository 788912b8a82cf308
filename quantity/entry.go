package quantity

// Entry is what a person said of one quantity: nothing, or a value together
// with the words it came in. A missing entry is never a zero.
type Entry[Q Quantity] struct {
	Value Q
	Typed string // as written; empty when code set the value
	Known bool
}

// Told makes a known entry from a value.
func Told[Q Quantity](v Q) Entry[Q] { return Entry[Q]{Value: v, Known: true} }

// Or returns the value, or d when nobody said.
func (e Entry[Q]) Or(d Q) Q {
	if e.Known {
		return e.Value
	}
	return d
}

// PH is the acidity of a water, dimensionless, -log10 of the hydrogen-ion
// activity.
type PH float64

// KindPH is the kind of [PH].
const KindPH Kind = "pH"

func (PH) kind() Kind { return KindPH }
