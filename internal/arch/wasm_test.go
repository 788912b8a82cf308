package arch

import (
	"os"
	"os/exec"
	"testing"
)

// The engine runs in the browser too, so every engine package must compile for
// it. Compiling says it; running is the web pages' own test.
func TestEngineCompilesToWebAssembly(t *testing.T) {
	args := []string{"build"}
	for _, r := range engine(tree(t)) {
		for _, s := range r.files {
			if !s.test {
				args = append(args, "./"+r.dir)
				break
			}
		}
	}
	cmd := exec.Command("go", args...)
	cmd.Dir = top()
	cmd.Env = append(os.Environ(), "GOOS=js", "GOARCH=wasm", "CGO_ENABLED=0", "GOFLAGS=-buildvcs=false")
	if out, err := cmd.CombinedOutput(); err != nil {
		t.Errorf("go build for js/wasm: %v\n%s", err, out)
	}
}
