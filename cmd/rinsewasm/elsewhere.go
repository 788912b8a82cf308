//go:build !js

package main

import (
	"fmt"
	"os"
)

func main() {
	fmt.Fprintln(os.Stderr, "rinsewasm runs in a browser: make engine compiles it for the pages")
	os.Exit(2)
}
