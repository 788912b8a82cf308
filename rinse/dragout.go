package rinse

import "rinsewright/quantity"

// DragOut is the water that stays on a panel, by how it hangs and drains.
type DragOut struct {
	Position string
	Drained  string
	Film     quantity.Length
}

// gallonPer1000SquareFeet is a film of one US gallon on 1000 ft²: 40.746 µm.
const gallonPer1000SquareFeet = 3.785411784e-3 / 92.90304 // m³/m²

// DragOuts returns the usual drag-out table, in gallons per 1000 square feet
// 0.4 to 10.
//
// Source: [PlatingHandbook] (from memory, unverified). Metal parts lifted from a
// tank; a wax or coating changes all of them.
func DragOuts() []DragOut {
	return []DragOut{
		{"vertical", "well", 0.4 * gallonPer1000SquareFeet},
		{"vertical", "poorly", 2.0 * gallonPer1000SquareFeet},
		{"vertical", "very poorly", 4.0 * gallonPer1000SquareFeet},
		{"horizontal", "well", 0.8 * gallonPer1000SquareFeet},
		{"horizontal", "very poorly", 10 * gallonPer1000SquareFeet},
	}
}
