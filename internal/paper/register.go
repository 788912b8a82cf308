package paper

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"

	"rinsewright/internal/paper/layout"
)

// Register keeps what was issued, by the name of the paper, oldest first. What
// stands in it does not change.
type Register map[string][]Revision

// ErrIssued is wrapped when an issued paper is not what it was.
var ErrIssued = errors.New("issued paper was changed")

// ReadRegister reads a register; an empty text is an empty one.
func ReadRegister(text []byte) (Register, error) {
	r := Register{}
	if len(text) == 0 {
		return r, nil
	}
	if err := json.Unmarshal(text, &r); err != nil {
		return nil, fmt.Errorf("read register of papers: %w", err)
	}
	return r, nil
}

// Text is the register as it is kept.
func (r Register) Text() ([]byte, error) {
	text, err := json.MarshalIndent(r, "", " ")
	if err != nil {
		return nil, fmt.Errorf("write register of papers: %w", err)
	}
	return append(text, '\n'), nil
}

// Next is the letter of the next revision: A to Z, then AA.
func (r Register) Next(paper string) string {
	n := len(r[paper])
	letters := ""
	for {
		letters = string(rune('A'+n%26)) + letters
		if n = n/26 - 1; n < 0 {
			return letters
		}
	}
}

// Differs tells whether a paper says anything else than its last revision.
func (r Register) Differs(paper string, facts []layout.Fact) bool {
	all := r[paper]
	return len(all) == 0 || len(Changes(all[len(all)-1].Facts, facts)) > 0
}

// Enter adds a revision with the sum of its bytes.
func (r Register) Enter(paper string, issued Revision, pdf []byte) {
	sum := sha256.Sum256(pdf)
	issued.SHA256 = hex.EncodeToString(sum[:])
	r[paper] = append(r[paper], issued)
}

// Verify holds every issued paper to its sum. The error wraps [ErrIssued] and
// names the file.
func (r Register) Verify(read func(file string) ([]byte, error)) error {
	for _, all := range r {
		for _, issued := range all {
			pdf, err := read(issued.File)
			if err != nil {
				return fmt.Errorf("%s: %w: %w", issued.File, ErrIssued, err)
			}
			if sum := sha256.Sum256(pdf); hex.EncodeToString(sum[:]) != issued.SHA256 {
				return fmt.Errorf("%s: %w", issued.File, ErrIssued)
			}
		}
	}
	return nil
}
