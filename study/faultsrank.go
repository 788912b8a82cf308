package study

import "rinsewright/faults"

// RankCauses is [faults.Rank] for a face that wants the ranking alone. The causes
// come likeliest first, beside an error too; the error is the finder's.
func RankCauses(c faults.Case) ([]faults.Suspect, error) {
	return faults.Rank(c)
}
