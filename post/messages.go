package post

import (
	"bufio"
	"io"

	"dishwright/dish/measure"
)

// BeforeLead is the comment before the sentences of Program.Before.
const BeforeLead = "Before this program is started:"

// Says returns what a program says: the sentences of its head, and what it tells the
// operator, the messages before each of its stops, in order, and in the last list those after
// them all. It is what Write writes; of the moves only how far they go changes it.
func (p Program) Says() (head []measure.Said, stops [][]string) {
	o := &writer{out: bufio.NewWriter(io.Discard), program: p, lattice: lattice{p.Machine.Step(), p.Machine.Decimals}}
	o.writeHead()
	o.writeTail()
	return o.head, append(o.stops, o.told)
}
