package proof

import "math/bits"

// maxRunsKept is the most runs that a cell remembers. A place beside a wall may lie in
// two runs that meet there, and a flank in two passes. Several times as many serve for
// passes made of short pieces: with six runs those of one side would take the places of
// the pass on the other side of a scallop.
const maxRunsKept = 16

// maxWallsKept of the runs that a cell remembers are kept for walls: runs whose edge
// passes through it, wallDepth mm or more below what stands there. Earlier passes over
// the face, of which a few suffice, would otherwise take their places; and so would walls
// on one side take the places of those on another, which alone cut what stands there.
const (
	maxWallsKept = 8
	wallDepth    = 0.05
)

// keptRun is how many bytes a run takes. What cells remember is bounded by maxStockCells.
const keptRun = 96

// cellRuns holds the runs that a cell remembers.
type cellRuns struct {
	count    int32
	ids      [maxRunsKept]int32
	scores   [maxRunsKept]float32 // only ranks; lower is better
	wallBits uint16               // one bit a run
	sideBits uint32               // two bits a run: on which side of the cell it lies
}

// sideOf returns on which side run i lies.
func (p *cellRuns) sideOf(i int) int { return int(p.sideBits >> (2 * i) & 3) }

// replaceable returns the run that gives way to another one, which is a wall or not and
// lies on a side; ok is false where the new one is worth less than all that may give way.
func (p *cellRuns) replaceable(score float32, wall bool, side int) (at int, ok bool) {
	walls := bits.OnesCount16(p.wallBits)
	// Which may give way: walls only where they hold more than maxWallsKept places, and then
	// those of the side that has most of them.
	from, always := ^uint16(0), false
	switch {
	case wall && walls < maxWallsKept:
		from, always = ^p.wallBits, true
	case wall:
		most := p.crowdedSide(side)
		from, always = 0, most != side
		for i := range maxRunsKept {
			if p.wallBits>>i&1 == 1 && p.sideOf(i) == most {
				from |= 1 << i
			}
		}
	case walls > 0 && walls <= maxWallsKept:
		from = ^p.wallBits
	}
	at = -1
	for i := range maxRunsKept {
		if from>>i&1 == 1 && (at < 0 || p.scores[i] > p.scores[at]) {
			at = i
		}
	}
	return at, at >= 0 && (always || score <= p.scores[at])
}

// crowdedSide returns the side with most walls, with one more counted on the given side.
func (p *cellRuns) crowdedSide(side int) (most int) {
	var n [4]int
	n[side]++
	for i := range maxRunsKept {
		if p.wallBits>>i&1 == 1 {
			n[p.sideOf(i)]++
		}
	}
	for i := range n {
		if n[i] > n[most] {
			most = i
		}
	}
	return most
}

// runMemory holds for each cell the runs that shaped it last. Cells without
// any share the record 0.
type runMemory struct {
	index  []int32
	chunks [][]cellRuns // of recordsPerChunk each: what is kept is never copied to grow
	count  int          // of records
}

const recordsPerChunk = 4096

// record returns the k-th record.
func (m *runMemory) record(k int32) *cellRuns {
	return &m.chunks[k/recordsPerChunk][k%recordsPerChunk]
}

// add adds an empty record and returns its number.
func (m *runMemory) add() int32 {
	if m.count%recordsPerChunk == 0 {
		m.chunks = append(m.chunks, make([]cellRuns, recordsPerChunk))
	}
	m.count++
	return int32(m.count - 1)
}

// of returns the runs of a cell.
func (m *runMemory) of(cell int) []int32 {
	k := m.index[cell]
	if k == 0 {
		return nil
	}
	p := m.record(k)
	return p.ids[:p.count]
}

// keepOnly removes the runs of a cell that are not useful.
func (m *runMemory) keepOnly(cell int, use func(id int32) bool) {
	k := m.index[cell]
	if k == 0 {
		return
	}
	p := m.record(k)
	old := *p
	p.count, p.wallBits, p.sideBits = 0, 0, 0
	for i := range int(old.count) {
		if use(old.ids[i]) {
			p.ids[p.count], p.scores[p.count] = old.ids[i], old.scores[i]
			p.sideBits |= uint32(old.sideOf(i)) << (2 * p.count)
			p.wallBits |= old.wallBits >> i & 1 << p.count
			p.count++
		}
	}
}

// keep adds a run to a cell, in place of the worst where it is full. wall says that its
// edge passes through the cell well below what stands there, side on which side it lies.
func (m *runMemory) keep(cell int, id int32, score float64, wall bool, side int) {
	k := m.index[cell]
	if k == 0 {
		if m.count == 0 {
			m.add()
		}
		k = m.add()
		m.index[cell] = k
	}
	p := m.record(k)
	i := int(p.count)
	if p.count < maxRunsKept {
		p.count++
	} else {
		var ok bool
		if i, ok = p.replaceable(float32(score), wall, side); !ok {
			return
		}
	}
	p.ids[i], p.scores[i] = id, float32(score)
	p.sideBits = p.sideBits&^(3<<(2*i)) | uint32(side)<<(2*i)
	if p.wallBits &^= 1 << i; wall {
		p.wallBits |= 1 << i
	}
}

// clone returns a copy.
func (m runMemory) clone() runMemory {
	c := runMemory{append([]int32(nil), m.index...), nil, m.count}
	for _, l := range m.chunks {
		c.chunks = append(c.chunks, append([]cellRuns(nil), l...))
	}
	return c
}
