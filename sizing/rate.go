package sizing

import (
	"context"
	"fmt"
)

// Rate judges one system of the problem, whatever limits it breaks. chosen
// holds one option of each stage. Errors are as those of [Find].
func Rate(ctx context.Context, p Problem, chosen []int) (*System, error) {
	if err := p.check(); err != nil {
		return nil, err
	}
	if len(chosen) != len(p.Stages) {
		return nil, fmt.Errorf("size: %w: %d choices for %d stages", ErrProblem, len(chosen), len(p.Stages))
	}
	s := &search{Problem: p, outcome: &Outcome{}}
	s.annuity, _ = Annuity(p.Years, p.Discount) // checked above
	s.bounds()
	at := &partial{judged: true}
	for i, option := range chosen {
		if option < 0 || option >= len(p.Stages[i].Options) {
			return nil, fmt.Errorf("size: %w: no option %d in stage %q", ErrProblem, option, p.Stages[i].Name)
		}
		o := p.Stages[i].Options[option]
		at = &partial{
			parent: at, option: option, depth: i + 1, first: at.first + o.First, yearly: at.yearly + o.Yearly,
			parts: at.parts + o.Parts, used: at.used, broken: at.broken, levels: at.levels, dooms: at.dooms,
		}
		if p.Stages[i].Judge == nil {
			continue
		}
		v, err := p.Stages[i].Judge(ctx, chosen[:i+1])
		if err != nil {
			return nil, fmt.Errorf("size: %w", err)
		}
		s.take(at, v)
	}
	return s.system(at), nil
}
