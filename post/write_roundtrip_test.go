package post

import (
	"bytes"
	"math"
	"strings"
	"testing"

	"dishwright/cam/path"
	"dishwright/machines"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"
)

// TestWriteRead: random moves -> Write -> bytes -> ReadAll -> the same moves, to
// a thousandth of a step, and -> Write -> the same bytes.
func TestWriteRead(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawProgram(t)
		var b bytes.Buffer
		if _, err := Write(&b, p); err != nil {
			t.Fatal(err)
		}
		read, _, err := ReadAll(bytes.NewReader(b.Bytes()), ReadOptions{Machine: p.Machine, ZShift: p.Zero, Start: UnknownStart()})
		if err != nil {
			t.Fatalf("%v\n%s", err, b.String())
		}
		want := p.Sections[0].Moves
		got := read.Moves[1:] // the head's own lift comes first
		lift := read.Moves[0]
		if lift.Kind != path.Traverse || !math.IsNaN(lift.From.Z) || !math.IsNaN(lift.To.X) || math.Abs(lift.To.Z-p.Clearance) > 1e-9 {
			t.Fatalf("the first move is %+v", lift)
		}
		if last := got[len(got)-1]; len(got) == len(want)+1 && last.Kind == path.Traverse && last.To.Z == lift.To.Z {
			got = got[:len(want)] // the tail's lift
		}
		if len(got) != len(want) {
			t.Fatalf("%d moves became %d\n%s", len(want), len(got), b.String())
		}
		for i := range want {
			sameMove(t, i, want[i], got[i])
		}
		// What was read may be written again: the same bytes.
		again := p
		again.Clearance = lift.To.Z // the last binary digit may differ
		got = append([]path.Move(nil), got...)
		got[0].From = r3.Vec{Z: got[0].To.Z}
		again.Sections = []Section{{Title: p.Sections[0].Title, Moves: got}}
		var second bytes.Buffer
		if _, err := Write(&second, again); err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(b.Bytes(), second.Bytes()) {
			t.Fatalf("written again:\n%s\nnot\n%s", second.String(), b.String())
		}
	})
}

// sameMove compares a move with what was read of it. 1e-7 mm is a thousandth of the
// finest step.
func sameMove(t *rapid.T, i int, want, got path.Move) {
	ends := []r3.Vec{r3.Sub(want.To, got.To)}
	if i > 0 { // where the first begins is unknown to who reads it
		ends = append(ends, r3.Sub(want.From, got.From))
	}
	if want.Kind == path.Arc {
		c := r3.Sub(want.Centre, got.Centre)
		_, _, normal := want.Plane.Axes()
		switch normal { // a centre lies in a plane, not at a height over it
		case 0:
			c.X = 0
		case 1:
			c.Y = 0
		case 2:
			c.Z = 0
		}
		ends = append(ends, c)
	}
	for _, d := range ends {
		if !(r3.Norm(d) < 1e-7) {
			t.Fatalf("move %d: %+v became %+v", i, want, got)
		}
	}
	if want.Kind != got.Kind || want.Kind == path.Arc && (want.Plane != got.Plane || want.Clockwise != got.Clockwise) {
		t.Fatalf("move %d: %+v became %+v", i, want, got)
	}
	if want.Kind != path.Traverse && math.Abs(want.Feed-got.Feed) > 1e-9*want.Feed {
		t.Fatalf("move %d: the feed %g became %g", i, want.Feed, got.Feed)
	}
}

// drawProgram draws a program on one of three machines: mm, mm with arcs, and
// inches; from the blank's top or from the bed.
func drawProgram(t *rapid.T) Program {
	name := rapid.SampledFrom([]string{"bench-600", "wide-1250", "inch-24"}).Draw(t, "machine")
	m, _ := machines.Builtin(name)
	step := m.Step()
	length := func(steps int) float64 { return float64(steps) * step }
	unit := int(math.Round(1 / step)) // steps in about a millimetre
	p := Program{Machine: m, Clearance: length(6 * unit), Thickness: length(30 * unit), Cutter: quarterBall(), Speed: 16000}
	if m.HandRouter() {
		p.Dial = "3"
	}
	if rapid.Bool().Draw(t, "bed") {
		p.Zero = -p.Thickness
	}
	whole := func(low, high int, what string) float64 {
		return length(rapid.IntRange(low*unit, high*unit).Draw(t, what))
	}
	at := r3.Vec{Z: p.Clearance}
	var moves []path.Move
	add := func(v path.Move) {
		if v.From = at; v.To == at && v.Kind != path.Arc {
			return
		}
		moves, at = append(moves, v), v.To
	}
	start := r3.Vec{X: whole(1, 100, "x"), Y: whole(-100, 100, "y"), Z: at.Z}
	add(path.Move{Kind: path.Traverse, To: start})
	for range rapid.IntRange(1, 20).Draw(t, "moves") {
		feed := float64(rapid.IntRange(1, 40).Draw(t, "feed")) * 25.4 // 1 to 40 in/min
		switch k := rapid.IntRange(0, 5).Draw(t, "kind"); {
		case k == 0:
			add(path.Move{Kind: path.Traverse, To: r3.Vec{X: at.X, Y: at.Y, Z: p.Clearance}})
			add(path.Move{Kind: path.Traverse, To: r3.Vec{X: whole(-100, 100, "x"), Y: at.Y, Z: p.Clearance}})
		case k < 4 && m.Arcs:
			add(drawArc(t, at, feed, whole))
		default:
			add(path.Move{Kind: path.Line, To: r3.Vec{X: whole(-100, 100, "x"), Y: whole(-100, 100, "y"), Z: whole(-5, 5, "z")}, Feed: feed})
		}
	}
	p.Sections = []Section{{Title: "A try.", Moves: moves}}
	return p
}

// drawArc draws an arc about an upright or level axis, symmetric to its centre so
// that its two radii agree to the last step.
func drawArc(t *rapid.T, at r3.Vec, feed float64, whole func(low, high int, what string) float64) path.Move {
	m := path.Move{Kind: path.Arc, To: at, Feed: feed, Clockwise: rapid.Bool().Draw(t, "clockwise")}
	half := whole(1, 30, "half")
	if rapid.Bool().Draw(t, "back") {
		half = -half
	}
	side := whole(300, 2000, "side")
	m.Centre = at
	switch m.Plane = path.Plane(rapid.IntRange(0, 2).Draw(t, "plane")); m.Plane {
	case path.XY: // a full turn, or the half of one
		m.Centre.X += half
		if rapid.Bool().Draw(t, "turn") {
			m.To.X += 2 * half
		}
	case path.ZX: // shallow, below its centre: the short way round
		m.Centre.X, m.To.X = at.X+half, at.X+2*half
		m.Centre.Z += side
		m.Clockwise = half > 0
	case path.YZ:
		m.Centre.Y, m.To.Y = at.Y+half, at.Y+2*half
		m.Centre.Z += side
		m.Clockwise = half < 0
	}
	return m
}

// TestArcWords: over a hollow +X in G18 is G2 and +Y in G19 G3 (own derivation from
// [NGC] 4.3.6.1: the sense is seen from the positive end of the third axis, and the axes
// of G18 are Z and X, of G19 Y and Z); the plane is selected where it changes, and both end words and
// both increments stand.
func TestArcWords(t *testing.T) {
	p := small(t)
	p.Machine = machine(t, "wide-1250")
	moves := p.Sections[0].Moves[:3:3]
	at := moves[2].To // -10 2.5 -0.5
	add := func(plane path.Plane, clockwise bool, to, centre r3.Vec) {
		moves = append(moves, path.Move{Kind: path.Arc, Plane: plane, Clockwise: clockwise, From: at, To: to, Centre: centre, Feed: 600})
		at = to
	}
	add(path.ZX, true, r3.Vec{X: 10, Y: 2.5, Z: -0.5}, r3.Vec{X: 0, Y: 2.5, Z: 199.5})
	add(path.ZX, false, r3.Vec{X: -10, Y: 2.5, Z: -0.5}, r3.Vec{X: 0, Y: 2.5, Z: 199.5})
	add(path.YZ, false, r3.Vec{X: -10, Y: 12.5, Z: -0.5}, r3.Vec{X: -10, Y: 7.5, Z: 199.5})
	add(path.XY, true, r3.Vec{X: -10, Y: 12.5, Z: -0.5}, r3.Vec{X: -5, Y: 12.5, Z: -0.5})
	p.Sections[0].Moves = moves
	s := statements(write(t, p))
	i := 0
	for s[i] != "G1 Z-0.5 F800" {
		i++
	}
	require.Equal(t, []string{
		"G18",
		"G2 X10 Z-0.5 I10 K200 F600",
		"G3 X-10 Z-0.5 I-10 K200",
		"G19",
		"G3 Y12.5 Z-0.5 J5 K200",
		"G17",
		"G2 X-10 Y12.5 I5 J0",
		"G0 Z5",
	}, s[i+1:i+9])
}

// TestNoTwoWordsOfAGroup: no line holds two G or two M words.
func TestNoTwoWordsOfAGroup(t *testing.T) {
	for _, l := range statements(write(t, small(t))) {
		require.LessOrEqual(t, strings.Count(l, "G")+strings.Count(l, "M"), 1, l)
	}
}
