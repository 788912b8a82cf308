// Rinsewright surveys, sizes, proves and services small spot-free rinse
// systems: the filters, carbon, membrane, resin, tank, pump and guns behind a
// wash bay, a marina pedestal, a bus arch or a window cleaner's van. One
// physical model of the water's path, from the tap to the gun, answers every
// question, so that the system that was quoted, the readings that were promised
// and the fault that is being looked for are told by the same equations.
//
// This file holds no code. It maps the rooms and says where to begin.
//
// # The rooms
//
// Imports point up this list only; internal/arch holds the rules as tests, and
// docs/adr/0004-import-rows.md says why.
//
//	quantity             physical quantities, typed, in SI; reads and prints units
//	working              how a number came about, as data
//	internal/num         roots, least squares, integrals
//
//	water                a water: what was measured, its equilibrium, its properties
//	demand               bays, vends, arrivals; a tank and its float over time
//	rinse                what stays on the panel
//
//	carbon resin         the stations' physics; none knows another
//	membrane hydraulics
//
//	plant                stations composed into one path, and its operating point
//
//	cost                 money, from a price list the user supplies
//	catalog              generic parts with typical data, embedded and editable
//	commissioning        promises, meters and verdicts on the first day
//
//	site                 the record of one installation
//	faults               what may be wrong, how surely
//	service              the log: state through readings, and when things are due
//
//	sizing               searches candidate plants; picks, and what binds them
//
//	study                one function per question a technician asks of a site
//
//	internal/sitefile    reads and writes site files
//	internal/grid        rows of tables that others made: CSV, workbooks
//	internal/scene       one drawing model, printed as SVG and PDF
//	internal/pathscene   the path that study found, as the one drawing of it
//	internal/paper       documents: pages of a check and a sizing, papers to hand over
//	internal/store       sites, readings, people and the audit, in SQLite or PostgreSQL
//	internal/cli         the command line: a face of study
//	internal/door        what a page asks while someone changes numbers
//	internal/web         the pages: the other face
//	cmd/rinsewright      flags, wiring, exit codes
//	cmd/rinsewasm        the door, compiled for the browser
//	testdata/sites       example sites, invented, each with its story
//
//	internal/check       test helpers: tolerances, sources, reference tables
//	internal/arch        the rules of the house as tests
//
// Everything down to study is the engine: the standard library and gonum, no
// files, no clock, no network, no chance without a seed. It returns errors,
// never NaN, and compiles to WebAssembly.
//
// # One hour's reading
//
// In this order, with the tests beside each file open:
//
//  1. README.md, and go run ./cmd/rinsewright demo (5 min).
//  2. docs/explanation/one-model.md: why one model, and what meters hide (5 min).
//  3. quantity/quantity.go: the types everything is said in (5 min).
//  4. water: the package comment, then its types (10 min).
//  5. One station, resin or membrane: how an equation reads here, with its
//     source, range and accuracy, and the test that holds it to a table (15 min).
//  6. plant: how stations become a path with one operating point (10 min).
//  7. study: site in, result out; then the verb of internal/cli that shows that
//     result (5 min).
//  8. internal/arch/rows_test.go and docs/adr: what may change and how (5 min).
package rinsewright
