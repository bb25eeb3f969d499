package proof

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"

	"dishwright/cam/path"
	"dishwright/dish"
	"dishwright/dish/extra"
	"dishwright/machines"
)

// Whether a move stays in the volume of a hole or of a slot is held against places all
// along it: one that leaves it is found, even with both ends inside, and one that
// stays is not.
func TestVolumesAgainstPlaces(t *testing.T) {
	var line []r2.Vec
	for k := range 720 {
		sin, cos := math.Sincos(float64(k) * math.Pi / 360)
		line = append(line, r2.Vec{X: 40 * cos, Y: 40 * sin})
	}
	ring, err := dish.NewBand(line, 8)
	require.NoError(t, err)
	rapid.Check(t, func(t *rapid.T) {
		hole := extra.Hole{X: rapid.Float64Range(-3, 3).Draw(t, "x"), Radius: rapid.Float64Range(4, 12).Draw(t, "radius"), Bottom: -9}
		slot := extra.CutOut{Slot: ring, Bottom: -12}
		r := rapid.Float64Range(1, 3).Draw(t, "cutter")
		place := func(far float64) r3.Vec {
			a := rapid.Float64Range(0, 2*math.Pi).Draw(t, "a")
			d := rapid.Float64Range(0, far).Draw(t, "d")
			return r3.Vec{X: d * math.Cos(a), Y: d * math.Sin(a), Z: -5}
		}
		m := path.Move{Kind: path.Line, From: place(14), To: place(14)}
		beyond := func(x, y float64) float64 { return hole.DiscOutside(x, y, r) }
		c := Case{Extras: extra.Set{Holes: []extra.Hole{hole}}}
		bottom := hole.Bottom
		if rapid.Bool().Draw(t, "slot") {
			turn := func(by float64) r3.Vec { return r3.Vec{X: 44 * math.Cos(by), Y: 44 * math.Sin(by), Z: -5} }
			a := rapid.Float64Range(0, 6).Draw(t, "from")
			b := a + rapid.Float64Range(0.01, 2.5).Draw(t, "by")
			m.From, m.To = turn(a), turn(b)
			if rapid.Bool().Draw(t, "arc") {
				m.Kind, m.Plane = path.Arc, path.XY
			}
			beyond = func(x, y float64) float64 { return slot.DiscOutside(x, y, r) }
			c, bottom = Case{Extras: extra.Set{CutOuts: []extra.CutOut{slot}}}, slot.Bottom
		}
		worst := math.Inf(-1)
		const places = 3000
		for k := range places + 1 {
			v := m.At(float64(k) / places)
			worst = max(worst, beyond(v.X, v.Y))
		}
		v := c.volumeOf(path.Cutter{Shape: path.Flat, Diameter: 2 * r}, m, nil)
		switch {
		case worst > volumeTolerance+minPiece:
			require.False(t, v.inside, "%g out", worst)
		case worst < volumeTolerance:
			require.True(t, v.inside, "%g out", worst)
		}
		if v.inside {
			require.Equal(t, bottom, v.bottom)
		}
	})
}

// A move below the bottom of an extra is in it, and told by how much; of two in the one where
// it is less.
func TestVolumesHaveABottom(t *testing.T) {
	c := Case{Extras: extra.Set{Holes: []extra.Hole{{Radius: 6, Bottom: -9}}}}
	flat := path.Cutter{Shape: path.Flat, Diameter: 6}
	down := func(z float64) path.Move {
		return path.Move{Kind: path.Line, To: r3.Vec{Z: z}}
	}
	require.Equal(t, volume{inside: true, bottom: -9, hole: true}, c.volumeOf(flat, down(-9), nil))
	require.InDelta(t, 0.01, c.volumeOf(flat, down(-9.01), nil).over, 1e-9)
	c.Extras.Holes = append(c.Extras.Holes, extra.Hole{Radius: 7, Bottom: -12})
	require.Equal(t, volume{inside: true, bottom: -12, hole: true}, c.volumeOf(flat, down(-9.01), nil))
	require.InDelta(t, 1, c.volumeOf(flat, down(-13), nil).over, 1e-9)
	require.False(t, Case{}.volumeOf(flat, down(-1), nil).inside)
}

// The hood hangs as high as the program says, or as the profile states; a program that says
// nothing touches the wood with it where it goes deep.
func TestHoodHangsAsTheProgramSays(t *testing.T) {
	c := plainCase(spindleMachine())
	c.Extras = extra.Set{Holes: []extra.Hole{{Name: "the hole", X: 40, Radius: 6, Bottom: -40}}}
	c.Machine.Hood = &machines.Hood{Diameter: 100, AboveTip: 25}
	cutter := path.Cutter{Name: "straight", Shape: path.Flat, Diameter: 12, FluteLength: 60, DepthOfCut: 60, StickOut: 70}
	down := path.Move{Kind: path.Line, From: r3.Vec{X: 40, Z: 5}, To: r3.Vec{X: 40, Z: -40}, Feed: 100}
	for _, want := range []struct {
		above float64
		finds bool
	}{{0, true}, {20, true}, {39.9, true}, {40.1, false}, {60, false}} {
		r, err := Check(c, []Program{{Cutter: cutter, HoodAbove: want.above, Path: path.Path{Moves: []path.Move{down}}}})
		require.NoError(t, err)
		require.Equal(t, want.finds, slices.ContainsFunc(r.Findings, func(f Finding) bool { return f.Kind == KindContact }), "%v: %v", want, r.Findings)
		require.Equal(t, 25.0, c.Machine.Hood.AboveTip, "the machine itself is left")
	}
}

// All setups together must fit the travel along X and along Y, each by itself; only what
// makes them larger is found, once.
func TestTravelOfAllSetups(t *testing.T) {
	travel := r3.Vec{X: 100, Y: 80, Z: 50}
	box := func(x, y float64) (lo, hi r3.Vec) { return r3.Vec{}, r3.Vec{X: x, Y: y} }
	for _, tt := range []struct{ x, y, over float64 }{{90, 70, 0}, {110, 70, 10}, {90, 95, 15}, {130, 85, 30}} {
		r := newTravelBox()
		lo, hi := box(tt.x, tt.y)
		require.InDelta(t, tt.over, r.excess(lo, hi, travel), 1e-9, "%+v", tt)
		require.Zero(t, r.excess(lo, hi, travel), "the same again")
		lo.X -= 25
		require.InDelta(t, max(0, tt.x+25-travel.X), r.excess(lo, hi, travel), 1e-9)
	}
}

// A hole wider than two rounds of its cutter is examined all over: with any one of its
// rounds left out, or not low enough, it is found, wherever that round lies; and so is
// what a round end leaves of a floor.
func TestHolesAreCutAllOver(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := rapid.Float64Range(1.5, 5).Draw(t, "cutter")
		inner, apart := 0.8*r, r*rapid.Float64Range(1.1, 1.7).Draw(t, "apart") // two apart leave a ring
		rounds := rapid.IntRange(1, 9).Draw(t, "rounds")
		hole := extra.Hole{Name: "the hole", X: rapid.Float64Range(-90, 90).Draw(t, "x"), Y: 20, Bottom: -9,
			Radius: inner + float64(rounds)*apart + r}
		p := Program{Name: "hole", Cutter: path.Cutter{Shape: path.Flat, Diameter: 2 * r}}
		turn := func(radius, z float64) {
			at := r3.Vec{X: hole.X + radius, Y: hole.Y, Z: z}
			p.Path.Moves = append(p.Path.Moves, path.Move{Kind: path.Arc, Plane: path.XY, Centre: r3.Vec{X: hole.X, Y: hole.Y, Z: z}, From: at, To: at})
		}
		lost := rapid.IntRange(-1, rounds).Draw(t, "lost")
		for k := range rounds + 1 {
			radius := inner + float64(k)*apart
			if k != lost {
				turn(radius, hole.Bottom)
			} else if rapid.Bool().Draw(t, "high") {
				turn(radius, hole.Bottom+0.1)
			}
		}
		c := Case{Extras: extra.Set{Holes: []extra.Hole{hole}}}
		undone := func() []Finding {
			found, _ := c.unfinishedExtras([]Program{p}, []*programExtras{{limits: c, program: p}})
			return found
		}
		if lost < 0 {
			require.Empty(t, undone())
			p.Cutter.Shape = path.Ball
			require.Len(t, undone(), 1, "a ball's rounds leave ridges")
			return
		}
		found := undone()
		require.Len(t, found, 1)
		require.InDelta(t, inner+float64(lost)*apart, math.Hypot(found[0].X-hole.X, found[0].Y-hole.Y), r+edgeTolerance)
		require.Equal(t, KindExtra, found[0].Kind)
	})
}

// A move lies in a groove by itself, not by the groove's own corners: over several pieces, from
// anywhere to anywhere, and as an arc; too deep, aside or beyond the end in any part it does not.
func TestGroovesByOtherWays(t *testing.T) {
	const radius = 2000.0
	height := func(x float64) float64 { return radius - 0.3 - math.Sqrt(radius*radius-x*x) }
	g := extra.Groove{Depth: 0.3, Width: 1}
	for x := 70.0; x < 92; x += 2 {
		g.Path = append(g.Path, r3.Vec{X: x, Z: height(x)})
	}
	g.Path = append(g.Path, r3.Vec{X: 90, Y: 10, Z: height(90)})
	at := func(x, y, down float64) r3.Vec { return r3.Vec{X: x, Y: y, Z: height(x) - down} }
	line := func(from, to r3.Vec) path.Move { return path.Move{Kind: path.Line, From: from, To: to} }
	arc := func(from, to r3.Vec) path.Move {
		return path.Move{Kind: path.Arc, Plane: path.ZX, Clockwise: true, From: from, To: to, Centre: r3.Vec{X: 0, Y: from.Y, Z: radius - 0.3}}
	}
	bulging := arc(at(70, 0, 0), at(90, 0, 0))
	bulging.Centre = r3.Vec{X: 79, Z: 200}
	for _, k := range []struct {
		name string
		move path.Move
		in   bool
	}{
		{"a piece", line(g.Path[2], g.Path[3]), true},
		{"over a corner", line(at(71, 0, 0), at(72.5, 0, 0)), true},
		{"back over several", line(at(79, 0, 0), at(73, 0, 0)), true},
		{"an arc over many", arc(at(70, 0, 0), at(90, 0, 0)), true},
		{"an arc back", func() path.Move { m := arc(at(90, 0, 0), at(71, 0, 0)); m.Clockwise = false; return m }(), true},
		{"straight down", line(at(72, 0, -3), at(72, 0, 0)), true},
		{"too deep at one end", line(at(71, 0, 0), at(76.5, 0, 0.03)), false},
		{"an arc too deep", arc(at(70, 0, 0.03), at(90, 0, 0.03)), false},
		{"a bulging arc", bulging, false},
		{"the long way round", func() path.Move { m := arc(at(70, 0, 0), at(90, 0, 0)); m.Clockwise = false; return m }(), false},
		{"aside", line(at(71, 0.03, 0), at(76, 0, 0)), false},
		{"an arc aside", arc(at(70, 0.03, 0), at(90, 0.03, 0)), false},
		{"beyond an end", line(at(69.95, 0, 0), at(73, 0, 0)), false},
		{"across the corner", line(at(85, 0, 0), r3.Vec{X: 90, Y: 5, Z: height(90)}), false},
		{"too long a chord", line(at(70, 0, 0), r3.Vec{X: 90, Y: 0, Z: height(90) - 0.03}), false},
	} {
		t.Run(k.name, func(t *testing.T) { require.Equal(t, k.in, inGroove(g, k.move, nil)) })
	}
}
