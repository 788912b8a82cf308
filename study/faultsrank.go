package study

import "rinsewright/faults"

// RankCauses is [faults.Find] for a face that wants the ranking alone. The causes
// come likeliest first; the error is the finder's.
func RankCauses(c faults.Case) ([]faults.Suspect, error) {
	f, err := faults.Find(c)
	if err != nil {
		return nil, err
	}
	return f.Ranked, nil
}
