// Package store keeps what must not be lost: sites, samples, people, sessions,
// settings and the audit, in SQLite or PostgreSQL.
//
// The text of a site file is the record; a site's name and what stands in the
// list are read from it. Samples are only ever added, and a correction is a
// new sample that names the old one. Every change writes its audit row in the
// same transaction.
//
// All changes go through one writer, which commits what has come in together.
// A change is answered after its commit. The SQL is written once, in the subset
// that both databases share: text ids made by the program, whole milliseconds,
// nothing NULL, no sequences, locks or JSON operators.
package store
