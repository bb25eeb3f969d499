package tell

import (
	"bytes"
	"context"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

func TestProgressLine(t *testing.T) {
	s := time.Second
	require.Equal(t, "dishwright: planning, 3 s so far", progressLine(3*s, 0, 0, "planning"))
	require.Equal(t, "dishwright: proving, 3 s so far, about 5 s to go", progressLine(3*s, 2*s, 0.25, "proving"))
	require.Equal(t, "dishwright: proving, 9 s so far, soon done", progressLine(9*s, 2*s, 0.25, "proving"))
}

func TestProgressIsTakenAway(t *testing.T) {
	var b bytes.Buffer
	now := time.Unix(0, 0)
	p := &Progress{w: &b, now: func() time.Time { return now }, since: now, quit: make(chan struct{})}
	ctx := WithProgress(context.Background(), p)
	p.show(5 * time.Second)
	require.Empty(t, b.String(), "nothing is being done yet")
	Step(Part(ctx, 0.5, 1), 0.5, "proving the programs")
	require.InDelta(t, 0.75, p.done, 1e-12)
	p.show(500 * time.Millisecond)
	require.Empty(t, b.String(), "work that is soon done is not told of")
	p.show(5 * time.Second)
	Step(ctx, 0.9, "short")
	p.show(6 * time.Second)
	p.End()
	p.End()
	p.show(7 * time.Second)
	lines := strings.Split(b.String(), "\r")
	require.Equal(t, "", lines[0])
	require.Len(t, lines[2], len(lines[1]), "a shorter line covers the longer one")
	require.Equal(t, strings.TrimSpace(lines[3]), "")
	require.Equal(t, "", lines[4])
	Step(context.Background(), 1, "nobody listens")
	(*Progress)(nil).End()
}

// TestProgressFromManySides: steps, lines and ends from several goroutines at once, as a
// command that is told to stop makes them; with -race. No line follows the first end.
func TestProgressFromManySides(t *testing.T) {
	var b bytes.Buffer
	p := NewProgress(&b)
	p.since = p.since.Add(-time.Minute)
	ctx := WithProgress(context.Background(), p)
	var sides sync.WaitGroup
	for range 4 {
		sides.Go(func() {
			for i := range 50 {
				Step(Part(ctx, 0.5, 1), float64(i)/50, "proving")
				p.show(time.Duration(i) * time.Second)
			}
			p.End()
			p.show(time.Hour)
		})
	}
	sides.Wait()
	require.Contains(t, b.String(), "proving")
	require.NotContains(t, b.String(), "3600 s")
	require.Regexp(t, `\r *\r$`, b.String())
}
