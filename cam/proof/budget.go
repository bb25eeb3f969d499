package proof

import (
	"fmt"
	"sync/atomic"
)

// MaxLooks is how many looks a proof may take. A look is about one evaluation of a
// swept surface at a place. Counting looks instead of seconds gives the same verdict on
// every machine. The largest proof of a job that was made took 512 million (measured).
const MaxLooks = 1_200_000_000

// TooMuchWorkError is the error of a proof that needs more looks than it may take, or more
// memory.
type TooMuchWorkError struct {
	Looks int64 // how many it may take
	Bytes int   // how many it may keep; 0 where the looks were too many
}

func (e TooMuchWorkError) Error() string {
	if e.Bytes > 0 {
		return fmt.Sprintf("the proof needs more than %d MB for what the moves leave", e.Bytes/1_000_000)
	}
	return fmt.Sprintf("the proof needs more than %d million looks at what the moves leave", e.Looks/1_000_000)
}

// mostKept is how many bytes the runs of a search, or the moves that a field or a grid
// remembers, may take, about.
const mostKept = 300_000_000

// budget is the work that one proof may do, shared by all that work on it. Whatever is
// found once it is over counts for nothing: Check and Certify then return the error.
type budget struct {
	limit int64
	spent atomic.Int64
	known atomic.Int64 // of those, what is only counted, for it was found before
	full  atomic.Bool  // more was to be kept than may be
}

func newBudget() *budget { return &budget{limit: MaxLooks} }

// done is how many looks were really taken.
func (b *budget) done() int64 { return b.spent.Load() - b.known.Load() }

// err returns the error of a budget that is over; nil for another.
func (b *budget) err() error {
	switch {
	case b == nil:
		return nil
	case b.full.Load():
		return TooMuchWorkError{b.limit, mostKept}
	case b.spent.Load() > b.limit:
		return TooMuchWorkError{Looks: b.limit}
	}
	return nil
}

// tally counts the looks of one worker; nil and its zero value count for no budget. It
// passes them on in portions, for the budget is shared by all processors.
type tally struct {
	of    *budget
	looks int
	kept  int // bytes
	over  bool
}

// portion is how many looks a tally passes on at once.
const portion = 1 << 14

// add counts looks and reports whether the budget is over.
func (t *tally) add(looks int) (over bool) {
	if t == nil || t.of == nil {
		return false
	}
	if t.looks += looks; t.looks >= portion {
		t.flush()
	}
	return t.over
}

// keep counts bytes that are kept until the work of the tally is done.
func (t *tally) keep(bytes int) {
	if t == nil || t.of == nil {
		return
	}
	if t.kept += bytes; t.kept > mostKept {
		t.of.full.Store(true)
		t.over = true
	}
}

// flush passes on what is counted, so that the sum is that of all workers, in
// whatever portions it came.
func (t *tally) flush() {
	if t != nil && t.of != nil {
		t.over = t.of.spent.Add(int64(t.looks)) > t.of.limit || t.of.full.Load()
		t.looks = 0
	}
}
