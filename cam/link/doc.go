// Package link lays moves: places that a cutter has to come to go in, moves on the
// lattice of coordinates come out.
//
// A Builder takes places one after another and keeps the machine's feed on every axis. The
// rest is how a cutter comes from one place to the next: down into stock no more steeply
// than it may, along a circle, a ramp or the pass itself; over the face from one pass to
// another; round corners; through the air. Where passes go it does not know.
package link
