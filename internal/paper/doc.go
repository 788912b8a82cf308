// Package paper makes the documents that a person keeps: for now the
// self-contained page of a check. It draws what study found and computes
// nothing.
package paper
