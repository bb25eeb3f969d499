package proof

import "math/bits"

// stockKept is how many runs a cell remembers. A place beside a wall may lie
// in two runs that meet there, and a flank in two passes; thrice that for passes
// made of short pieces, of which six crowd out the pass on a ridge's other side.
const stockKept = 16

// stockWalls of what a cell remembers are kept for runs along a wall that ends in
// it, wallDeep mm or more below what stands there: the passes over the face before,
// of which a few tell all, would crowd them out.
const (
	stockWalls = 8
	wallDeep   = 0.3
)

// stockPast is what a cell remembers.
type stockPast struct {
	n     int32
	id    [stockKept]int32
	score [stockKept]float32 // only ranks; lower is better
	wall  uint16             // one bit a run
}

// worst returns the run to give up for another one, of a wall or not.
func (p *stockPast) worst(wall bool) int {
	walls := bits.OnesCount16(p.wall)
	// Of which kind: walls give way only where they have more than their share.
	from := ^uint16(0)
	switch {
	case wall && walls < stockWalls:
		from = ^p.wall
	case wall && walls == stockWalls:
		from = p.wall
	case walls > 0 && walls <= stockWalls:
		from = ^p.wall
	}
	at := -1
	for i := range stockKept {
		if from>>i&1 == 1 && (at < 0 || p.score[i] > p.score[at]) {
			at = i
		}
	}
	return at
}

// stockMemory holds for each cell the runs that shaped it last. Cells without
// any share the record 0.
type stockMemory struct {
	at   []int32
	past []stockPast
}

// of returns the runs of a cell.
func (m *stockMemory) of(cell int) []int32 {
	k := m.at[cell]
	if k == 0 {
		return nil
	}
	p := &m.past[k]
	return p.id[:p.n]
}

// forget drops all runs of a cell.
func (m *stockMemory) forget(cell int) {
	if k := m.at[cell]; k != 0 {
		m.past[k].n, m.past[k].wall = 0, 0
	}
}

// keep adds a run to a cell, in place of the worst where it is full. wall says that
// it runs along a wall that ends in the cell.
func (m *stockMemory) keep(cell int, id int32, score float64, wall bool) {
	k := m.at[cell]
	if k == 0 {
		if len(m.past) == 0 {
			m.past = append(m.past, stockPast{})
		}
		k = int32(len(m.past))
		m.past = append(m.past, stockPast{})
		m.at[cell] = k
	}
	p := &m.past[k]
	i := int(p.n)
	if p.n < stockKept {
		p.n++
	} else if i = p.worst(wall); float32(score) > p.score[i] && (!wall || p.wall>>i&1 == 1) {
		return
	}
	p.id[i], p.score[i] = id, float32(score)
	if p.wall &^= 1 << i; wall {
		p.wall |= 1 << i
	}
}

// clone returns a copy.
func (m stockMemory) clone() stockMemory {
	return stockMemory{append([]int32(nil), m.at...), append([]stockPast(nil), m.past...)}
}
