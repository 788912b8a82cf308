// Package arch holds the rules of the house as tests, so that a rule is read
// where it is enforced:
//
//   - rows_test.go: which room may import which, as rows from quantity down to cmd
//   - edges_test.go: every edge between two packages that exists, with its reason
//   - thirdparty_test.go: which modules from outside are used, where and why
//   - engine_test.go: what the engine (rows 0 to 7) must not do
//   - wasm_test.go: the engine compiles for the browser
//   - sources_test.go: every work that a comment cites is listed, and used
//   - api_test.go: exported names are documented and carry their dimension
//   - hygiene_test.go: what no file may hold, and what a reference table must say
//   - sourcespage_test.go: docs/SOURCES.md gathers the works of every package
//   - docs_test.go: links between pages lead somewhere
//
// Each rule is a function from parsed packages to findings, one sentence each.
// Beside the test that runs it over the whole tree stands a control: a few
// lines of bad code that the rule must find. Files are parsed, not compiled:
// the rules hold while a package is half written.
package arch
