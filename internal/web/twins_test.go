package web

import (
	"strings"
	"testing"
)

// Whatever somebody does on a page, a program or a command does as well; a new
// route without one fails here.
func TestEveryPageHasATwin(t *testing.T) {
	twins, programs := Twins(), map[string]bool{}
	for _, route := range apiRoutes() {
		programs[route.pattern] = true
	}
	for _, route := range routes() {
		twin, ok := twins[route.pattern]
		delete(twins, route.pattern)
		switch {
		case !ok:
			t.Errorf("%s: how does a program do it? Say so in twins.go", route.pattern)
		case strings.HasPrefix(twin, "none: "), strings.HasPrefix(twin, "rinsewright "): // the commands are asked for in cmd/rinsewright
		case !programs[twin]:
			t.Errorf("%s: there is no %s", route.pattern, twin)
		}
	}
	for pattern := range twins {
		t.Errorf("twins.go names %s, which is not there any more", pattern)
	}
}
