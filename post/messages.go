package post

import (
	"bufio"
	"io"
	"slices"

	"dishwright/cam/path"

	"gonum.org/v1/gonum/spatial/r3"
)

// BeforeLead is the comment before the sentences of Program.Before.
const BeforeLead = "Before this program is started:"

// After are the sentences that stand in every head after the extents of its moves: one
// before what is done, the others behind it.
func After() (counted string, behind []string) { return assumed, slices.Clone(cautions) }

// Messages returns what a program tells the operator: the messages before each of its
// stops, in order, and in the last list those after them all. It is what Write writes;
// the program's moves change nothing of it.
func (p Program) Messages() [][]string {
	up := r3.Vec{Z: p.Clearance}
	p.About, p.Before = nil, nil
	p.Sections = []Section{{Moves: []path.Move{{Kind: path.Traverse, From: up, To: up}}}}
	o := &writer{out: bufio.NewWriter(io.Discard), program: p, lattice: lattice{p.Machine.Step(), p.Machine.Decimals}}
	o.writeHead()
	o.writeTail()
	return append(o.stops, o.told)
}
