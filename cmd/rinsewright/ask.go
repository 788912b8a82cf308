package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"

	"rinsewright/internal/cli"
	"rinsewright/internal/web"
	"rinsewright/testdata/sites"
)

// ask answers a program as the command line does: the same verb over the same
// file prints the same object, so there is one contract and not two.
func ask(ctx context.Context, a web.Asked) (answer web.Answer, err error) {
	folder, err := os.MkdirTemp("", "rinsewright-ask-")
	if err != nil {
		return answer, fmt.Errorf("make room for a question: %w", err)
	}
	defer func() { err = errors.Join(err, os.RemoveAll(folder)) }()
	args := append([]string{a.Verb, "--json"}, a.Flags...)
	if a.Parts != "" {
		file := filepath.Join(folder, "parts.csv")
		if err := os.WriteFile(file, []byte(a.Parts), 0o600); err != nil {
			return answer, fmt.Errorf("put down the parts: %w", err)
		}
		args = append(args, "--catalog="+file)
	}
	for _, f := range a.Sites {
		file := filepath.Join(folder, filepath.Base(f.Name))
		if err := os.WriteFile(file, []byte(f.Text), 0o600); err != nil {
			return answer, fmt.Errorf("put down a site file: %w", err)
		}
		args = append(args, file)
	}
	if a.Table != nil {
		file := filepath.Join(folder, filepath.Base(a.Table.Name))
		if err := os.WriteFile(file, []byte(a.Table.Text), 0o600); err != nil {
			return answer, fmt.Errorf("put down a table: %w", err)
		}
		args = append(args, a.TableFlag+file)
	}
	var out, told bytes.Buffer
	answer.Exit = cli.Run(cli.Desk{Context: ctx, In: &bytes.Buffer{}, Out: &out, Err: &told, Version: version, Examples: sites.File}, args)
	if answer.JSON = out.Bytes(); out.Len() == 0 { // a flag that could not be read
		return answer, refusedFlag(told.String())
	}
	if len(a.Sites) > 0 {
		left, err := os.ReadFile(filepath.Join(folder, filepath.Base(a.Sites[0].Name)))
		if err != nil {
			return answer, fmt.Errorf("read what became of a site file: %w", err)
		}
		answer.Site = string(left)
	}
	return answer, ctx.Err()
}

// refusedFlag is why the command line printed nothing on standard output.
func refusedFlag(told string) error {
	line, _, _ := bytes.Cut([]byte(told), []byte("\n"))
	return &web.BadQuestion{Says: string(bytes.TrimPrefix(line, []byte("rinsewright: ")))}
}
