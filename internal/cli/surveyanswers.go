package cli

import (
	"bufio"
	"context"
	"errors"
	"io"
	"os"
	"strings"
)

// longestAnswer is more than any answer needs; what is longer is cut and then
// refused, so that a stream without line ends cannot fill the memory.
const longestAnswer = 8000

// answers are the lines of a person or a script, one at a time, with a way out
// when the program is interrupted while it waits.
type answers struct {
	ctx    context.Context
	lines  chan string
	done   chan struct{}
	person bool // someone types: the terminal shows what was typed
}

func readAnswers(ctx context.Context, in io.Reader) *answers {
	a := &answers{ctx: ctx, lines: make(chan string), done: make(chan struct{}), person: isTerminal(in)}
	go a.read(in)
	return a
}

func (a *answers) stop() { close(a.done) }

func (a *answers) read(in io.Reader) {
	defer close(a.lines)
	if in == nil {
		return
	}
	r := bufio.NewReader(in)
	for {
		line, err := shortLine(r)
		if err == nil || line != "" {
			select {
			case a.lines <- line:
			case <-a.done:
				return
			}
		}
		if err != nil {
			return
		}
	}
}

// shortLine reads one line and keeps at most longestAnswer bytes of it.
func shortLine(r *bufio.Reader) (string, error) {
	var line []byte
	for {
		part, err := r.ReadSlice('\n')
		if room := longestAnswer - len(line); room > 0 {
			line = append(line, part[:min(len(part), room)]...)
		}
		if !errors.Is(err, bufio.ErrBufferFull) {
			return strings.TrimRight(string(line), "\r\n"), err
		}
	}
}

// errEnded is the end of the answers, which is a way to say done.
var errEnded = errors.New("no more answers")

// next is the next answer. The error is errEnded, or why to stop at once.
func (a *answers) next() (string, error) {
	if err := a.ctx.Err(); err != nil {
		return "", err
	}
	select {
	case line, ok := <-a.lines:
		if !ok {
			return "", errEnded
		}
		return line, nil
	case <-a.ctx.Done():
		return "", a.ctx.Err()
	}
}

func isTerminal(in io.Reader) bool {
	f, ok := in.(*os.File)
	if !ok {
		return false
	}
	info, err := f.Stat()
	return err == nil && info.Mode()&os.ModeCharDevice != 0
}
