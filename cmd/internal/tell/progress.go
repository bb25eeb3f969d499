package tell

import (
	"context"
	"fmt"
	"io"
	"strings"
	"sync"
	"time"
)

// patience is how long work may take before anything is said of it, and often how
// often the line is written again.
const (
	patience = time.Second
	often    = 200 * time.Millisecond
)

// Progress says on one line of a terminal what is being done, and about how long it
// will take, once that has taken a second. The line is taken away at the end.
type Progress struct {
	mu    sync.Mutex
	w     io.Writer
	now   func() time.Time
	since time.Time
	done  float64       // share of the work
	at    time.Duration // when that was said
	doing string
	wide  int // of the line that stands there
	over  bool
	quit  chan struct{}
}

// NewProgress begins to tell; w must be a terminal.
func NewProgress(w io.Writer) *Progress {
	p := &Progress{w: w, now: time.Now, since: time.Now(), quit: make(chan struct{})}
	go p.run()
	return p
}

func (p *Progress) run() {
	tick := time.NewTicker(often)
	defer tick.Stop()
	for {
		select {
		case <-p.quit:
			return
		case now := <-tick.C:
			p.show(now.Sub(p.since))
		}
	}
}

// step notes that a share of the work is done, and what comes now.
func (p *Progress) step(share float64, doing string) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.done, p.doing, p.at = share, Clean(doing), p.now().Sub(p.since)
}

// show writes the line.
func (p *Progress) show(elapsed time.Duration) {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.over || elapsed < patience || p.doing == "" {
		return
	}
	text := progressLine(elapsed, p.at, p.done, p.doing)
	fmt.Fprintf(p.w, "\r%s%s", text, strings.Repeat(" ", max(0, p.wide-len(text))))
	p.wide = len(text)
}

// End takes the line away; nothing is told after it.
func (p *Progress) End() {
	if p == nil {
		return
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.over {
		return
	}
	p.over = true
	close(p.quit)
	if p.wide > 0 {
		fmt.Fprintf(p.w, "\r%s\r", strings.Repeat(" ", p.wide))
	}
}

// progressLine says what is being done: at is when the share was done.
func progressLine(elapsed, at time.Duration, share float64, doing string) string {
	line := fmt.Sprintf("%s: %s, %.0f s so far", program, doing, elapsed.Seconds())
	if share <= 0 || at <= 0 {
		return line
	}
	whole := time.Duration(float64(at) / share)
	if left := whole - elapsed; left > 500*time.Millisecond {
		return line + fmt.Sprintf(", about %.0f s to go", left.Seconds())
	}
	return line + ", soon done"
}

// progressKey finds the progress of a context, and the part of the work that is its.
type progressKey struct{}

type progressPart struct {
	p      *Progress
	lo, hi float64
}

// WithProgress returns a context whose steps are told to p.
func WithProgress(ctx context.Context, p *Progress) context.Context {
	return context.WithValue(ctx, progressKey{}, progressPart{p, 0, 1})
}

// Part returns a context whose work is the part from lo to hi of the whole.
func Part(ctx context.Context, lo, hi float64) context.Context {
	at, ok := ctx.Value(progressKey{}).(progressPart)
	if !ok {
		return ctx
	}
	return context.WithValue(ctx, progressKey{}, progressPart{at.p, at.lo + lo*(at.hi-at.lo), at.lo + hi*(at.hi-at.lo)})
}

// Step tells that a share of the context's work is done, and what comes now; nothing
// where no one listens.
func Step(ctx context.Context, share float64, doing string) {
	if at, ok := ctx.Value(progressKey{}).(progressPart); ok {
		at.p.step(at.lo+share*(at.hi-at.lo), doing)
	}
}
