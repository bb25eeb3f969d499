package proof

import (
	"fmt"
	"sync/atomic"
)

// MaxLooks is how many looks a proof may take. A look is about one evaluation of a
// swept surface at a place. Counting looks instead of seconds gives the same verdict on
// every machine.
const MaxLooks = 4_000_000_000

// TooMuchWorkError is the error of a proof that needs more looks than it may take.
type TooMuchWorkError struct{ Limit int64 }

func (e TooMuchWorkError) Error() string {
	return fmt.Sprintf("the proof needs more than %d million looks at what the moves leave", e.Limit/1_000_000)
}

// budget is the work that one proof may do, shared by all that work on it. Whatever is
// found once it is over counts for nothing: Check and Certify then return the error.
type budget struct {
	limit int64
	spent atomic.Int64
}

func newBudget() *budget { return &budget{limit: MaxLooks} }

// err returns the error of a budget that is over; nil for another.
func (b *budget) err() error {
	if b != nil && b.spent.Load() > b.limit {
		return TooMuchWorkError{b.limit}
	}
	return nil
}

// tally counts the looks of one worker; nil and its zero value count for no budget. It
// passes them on in portions, for the budget is shared by all processors.
type tally struct {
	of    *budget
	looks int
	over  bool
}

// portion is how many looks a tally passes on at once.
const portion = 1 << 14

// add counts looks and reports whether the budget is over.
func (t *tally) add(looks int) (over bool) {
	if t == nil {
		return false
	}
	if t.looks += looks; t.looks >= portion {
		t.flush()
	}
	return t.over
}

// flush passes on what is counted, so that the sum is that of all workers, in
// whatever portions it came.
func (t *tally) flush() {
	if t.of != nil {
		t.over = t.of.spent.Add(int64(t.looks)) > t.of.limit
	}
	t.looks = 0
}
