// Package tell says to the person at the terminal what happened: it turns an
// error into lines with hints and into an exit code, writes results as JSON,
// and remembers the first write that failed.
//
// In come errors and values, out go lines on the writers it is given. It knows
// nothing of the commands.
//
// An error prints as
//
//	dishwright: what is wrong, lower case, no full stop
//	  hint: what to do about it
//
// and a fault of a file as
//
//	job.yaml:3:9: what is wrong
//	  hint: what would be right
package tell
