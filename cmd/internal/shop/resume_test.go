package shop_test

import (
	"bytes"
	"fmt"
	"math"
	"strings"
	"testing"

	"dishwright/cam/chance"
	"dishwright/cam/path"
	"dishwright/cam/proof"
	"dishwright/cam/work"
	"dishwright/cmd/internal/shop"
	"dishwright/post"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// collect gathers the moves that a text makes.
type collect struct{ moves []path.Move }

func (c *collect) Move(m path.Move) error { c.moves = append(c.moves, m); return nil }
func (c *collect) Event(path.Event) error { return nil }

// lastCutting returns the index of the last text of a result that cuts the face.
func lastCutting(r *shop.Result) int {
	for i := len(r.Texts) - 1; i >= 0; i-- {
		if p := r.Texts[i].Program.Purpose(); p == work.Finishing || p == work.Roughing {
			return i
		}
	}
	return 0
}

// partial is what a machine did of a program that was stopped before a line, as a
// program of its own: the lines before, the lift, the end.
func partial(text []byte, line int, up string) []byte {
	lines := strings.SplitAfter(string(text), "\n")
	return []byte(strings.Join(lines[:line-1], "") + "G0 Z" + up + "\nM5\nM2\n")
}

// plane lays texts on a blank and returns what stands over the face.
func plane(t *testing.T, r *shop.Result, texts [][]byte, cutters []int) [][]float64 {
	t.Helper()
	w := r.Plan.Work
	s := proof.NewStock(w.Blank, proof.CellSize(w.Blank, r.Texts[len(r.Texts)-1].Program.Cutter.Diameter))
	for k, text := range texts {
		var g collect
		_, err := post.Read(bytes.NewReader(text), post.ReadOptions{Machine: w.Machine, ZShift: w.ProgramZero(), Start: post.UnknownStart()}, &g)
		require.NoError(t, err)
		s.Run(r.Texts[cutters[k]].Program.Cutter, g.moves)
	}
	return s.HeightMap(w.Face, 90, 90)
}

// A program that was stopped at any line is gone on with so that the face is as if it
// had not been: every hundredth line of a hollow in straight moves, and some of a crown
// in arcs; without LONG some of both.
func TestResumeAtEveryHundredthLine(t *testing.T) {
	steps := map[string]int{"160 bull desktop": 100, "300 ball arcs caul along y": 250}
	if !chance.Long() {
		steps = map[string]int{"160 bull desktop": 300}
	}
	points := 10_000
	if chance.Long() {
		points = 40_000
	}
	for name, step := range steps {
		for i, o := range table {
			if o.name != name {
				continue
			}
			t.Run(name, func(t *testing.T) {
				t.Parallel()
				r, err := made[i]()
				require.NoError(t, err)
				k := lastCutting(r)
				text := r.Texts[k].Bytes
				last := bytes.Count(text, []byte("\n"))
				var all [][]byte
				var by []int
				for n := range k + 1 {
					all, by = append(all, r.Texts[n].Bytes), append(by, n)
				}
				whole := plane(t, r, all, by)
				up := strings.TrimPrefix(strings.Fields(string(text[bytes.Index(text, []byte("\nG0 Z"))+1:]))[1], "Z")
				tried := 0
				for line := 100; line < last; line += step {
					out, err := r.Resume(shop.Stopped{Program: text, File: "p", Line: line, Overlap: 20})
					if err != nil {
						require.ErrorContains(t, err, "nothing is", "line %d", line)
						continue
					}
					tried++
					require.Empty(t, out.Broken, "line %d", line)
					require.Empty(t, plainText(out.Text, speaks(builtIn(o.machine)), r.Texts[k].Program.Cutter), "line %d", line)
					require.LessOrEqual(t, out.FromLine, line+4, "or what comes next, where it was in the air")
					require.LessOrEqual(t, out.Scallop.CertifiedMM, r.Plan.Work.Scallop)
					enters(t, r, k, out, 20)
					short := partial(text, line, up)
					texts := append(append([][]byte{}, all[:k]...), short, out.Text)
					left := plane(t, r, texts, append(append([]int{}, by[:k]...), k, k))
					for y := range left {
						for x := range left[y] {
							if !math.IsNaN(whole[y][x]) {
								require.InDelta(t, whole[y][x], left[y][x], 1e-9, "line %d, place %d %d", line, x, y)
							}
						}
					}
					if tried%6 == 1 { // the tests' own evaluator is slow
						v := evaluate(o.wanted(), texts[1:], points)
						require.Empty(t, v.faults, "line %d", line)
						require.LessOrEqual(t, v.ridge.over, out.Scallop.CertifiedMM+agree)
						require.LessOrEqual(t, v.gouge, 0.001)
					}
				}
				require.Greater(t, tried, 2)
			})
		}
	}
}

// enters sees that a program that goes on repeats what was asked, or all since the
// cutter last came down, and comes down through the air to just above where it enters.
func enters(t *testing.T, r *shop.Result, k int, out *shop.Resumption, overlap float64) {
	t.Helper()
	before := path.Traverse
	for _, m := range r.Texts[k].Path.Moves {
		if m.Source.Line < out.FromLine {
			before = m.Kind
		}
	}
	require.True(t, out.OverlapMM >= overlap || before == path.Traverse, "repeats %g mm from line %d", out.OverlapMM, out.FromLine)
	var g collect
	w := r.Plan.Work
	_, err := post.Read(bytes.NewReader(out.Text), post.ReadOptions{Machine: w.Machine, ZShift: w.ProgramZero(), Start: post.UnknownStart()}, &g)
	require.NoError(t, err)
	for i, m := range g.moves {
		if m.Kind != path.Traverse {
			down := g.moves[i-1].To
			require.InDelta(t, out.XMM, down.X, 1e-3)
			require.InDelta(t, out.YMM, down.Y, 1e-3)
			// A millimetre of air, and what the footprint of a ball or a bull still
			// holds beside its tip.
			require.LessOrEqual(t, down.Z, out.ZMM+1+r.Texts[k].Program.Cutter.Body().Corner+0.3)
			return
		}
	}
}

// resumed is a job that is quick to cut, and its program that cuts the face.
func resumed(t *testing.T) (*shop.Result, int) {
	t.Helper()
	for i, o := range table {
		if o.name == "160 bull desktop" {
			r, err := made[i]()
			require.NoError(t, err)
			return r, lastCutting(r)
		}
	}
	t.Fatal("no such job")
	return nil, 0
}

// What cannot be gone on with is said.
func TestResumeRefuses(t *testing.T) {
	r, k := resumed(t)
	text := r.Texts[k].Bytes
	edited := bytes.Replace(text, []byte("G1 X"), []byte("G1 X0"), 1)
	for want, s := range map[string]shop.Stopped{
		"none of the programs":  {Program: edited, Line: 200},
		"cuts nothing":          {Program: r.Texts[0].Bytes, Line: 20},
		"no line 100000":        {Program: text, Line: 100_000},
		"no line 0":             {Program: text},
		"nothing is cut yet":    {Program: text, Line: 30},
		"nothing is left":       {Program: text, Line: bytes.Count(text, []byte("\n"))},
		"passes within 0.5 mm":  {Program: text, At: &r3.Vec{X: 500}},
		"gripped by its flutes": {Program: text, Line: 200, StickOut: 1},
		"leaves nothing":        {Program: text, Line: 200, Diameter: 0.1},
	} {
		_, err := r.Resume(s)
		require.ErrorContains(t, err, want)
	}
}

// A place finds its line: the move that passes there.
func TestResumeAtAPlace(t *testing.T) {
	t.Parallel()
	r, k := resumed(t)
	moves := r.Texts[k].Path.Moves
	m := moves[len(moves)/2]
	mid := m.At(0.5)
	out, err := r.Resume(shop.Stopped{Program: r.Texts[k].Bytes, At: &mid, HasZ: true, Overlap: 20})
	require.NoError(t, err)
	require.Empty(t, out.Broken)
	require.LessOrEqual(t, out.Line, m.Source.Line)
	found := false
	for _, v := range moves {
		if v.Source.Line == out.Line {
			d := math.Inf(1)
			for n := range 101 {
				d = math.Min(d, r3.Norm(r3.Sub(v.At(float64(n)/100), mid)))
			}
			found = d < 0.6
		}
	}
	require.True(t, found)
}

// A cutter of another diameter goes on without gouging, and where it leaves too much
// that is said; one that stands too far out or in is looked at too.
func TestResumeWithAnotherCutter(t *testing.T) {
	for i, o := range table {
		if o.name != "300 bull rings" && (o.name != "300 flat spokes caul" || !chance.Long()) {
			continue
		}
		r, err := made[i]()
		require.NoError(t, err)
		k := lastCutting(r)
		d := r.Texts[k].Program.Cutter.Diameter
		line := bytes.Count(r.Texts[k].Bytes, []byte("\n")) / 2
		others := []float64{-1.5, 1.5}
		if chance.Long() {
			others = []float64{-1.5, -0.1, 0.1, 1.5}
		}
		for _, by := range others {
			t.Run(fmt.Sprintf("%s %+g", o.name, by), func(t *testing.T) {
				t.Parallel()
				out, err := r.Resume(shop.Stopped{Program: r.Texts[k].Bytes, Line: line, Overlap: 40, Diameter: d + by})
				require.NoError(t, err)
				for _, b := range out.Broken {
					require.NotContains(t, b.String(), "gouge")
				}
				require.LessOrEqual(t, out.GougeMM, 0.001)
				if by > 0 {
					require.Empty(t, out.Broken, "a wider cutter leaves lower scallops")
				}
				if by < -1 {
					require.NotEmpty(t, out.Broken, "a cutter so much smaller leaves higher scallops")
				}
			})
		}
	}
}

// A program of a setup in which the blank is turned, or slid, is gone on with on the
// machine as it lies there: the same text that make writes, from the line on.
func TestResumeInSetups(t *testing.T) {
	list := []string{"two fences", "one fence", "marks"}
	if !chance.Long() {
		list = list[:1]
	}
	for _, by := range list {
		t.Run(by, func(t *testing.T) {
			t.Parallel()
			d := smallDivided("4", by)
			switch by {
			case "one fence":
				d = slid()
			case "marks":
				d = smallDivided("6", by)
			}
			_, r := d.made(t)
			text := r.Texts[2].Bytes // the second setup's
			last := bytes.Count(text, []byte("\n"))
			lines := strings.Split(string(text), "\n")
			every := last // one place without LONG
			if chance.Long() {
				every = last / 4
			}
			for line := last / 8; line < last-10; line += every {
				out, err := r.Resume(shop.Stopped{Program: text, File: "p", Line: line, Overlap: 20})
				require.NoError(t, err)
				require.Empty(t, out.Broken, "line %d", line)
				require.Empty(t, plainText(out.Text, speaks(builtIn(d.machine)), r.Texts[2].Program.Cutter), "line %d", line)
				require.Contains(t, string(out.Text), "\n(setup: 2 of "+d.setups)
				// What follows the place where it goes on is the old text.
				tail := strings.Join(lines[line:last-4], "\n")
				require.Contains(t, string(out.Text), tail[len(tail)-200:])
				// Found again by the place on the machine.
				var g collect
				_, err = post.Read(bytes.NewReader(text), post.ReadOptions{Machine: r.Plan.Work.Machine, Start: post.UnknownStart()}, &g)
				require.NoError(t, err)
				for _, m := range g.moves {
					if m.Source.Line >= line && m.Kind == path.Line {
						at := m.At(0.5)
						there, err := r.Resume(shop.Stopped{Program: text, File: "p", At: &at, HasZ: true, Overlap: 20})
						require.NoError(t, err)
						require.LessOrEqual(t, there.Line, m.Source.Line)
						require.InDelta(t, at.X, there.XMM, 60)
						require.InDelta(t, at.Y, there.YMM, 60)
						break
					}
				}
			}
		})
	}
}
