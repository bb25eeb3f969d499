package readings_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"dishwright/cmd/internal/readings"
	"dishwright/dish/measure"
)

// held is what depths of a face tell of its use, each off by turns by as much.
func held(t *testing.T, R, by float64, seat readings.Seat, more string) readings.Report {
	t.Helper()
	var list []string
	for i := range 15 {
		x := float64(i-7) * 40
		list = append(list, fmt.Sprintf("[%g, %.7f]", x, 9-depth(R, x)+by*float64(1-i%2*2)))
	}
	s, err := readings.Read("a.yaml", []byte("unit: mm\ngauge: 0.0001 mm\nstraightedge: ["+strings.Join(list, ", ")+"]\n"+more), 0, false)
	require.NoError(t, err)
	r, err := readings.Judge(s, readings.Target{Radius: measure.Length{MM: seat.Plate + seat.Over}, Rim: 300})
	require.NoError(t, err)
	r.Hold(seat)
	return r
}

// The gap at the rim is the difference of the two spheres' sagittas over the rim's width, h =
// R − √(R² − c²/4) (Machinery's Handbook, 31st ed., p. 79): 7500 and 7620 mm over 400 mm are
// 2.667141 and 2.625124 deep (own calculation), so that 0.042016 stay.
func TestGapOfTwoSpheres(t *testing.T) {
	seat := readings.Seat{Job: "j.yaml", Form: "dish", Plate: 7620, Limit: 0.05, Places: []readings.Place{{Name: "rim", FromApex: 200}}}
	r := held(t, 7500, 0, seat, "")
	require.InDelta(t, 0.042016, r.Against.Places[0].Gap, 2e-6)
	require.Equal(t, readings.Usable, r.Against.Use)
	require.Contains(t, r.Against.Verdict.String(), "the dish may be used: rim and plate see at most 0.042 mm of its error at the rim, and 0.05 mm may stay")
	seat.Limit = 0.04
	r = held(t, 7500, 0, seat, "")
	require.Equal(t, readings.Useless, r.Against.Use)
	require.True(t, strings.HasPrefix(r.Against.Verdict.String(), "the dish may not be used"))
	seat.Limit, seat.Taken = readings.UsualLimit, true
	require.Contains(t, held(t, 7500, 0, seat, "").Against.Verdict.String(), "common practice, taken")

	// Of the wood that was read before it is covered the covering's sphere counts.
	seat.Over, seat.Covering, seat.Bare = 20, 20, true
	r = held(t, 7520, 0, seat, "")
	require.InDelta(t, 0.042016, r.Against.Places[0].Gap, 2e-6)
	require.Contains(t, r.Against.Verdict.String(), "the covered dish")
}

// Where the limit lies within the interval it is not told, and what to measure again is; the
// gaps at both ends are those of the interval's radii; the farthest of several places decides.
func TestGapIsNotTold(t *testing.T) {
	seat := readings.Seat{Job: "j.yaml", Form: "dish", Plate: 7620, Limit: 0.1, Places: []readings.Place{{Name: "waist", FromApex: 120}, {Name: "tail", FromApex: 260}}}
	r := held(t, 7500, 0.05, seat, "")
	a := r.Against
	require.Equal(t, readings.Untold, a.Use)
	require.Contains(t, a.Verdict.String(), "the readings do not tell whether")
	require.Contains(t, a.Verdict.String(), "measure again")
	require.Contains(t, a.Verdict.String(), "at the tail")
	for i, p := range a.Places {
		d := seat.Places[i].FromApex
		require.InDelta(t, depth(r.LowMM, d)-depth(7620, d), p.High, 1e-6)
		require.InDelta(t, depth(*r.HighMM, d)-depth(7620, d), p.Low, 1e-6)
	}
	// The same readings with a limit beyond both ends, and below both.
	seat.Limit = math.Max(a.Places[1].High, -a.Places[1].Low) + 0.001
	require.Equal(t, readings.Usable, held(t, 7500, 0.05, seat, "").Against.Use)
	r = held(t, 6000, 0.05, seat, "")
	require.Equal(t, readings.Useless, r.Against.Use)
	require.Positive(t, r.Against.Places[1].Least)
	require.LessOrEqual(t, r.Against.Places[1].Least, r.Against.Places[1].Low)
}

// A face that is surely not round is held to its limit along both of its curves.
func TestGapOfAnOval(t *testing.T) {
	text := "unit: mm\ngauge: 0.001 mm\npoints:\n"
	for x := -250.0; x <= 250; x += 50 {
		for y := -250.0; y <= 250; y += 50 {
			text += fmt.Sprintf("  - [%g, %g, %.4f]\n", x, y, x*x/2/7300+y*y/2/7960)
		}
	}
	s, err := readings.Read("a.yaml", []byte(text), 0, false)
	require.NoError(t, err)
	r, err := readings.Judge(s, readings.Target{Radius: measure.Length{MM: 7616}, Rim: 300})
	require.NoError(t, err)
	require.True(t, r.Roundness.Sure)
	seat := readings.Seat{Form: "dish", Plate: 7616, Limit: 0.1, Places: []readings.Place{{Name: "rim", FromApex: 200}}}
	r.Hold(seat)
	g := r.Against.Places[0]
	require.InDelta(t, depth(7300, 200)-depth(7616, 200), g.High, 2e-3) // its own interval is of 1e-3 mm, the fourth order of 5e-4
	require.InDelta(t, depth(7960, 200)-depth(7616, 200), g.Low, 2e-3)
	require.InDelta(t, 0, g.Gap, 5e-3, "of the mean sphere nothing is seen")
	require.Equal(t, readings.Useless, r.Against.Use)
}
