// Package play shows work as it runs: programs over the time that a machine takes for
// them, the wood that they leave, and where the cutter stands.
//
// In come programs as they were read back (Program) and, at the terminal, keys; out goes
// a frame of lines for a moment of the run (Show.Frame). The same moment gives the same
// frame however it was come to. What writes to a terminal is a thin layer over that
// (Screen, Run): it draws frames, and leaves the terminal as it was.
package play
