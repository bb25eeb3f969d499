// Package link lays moves: ways in plan go in, moves on the lattice of coordinates come out.
//
// A Course is the ways of one pattern, straight legs and arcs. Lay gives them heights, as
// chords or as the arcs that a machine takes, clears a crown's moat ahead of them and cuts
// off what lies beyond a tile. A Linker brings the cutter from one to the next: down into
// stock no more steeply than it may, along a circle, a ramp or the pass itself; over the
// face; through the air. A Builder keeps the machine's feed on every axis. Where passes go
// none of them knows.
package link
