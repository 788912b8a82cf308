package check

import (
	"os"
	"strconv"
)

// Often is how often a claim is tried: short in every run of the tests, long by
// make trust, which sets RINSEWRIGHT_TRUST to 1. A smaller share there, such as
// 0.1, tries that share of it.
func Often(short, long int) int {
	text := os.Getenv("RINSEWRIGHT_TRUST")
	if text == "" {
		return short
	}
	share, err := strconv.ParseFloat(text, 64)
	if err != nil || !(0 < share && share <= 1) {
		share = 1
	}
	return max(short, int(share*float64(long)))
}
