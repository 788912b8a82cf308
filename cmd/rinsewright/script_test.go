package main

import (
	"context"
	"os"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"

	"rinsewright/internal/cli"
	"rinsewright/testdata/sites"
)

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"rinsewright": func() {
		desk := cli.Desk{Context: context.Background(), In: os.Stdin, Out: os.Stdout, Err: os.Stderr, Version: "test", Examples: sites.File}
		os.Exit(cli.Run(desk, os.Args[1:]))
	}})
}

// The scripts read as a technician would type them. Those of the command line's
// own rooms stand beside their code.
func TestScripts(t *testing.T) {
	examples, err := os.Getwd()
	if err != nil {
		t.Fatal(err)
	}
	for _, dir := range []string{"testdata/script", "../../internal/cli/testdata/script"} {
		testscript.Run(t, testscript.Params{
			Dir:                 dir,
			RequireExplicitExec: true,
			Setup: func(e *testscript.Env) error {
				e.Setenv("SITES", examples+"/../../testdata/sites")
				return nil
			},
		})
	}
}
