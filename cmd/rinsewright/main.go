// Command rinsewright surveys, judges and services small spot-free rinse
// systems. See rinsewright --help.
package main

import (
	"context"
	"os"
	"os/signal"
	"syscall"

	"rinsewright/internal/cli"
	"rinsewright/internal/store/archive"
	"rinsewright/internal/web"
	"rinsewright/internal/web/engine"
	"rinsewright/testdata/sites"
)

// version is set by release builds.
var version = "development"

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	code := cli.Run(cli.Desk{Context: ctx, In: os.Stdin, Out: os.Stdout, Err: os.Stderr, Version: version, Examples: sites.File, Serve: serve}, os.Args[1:])
	stop()
	os.Exit(code)
}

// serve opens the pages: the one place where both faces are known.
func serve(ctx context.Context, s cli.Serving) error {
	locks, err := archive.LocksOf(s.Locks...)
	if err != nil {
		return err
	}
	return web.Serve(ctx, web.Serving{
		Data: s.Data, Database: s.Database, Listen: s.Listen, Phones: s.Phones, Cert: s.Cert, Key: s.Key, For: s.For, From: s.From, Version: version,
		Examples: sites.Names, Example: sites.File, Say: os.Stdout, Log: os.Stderr,
		Backups: s.Backups, Locks: locks, Nights: s.Nights, Engine: engine.Find, Ask: ask, Base: s.Base, Proxies: s.Proxies,
	})
}
