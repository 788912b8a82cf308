// Command make compiles the engine and puts it where the next build of the
// program embeds it.
package main

import (
	"context"
	"fmt"
	"os"

	"rinsewright/internal/web/engine"
)

func main() {
	if err := run(); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

func run() error {
	root := engine.SourceTree()
	if root == "" {
		return engine.ErrNone
	}
	files, err := engine.Compile(context.Background(), root)
	if err != nil {
		return err
	}
	fmt.Printf("engine: %d bytes, %d for a page\n", len(files.Wasm), len(files.Wasm)+len(files.Script))
	return files.Write(root)
}
