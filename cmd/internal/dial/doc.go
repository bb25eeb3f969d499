// Package dial takes the readings of a job with a dial gauge all the way: a program that sets
// the gauge down at each place, proven from its own bytes, the table to fill in, and what the
// filled table tells.
//
// A machine that cut a face and then reads it repeats its own scale, lean, sag and tilt: of a
// face the readings tell what cutting and time added, and never its radius.
package dial
