package study

import (
	"fmt"
	"strings"

	"rinsewright/commissioning"
	"rinsewright/quantity"
)

// ChanceWords says a probability that a promise is kept, a number of 0 to 1, as
// a person would.
func ChanceWords(p float64) string {
	switch {
	case p >= 0.995:
		return "kept, beyond doubt"
	case p <= 0.005:
		return "not kept, beyond doubt"
	}
	return fmt.Sprintf("%.0f %% sure that it is kept", 100*p)
}

// Promised says what is promised.
func (x Proven) Promised(s quantity.System, loc quantity.Locale) string {
	switch {
	case x.Low != nil && x.High != nil:
		return fmt.Sprintf("promised %s to %s", x.Low.Text(s, loc), x.High.Text(s, loc))
	case x.Low != nil:
		return "promised at least " + x.Low.Text(s, loc)
	case x.High != nil:
		return "promised at most " + x.High.Text(s, loc)
	}
	return "nothing promised"
}

// VerdictWords says the verdict of a day, and what was not read.
func (p *Proved) VerdictWords() string {
	var short, open []string
	for _, x := range p.Proofs {
		switch {
		case x.Read == nil:
		case x.Verdict == commissioning.FallsShort:
			short = append(short, x.Says)
		case x.Verdict == commissioning.CannotTell:
			open = append(open, x.Says)
		}
	}
	words := map[commissioning.Verdict]string{
		commissioning.Holds: "Holds: every promise that was read is kept.", commissioning.WithinDoubt: "Holds within the meters' doubt.",
		commissioning.CannotTell: "Can't tell: ", commissioning.FallsShort: "Falls short: ",
	}[p.Verdict]
	switch p.Verdict {
	case commissioning.FallsShort:
		words += strings.Join(short, "; ") + "."
	case commissioning.CannotTell:
		if len(open) == 0 {
			words += "nothing was read of any promise."
		} else {
			words += strings.Join(open, "; ") + "."
		}
	}
	if n := len(p.Missing); n > 0 && len(p.Proofs) > n {
		words += " Not read: " + strings.Join(p.Missing, "; ") + "."
	}
	return words
}
