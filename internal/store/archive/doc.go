// Package archive puts all of a store into one file and brings it back.
//
// A backup is a tar file that any computer can open:
//
//	about.json               what this is, and the version of the data
//	tables/NAME/000001.jsonl the rows of a table: a line of column names, then a line for each row
//	photos/ab/cdef...        photos, named by their SHA-256
//	manifest.json            every table with its number of rows and hash, every photo, and the hash of all content
//	whole.sha256             the SHA-256 of every byte before this entry
//
// The rows are those of one moment, whatever goes on while it is made. They
// are written alike from SQLite and PostgreSQL, so that one can be restored
// into the other, and the hash of all content is the same in both. Who is
// signed in, keys, and what is computed anew are left out.
//
// A byte that changed or is missing anywhere is found: the last entry covers
// all before it, and is itself what it must be to the bit. A backup may be
// encrypted with age (filippo.io/age), which finds it too.
package archive
