// Package scrap lays out the marks of a scrap cut, and finds from readings of them what the
// machine is off by: the spindle's tilt, the cutter's diameter, backlash, scales. Numbers
// only: mm and radians; X0 Y0 in the scrap's middle, Z0 in its top, Z up.
//
// The ring is a square slot about a boss. Each of its sides is cut in two halves; before a
// half the axis square to it moves one way, before the other half the other way, and never
// while a half is cut. A machine with the backlash b that is told x stands at x − b/2 after
// moving to +X and at x + b/2 after moving to −X. With the slot's middle lines C apart, a
// cutter of diameter D and a scale error s the boss is C(1 + s) − D − b wide where both
// sides were come to outward and C(1 + s) − D + b where they were come to inward; the pocket
// is 2D wider than either. Both halves of a side run the same way, so that what the cutter
// bends cancels.
//
// A tilt block has a level pass and two passes beside it that go down evenly. The bottom of
// a tilted cutter is at −tx u − ty v beside its axis, so that neighbours which are told the
// same height differ by what the tilt makes of the distance between them, the one up, the
// other down: the strip where the side pass lies deeper than the level floor is longer on
// the one side than on the other. What a touch-off adds is common to both, and so is what a
// tilt along the passes does.
//
// The stair is three level floors, come down to: the slope of their depths is Z's scale.
package scrap
