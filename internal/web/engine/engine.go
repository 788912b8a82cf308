// Package engine finds the engine that pages run in the browser: cmd/rinsewasm
// compiled to WebAssembly, and the script of the Go release that starts it.
//
// A program that is given to others carries both: make engine writes them to
// the folder built, and they are embedded. A program that was started from its
// source tree, as go run does, compiles them when it starts, so that a fresh
// machine needs Go and nothing else. Where there is neither, pages ask the
// server. See docs/adr/0008-engine-in-the-browser.md.
package engine

import (
	"bytes"
	"compress/gzip"
	"context"
	"embed"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
)

// Files are what a browser needs.
type Files struct {
	Wasm   []byte // gzip of the WebAssembly module
	Script []byte // javascript of the Go release that made it
}

// ErrNone says that there is no engine and no way to make one.
var ErrNone = errors.New("no engine: it is not in this program, and neither Go nor the source tree is here")

//go:embed built
var built embed.FS

// Names of the files in the folder built.
const (
	wasmName   = "engine.wasm.gz"
	scriptName = "wasm_exec.js"
)

// Find returns the engine that belongs to this program. The source tree goes
// first where it is: what was built from it may be older.
func Find(ctx context.Context) (Files, error) {
	if root := SourceTree(); root != "" {
		if files, err := Compile(ctx, root); err == nil || ctx.Err() != nil {
			return files, err
		}
	}
	wasm, err1 := built.ReadFile("built/" + wasmName)
	script, err2 := built.ReadFile("built/" + scriptName)
	if err1 != nil || err2 != nil {
		return Files{}, ErrNone
	}
	return Files{wasm, script}, nil
}

// SourceTree is the folder this program was compiled from, "" when it is not
// on this machine or the program does not say.
func SourceTree() string {
	_, file, _, ok := runtime.Caller(0)
	if !ok || !filepath.IsAbs(file) {
		return ""
	}
	root := filepath.Join(filepath.Dir(file), "..", "..", "..")
	module, err := os.ReadFile(filepath.Join(root, "go.mod"))
	if err != nil || !bytes.HasPrefix(module, []byte("module rinsewright\n")) {
		return ""
	}
	return root
}

// Compile makes the engine from the source tree at root. The same sources and
// the same Go release give the same bytes.
func Compile(ctx context.Context, root string) (Files, error) {
	dir, err := os.MkdirTemp("", "rinsewright-engine-")
	if err != nil {
		return Files{}, fmt.Errorf("make the engine: %w", err)
	}
	defer func() { _ = os.RemoveAll(dir) }()
	out := filepath.Join(dir, "engine.wasm")
	if _, err := goTool(ctx, root, "build", "-trimpath", "-buildvcs=false", "-ldflags=-s -w", "-o", out, "./cmd/rinsewasm"); err != nil {
		return Files{}, fmt.Errorf("make the engine: %w", err)
	}
	wasm, err := os.ReadFile(out)
	if err != nil {
		return Files{}, fmt.Errorf("make the engine: %w", err)
	}
	home, err := goTool(ctx, root, "env", "GOROOT")
	if err != nil {
		return Files{}, fmt.Errorf("find Go: %w", err)
	}
	script, err := os.ReadFile(filepath.Join(strings.TrimSpace(home), "lib", "wasm", scriptName))
	if err != nil {
		return Files{}, fmt.Errorf("find the script that starts the engine: %w", err)
	}
	packed, err := pack(wasm)
	return Files{packed, script}, err
}

// goTool runs Go for the browser.
func goTool(ctx context.Context, root string, arguments ...string) (string, error) {
	command := exec.CommandContext(ctx, "go", arguments...)
	command.Dir = root
	command.Env = append(os.Environ(), "GOOS=js", "GOARCH=wasm", "CGO_ENABLED=0", "GOFLAGS=", "GOWASM=")
	var says strings.Builder
	command.Stderr = &says
	out, err := command.Output()
	if err != nil {
		return "", fmt.Errorf("%w: %s", err, strings.TrimSpace(says.String()))
	}
	return string(out), nil
}

func pack(wasm []byte) ([]byte, error) {
	var b bytes.Buffer
	z, err := gzip.NewWriterLevel(&b, gzip.BestCompression)
	if err != nil {
		return nil, err
	}
	if _, err := z.Write(wasm); err != nil {
		return nil, err
	}
	if err := z.Close(); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}

// Unpack is the module itself, for a browser that takes no gzip.
func (f Files) Unpack() ([]byte, error) {
	z, err := gzip.NewReader(bytes.NewReader(f.Wasm))
	if err != nil {
		return nil, fmt.Errorf("unpack the engine: %w", err)
	}
	wasm, err := io.ReadAll(z)
	if err != nil {
		return nil, fmt.Errorf("unpack the engine: %w", err)
	}
	return wasm, nil
}

// Write puts the files where the next build embeds them.
func (f Files) Write(root string) error {
	dir := filepath.Join(root, "internal", "web", "engine", "built")
	return errors.Join(os.WriteFile(filepath.Join(dir, wasmName), f.Wasm, 0o644), os.WriteFile(filepath.Join(dir, scriptName), f.Script, 0o644))
}
