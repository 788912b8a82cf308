package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"sync"
	"time"

	"github.com/jackc/pgx/v5/pgconn"
)

// mostTogether is how many changes one commit may hold.
const mostTogether = 256

// attempts is how often a commit is tried that another process stood in the
// way of.
const attempts = 5

// Tx is a change under way.
type Tx struct {
	ctx    context.Context
	tx     *sql.Tx
	tenant string
	now    time.Time
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
	j := job{ctx, do, make(chan error, 1)}
	if err := s.writer.take(j); err != nil {
		return err
	}
	return <-j.answer
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
}

// gather takes what waits already, without waiting for more.
func (w *writer) gather(first job) []job {
	batch := []job{first}
	for len(batch) < mostTogether {
		select {
		case j, open := <-w.jobs:
			if !open {
				return batch
			}
			batch = append(batch, j)
		default:
			return batch
		}
	}
	return batch
}

// commit runs a batch in one transaction and answers each of its jobs. A
// person who has gone away does not stop the others, so the transaction has a
// context of its own.
func (w *writer) commit(batch []job) {
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
			j.answer <- fmt.Errorf("commit: %w", err)
			continue
		}
		j.answer <- answers[i]
	}
}

func (w *writer) together(batch []job) (answers []error, err error) {
	ctx, stop := context.WithTimeout(context.Background(), 30*time.Second)
	defer stop()
	tx, err := w.store.write.BeginTx(ctx, nil)
	if err != nil {
		return nil, err
	}
	defer func() {
		if err != nil {
			err = errors.Join(err, undone(tx.Rollback()))
		}
	}()
	answers = make([]error, len(batch))
	for i, j := range batch {
		if answers[i] = j.ctx.Err(); answers[i] != nil {
			continue
		}
		if answers[i], err = w.one(ctx, tx, j); err != nil {
			return nil, err
		}
	}
	return answers, tx.Commit()
}

// one runs a job so that it can be undone alone. The second error is one that
// ends the whole batch.
func (w *writer) one(ctx context.Context, tx *sql.Tx, j job) (answer, err error) {
	if _, err := tx.ExecContext(ctx, `SAVEPOINT one`); err != nil {
		return nil, err
	}
	answer = j.do(&Tx{ctx, tx, w.store.tenant, w.store.now()})
	if again(answer) {
		return nil, answer
	}
	if answer != nil {
		if _, err := tx.ExecContext(ctx, `ROLLBACK TO SAVEPOINT one`); err != nil {
			return nil, errors.Join(answer, err)
		}
	}
	_, err = tx.ExecContext(ctx, `RELEASE SAVEPOINT one`)
	return answer, err
}

func undone(err error) error {
	if errors.Is(err, sql.ErrTxDone) {
		return nil
	}
	return err
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
	_, err := t.tx.ExecContext(t.ctx, query, args...)
	return err
}

// changed runs a statement and tells how many rows it changed.
func (t *Tx) changed(query string, args ...any) (int64, error) {
	r, err := t.tx.ExecContext(t.ctx, query, args...)
	if err != nil {
		return 0, err
	}
	return r.RowsAffected()
}

func (t *Tx) row(query string, args ...any) *sql.Row {
	return t.tx.QueryRowContext(t.ctx, query, args...)
}
