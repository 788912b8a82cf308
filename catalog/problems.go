package catalog

import (
	"fmt"
	"strings"
)

// mostProblems is how many cells a refusal tells of.
const mostProblems = 20

// Problems are the cells of a catalogue that cannot be used, in its order. It wraps
// [ErrRead], and each [*Problem].
type Problems []*Problem

func (all Problems) Error() string {
	var lines []string
	for _, p := range all[:min(len(all), mostProblems)] {
		lines = append(lines, p.Error())
	}
	if more := len(all) - mostProblems; more > 0 {
		lines = append(lines, fmt.Sprintf("and %d more", more))
	}
	return strings.Join(lines, "\n")
}

// Unwrap returns each problem.
func (all Problems) Unwrap() (errs []error) {
	for _, p := range all {
		errs = append(errs, p)
	}
	return errs
}
