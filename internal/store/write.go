package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"runtime"
	"sync"
	"time"

	"github.com/jackc/pgx/v5/pgconn"
)

// mostTogether is how many changes one commit may hold.
const mostTogether = 256

// attempts is how often a commit is tried that another process stood in the
// way of.
const attempts = 5

// patience is how long a commit waits for the hands that were answered
// together last time: they come back together.
const patience = 200 * time.Microsecond

// Tx is a change under way.
type Tx struct {
	ctx    context.Context
	line   *line
	tenant string
	now    time.Time
	chain  *chain
}

// job is a change that waits, and where its answer goes.
type job struct {
	ctx    context.Context
	do     func(*Tx) error
	answer chan error
}

// writer is the one goroutine that changes anything. What has come in while a
// commit was under way goes into the next one together: a disk confirms some
// hundred commits a second, and each may hold many changes.
type writer struct {
	store  *Store
	jobs   chan job
	door   sync.RWMutex // held for reading while a job is handed in
	closed bool
	done   sync.WaitGroup
	line   *line // nil until the first commit and after one that failed
	last   int   // changes in the commit before
}

func newWriter(s *Store) *writer {
	w := &writer{store: s, jobs: make(chan job, mostTogether)}
	w.done.Go(w.run)
	return w
}

// Change runs do in a transaction and returns after its commit. When do fails,
// nothing of it is kept. do may run more than once and must only touch tx.
// When the commit itself fails, whether it was kept is not known: ask again with
// the same ids.
func (s *Store) Change(ctx context.Context, do func(*Tx) error) error {
	return <-s.hand(ctx, do)
}

// hand gives a change to the writer; the answer comes after its commit.
func (s *Store) hand(ctx context.Context, do func(*Tx) error) <-chan error {
	j := job{ctx, do, make(chan error, 1)}
	if err := s.writer.take(j); err != nil {
		j.answer <- err
	}
	return j.answer
}

func (w *writer) take(j job) error {
	w.door.RLock()
	defer w.door.RUnlock()
	if w.closed {
		return ErrClosed
	}
	select {
	case w.jobs <- j:
		return nil
	case <-j.ctx.Done():
		return j.ctx.Err()
	}
}

// stop answers what was handed in and ends the writer.
func (w *writer) stop() {
	w.door.Lock()
	if !w.closed {
		w.closed = true
		close(w.jobs)
	}
	w.door.Unlock()
	w.done.Wait()
}

func (w *writer) run() {
	for first := range w.jobs {
		w.commit(w.gather(first))
	}
	w.hangUp()
}

// gather takes what waits already, and those who are about to come.
func (w *writer) gather(first job) []job {
	batch := []job{first}
	until := time.Now().Add(patience)
	for len(batch) < mostTogether {
		select {
		case j, open := <-w.jobs:
			if !open {
				return batch
			}
			batch = append(batch, j)
		default:
			if len(batch) >= w.last || time.Now().After(until) {
				return batch
			}
			runtime.Gosched()
		}
	}
	return batch
}

// commit runs a batch in one transaction and answers each of its jobs.
func (w *writer) commit(batch []job) {
	w.last = len(batch)
	var answers []error
	var err error
	for try := range attempts {
		if answers, err = w.together(batch); !again(err) {
			break
		}
		time.Sleep(time.Duration(1<<try) * 5 * time.Millisecond)
	}
	for i, j := range batch {
		if err != nil {
			j.answer <- fmt.Errorf("commit: %w", ofDisk(err))
			continue
		}
		j.answer <- answers[i]
	}
}

// together tries all jobs at once. Most batches hold no change that fails, so
// only after one did are they run again, each so that it can be undone alone.
func (w *writer) together(batch []job) (answers []error, err error) {
	answers, err = w.try(batch, false)
	if errors.Is(err, errOneFailed) {
		answers, err = w.try(batch, true)
	}
	return answers, err
}

// errOneFailed ends a batch whose jobs cannot be undone one by one.
var errOneFailed = errors.New("one change of several failed")

// try runs a batch. A person who has gone away does not stop the others, so
// the transaction has a context of its own.
func (w *writer) try(batch []job, apart bool) (answers []error, err error) {
	ctx, stop := w.store.bounded()
	defer stop()
	l, err := w.dial(ctx)
	if err != nil {
		return nil, err
	}
	defer func() {
		if err == nil {
			return
		}
		if undo := l.exec(ctx, `ROLLBACK`); undo != nil || !errors.Is(err, errOneFailed) {
			w.hangUp() // a new connection begins clean
		}
	}()
	if err := l.exec(ctx, w.store.begin); err != nil {
		return nil, err
	}
	answers = make([]error, len(batch))
	t := &Tx{ctx: ctx, line: l, tenant: w.store.tenant, chain: &chain{}}
	for i, j := range batch {
		if answers[i] = j.ctx.Err(); answers[i] != nil {
			continue
		}
		t.now = w.store.now()
		if answers[i], err = t.one(j.do, apart); err != nil {
			return nil, err
		}
	}
	if err := t.chain.end(t); err != nil {
		return nil, err
	}
	return answers, l.exec(ctx, `COMMIT`)
}

// one runs a job. The second error is one that ends the whole batch.
func (t *Tx) one(do func(*Tx) error, apart bool) (answer, err error) {
	if !apart {
		answer = do(t)
		if answer != nil && !again(answer) {
			return nil, errOneFailed
		}
		return nil, answer
	}
	if err := t.line.exec(t.ctx, `SAVEPOINT one`); err != nil {
		return nil, err
	}
	before := *t.chain
	answer = do(t)
	if again(answer) {
		return nil, answer
	}
	if answer != nil {
		*t.chain = before
		if err := t.line.exec(t.ctx, `ROLLBACK TO SAVEPOINT one`); err != nil {
			return nil, errors.Join(answer, err)
		}
	}
	return answer, t.line.exec(t.ctx, `RELEASE SAVEPOINT one`)
}

// again tells whether another process stood in the way, so that the same
// change may succeed when it is tried once more.
func again(err error) bool {
	var pg *pgconn.PgError
	if errors.As(err, &pg) {
		return pg.Code == "40001" || pg.Code == "40P01" // could not serialise, deadlock
	}
	return false
}

// Exec runs a statement of the change.
func (t *Tx) Exec(query string, args ...any) error {
	_, err := t.changed(query, args...)
	return err
}

// changed runs a statement and tells how many rows it changed.
func (t *Tx) changed(query string, args ...any) (int64, error) {
	s, err := t.line.statement(t.ctx, query)
	if err != nil {
		return 0, err
	}
	r, err := s.ExecContext(t.ctx, args...)
	if err != nil {
		return 0, err
	}
	return r.RowsAffected()
}

// row asks for one row.
func (t *Tx) row(query string, args ...any) row {
	s, err := t.line.statement(t.ctx, query)
	if err != nil {
		return row{nil, err}
	}
	return row{s.QueryRowContext(t.ctx, args...), nil}
}

// row is a row, or why there is none.
type row struct {
	*sql.Row
	err error
}

// Scan reads it.
func (r row) Scan(into ...any) error {
	if r.err != nil {
		return r.err
	}
	return r.Row.Scan(into...)
}
