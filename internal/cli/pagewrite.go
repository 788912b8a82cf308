package cli

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
)

// writePage draws a page and writes it to a file.
func writePage(file string, draw func(io.Writer) error) error {
	var b bytes.Buffer
	if err := draw(&b); err != nil {
		return fmt.Errorf("draw page: %w", err)
	}
	return writeWhole(file, b.Bytes())
}

// writeWhole writes a file whole or not at all.
func writeWhole(file string, data []byte) error {
	f, err := os.CreateTemp(filepath.Dir(file), ".rinsewright-*")
	if err != nil {
		return fmt.Errorf("write %s: %w", file, err)
	}
	defer os.Remove(f.Name()) // gone already when the rename worked
	if _, err := f.Write(data); err != nil {
		return errors.Join(fmt.Errorf("write %s: %w", file, err), f.Close())
	}
	if err := errors.Join(f.Chmod(0o644), f.Sync(), f.Close()); err != nil {
		return fmt.Errorf("write %s: %w", file, err)
	}
	if err := os.Rename(f.Name(), file); err != nil {
		return fmt.Errorf("write %s: %w", file, err)
	}
	return nil
}
