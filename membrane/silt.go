package membrane

import "rinsewright/quantity"

// Silt is the outcome of a silt density test: a 0.45 µm filter at 207 kPa,
// timed for 500 mL at the start and again after the elapsed time.
type Silt struct {
	Index   float64        // % of flow lost per minute
	Plugged quantity.Ratio // of the flow lost in all
	Valid   bool           // at most 75 % plugged; if not, repeat with 10 or 5 min
	Strict  bool           // the second timing is at most twice the first, as some procedures ask
}

// SiltDensity returns the silt density index from the first and the last
// timing and the minutes between:
//
//	SDI = 100 (1 − t_i/t_f) / T
//
// Below 3 is good, 3 to 5 marginal, above 5 poor ([Practice]). Source: [D4189],
// form; its limit of 75 % from memory. Meant for turbidity below 1 NTU. The
// error wraps [ErrRange] unless 0 < t_i ≤ t_f and T is 1 to 60 min.
func SiltDensity(first, last, elapsed quantity.Time) (Silt, error) {
	err := within("membrane: silt density",
		bound{"first timing", float64(first), 0.1, 36000, "s"},
		bound{"last timing", float64(last), float64(first), 360000, "s"},
		bound{"elapsed", float64(elapsed), 60, 3600, "s"})
	if err != nil {
		return Silt{}, err
	}
	plugged := 1 - float64(first)/float64(last)
	return Silt{
		Index:   100 * plugged / elapsed.Minutes(),
		Plugged: quantity.Ratio(plugged),
		Valid:   plugged <= 0.75,
		Strict:  last <= 2*first,
	}, nil
}
