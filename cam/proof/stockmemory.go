package proof

import "slices"

// maxRunsKept is the most runs that a cell remembers. A place beside a wall may lie in
// two runs that meet there, and a flank in two passes. Several times as many serve for
// passes made of short pieces: with six runs those of one side would take the places of
// the pass on the other side of a scallop.
const maxRunsKept = 16

// keptRun is how many bytes a run takes. What cells remember is bounded by maxStockCells.
const keptRun = 96

// cellRuns is what a cell remembers: so many runs, in slots that lie one after the other.
type cellRuns struct {
	first int32 // slot
	class uint8 // of the slots: see roomFor
	count uint8 // of the runs
}

// runMemory holds for each cell the runs that shaped it last: two to four of most cells, so
// that each has room for no more than about as many as it remembers.
type runMemory struct {
	index   []int32 // of each cell its record, 0 where it remembers none
	records pool[cellRuns]
	slots   pool[int32]      // numbers of runs
	free    [classes][]int32 // slots given back, by class
}

// classes are the numbers of slots that a cell may have: see roomFor.
const classes = 3

// roomFor returns how many slots a class has: 4, 8 or maxRunsKept.
func roomFor(class uint8) int { return 4 << class }

// pool is a list that grows in parts: what is kept is never copied.
type pool[T any] struct {
	parts [][]T
	count int32
}

const poolPart = 1 << 14 // a multiple of maxRunsKept

// take adds n elements, at most poolPart and a divisor of it, one after the other, and returns
// the number of the first.
func (p *pool[T]) take(n int32) (first int32) {
	if first = (p.count + n - 1) / n * n; int(first/poolPart) == len(p.parts) {
		p.parts = append(p.parts, make([]T, poolPart))
	}
	p.count = first + n
	return first
}

// at returns element k.
func (p *pool[T]) at(k int32) *T { return &p.parts[k/poolPart][k%poolPart] }

// clone returns a copy.
func (p pool[T]) clone() pool[T] {
	c := pool[T]{count: p.count}
	for _, l := range p.parts {
		c.parts = append(c.parts, slices.Clone(l))
	}
	return c
}

// runs returns the runs of a record.
func (m *runMemory) runs(p *cellRuns) []int32 {
	if p.count == 0 {
		return nil
	}
	return m.slots.parts[p.first/poolPart][p.first%poolPart:][:p.count]
}

// of returns the runs of a cell.
func (m *runMemory) of(cell int) []int32 {
	if m.index[cell] == 0 {
		return nil
	}
	return m.runs(m.records.at(m.index[cell]))
}

// room returns the first of as many slots as a class has.
func (m *runMemory) room(class uint8) (first int32) {
	if f := m.free[class]; len(f) > 0 {
		m.free[class] = f[:len(f)-1]
		return f[len(f)-1]
	}
	return m.slots.take(int32(roomFor(class)))
}

// keepOnly removes the runs of a cell that are not useful.
func (m *runMemory) keepOnly(cell int, use func(id int32) bool) {
	if m.index[cell] == 0 {
		return
	}
	p := m.records.at(m.index[cell])
	runs := m.runs(p)
	p.count = 0
	for _, id := range runs {
		if use(id) {
			runs[p.count] = id
			p.count++
		}
	}
}

// keep adds a run to a cell. Where it is full, forget returns which of its runs gives way, or
// maxRunsKept where the new one is not kept.
func (m *runMemory) keep(cell int, id int32, forget func(kept []int32) int) {
	if m.index[cell] == 0 {
		if m.records.count == 0 {
			m.records.take(1) // 0 is none
		}
		m.index[cell] = m.records.take(1)
		m.records.at(m.index[cell]).first = m.room(0)
	}
	p := m.records.at(m.index[cell])
	i := int(p.count)
	switch {
	case i == maxRunsKept:
		if i = forget(m.runs(p)); i == maxRunsKept {
			return
		}
	case i == roomFor(p.class):
		first := m.room(p.class + 1)
		copy(m.slots.parts[first/poolPart][first%poolPart:], m.runs(p))
		m.free[p.class] = append(m.free[p.class], p.first)
		p.first, p.class = first, p.class+1
		p.count++
	default:
		p.count++
	}
	m.runs(p)[i] = id
}

// clone returns a copy.
func (m runMemory) clone() runMemory {
	c := runMemory{index: slices.Clone(m.index), records: m.records.clone(), slots: m.slots.clone()}
	for k := range m.free {
		c.free[k] = slices.Clone(m.free[k])
	}
	return c
}

// runList is a list of runs that grows in parts: what is kept is never copied, and none changes.
type runList struct {
	parts [][]straightRun
	count int32
}

// runPart is how many runs a part holds.
const runPart = 1 << 11

// add keeps a run, whose number is the count before.
func (l *runList) add(k straightRun) {
	last := int(l.count / runPart)
	if last == len(l.parts) {
		l.parts = append(l.parts, nil)
	}
	l.parts[last] = append(l.parts[last], k)
	l.count++
}

// at returns a run by its number.
func (l *runList) at(id int32) *straightRun { return &l.parts[uint32(id)/runPart][uint32(id)%runPart] }

// clone returns a copy: it shares the parts that are full.
func (l runList) clone() runList {
	c := runList{slices.Clone(l.parts), l.count}
	if n := len(c.parts); n > 0 {
		c.parts[n-1] = slices.Clone(c.parts[n-1])
	}
	return c
}
