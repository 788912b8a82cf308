package cli

import (
	"context"
	"os"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

// TestCalcScripts runs the scripts that a technician could read.
func TestCalcScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Files: calcScripts(t),
		Cmds:  map[string]func(*testscript.TestScript, bool, []string){"rinsewright": runScripted},
	})
}

func calcScripts(t *testing.T) (files []string) {
	t.Helper()
	entries, err := os.ReadDir("testdata/script")
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		if strings.HasPrefix(e.Name(), "calc") {
			files = append(files, "testdata/script/"+e.Name())
		}
	}
	return files
}

// runScripted is the command line in a script's folder. A "!" before it wants an
// exit code that is not 0.
func runScripted(ts *testscript.TestScript, neg bool, args []string) {
	for i, arg := range args {
		if file := ts.MkAbs(arg); !strings.HasPrefix(arg, "-") {
			if _, err := os.Stat(file); err == nil {
				args[i] = file
			}
		}
	}
	code := Run(Desk{Context: context.Background(), In: strings.NewReader(""), Out: ts.Stdout(), Err: ts.Stderr()}, args)
	if (code != ExitGood) != neg {
		ts.Fatalf("exit code %d", code)
	}
}
