// Package motion calculates how long a machine takes over a path.
//
// In come the limits of a machine (machines.Machine) and the moves and events of
// a path (cam/path), in millimetres. Out goes a Time, or the seconds of each move.
//
// The model, in the order in which it is applied:
//
//  1. Every move has a highest speed: the programmed feed, the feed of each
//     axis, in a traverse the rapid of each axis, on an arc the speed at which
//     the centripetal acceleration v²/R is what the axes of its plane can give.
//  2. Every move has one acceleration along the path: the largest that asks of
//     no axis more than its own, in any direction that the move takes.
//  3. Where two moves meet, the corner may be rounded as far as the machine's
//     profile allows, within half of each move; the speed over the rounding is
//     that of its centripetal acceleration (rules.meeting). A turn of more than
//     120° is a stop. In exact path mode (G61) only a rounding too small to be
//     written down is allowed, in exact stop mode (G61.1) none.
//  4. The machine rests at every event but a comment or a message, and where a
//     traverse meets a feed move. (Some controllers blend those too: the time is
//     then a little less.)
//  5. Between two rests the speed is the highest that keeps all of this: a pass
//     backward for braking, a pass forward for speeding up, and in each move a
//     trapezoid of speed. There is no limit of jerk.
//
// The accelerations along and across the path are limited separately. The time of
// a rounded corner is that of its arc; the lengths that Time reports are those of
// the program, with sharp corners. A stop for the operator counts as no time. The
// start of the spindle counts as the dwell that the program gives it, once:
// SpindleOn alone takes no time.
//
// Same path, same machine, same Time, on any computer.
//
// References:
//
//	[BM]  L. Biagiotti, C. Melchiorri, Trajectory Planning for Automatic
//	      Machines and Robots, Springer 2008: trapezoidal velocity profiles; from
//	      memory
package motion
