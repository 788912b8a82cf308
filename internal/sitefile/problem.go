package sitefile

import (
	"fmt"
	"strings"
)

// Problem is one thing wrong with a site file.
type Problem struct {
	Where   string `json:"where"` // "site.toml:12:8"
	Read    string `json:"read"`
	Wanted  string `json:"wanted"`
	Example string `json:"example,omitempty"`
}

func (p Problem) String() string {
	s := fmt.Sprintf("%s: read %s; wanted %s", p.Where, p.Read, p.Wanted)
	if p.Example != "" {
		s += ", for example " + p.Example
	}
	return s
}

// Problems is every problem of one file, in the file's order. It is an error.
type Problems []Problem

func (ps Problems) Error() string {
	lines := make([]string, len(ps))
	for i, p := range ps {
		lines[i] = p.String()
	}
	return strings.Join(lines, "\n")
}
