package sizing

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"

	"rinsewright/cost"
	"rinsewright/quantity"
)

// The reasons why a search gives no answer; test with errors.Is.
var (
	// ErrProblem marks stages that cannot be searched.
	ErrProblem = errors.New("sizing problem not usable")
	// ErrTooMany marks a search that is not over after a great many trials.
	ErrTooMany = errors.New("too many systems to try")
)

// Margin is how much of one limit a system uses.
type Margin struct {
	Constraint string  // the same name for the same limit in every system
	Used       float64 // share of the limit, a number from 0; above 1 it is broken
	Says       string  // value and limit, for a person
	// Fixed says that no choice of parts changes it, so that it counts as a
	// constraint but not against headroom.
	Fixed bool
}

// Option is one choice of a stage.
type Option struct {
	Name   string
	First  cost.Money // what it costs to put up; 0 when it hangs there already
	Yearly cost.Money // the least that it adds to the cost of a year
	Parts  int        // number of parts bought
	// Doom says that a system with it breaks a limit whatever else is chosen.
	// Such an option may cost less than nothing, where a cost that all others
	// have was charged to an earlier stage.
	Doom Doom
}

// Doom is limits of which a system is sure to break one, whatever else is
// chosen, though which one is not known yet.
type Doom struct {
	Among []string
	By    float64 // least share that is used of the broken one, a number above 1; 0 is not known
}

func (d Doom) certain() bool { return len(d.Among) > 0 }

// Verdict is what a stage says of the parts chosen so far.
type Verdict struct {
	Margins []Margin
	// Yearly is the cost of a year as far as it is known: never more than that
	// of any completion.
	Yearly cost.Money
	// Sound is the same of the completions that break no limit, where more is known
	// of them; 0 is no more than Yearly.
	Sound cost.Money
	Doom  Doom
	// Whole says that Yearly is all of it, and replaces what was known before.
	Whole bool
	// Levels are further objectives, in whole steps as coarse as anyone would
	// choose by; less is better. Each is the least that any completion has.
	Levels [Objectives]int
}

// Objectives is how many there are beside first and yearly cost.
const Objectives = 2

// Stage decides one group of parts, once the stages before it are decided.
type Stage struct {
	Name    string
	Options []Option
	// Fits says whether the last of chosen goes with those before it; nil when
	// all do. chosen holds one option of each stage up to this one.
	Fits func(chosen []int) bool
	// Judge evaluates the last of chosen with those before it. It may be called
	// from several goroutines at once. An error ends the search; a system that
	// cannot work is a margin above 1. Nil judges nothing.
	Judge func(ctx context.Context, chosen []int) (Verdict, error)
}

// Problem is what there is to choose from, and how money over the years is
// counted.
type Problem struct {
	Stages   []Stage
	Years    int
	Discount quantity.Ratio // a year
	// Within is how much more than the least over the years the pick with most
	// headroom may cost, as a ratio: 0.25 is a quarter more.
	Within quantity.Ratio
	// Reach is the largest share of its limit at which a constraint is said to
	// bind: what would have to be relaxed further is no near miss. 0 is no end.
	Reach float64 // a ratio
	// Allow is how many limits a relaxation may break together when no system
	// holds them all; 0 is one.
	Allow int
	// Explain ends the search for what binds a pick, for each limit, after so many
	// judgements. The picks do not depend on it. Where nothing fits it is ten times as many. 0 is no
	// end.
	Explain int
	// MostTrials ends a search that takes too long; 0 is 200,000 judgements.
	MostTrials int
}

const (
	mostStages  = 12
	mostOptions = 2_000_000
	usualTrials = 200_000
)

func (p Problem) check() error {
	if len(p.Stages) == 0 || len(p.Stages) > mostStages {
		return fmt.Errorf("size: %w: %d stages, wanted 1 to %d", ErrProblem, len(p.Stages), mostStages)
	}
	for _, s := range p.Stages {
		if len(s.Options) == 0 || len(s.Options) > mostOptions {
			return fmt.Errorf("size: %w: stage %q has %d options", ErrProblem, s.Name, len(s.Options))
		}
		for _, o := range s.Options {
			if !o.Doom.certain() && o.First < 0 || o.Yearly < 0 {
				return fmt.Errorf("size: %w: %q costs less than nothing", ErrProblem, o.Name)
			}
		}
	}
	if !(0 <= p.Within && p.Within <= 10) {
		return fmt.Errorf("size: %w: headroom may cost %g more", ErrProblem, float64(p.Within))
	}
	_, err := Annuity(p.Years, p.Discount)
	return err
}

// Annuity returns the present value of 1 a year, paid at the end of each of n
// years, a pure number:
//
//	a = (1 − (1+i)^−n) / i,  n at i = 0
//
// Source: geometric series, exact. The error wraps [ErrProblem] unless
// 1 ≤ n ≤ 50 and 0 ≤ i ≤ 1.
func Annuity(years int, discount quantity.Ratio) (float64, error) {
	i := float64(discount)
	if !(1 <= years && years <= 50) || !(0 <= i && i <= 1) {
		return 0, fmt.Errorf("size: %w: %d years at %g a year, wanted 1 to 50 at 0 to 1", ErrProblem, years, i)
	}
	if i == 0 {
		return float64(years), nil
	}
	return -math.Expm1(-float64(years)*math.Log1p(i)) / i, nil
}

// System is one complete choice that was judged.
type System struct {
	Chosen []int // one option of each stage
	First  cost.Money
	Yearly cost.Money
	Over   cost.Money      // first plus the years', discounted
	Parts  int             // number of parts bought
	Levels [Objectives]int // the further objectives
	// Margins of all stages, the most used first.
	Margins  []Margin
	Headroom quantity.Ratio // 1 less the largest share used of any limit that a choice changes
}

// Worst returns the margin that headroom is counted to; ok is false when the
// system has none.
func (s *System) Worst() (m Margin, ok bool) {
	for _, m := range s.Margins {
		if !m.Fixed {
			return m, true
		}
	}
	return Margin{}, false
}

// Broken returns the constraints that the system breaks.
func (s *System) Broken() (names []string) {
	for _, m := range s.Margins {
		if !(m.Used <= 1) && !slices.Contains(names, m.Constraint) {
			names = append(names, m.Constraint)
		}
	}
	return names
}
