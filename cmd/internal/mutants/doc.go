// Package mutants finds out what the tests would miss: it changes signs, constants,
// bounds and conditions of every room, one at a time, and runs the tests on each change.
//
// It holds tests alone. In come the sources; all changes that were drawn are built into
// one set of test programs, each behind a switch, so that a change costs no build. Out
// comes how many were caught, and where those stand that were not.
package mutants
