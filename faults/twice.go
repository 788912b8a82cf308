package faults

// RankTwice is [Rank] with people's words and without, for the price of one.
func RankTwice(c Case) (both [2][]Suspect, err error) {
	a, err := ask(&c)
	if err != nil {
		return both, err
	}
	a.try()
	both[0] = a.find().Ranked
	c.Words = nil
	both[1] = a.find().Ranked
	return both, nil
}
