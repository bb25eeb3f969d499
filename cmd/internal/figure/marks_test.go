package figure

import (
	"regexp"
	"testing"

	"github.com/stretchr/testify/require"
)

// A scrap's drawing has each mark's letter once, and tells for those who do not
// see it how many there are.
func TestMarks(t *testing.T) {
	v := MarksView{Size: 120, Radius: 6, Cuts: []Groove{{From: Point{X: -40, Y: -40}, To: Point{X: 0, Y: -40}, Z: -1}, {From: Point{X: -40, Y: -32}, To: Point{X: 0, Y: -32}, Z: -2}},
		Marks: []Lettered{{"J", Point{X: 0, Y: -36}, Point{X: -20, Y: -36}}, {"N", Point{X: 30, Y: 30}, Point{X: 30, Y: 30}}}}
	f := Marks(v, 130, "where the scrap is measured")
	svg := f.SVG("scrap", true)
	wellFormed(t, svg)
	require.Contains(t, f.About, "2 marks by their letters")
	for _, letter := range []string{"J", "N", "X", "Y", "120 mm"} {
		require.Len(t, regexp.MustCompile(">"+letter+"<").FindAll(svg, -1), 1, letter)
	}
	// Cuts of two heights show their edges inside what is cut, those of one do not.
	require.True(t, v.shows(v.Cuts[0]))
	v.Cuts[1].Z = -1
	require.False(t, v.shows(v.Cuts[0]))
}
