// Package path holds what a machine does, free of any text format: the Cutter,
// the Move (a straight line or an arc of the cutter's tip) and the Event
// between moves (a stop, a message, the spindle), each with the line and column
// it was read from, where it was read.
//
// All coordinates are of the cutter's tip in the face frame (X0 Y0 over the
// apex, Z0 in the blank's top, Z up), in mm; feeds are in mm/min, spindle
// speeds in rpm, times in seconds, angles in radians.
package path
