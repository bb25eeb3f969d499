package strict

import (
	"testing"

	"dishwright/dish/measure"

	"github.com/stretchr/testify/require"
)

// A document is asked what it expects at the way to a value, only where that cannot be read.
func TestExpect(t *testing.T) {
	var asked []string
	doc, err := Former{"old": "new"}.Open("job.yaml", []byte("radius: 25\nshelf: {a/b: {width: 3}}\npoints: [{x: 1 mm}, {x: 2}]\nplace: [1, 2 mm]\nwait: 8\nold: {feed: 7}\n"))
	require.NoError(t, err)
	doc.Expect(func(path string) measure.Range {
		asked = append(asked, path)
		return measure.Range{Least: 20, Most: 1000}
	})
	r := doc.Root()
	r.Length("radius")
	shelf, _ := r.Map("shelf")
	one, _ := shelf.Map("a/b")
	one.Length("width")
	points, _ := r.List("points")
	for _, p := range points {
		m, _ := p.Map()
		m.Length("x")
	}
	place, _ := r.List("place")
	for _, p := range place {
		p.Length()
	}
	get(r, "wait", (*Value).Seconds)
	m, _ := r.Map("new")
	get(m, "feed", (*Value).Feed)
	require.Equal(t, []string{"radius", "shelf/a/b/width", "points/2/x", "place/1", "wait", "new/feed"}, asked)
	var faults Faults
	require.ErrorAs(t, doc.Err(), &faults)
	require.Equal(t, "write the unit: 25 mm or 25 in", faults[0].Hint)
	require.Equal(t, "write the unit: 3 in or 3 ft", faults[1].Hint)
	require.Equal(t, "write the unit: 8 min", faults[4].Hint)
}
