package store

import (
	"context"
	"database/sql"
	"time"
)

// line is the writer's own connection, with its statements made ready: reading
// their text anew would cost more than carrying them out.
type line struct {
	conn  *sql.Conn
	ready map[string]*sql.Stmt
}

// mostReady bounds the statements kept ready: their texts are ours, and few.
const mostReady = 200

// dial returns the writer's connection, a new one where there is none.
func (w *writer) dial(ctx context.Context) (*line, error) {
	if w.line != nil {
		return w.line, nil
	}
	conn, err := w.store.write.Conn(ctx)
	if err != nil {
		return nil, err
	}
	w.line = &line{conn, map[string]*sql.Stmt{}}
	return w.line, nil
}

// hangUp gives the connection back. Whether it was still good, the next one
// does not depend on.
func (w *writer) hangUp() {
	if w.line == nil {
		return
	}
	for _, s := range w.line.ready {
		_ = s.Close()
	}
	_ = w.line.conn.Close()
	w.line = nil
}

func (l *line) statement(ctx context.Context, query string) (*sql.Stmt, error) {
	if s, ok := l.ready[query]; ok {
		return s, nil
	}
	s, err := l.conn.PrepareContext(ctx, query)
	if err != nil {
		return nil, err
	}
	if len(l.ready) < mostReady {
		l.ready[query] = s
	}
	return s, nil
}

func (l *line) exec(ctx context.Context, query string) error {
	s, err := l.statement(ctx, query)
	if err != nil {
		return err
	}
	_, err = s.ExecContext(ctx)
	return err
}

// bounded is the time a commit may take. SQLite waits for a lock no longer than
// its own limit, and watching a clock there would cost more than a statement.
func (s *Store) bounded() (context.Context, context.CancelFunc) {
	if s.postgres {
		return context.WithTimeout(context.Background(), 30*time.Second)
	}
	return context.Background(), func() {}
}
