// Package sitefile reads and writes the site file: the record of one
// installation as TOML that a person can read and edit. One table of fields
// (schema.go) drives reading, writing, `--set`, the survey's questions and the
// reference page, so they cannot disagree.
//
// Reading is strict: an unknown key, a wrong unit or an impossible value is
// refused with file:line:column, what was read, what was wanted and an example;
// every problem is told at once and nothing is half read.
package sitefile

// Version is the version of the site file that this package writes. Files of
// every released version can be read.
const Version = 1
