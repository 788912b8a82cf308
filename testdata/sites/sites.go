// Package sites embeds the example sites, all of them invented, so that the
// demo needs no file.
package sites

import (
	"embed"
	"fmt"
	"path"
)

//go:embed */site.toml
var files embed.FS

// Names are the examples, in the order they are walked round.
var Names = []string{"cormorant-reach", "harrow-field", "brightmere", "long-barrow", "fennel-lane"}

// File returns the site file of an example by its folder's name.
func File(name string) ([]byte, error) {
	data, err := files.ReadFile(path.Join(name, "site.toml"))
	if err != nil {
		return nil, fmt.Errorf("example site %q: %w", name, err)
	}
	return data, nil
}
