// Package post turns planned moves into RS-274/NGC text and text back into
// moves, as the NIST report defines the language [NGC].
//
// The writer takes one Program (a cutter, its speed, sections of moves in the
// face frame, and sentences for its head) and a machine, and gives plain text
// in the smallest set of words that every such controller takes: one statement
// a line, printable ASCII, no line longer than the machine's. It refuses, with
// the reason, to write what leaves the travel, breaks a limit of the machine or
// the cutter, or is not a number. A trial is a dry program of every word for a
// machine. The reader takes any text in the language and gives the moves and
// events that a machine would make of it.
//
// References:
//
//	[NGC]  T. R. Kramer, F. M. Proctor, E. Messina, The NIST RS274/NGC
//	       Interpreter, Version 3, NISTIR 6556, 2000
package post
