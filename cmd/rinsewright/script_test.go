package main

import (
	"context"
	"os"
	"path/filepath"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"

	"rinsewright/internal/cli"
	"rinsewright/internal/store"
	"rinsewright/internal/store/archive"
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
		Dir:  "testdata/script",
		Cmds: map[string]func(*testscript.TestScript, bool, []string){"fill": fill, "damage": damage, "tamper": tamper},
		Setup: func(e *testscript.Env) error {
			e.Setenv("SITES", here+"/../../testdata/sites")
			return nil
		},
	})
}

// fill makes a folder of data with the example sites in it.
func fill(ts *testscript.TestScript, _ bool, args []string) {
	dir := ts.MkAbs(args[0])
	ts.Check(os.MkdirAll(dir, 0o700))
	s, err := store.Open(context.Background(), filepath.Join(dir, archive.DataFile), store.Options{})
	ts.Check(err)
	for _, name := range sites.Names {
		file, err := sites.File(name)
		ts.Check(err)
		_, err = s.AddSite(context.Background(), "", string(file), true)
		ts.Check(err)
	}
	ts.Check(s.Close())
}

// damage changes one bit in the middle of a file.
func damage(ts *testscript.TestScript, _ bool, args []string) {
	path := ts.MkAbs(args[0])
	file, err := os.ReadFile(path)
	ts.Check(err)
	file[len(file)/2] ^= 1
	ts.Check(os.WriteFile(path, file, 0o600))
}

// tamper changes an entry of the audit behind the program's back.
func tamper(ts *testscript.TestScript, _ bool, args []string) {
	s, err := store.Open(context.Background(), filepath.Join(ts.MkAbs(args[0]), archive.DataFile), store.Options{})
	ts.Check(err)
	ts.Check(s.Change(context.Background(), func(tx *store.Tx) error {
		return tx.Exec(`UPDATE audit SET detail = 'something else' WHERE seq = 2`)
	}))
	ts.Check(s.Close())
}
