package shop_test

import (
	"context"
	"regexp"
	"testing"

	"github.com/stretchr/testify/require"

	"dishwright/cam/job"
	"dishwright/cmd/internal/shop"
)

// The height to which a program goes up first is the same word in its message and in the list
// of what is done, to the last decimal of its machine.
func TestTheHeightIsOneWord(t *testing.T) {
	const text = "name: high\nradius: 12 ft\ndiameter: 5 in\nblank: {size: 8 in, thickness: 1 in}\nhold downs: [{x: 3.6 in, y: 3.6 in, radius: 0.2 in, height: 12.7003 mm}]\nscallop: 0.004 in\nmachine: "
	tried := 0
	for _, machine := range []string{"inch-24", "bench-600"} {
		j, err := job.Load("job.yaml", []byte(text+machine+"\n"))
		require.NoError(t, err)
		r, err := shop.Run(context.Background(), j)
		require.NoError(t, err)
		for _, step := range r.Report.Order {
			for _, a := range step.Answers {
				did := regexp.MustCompile(`straight up to (Z[\d.]*\d)`).FindStringSubmatch(a.Yes)
				for _, told := range a.Told {
					if said := regexp.MustCompile(`straight up to (Z[\d.]*\d)`).FindStringSubmatch(told); said != nil {
						tried++
						require.Equal(t, said[1], did[1], machine)
					}
				}
			}
		}
	}
	require.Equal(t, 4, tried)
}

// A way that was weighed is told apart from every other by its cutters and its pattern.
func TestWaysAreToldApart(t *testing.T) {
	r := sampleRun(t, "short")
	seen := map[[3]string]bool{}
	for _, w := range r.Report.Ways {
		key := [3]string{w.Rough, w.Finish, w.Pattern}
		require.NotEmpty(t, w.Pattern)
		require.False(t, seen[key], "%v", key)
		seen[key] = true
	}
	require.Greater(t, len(seen), 1)
}
