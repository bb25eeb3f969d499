package link

import (
	"math"
	"testing"

	"dishwright/cam/given"
	"dishwright/cam/path"
	"dishwright/cam/work"
	"dishwright/dish"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r2"
	"pgregory.net/rapid"
)

// Whatever ways a course has, over any face, whole or in a tile and in chords or arcs: the
// moves can be made, the tip goes nowhere below the lowest that it may, and every way is cut
// as far as it lies in the tile.
func TestLayAnyCourse(t *testing.T) {
	bent := 0
	rapid.Check(t, func(t *rapid.T) {
		w := given.Work(rapid.SampledFrom([]dish.Kind{dish.Hollow, dish.Crown, dish.Flat}).Draw(t, "kind"), rapid.Float64Range(900, 9000).Draw(t, "radius"), 100)
		w.Machine = given.Router("wide-1250")
		w.Machine.Arcs = rapid.Bool().Draw(t, "arcs")
		c := rapid.SampledFrom([]path.Cutter{given.HalfBall, given.HalfFlat, given.BigBull}).Draw(t, "cutter")
		piece := work.Whole(&w)
		if rapid.Bool().Draw(t, "tile") {
			piece = piece.In(work.Tile{Sector: dish.Sector{Middle: 15 * rapid.IntRange(0, 23).Draw(t, "middle"), Half: 45}})
		}
		o := Course{Tool: work.NewTool(w.Face, c), Wide: 0.02, Tol: rapid.Float64Range(0.0002, 0.01).Draw(t, "tol"), Moat: MoatRadius(w.Face, c)}
		if w.Face.Falls() {
			o.Lift = 2 * o.Tol
		}
		for range rapid.IntRange(1, 4).Draw(t, "ways") {
			legs := Rounded(anyWay(t))
			if rapid.Bool().Draw(t, "straight") {
				v := rapid.Float64Range(-80, 80).Draw(t, "v")
				legs = Straight(r2.Vec{X: -60, Y: v}, r2.Vec{X: 60, Y: v})
			}
			o.Ways = append(o.Ways, Way{Legs: legs, OneWay: rapid.Bool().Draw(t, "one way"), Clear: rapid.Bool().Draw(t, "clear")})
		}
		b := NewBuilder(piece, work.Feeds{Feed: 2000, Plunge: 500})
		o.Lay(b, c, 0.4, 3)
		moves, _ := b.Path()
		if len(moves) == 0 {
			return // nothing lies in the tile
		}
		for i, m := range moves {
			if i > 0 {
				require.Equal(t, moves[i-1].To, m.From)
			}
			if m.Kind == path.Arc {
				bent++
			}
			for share := 0.0; share <= 1; share += 0.125 {
				p := m.At(share)
				if p.Z >= w.Clearance() {
					continue // far out, where a hollow's sphere comes up so high
				}
				require.GreaterOrEqual(t, p.Z, o.Tool.Tip(p.X, p.Y)-linkSag-1e-9, "move %d: %+v", i, m)
			}
		}
		sector := piece.Tile.Sector
		for _, way := range o.Ways {
			for _, leg := range way.Legs {
				for _, q := range []r2.Vec{leg.at(0.3), leg.at(0.8)} {
					if off, _ := sector.Off(q.X, q.Y); off > 0 {
						continue
					}
					near := math.Inf(1)
					for _, m := range moves {
						for share := 0.0; m.Kind == path.Arc && share <= 1; share += 1.0 / 256 {
							p := m.At(share)
							near = min(near, math.Hypot(p.X-q.X, p.Y-q.Y)-m.Length()/256)
						}
						if m.Kind == path.Line && InPlan(m.From, m.To) > 0 {
							near = min(near, offLine(q, r2.Vec{X: m.From.X, Y: m.From.Y}, r2.Vec{X: m.To.X, Y: m.To.Y}))
						}
					}
					require.LessOrEqual(t, near, 1.3*o.Wide+0.001)
				}
			}
		}
	})
	require.Positive(t, bent)
}
