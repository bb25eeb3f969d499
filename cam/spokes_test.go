package cam_test

import (
	"errors"
	"math"
	"strings"
	"testing"
	"time"

	"dishwright/cam"
	"dishwright/cam/motion"
	"dishwright/cam/path"
	"dishwright/cam/proof"
	"dishwright/dish"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// ridgeOf certifies a finishing on its own.
func ridgeOf(t require.TestingT, w cam.Work, c path.Cutter, s cam.Section) proof.Ridge {
	cuts := []proof.Cut{{Cutter: c, Moves: s.Moves}}
	worst, _ := proof.Gouge(w.Face, cuts)
	require.LessOrEqual(t, worst.Amount, proof.GougeLimit, "%s: gouge %+v", s.Pattern, worst)
	ridge, err := proof.Scallop(w.Face, 0, cuts, proof.ScallopOptions{Expect: w.Scallop})
	require.NoError(t, err)
	return ridge
}

// Spokes leave about what they are spaced for, with each cutter on hollows and
// crowns, from shallow to steep.
func TestSpokesComeNearTheScallop(t *testing.T) {
	for _, size := range []struct{ radius, rim, scallop float64 }{
		{7620, 300, 0.05},
		{7620, 300, 0.02},
		{3000, 225, 0.05},
		{4572, 230, 0.1},
		{9000, 150, 0.3},
		//{500, 60, 0.1},
	} {
		for _, c := range []path.Cutter{cam.InchFlat, twoInch(), cam.HalfFlat, cam.BigBull} {
			for _, k := range []dish.Kind{dish.Hollow, dish.Crown} {
				w := cam.Usual(k, size.radius, size.rim)
				w.Pattern, w.Scallop, w.Share = "spokes", size.scallop, 1
				s, err := cam.FinishingOf(w, c, 0.4)
				if err != nil {
					t.Logf("%v %s %s: %v", size, c.Name, k, err)
					continue
				}
				began := time.Now()
				r := ridgeOf(t, w, c, s)
				t.Logf("%.1fs %v %s %s: %.3f found %.3f  %.2f m least %.2f %s", time.Since(began).Seconds(), size, c.Name, k, r.Certified/w.Scallop, r.Found/w.Scallop, inPlan(s.Moves)/1000, cam.LeastLength(w.Face, c, w.Scallop)/1000, s.Pattern)
			}
		}
	}
}

var _ = errors.As
var _ = math.Abs
var _ = strings.Join
var _ = motion.Estimate
var _ = rapid.Check
