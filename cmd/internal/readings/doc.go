// Package readings takes readings of a finished face to the radius that was really
// cut, and says what that means.
//
// In come the file of readings (CSV or YAML), the radius that was asked for and the
// rim, out goes one Report for text and JSON; what is wrong with a file comes as
// strict.Faults, all at once.
package readings
