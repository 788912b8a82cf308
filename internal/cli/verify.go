package cli

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"

	"rinsewright/internal/scene"
	"rinsewright/internal/store/archive"
)

// VerifyCommand holds papers to the hash that they print on themselves, and
// backups to the bytes that were written.
type VerifyCommand struct {
	File []string `arg:"" help:"Papers, as PDF files, and backups." type:"path"`
	BackupKeys
	JSON bool `name:"json" help:"Print one JSON object instead."`
}

// Help is the long help with examples.
func (VerifyCommand) Help() string {
	return `Examples:
  rinsewright verify papers/quote-A.pdf
  rinsewright verify papers/*.pdf
  rinsewright verify rinsewright-20260613-030000.tar
  rinsewright verify office.tar.age --key rinsewright.key

Every paper but blank forms prints its SHA-256 at the foot of its last page: that
of its own file with the digits of the hash put to 0. A paper that was changed
since it was printed, by a byte, does not hold. A backup is read to its end, and
any byte that is not as it was written is found; whether it also comes back,
only a drill can tell.

Exit code 0 when every file holds, 1 when one does not, 2 when a file cannot be
read.`
}

type verifyJSON struct {
	Schema string         `json:"schema"`
	Files  []verifiedJSON `json:"files"`
}

type verifiedJSON struct {
	Path   string        `json:"path"`
	Kind   string        `json:"kind"` // "paper" or "backup"
	Holds  bool          `json:"holds"`
	Says   string        `json:"says"`
	Backup *archivedJSON `json:"backup,omitempty"`
	text   string
}

const verifySchema = "rinsewright.verify/1"

// Run tells of each file.
func (c VerifyCommand) Run(desk Desk) error {
	out := verifyJSON{Schema: verifySchema, Files: []verifiedJSON{}}
	all := true
	for _, file := range c.File {
		one, err := c.verify(file)
		if err != nil {
			return refuseAs(verifySchema, c.JSON, desk, err)
		}
		out.Files, all = append(out.Files, one), all && one.Holds
		if c.JSON {
			continue
		}
		if _, err := io.WriteString(desk.Out, one.text); err != nil {
			return err
		}
	}
	if c.JSON {
		if err := printJSON(desk.Out, out); err != nil {
			return err
		}
	}
	if !all {
		return no("")
	}
	return nil
}

// verify tells by a file's first bytes what it is.
func (c VerifyCommand) verify(path string) (verifiedJSON, error) {
	file, err := os.Open(path)
	if err != nil {
		return verifiedJSON{}, bad(err, "")
	}
	begins := make([]byte, 5)
	_, _ = io.ReadFull(file, begins) // one that is shorter is no paper
	if err := file.Close(); err != nil {
		return verifiedJSON{}, bad(err, "")
	}
	if bytes.HasPrefix(begins, []byte("%PDF-")) {
		return verifyPaper(path)
	}
	return c.verifyBackup(path)
}

func verifyPaper(path string) (verifiedJSON, error) {
	pdf, err := os.ReadFile(path)
	if err != nil {
		return verifiedJSON{}, bad(err, "")
	}
	out := verifiedJSON{Path: path, Kind: "paper"}
	printed, holds := scene.Hashed(pdf)
	switch {
	case printed == "":
		out.Says = "prints no hash of its own"
	case !holds:
		out.Says = "changed since it was printed: it says " + printed
	default:
		out.Holds, out.Says = true, "as it was printed, "+printed
	}
	out.text = fmt.Sprintf("%s: %s\n", filepath.Base(path), out.Says)
	return out, nil
}

func (c VerifyCommand) verifyBackup(path string) (verifiedJSON, error) {
	out, a := verifiedJSON{Path: path, Kind: "backup"}, archived{Path: path}
	err := c.read(path, func(r io.Reader, encrypted bool) (err error) {
		a.Encrypted = encrypted
		a.Manifest, err = archive.Verify(r)
		return err
	})
	var s *said
	if errors.As(err, &s) && s.code == ExitNo {
		out.Says, out.text = s.text, s.text+"\n  hint: "+s.hint+"\n"
		return out, nil
	}
	if err != nil {
		return out, err
	}
	object := a.object("")
	out.Holds, out.Says, out.text, out.Backup = true, did["verify"], a.text("verify"), &object
	return out, nil
}
