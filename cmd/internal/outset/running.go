package outset

import "sync"

// abandoner is output that is under way.
type abandoner interface{ Abandon() }

// register holds the output that is under way in this process, for Stop.
type register struct {
	mu      sync.Mutex
	stopped bool
	open    []abandoner // in the order of their opening
}

var running register

// add enters a; it reports false after Stop.
func (r *register) add(a abandoner) bool {
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.stopped {
		return false
	}
	r.open = append(r.open, a)
	return true
}

func (r *register) drop(a abandoner) {
	r.mu.Lock()
	defer r.mu.Unlock()
	for i, b := range r.open {
		if a == b {
			r.open = append(r.open[:i:i], r.open[i+1:]...)
			return
		}
	}
}

// Stop abandons all output that is under way and lets no more begin: for a
// program that was told to end, before it ends. A Commit that has begun is
// waited for, so that what it leaves is whole.
func Stop() {
	running.mu.Lock()
	running.stopped = true
	open := append([]abandoner(nil), running.open...)
	running.mu.Unlock()
	for _, a := range open {
		a.Abandon()
	}
}
