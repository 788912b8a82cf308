package study

import "errors"

// The reasons why a question has no answer; test with errors.Is.
var (
	// ErrNoRig marks a survey without a rig to judge.
	ErrNoRig = errors.New("no rig to check")
	// ErrNoSample marks a site without a reading of its raw water.
	ErrNoSample = errors.New("no reading of the raw water")
	// ErrNoDemand marks a site where nobody said how busy it is.
	ErrNoDemand = errors.New("nobody said how many vehicles come")
)

// ErrFragile marks a rig that has water only if every reading is right.
var ErrFragile = errors.New("too close to making no water at all")
