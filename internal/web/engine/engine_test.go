package engine

import (
	"bytes"
	"testing"
)

// The budget of the engine as it travels, with the script that starts it; see
// docs/adr/0008-engine-in-the-browser.md.
const budget = 3_000_000

func TestTheEngineIsMadeAndKeepsItsBudget(t *testing.T) {
	root := SourceTree()
	if root == "" {
		t.Fatal("a test runs from the source tree")
	}
	files, err := Compile(t.Context(), root)
	if err != nil {
		t.Fatal(err)
	}
	if n := len(files.Wasm) + len(files.Script); n > budget {
		t.Errorf("%d bytes, the budget is %d", n, budget)
	} else {
		t.Logf("%d bytes of a budget of %d", n, budget)
	}
	wasm, err := files.Unpack()
	if err != nil || !bytes.HasPrefix(wasm, []byte("\x00asm")) {
		t.Errorf("%v: it begins %q", err, wasm[:min(4, len(wasm))])
	}
	if !bytes.Contains(files.Script, []byte("globalThis.Go")) {
		t.Error("the script does not start a Go program")
	}
	if bytes.Contains(wasm, []byte(root)) {
		t.Error("it holds a path of this machine")
	}
	again, err := Compile(t.Context(), root)
	if err != nil || !bytes.Equal(again.Wasm, files.Wasm) {
		t.Errorf("made again it differs: %v", err)
	}
}
