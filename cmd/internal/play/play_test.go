package play

import (
	"math"
	"strings"
	"testing"
	"time"

	"dishwright/cam/path"
	"dishwright/cam/proof"
	"dishwright/cmd/internal/figure"
	"dishwright/cmd/internal/picture"
	"dishwright/dish"
	"dishwright/dish/measure"
	"dishwright/machines"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"
)

var (
	flat12 = path.Cutter{Name: "flat", Shape: path.Flat, Diameter: 12}
	ball   = path.Cutter{Name: "ball", Shape: path.Ball, Diameter: 10}
)

func at(x, y, z float64) r3.Vec { return r3.Vec{X: x, Y: y, Z: z} }

// depth is a view of how deep the wood is cut.
func depth(h *proof.Heights) figure.MapView {
	return figure.MapView{Lo: figure.Point{X: -60, Y: -60}, Hi: figure.Point{X: 60, Y: 60}, Levels: []float64{0.5, 1, 2, 4}, Values: h.DepthMap(60, 60)}
}

// program is a raster with arcs between its passes, a start that is not known, and rests.
func program(piece *Piece, c path.Cutter, z float64) Program {
	var p path.Path
	from := at(math.NaN(), math.NaN(), math.NaN())
	to := func(kind path.Kind, x, y, z float64) {
		m := path.Move{Kind: kind, From: from, To: at(x, y, z), Feed: 1200, Source: path.Source{Line: len(p.Moves) + 3}}
		if kind == path.Arc {
			m.Centre = r3.Scale(0.5, r3.Add(m.From, m.To))
		}
		p.Moves, from = append(p.Moves, m), m.To
	}
	p.Events = append(p.Events, path.Event{Kind: path.SpindleOn}, path.Event{Kind: path.Dwell, Value: 4}, path.Event{Kind: path.Stop})
	to(path.Traverse, math.NaN(), math.NaN(), 5)
	to(path.Traverse, -40, -40, 5)
	to(path.Line, -40, -40, z)
	for y := -40.0; y < 40; y += 20 {
		to(path.Line, 40, y, z)
		to(path.Arc, 40, y+10, z)
		to(path.Line, -40, y+10, z-0.5)
		to(path.Line, -40, y+20, z)
	}
	p.Events = append(p.Events, path.Event{Kind: path.Dwell, Value: 2, Before: len(p.Moves)})
	to(path.Traverse, -40, 40, 5)
	run := NewProgram(machines.Machine{Rapid: r3.Vec{X: 6000, Y: 6000, Z: 2000}, Feed: r3.Vec{X: 5000, Y: 5000, Z: 1500}, Acceleration: r3.Vec{X: 250, Y: 250, Z: 150}}, path.Setup{}, p)
	run.File, run.Piece, run.Cutter = "1-try.ngc", piece, c
	run.Text = strings.Split(strings.Repeat("G1 X1 Y1\n", len(p.Moves)+4), "\n")
	run.Stages = []Stage{{Name: "rough", View: depth, Title: "depth", Number: 1}, {From: len(p.Moves) / 2, Name: "finish", View: depth, Title: "depth", Number: 2}}
	return run
}

// set is two programs on a blank and one on another.
func set() []Program {
	a := &Piece{Blank: dish.Blank{Shape: dish.Square, Length: 120, Width: 120, Thickness: 20}, Cell: 1}
	b := &Piece{Blank: dish.Blank{Shape: dish.Round, Length: 100, Width: 100, Thickness: 20}, Cell: 1, Ruler: measure.Ruler{Inches: true}}
	return []Program{program(a, flat12, -1), program(a, ball, -3), program(b, flat12, -2)}
}

// everyKey are the keys that change what is shown.
var everyKey = []Key{Space, Left, Right, Up, Down}

// Whatever is pressed and however long it takes, a frame fits its screen, and is that of
// its moment alone.
func TestFramesFitAndFollowTheMoment(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		programs := set()
		s := NewShow(programs, rapid.IntRange(Slowest-3, Fastest+3).Draw(t, "pace"))
		look := picture.Look{Width: 120, Blocks: rapid.Bool().Draw(t, "blocks"), Colour: rapid.Bool().Draw(t, "colour")}
		for range rapid.IntRange(1, 12).Draw(t, "times") {
			if rapid.Bool().Draw(t, "key?") {
				s.Press(rapid.SampledFrom(everyKey).Draw(t, "key"))
			} else {
				s.Pass(time.Duration(rapid.Int64Range(0, 2e9).Draw(t, "time")))
			}
			now, total := s.At()
			require.True(t, 0 <= now && now <= total)
			w, h := rapid.IntRange(1, 130).Draw(t, "width"), rapid.IntRange(1, 60).Draw(t, "height")
			lines := s.Frame(w, h, look)
			require.LessOrEqual(t, len(lines), h)
			for _, l := range lines {
				require.LessOrEqual(t, columns(l), w, "%q", l)
				require.NotContains(t, l, "\n")
			}
			fresh := NewShow(programs, s.pace)
			fresh.held = s.held
			fresh.Go(now)
			require.Equal(t, fresh.Frame(w, h, look), lines)
		}
	})
}

// A step on and a step back come back, and so do a program on and one back.
func TestStepsComeBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := NewShow(set(), rapid.IntRange(1, 20).Draw(t, "pace"))
		step := time.Duration(s.pace) * time.Second
		s.Press(Space)
		s.Go(time.Duration(rapid.Int64Range(int64(step), int64(s.total-step)).Draw(t, "now")))
		now, was := s.now, s.Frame(80, 40, picture.Look{})
		s.Press(Right)
		require.Equal(t, now+step, s.now)
		s.Frame(80, 40, picture.Look{})
		s.Press(Left)
		require.Equal(t, now, s.now)
		require.Equal(t, was, s.Frame(80, 40, picture.Look{}))
		s.Go(s.starts[1])
		s.Press(Down)
		require.Equal(t, s.starts[2], s.now)
		s.Press(Up)
		require.Equal(t, s.starts[1], s.now)
	})
}

// The run goes on at its pace, is held, ends by itself, and begins again.
func TestRun(t *testing.T) {
	s := NewShow(set(), 60)
	s.Pass(50 * time.Millisecond)
	require.Equal(t, 3*time.Second, s.now)
	s.Press(Space)
	s.Pass(time.Second)
	require.Equal(t, 3*time.Second, s.now)
	require.Contains(t, strings.Join(s.Frame(80, 24, picture.Look{}), "\n"), "0:03 min gone, ")
	require.Contains(t, strings.Join(s.Frame(80, 24, picture.Look{}), "\n"), ", held")
	s.Press(Space)
	s.Pass(time.Hour)
	require.Equal(t, s.total, s.now)
	require.Contains(t, strings.Join(s.Frame(80, 24, picture.Look{}), "\n"), "0:00 min left, the end")
	s.Press(Space)
	require.Zero(t, s.now)
	require.False(t, s.held)
	s.Press(Down)
	s.Press(Down)
	s.Press(Down)
	require.Equal(t, s.total, s.now)
	s.GoShare(0.5)
	require.True(t, s.starts[1] < s.now && s.now < s.starts[2])
	s.GoShare(1)
	require.LessOrEqual(t, s.now, s.total)
	require.Greater(t, s.now, s.starts[2])
}

// A dwell, before a move or after the last, takes its time, during which the cutter rests.
func TestRestsCount(t *testing.T) {
	p := set()[0]
	require.Equal(t, 4.0, p.begins[0])
	done, share := p.at(3.9)
	require.Zero(t, done)
	require.Zero(t, share)
	last := len(p.Moves) - 1
	require.InDelta(t, 2, p.begins[last]-p.ends[last-1], 1e-9)
	require.Equal(t, p.ends[last], p.whole)
	s := NewShow(set(), 1)
	require.Contains(t, strings.Join(s.Frame(80, 24, picture.Look{}), "\n"), "stands where it was left")
	s.Go(duration(p.begins[last]) - time.Second)
	require.Contains(t, strings.Join(s.Frame(80, 24, picture.Look{}), "\n"), "at rest")
}

// Wood comes off along a move, not at its end, and a move that is under way leaves nothing
// behind when the run steps back.
func TestWoodComesOffAlongAMove(t *testing.T) {
	s := NewShow(set(), 1)
	p := s.programs[0]
	cut := func(share float64) (n int) {
		const pass = 3 // the first along X
		s.Go(duration(p.begins[pass] + share*(p.ends[pass]-p.begins[pass])))
		v, _ := s.view(s.where())
		for _, row := range v.Values {
			for _, d := range row {
				if d > 0.5 {
					n++
				}
			}
		}
		return n
	}
	quarter := cut(0.25)
	require.Greater(t, quarter, cut(0))
	require.Greater(t, cut(0.75), quarter)
	require.Equal(t, quarter, cut(0.25))
}

func TestKeys(t *testing.T) {
	for sent, want := range map[string][]Key{
		" ":                  {Space},
		"q":                  {Quit},
		"Q":                  {Quit},
		"\x03":               {Break},
		"\x1b[A\x1b[B":       {Up, Down},
		"\x1bOC\x1bOD":       {Right, Left},
		"\x1b[1;5C":          {Right},
		"\x1b[3~ ":           {Space}, // another key, then space
		"\x1bq":              {Quit},  // escape alone, then q
		"\x1b\x1b[A":         {Up},
		"xyz[A":              nil,
		"\x1b[ \x1b[D":       {Left},
		"\x1b[A\x1b[":        {Up},
		"\xff\x00\x1b[\x03 ": {Space},
	} {
		var k Keys
		var got []Key
		for _, b := range []byte(sent) {
			if key := k.Take(b); key != None {
				got = append(got, key)
			}
		}
		require.Equal(t, want, got, "%q", sent)
	}
}

func TestClip(t *testing.T) {
	require.Equal(t, "ab", clip("abc", 2))
	require.Equal(t, "\x1b[31mab\x1b[0m", clip("\x1b[31mabc\x1b[0m", 2))
	require.Equal(t, "──", clip("───", 2))
	require.Equal(t, "", clip("abc", 0))
	require.Equal(t, 2, columns("\x1b[31m─b\x1b[0m"))
}

func TestClock(t *testing.T) {
	for d, want := range map[time.Duration]string{0: "0:00 min", 1500 * time.Millisecond: "0:02 min", 61 * time.Second: "1:01 min", 3599600 * time.Millisecond: "1:00:00 h", 3 * time.Hour: "3:00:00 h"} {
		require.Equal(t, want, clock(d))
	}
}
