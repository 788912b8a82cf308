package archive

import (
	"context"
	"errors"
	"fmt"
	"io"

	"rinsewright/internal/store"
)

// ErrWritten marks data to which somebody wrote while it was moved.
var ErrWritten = errors.New("somebody wrote to it while it was moved")

// Move brings everything from one database into an empty place, in either
// database, without a file between: what arrives is read back and has the same
// content. The old place stays as it is. The error wraps [ErrWritten] when what
// is there now is not any more what was moved: the new place is whole, and older.
func Move(ctx context.Context, from Source, to Place) (Manifest, error) {
	r, w := io.Pipe()
	type wrote struct {
		m   Manifest
		err error
	}
	written := make(chan wrote, 1)
	go func() {
		m, err := Write(ctx, w, from)
		_ = w.CloseWithError(err) // its own error is nil, always
		written <- wrote{m, err}
	}()
	moved, err := Restore(ctx, r, to)
	_ = r.CloseWithError(err) // lets the writer go when the place refused
	out := <-written
	if err != nil || out.err != nil {
		if errors.Is(err, store.ErrNotEmpty) || out.err == nil {
			return Manifest{}, fmt.Errorf("move: %w", err)
		}
		return Manifest{}, fmt.Errorf("move: %w", errors.Join(out.err, err))
	}
	if moved.Content != out.m.Content {
		return Manifest{}, fmt.Errorf("move: %w", damaged("what arrived is not what was sent", nil))
	}
	now, err := Write(ctx, io.Discard, from)
	if err != nil {
		return Manifest{}, fmt.Errorf("look again at what was moved: %w", err)
	}
	if now.Content != moved.Content {
		return moved, fmt.Errorf("move: %w", ErrWritten)
	}
	return moved, nil
}
