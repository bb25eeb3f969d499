// Package work holds what is to be cut and what is known of it before anything is
// planned.
//
// In comes a Work: the face, the blank, the cutters and the machine, lengths in mm and
// places in the face frame. Out come numbers that passes are planned by: the lattice of
// coordinates, feeds and speeds, how a cutter sweeps over the face and what passes leave
// between them, what a scallop may be spent on, what the travel leaves room for. Problems
// say why it cannot be cut, Warnings what its builder should know. What is planned is a
// Program of Sections, each a run of moves.
//
// The sagitta of a chord, c²/8R to first order, is that of [MH].
//
// References:
//
//	[MH]  Machinery's Handbook, 31st edition: segments pp. 79 and 83
package work
