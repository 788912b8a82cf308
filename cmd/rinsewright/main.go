// Command rinsewright surveys, judges and services small spot-free rinse
// systems. See rinsewright --help.
package main

import (
	"context"
	"os"
	"os/signal"

	"rinsewright/internal/cli"
	"rinsewright/testdata/sites"
)

// version is set by release builds.
var version = "development"

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	code := cli.Run(cli.Desk{Context: ctx, In: os.Stdin, Out: os.Stdout, Err: os.Stderr, Version: version, Examples: sites.File}, os.Args[1:])
	stop()
	os.Exit(code)
}
