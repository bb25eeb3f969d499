// Package draw makes text drawings, as a workshop drawing made of characters: a
// plan of the passes, a section through the apex, a map of what is left.
//
// In come numbers in mm and the look of the terminal, out goes a string of
// lines, each ended by a line feed and none wider than asked. The same numbers
// give the same drawing. Nothing is said by colour alone.
//
// A character cell is taken as twice as tall as wide, so that a round rim looks
// round.
package draw
