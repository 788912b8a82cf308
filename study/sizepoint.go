package study

import (
	"context"
	"errors"
	"fmt"
)

// ErrNoPoint marks a point that is not on a frontier.
var ErrNoPoint = errors.New("no such point on the frontier")

// PickAt runs the system at a point of the frontier, counted from 0, through
// the whole chain, as [Size] does with its picks. What binds it is the limit
// that it uses most. The error wraps [ErrNoPoint] for a point that is not
// there, or is that of the chain.
func (r *Sized) PickAt(ctx context.Context, point int) (Pick, error) {
	if r.telling == nil || point < 0 || point >= len(r.Frontier) || r.telling.pathOf(r.Frontier[point].system.Chosen) == nil {
		return Pick{}, fmt.Errorf("point %d: %w", point+1, ErrNoPoint)
	}
	p := Pick{Name: fmt.Sprintf("point_%d", point+1), Says: fmt.Sprintf("Point %d of the frontier", point+1), system: r.Frontier[point].system, BindsAt: -1}
	if err := r.telling.fill(ctx, &p, &notes{units: r.telling.options.Units, locale: r.telling.options.Locale}); err != nil {
		return Pick{}, fmt.Errorf("point %d: %w", point+1, err)
	}
	if m, ok := p.system.Worst(); ok {
		p.Binds, p.BindsAt = []Bind{{m.Constraint, m.Says}}, stationOf(p.Path, m.Constraint)
	}
	return p, nil
}

// forget drops what a search has remembered of the systems it judged, which is
// most of its memory, except the paths, of which more is asked.
func (z *sizer) forget() {
	z.enough.forget()
	z.ends.forget()
	z.leans.forget()
	z.colds.forget()
	z.shares.forget()
	z.years.forget()
	z.guns.forget()
	z.bills.forget()
}

func (m *memo[K, V]) forget() {
	m.mutex.Lock()
	defer m.mutex.Unlock()
	m.found = nil
}
