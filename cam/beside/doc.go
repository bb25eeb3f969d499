// Package beside plans what is cut beside the face, or around its programs: a work, and
// where they matter the programs that cut its face, go in; programs, and the volumes that
// are cut, come out.
//
// Extras are holes, lines, letters and cut-outs. A skim makes the blank's top true before
// anything else. An air lap shows, above everything that stands about, how far the programs
// reach. Resume makes what is left of a program that was stopped.
package beside
