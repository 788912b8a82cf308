package web

import (
	"context"
	"sync"
)

// mostViews is how many finished answers of a sort are kept in memory.
const mostViews = 200

// memory works answers out, one at a time, and remembers them. Who asks the
// same at the same time waits for the same answer.
type memory[Q comparable, A any] struct {
	engine  chan struct{}
	ctx     context.Context // ends with the server
	cancel  context.CancelFunc
	working sync.WaitGroup
	mu      sync.Mutex
	kept    map[Q]*remembered[A]
	order   []Q
}

type remembered[A any] struct {
	ready chan struct{}
	is    A
}

func newMemory[Q comparable, A any]() *memory[Q, A] {
	ctx, cancel := context.WithCancel(context.Background())
	return &memory[Q, A]{engine: make(chan struct{}, 1), ctx: ctx, cancel: cancel, kept: map[Q]*remembered[A]{}}
}

func (m *memory[Q, A]) stop() {
	m.cancel()
	m.working.Wait()
}

// ask returns the answer to q, which work finds when nobody asked before. The
// error is that of a context which ended first; what work said is in the answer.
func (m *memory[Q, A]) ask(ctx context.Context, q Q, work func(context.Context) A) (a A, err error) {
	m.mu.Lock()
	found, known := m.kept[q]
	if !known {
		found = &remembered[A]{ready: make(chan struct{})}
		m.keep(q, found)
		// The answer serves others too, so it outlives the one who asked first.
		m.working.Go(func() { m.work(found, work) })
	}
	m.mu.Unlock()
	select {
	case <-found.ready:
		return found.is, nil
	case <-ctx.Done():
		return a, ctx.Err()
	}
}

func (m *memory[Q, A]) keep(q Q, found *remembered[A]) {
	if len(m.order) >= mostViews {
		delete(m.kept, m.order[0])
		m.order = m.order[1:]
	}
	m.kept[q] = found
	m.order = append(m.order, q)
}

func (m *memory[Q, A]) work(found *remembered[A], work func(context.Context) A) {
	defer close(found.ready)
	m.engine <- struct{}{}
	defer func() { <-m.engine }()
	found.is = work(m.ctx)
}
