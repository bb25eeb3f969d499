package pass

import (
	"math"
	"testing"

	"dishwright/cam/given"
	"dishwright/cam/link"
	"dishwright/cam/path"
	"dishwright/cam/work"
	"dishwright/dish"
	"dishwright/dish/exact"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// sectorOf returns the layers of a sector; ok is false where nothing stands, or c cannot.
func sectorOf(w work.Piece, c path.Cutter) (s sectorLayers, ok bool) {
	r, err := newRounds(w, c, c)
	if ok = err == nil && r.count > 0; ok {
		s = newSectorLayers(r, c)
	}
	return s, ok
}

// Ways along a tile's borders follow what its layers clear: a straight piece that led over
// the place where the face comes up through a layer would leave stock. What ways over a crown
// are lifted by leaves some hundredths.
func TestBordersFollowTheFace(t *testing.T) {
	tried := 0
	for _, kind := range []dish.Kind{dish.Crown, dish.Hollow} {
		for _, R := range []float64{60, 300, 4572} {
			w := given.Work(kind, R, min(R/3.5, 150))
			s, ok := sectorOf(work.Whole(&w).In(work.Tile{Sector: dish.Sector{Middle: 30, Half: 30}}), given.BigBull)
			if !ok {
				continue
			}
			for k := 1; k <= s.count; k++ {
				tried++
				places := lapOver(link.NewBuilder(s.piece, work.Feeds{}), s.border(k, 1), s.at(k)).Places
				for i := 1; i < len(places); i++ {
					a, b := places[i-1], places[i]
					for share := 0.0; share <= 1; share += 0.05 {
						x, y, z := a.X+share*(b.X-a.X), a.Y+share*(b.Y-a.Y), a.Z+share*(b.Z-a.Z)
						require.GreaterOrEqual(t, z, s.at(k)(x, y)-1e-6, "R %g, layer %d: it keeps above what stays", R, k)
						require.LessOrEqual(t, z-s.at(k)(x, y), 0.06, "R %g, layer %d at %g mm", R, k, math.Hypot(x, y))
					}
				}
			}
		}
	}
	require.Greater(t, tried, 5)
}

// A round that runs just where a steep crown comes down to its moat, or a hair beside it,
// stays level: the rounding of its places does not lift some of them and others not.
func TestRoundsAtAFoot(t *testing.T) {
	lifted := 0
	rapid.Check(t, func(t *rapid.T) {
		R := rapid.Float64Range(30, 200).Draw(t, "radius")
		w := given.Work(dish.Crown, R, R*rapid.Float64Range(0.1, 0.4).Draw(t, "slope"))
		c := path.Cutter{Name: "bull", Shape: path.Bull, Diameter: 4.6, Corner: 1.9, Flutes: 1, Core: 0.5, Ramp: 3 * math.Pi / 180, DepthOfCut: 1.4, FluteLength: 20, Shank: 6.35, StickOut: 40, ChipLoad: 0.09, Speed: 20000}
		s, ok := sectorOf(work.Whole(&w).In(work.Tile{Sector: dish.Sector{Middle: 45, Half: 90}}), c)
		if !ok {
			return
		}
		b := link.NewBuilder(s.piece, work.Feeds{})
		round := lapOver(b, s.arc(s.tool.Foot+float64(rapid.IntRange(-3, 3).Draw(t, "off"))*b.Grid.Step/2, 1), s.height).Places
		low, high := math.Inf(1), math.Inf(-1)
		for _, p := range round[1 : len(round)-1] { // its ends lie on chords, nearer to the apex
			low, high = min(low, p.Z), max(high, p.Z)
		}
		// Lifted by up to 0.02 mm; chords differ in length by 0.6 %, and by what they lack twice that.
		require.LessOrEqual(t, high-low, 6*b.Grid.Step)
		if high > s.tool.Low+w.Allowance+2*b.Grid.Step {
			lifted++
		}
	})
	require.Positive(t, lifted)
}

// Turned by its own angle, a sector's rounds run over the same places, whatever lies between
// them but their ends: each setup leaves nothing beside the chords of another.
func TestTurnedRoundsMeet(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		half := rapid.SampledFrom([]int{30, 45, 60, 90}).Draw(t, "half")
		d, by := rapid.Float64Range(20, 300).Draw(t, "radius"), rapid.Float64Range(1, 19).Draw(t, "by")
		at := func(middle int) (inner map[[2]int]bool, n int) {
			s := sectorLayers{rounds: rounds{layers: layers{piece: work.Piece{Tile: work.Tile{Sector: dish.Sector{Middle: middle, Half: half}}}}}}
			way := s.arc(d, by)
			inner = map[[2]int]bool{}
			for _, p := range way[1 : len(way)-1] {
				require.InDelta(t, d, exact.Dist(p.X, p.Y), 1e-9)
				inner[[2]int{int(math.Round(p.X * 1e6)), int(math.Round(p.Y * 1e6))}] = true
			}
			for _, p := range [...]int{0, len(way) - 1} { // on the border's line, or a hair within it
				ux, uy := dish.UnitVector(middle + (2*min(p, 1)-1)*half)
				require.InDelta(t, by, math.Abs(ux*way[p].Y-uy*way[p].X), 1e-9)
			}
			return inner, len(way)
		}
		a, _ := at(0)
		b, _ := at(2 * half)
		shared := 0
		for p := range a {
			if b[p] {
				shared++
			}
		}
		// Each goes as far beyond the border between them as the other, and one place lies on it.
		beyond := math.Asin(by/d) * 180 / math.Pi
		sides := 1
		if half == 90 {
			sides = 2
		}
		part := 15 / math.Ceil(15*math.Pi/180/math.Sqrt(8*link.RoundChord/d))
		require.InDelta(t, float64(sides)*(2*math.Floor(beyond/part)+1), float64(shared), 2*float64(sides)+0.1)
		require.Positive(t, shared)
	})
}
