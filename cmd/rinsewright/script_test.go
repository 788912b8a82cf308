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
		desk := cli.Desk{Context: context.Background(), In: os.Stdin, Out: os.Stdout, Err: os.Stderr, Version: "test", Examples: sites.File, Serve: serve}
		os.Exit(cli.Run(desk, os.Args[1:]))
	}})
}

// The scripts read as a technician would type them.
func TestScripts(t *testing.T) {
	here, err := os.Getwd()
	if err != nil {
		t.Fatal(err)
	}
	testscript.Run(t, testscript.Params{
		Dir: "testdata/script",
		Setup: func(e *testscript.Env) error {
			e.Setenv("SITES", here+"/../../testdata/sites")
			return nil
		},
	})
}
