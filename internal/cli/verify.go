package cli

import (
	"fmt"
	"os"
	"path/filepath"

	"rinsewright/internal/scene"
)

// VerifyCommand holds papers to the hash that they print on themselves.
type VerifyCommand struct {
	Paper []string `arg:"" help:"Papers, as PDF files." type:"path"`
}

// Help is the long help with examples.
func (VerifyCommand) Help() string {
	return `Examples:
  rinsewright verify papers/quote-A.pdf
  rinsewright verify papers/*.pdf

Every paper but blank forms prints its SHA-256 at the foot of its last page: that
of its own file with the digits of the hash put to 0. A paper that was changed
since it was printed, by a byte, does not hold.

Exit code 0 when every paper holds, 1 when one does not, 2 when a file cannot be
read.`
}

// Run tells of each paper.
func (c VerifyCommand) Run(desk Desk) error {
	all := true
	for _, file := range c.Paper {
		pdf, err := os.ReadFile(file)
		if err != nil {
			return bad(err, "")
		}
		printed, holds := scene.Hashed(pdf)
		says := "as it was printed, " + printed
		switch {
		case printed == "":
			says, all = "prints no hash of its own", false
		case !holds:
			says, all = "changed since it was printed: it says "+printed, false
		}
		if _, err := fmt.Fprintf(desk.Out, "%s: %s\n", filepath.Base(file), says); err != nil {
			return err
		}
	}
	if !all {
		return no("")
	}
	return nil
}
