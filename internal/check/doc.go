// Package check helps tests hold numbers from outside: it compares with a
// tolerance, refuses a wanted value that does not say where it came from, and
// reads the reference tables under testdata/ref.
//
// A source begins with one of four kinds:
//
//	published: author, title, year, table or page
//	reference code: name, version, data file
//	common practice, no source
//	from memory, unverified
//
// A number that this project's own code computed is none of them. Values of a
// demonstration are invented, and prove nothing.
//
// With RINSEWRIGHT_VALIDATION set to a folder, [Near] and [Within] also write
// what they compared there, and make validation turns it into
// docs/validation.md.
package check
