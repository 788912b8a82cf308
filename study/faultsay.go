package study

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"rinsewright/faults"
)

// Listed joins words by commas.
func Listed(words []string) string { return strings.Join(words, ", ") }

// CauseNames lists causes by name, the first few of them.
func CauseNames(numbers []int, most int) string {
	var names []string
	for i, number := range numbers {
		if i == most {
			names = append(names, fmt.Sprintf("%d more", len(numbers)-most))
			break
		}
		if c, ok := faults.CauseOf(number); ok {
			names = append(names, c.Name)
		}
	}
	return strings.Join(names, "; ")
}

// FaultDoubts is what is still open, a sentence each: causes that the readings
// cannot part, two at once, nothing that stands out.
func FaultDoubts(f *faults.Finding) (all []string) {
	for _, group := range f.Alike {
		all = append(all, "No reading taken parts these: "+CauseNames(group, 6)+".")
	}
	for _, p := range f.Both {
		all = append(all, fmt.Sprintf("Both at once, %.0f %%: %s.", 100*p.Probability, CauseNames([]int{p.One, p.Two}, 2)))
	}
	if f.Ranked[0].Probability < 0.2 {
		all = append(all, "Nothing stands out: another reading says more than a part.")
	}
	return all
}

// PointSays is what one reading says of a cause, in sigmas and in words.
func PointSays(p faults.Point) string {
	if math.Abs(p.Sigmas) < 0.05 {
		return "fits; " + string(p.Speaks)
	}
	return fmt.Sprintf("%+.1f σ; %s", p.Sigmas, p.Speaks)
}

// FaultCautions are those of the likeliest cause's remedy, and the trap of a new element
// wherever new elements are weighed against mending; each once.
func FaultCautions(f *Faulted) []string {
	all := slices.Clone(f.Finding.Ranked[0].Remedy.Cautions)
	if f.elements && !slices.Contains(all, faults.Trap) {
		all = append([]string{faults.Trap}, all...)
	}
	return all
}
