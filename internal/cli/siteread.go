package cli

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"

	"rinsewright/internal/sitefile"
	"rinsewright/site"
)

// readSite reads a site file with what to do about one that cannot be read.
func readSite(file string) ([]byte, *site.Site, error) {
	data, err := os.ReadFile(file)
	if err != nil {
		return nil, nil, bad(fmt.Errorf("read site file: %w", err), "rinsewright survey "+filepath.Base(file)+" makes one")
	}
	s, err := sitefile.Read(filepath.Base(file), data)
	if err != nil {
		return nil, nil, bad(err, "")
	}
	return data, s, nil
}

// refuseAs reports bad input in the form that was asked for: with --json the
// problems are an object on standard output as well.
func refuseAs(schema string, asJSON bool, desk Desk, err error) error {
	if !asJSON {
		return err
	}
	if e := printJSON(desk.Out, refusalJSON(schema, err)); e != nil {
		return e
	}
	return &said{code: report(Desk{Err: &bytes.Buffer{}}, err)}
}
