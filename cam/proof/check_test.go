package proof

import (
	"go/ast"
	"go/parser"
	"go/token"
	"math"
	"strings"
	"testing"

	"dishwright/cam/path"
	"dishwright/dish"
	"dishwright/machines"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"
)

// spindleMachine is a small spindle machine with round numbers that takes arcs.
func spindleMachine() machines.Machine {
	m, _ := machines.Builtin("bench-600")
	m.Arcs, m.Hood, m.PathMode = true, nil, "G64"
	return m
}

// handMachine is a machine whose router is switched by hand.
func handMachine() machines.Machine {
	m, _ := machines.Builtin("bench-400")
	m.Arcs, m.PathMode = true, "G64"
	return m
}

// plainCase is a small crown in a large thick blank: 13 mm from its apex there
// is nothing to gouge, and all of the blank is its part: hardly anything but what a test
// does is a fault.
func plainCase(m machines.Machine) Case {
	return Case{Face: must(dish.NewFace(dish.Crown, 10, 1)), Region: dish.Strip{Length: 200, Width: 200}, Blank: dish.Blank{Shape: dish.Square, Length: 200, Width: 200, Thickness: 40},
		MinWood: 10, Machine: m, MaxScallop: 100, CellSize: 1}
}

// plainCutter may take much at once.
func plainCutter() path.Cutter {
	return path.Cutter{Name: "small flat", Shape: path.Flat, Diameter: 6, Flutes: 2, FluteLength: 10, Shank: 6, StickOut: 30, FastestSpeed: 18000, DepthOfCut: 5, Ramp: math.Pi / 4}
}

// act is a step of a hand-made program; each stands on a line of its own.
type act func(*Program, *r3.Vec)

func lastSource(p *Program) path.Source {
	return path.Source{Line: len(p.Path.Moves) + len(p.Path.Events) + len(p.PathModes) + 1, Column: 1}
}

// to makes a move; NaN leaves a coordinate.
func to(kind path.Kind, feed, x, y, z float64) act {
	return func(p *Program, tip *r3.Vec) {
		end := *tip
		for _, a := range []struct {
			to   *float64
			from float64
		}{{&end.X, x}, {&end.Y, y}, {&end.Z, z}} {
			if !math.IsNaN(a.from) {
				*a.to = a.from
			}
		}
		p.Path.Moves = append(p.Path.Moves, path.Move{Kind: kind, From: *tip, To: end, Feed: feed, Source: lastSource(p)})
		*tip = end
	}
}

var nan = math.NaN()

func g0(x, y, z float64) act    { return to(path.Traverse, 0, x, y, z) }
func g1(x, y, z, f float64) act { return to(path.Line, f, x, y, z) }
func m0() act                   { return event(path.Stop, 0) }
func m1() act                   { return event(path.OptionalStop, 0) }
func m2() act                   { return event(path.End, 0) }
func m3(s float64) act          { return event(path.SpindleOn, s) }
func m5() act                   { return event(path.SpindleOff, 0) }
func dwell(seconds float64) act { return event(path.Dwell, seconds) }
func arc(m path.Move, f float64) act {
	return func(p *Program, tip *r3.Vec) {
		m.Kind, m.Feed, m.Source = path.Arc, f, lastSource(p)
		p.Path.Moves = append(p.Path.Moves, m)
		*tip = m.To
	}
}
func event(k path.EventKind, v float64) act {
	return func(p *Program, _ *r3.Vec) {
		p.Path.Events = append(p.Path.Events, path.Event{Kind: k, Value: v, Before: len(p.Path.Moves), Source: lastSource(p)})
	}
}
func mode(text string) act {
	return func(p *Program, _ *r3.Vec) {
		p.PathModes = append(p.PathModes, PathMode{text, len(p.Path.Moves), lastSource(p)})
	}
}

// program puts a program together.
func program(acts ...act) Program {
	p, tip := Program{Name: "1-test.ngc", Cutter: plainCutter()}, r3.Vec{X: nan, Y: nan, Z: nan}
	for _, a := range acts {
		a(&p, &tip)
	}
	return p
}

// head and tail frame the work of a spindle machine, 6 and 3 lines.
func framed(work ...act) []act {
	all := append([]act{m0(), mode("G64"), g0(nan, nan, 5), m3(16000), dwell(5), g0(0, 20, nan)}, work...)
	return append(all, g0(nan, nan, 5), m5(), m2())
}

// findings returns what is found, scallops left out.
func findings(c Case, programs ...Program) []Finding {
	cuts, in := make([]Cut, len(programs)), make([]*programExtras, len(programs))
	for i, p := range programs {
		cuts[i], in[i] = Cut{p.Cutter, p.Path.Moves}, &programExtras{limits: c, program: p}
	}
	return checkPrograms(c, programs, cuts, in).Findings
}

type wantFinding struct {
	kind   Kind
	line   int
	amount float64
}

// foundIn returns what is found, amounts in thousandths.
func foundIn(c Case, p Program) (list []wantFinding) {
	for _, f := range findings(c, p) {
		list = append(list, wantFinding{f.Kind, f.Line, math.Round(f.Amount*1e3) / 1e3})
	}
	return list
}

func TestCheckOneFault(t *testing.T) {
	clamp := func(c *Case) { c.Obstacles = []path.Obstacle{{X: 50, Y: 20, Radius: 5, Height: 8}} }
	hooded := func(c *Case) {
		clamp(c)
		c.Obstacles[0].Height = 30
		c.Machine.Hood = &machines.Hood{Diameter: 60, AboveTip: 12}
	}
	f := 1000.0
	for _, k := range []struct {
		name   string
		change func(*Case)
		cutter func(*path.Cutter)
		acts   []act
		want   []wantFinding
	}{
		{"all well", nil, nil, framed(g1(nan, nan, -2, f), g1(10, nan, nan, f)), nil},
		{"no stop", nil, nil, framed(g1(nan, nan, -2, f))[1:], []wantFinding{{KindOrder, 2, 0}}},
		{"stop behind the first move", nil, nil, []act{mode("G64"), g0(nan, nan, 5), m0(), m3(16000), m5(), m2()}, []wantFinding{{KindOrder, 2, 0}}},
		{"spindle before the stop", nil, nil, []act{m3(16000), m0(), m5(), m2()}, []wantFinding{{KindOrder, 1, 0}, {KindOrder, 1, 0}}},
		{"spindle before the lift", nil, nil, []act{m0(), m3(16000), g0(nan, nan, 5), m5(), m2()}, []wantFinding{{KindOrder, 2, 0}}},
		{"lift not high enough", nil, nil, []act{m0(), g0(nan, nan, 1.9), m3(16000), m5(), m2()}, []wantFinding{{KindTraverse, 2, 0.1}, {KindOrder, 3, 0}}},
		{"down again before the spindle", nil, nil, []act{m0(), mode("G64"), g0(nan, nan, 5), g0(nan, nan, 1), m3(16000), m5(), m2()}, []wantFinding{{KindTraverse, 4, 1}, {KindOrder, 5, 0}}},
		{"sideways before the lift", nil, nil, []act{m0(), g0(10, nan, nan), m2()}, []wantFinding{{KindOrder, 2, 0}, {KindTraverse, 2, 0}, {KindGouge, 2, maxCoordinate}}},
		{"sideways and up at once", nil, nil, []act{m0(), g0(10, 10, 5), m2()}, []wantFinding{{KindOrder, 2, 0}, {KindTraverse, 2, 0}, {KindGouge, 2, maxCoordinate}}},
		{"ends in the blank", nil, nil, []act{m0(), mode("G64"), g0(nan, nan, 5), m3(16000), dwell(5), g0(0, 20, nan), g1(nan, nan, -2, f), m5(), m2()}, []wantFinding{{KindOrder, 8, 2}}},
		{"speed changed while it cuts", nil, nil, framed(g1(nan, nan, -2, f), m3(17000), g1(10, nan, nan, f)), nil},
		{"still when it cuts", nil, nil, []act{m0(), mode("G64"), g0(nan, nan, 5), g0(0, 20, nan), g1(nan, nan, 0.5, f), g1(nan, nan, -2, f), g0(nan, nan, 5), m2()}, []wantFinding{{KindSpindle, 6, 0}}},
		{"stopped half-way", nil, nil, framed(g1(nan, nan, -2, f), g0(nan, nan, 5), m5(), g1(nan, nan, -3, f)), []wantFinding{{KindSpindle, 10, 0}}},
		{"does not wait", nil, nil, []act{m0(), mode("G64"), g0(nan, nan, 5), m3(16000), g0(0, 20, nan), g1(nan, nan, -1, 60), g0(nan, nan, 5), m5(), m2()}, []wantFinding{{KindSpindle, 6, 5}}},
		{"waits on its way", nil, nil, []act{m0(), mode("G64"), g0(nan, nan, 5), m3(16000), g0(0, 20, nan), g1(nan, nan, 0, 60), g1(nan, nan, -1, 60), g0(nan, nan, 5), m5(), m2()}, nil},
		{"turns at the end", nil, nil, []act{m0(), g0(nan, nan, 5), m3(16000)}, []wantFinding{{KindSpindle, 3, 0}}},
		{"too fast for the cutter", nil, nil, framed(m3(18001)), []wantFinding{{KindSpindle, 7, 1}}},
		{"too slow for the spindle", nil, nil, framed(m3(7000)), []wantFinding{{KindSpindle, 7, 1000}}},
		{"cutter changed", nil, nil, framed(event(path.CutterCall, 2)), []wantFinding{{KindCutter, 7, 0}}},
		{"cutter changed first", nil, nil, append([]act{event(path.CutterCall, 2)}, framed()...), []wantFinding{{KindOrder, 1, 0}}},
		{"cutter changed before the lift", nil, nil, append([]act{m0(), event(path.CutterCall, 2)}, framed()[1:]...), []wantFinding{{KindOrder, 2, 0}}},
		{"coolant first", nil, nil, append([]act{event(path.CoolantOn, 0)}, framed()...), []wantFinding{{KindOrder, 1, 0}}},
		{"coolant after the stop", nil, nil, append([]act{m0(), event(path.CoolantOn, 0)}, framed()[1:]...), nil},
		{"no path mode", nil, nil, append([]act{m0()}, framed(g1(nan, nan, -2, f), g1(5, nan, nan, f))[2:]...), []wantFinding{{KindPathMode, 6, 0}}},
		{"another path mode for a while", nil, nil, framed(mode("G64 Q1"), g1(nan, nan, -2, f), g1(nan, nan, -3, f), mode("G64"), g1(nan, nan, -4, f)), []wantFinding{{KindPathMode, 7, 0}}},
		{"exact path modes", nil, nil, framed(mode("G61"), g1(nan, nan, -2, f), mode("G61.1"), g1(nan, nan, -3, f)), nil},
		{"feed along X", nil, nil, framed(g1(nan, nan, -2, f), g1(10, nan, nan, 5500)), []wantFinding{{KindFeed, 8, 500}}},
		{"feed along Z", nil, nil, framed(g1(nan, nan, -2, 1600)), []wantFinding{{KindFeed, 7, 100}}},
		{"feed aslant within limits", nil, nil, framed(g1(nan, nan, 0, f), g1(10, 10, nan, 5000*math.Sqrt2)), nil},
		{"feed aslant, turned by a written digit", nil, nil, framed(g1(nan, nan, 0, f), g1(1, 21.0001, nan, 5000*math.Sqrt2)), nil},
		{"feed aslant, turned by more", nil, nil, framed(g1(nan, nan, 0, f), g1(1, 21.01, nan, 5000*math.Sqrt2)), []wantFinding{{KindFeed, 8, 24.813}}},
		{"feed in steps shorter than that", nil, nil, framed(g1(nan, nan, 0, f), g1(0.001, 20.0009, nan, 5500*math.Sqrt2)), []wantFinding{{KindFeed, 8, 781.472}}},
		{"feed from nowhere", nil, nil, []act{m0(), mode("G64"), g1(nan, nan, 5, 2000), m2()}, []wantFinding{{KindFeed, 3, 500}}},
		{"feed from nowhere along known axes", nil, nil, []act{m0(), mode("G64"), g1(nan, nan, 5, 1500), g1(1, nan, nan, 5500), m2()}, []wantFinding{{KindFeed, 4, 500}}},
		{"no feed", nil, nil, framed(g1(nan, nan, -2, nan)), []wantFinding{{KindFeed, 7, 0}}},
		{"travel in X with Y unknown", nil, nil, []act{m0(), g0(nan, nan, 5), g0(311, nan, nan), m2()}, []wantFinding{{KindTravel, 3, 1}}},
		{"travel in Y", nil, nil, framed(g0(nan, -310.5, nan)), []wantFinding{{KindTravel, 7, 0.5}, {KindTravel, 8, 0.5}}},
		{"travel in Z", nil, nil, framed(g0(nan, nan, 51)), []wantFinding{{KindTravel, 7, 1}, {KindTravel, 8, 1}}},
		{"below the bed", nil, nil, framed(g0(nan, 150, nan), g0(nan, nan, -40.5)), []wantFinding{{KindTravel, 8, 0.5}, {KindFloor, 8, 10.5}, {KindTravel, 9, 0.5}, {KindFloor, 9, 10.5}}},
		{"no arcs", func(c *Case) { c.Machine.Arcs = false }, nil, framed(arc(path.Move{From: r3.Vec{Y: 20, Z: 5}, To: r3.Vec{X: 2, Y: 20, Z: 5}, Centre: r3.Vec{X: 1, Y: 20, Z: 5}}, f)), []wantFinding{{KindArc, 7, 0}}},
		{"traverse aslant", nil, nil, framed(g0(10, nan, 6)), []wantFinding{{KindTraverse, 7, 1}}},
		{"traverse low over the blank", nil, nil, framed(g0(nan, nan, 1), g0(10, nan, nan)), []wantFinding{{KindTraverse, 8, 1}}},
		{"traverse low beside the blank", nil, nil, framed(g0(nan, 110, nan), g0(nan, nan, 1), g0(10, nan, nan)), nil},
		{"traverse low over a corner alone", nil, nil, framed(g0(0, 209, nan), g0(nan, nan, 1), g0(209, 0, nan)), nil},
		{"traverse low cutting a corner", nil, nil, framed(g0(0, 198, nan), g0(nan, nan, 1), g0(198, 0, nan)), []wantFinding{{KindTraverse, 9, 1}}},
		{"plunge in a traverse", nil, nil, framed(g0(nan, nan, -1)), []wantFinding{{KindTraverse, 7, 1}}},
		{"low over a clamp", clamp, nil, framed(g0(nan, nan, 11), g0(nan, nan, 9), g0(44, nan, nan)), []wantFinding{{KindTraverse, 3, 5}, {KindOrder, 4, 0}, {KindTraverse, 6, 5}, {KindTraverse, 9, 1}, {KindObstacle, 9, 4}, {KindObstacle, 10, 4}}},
		{"over a clamp, in inches a little low", clamp, nil, []act{m0(), mode("G64"), g0(nan, nan, 0.39370*25.4), m3(16000), dwell(5), g0(0, 20, nan), g0(100, nan, nan), g1(nan, nan, -2, f), g0(nan, nan, 0.39370*25.4), g0(0, nan, nan), m5(), m2()}, nil},
		{"over a clamp, lower than that", clamp, nil, []act{m0(), mode("G64"), g0(nan, nan, 9.998), m3(16000), m5(), m2()}, []wantFinding{{KindTraverse, 3, 0.002}, {KindOrder, 4, 0}}},
		{"aslant, high over a clamp", clamp, nil, append([]act{m0(), mode("G64"), g0(nan, nan, 30), m3(16000), dwell(5), g0(50, 20, nan), g1(nan, nan, 20, f), g1(0, nan, -2, f)}, g0(nan, nan, 30), m5(), m2()), nil},
		{"aslant, down beside a clamp", clamp, nil, append([]act{m0(), mode("G64"), g0(nan, nan, 30), m3(16000), dwell(5), g0(50, 20, nan), g1(nan, nan, 11, f), g1(0, nan, -2, f)}, g0(nan, nan, 30), m5(), m2()), []wantFinding{{KindObstacle, 8, 10 - 50/13.0}}},
		{"holder over a clamp", func(c *Case) { clamp(c); c.Obstacles[0].Height = 34 }, nil,
			append([]act{m0(), mode("G64"), g0(nan, nan, 40), m3(16000), dwell(5), g0(30, 20, nan), g1(nan, nan, -2, f)}, g0(nan, nan, 40), m5(), m2()), []wantFinding{{KindObstacle, 7, 3}, {KindObstacle, 8, 3}}},
		{"shank over a clamp", func(c *Case) { clamp(c); c.Obstacles[0].Height = 12 }, func(c *path.Cutter) { c.Shank = 20 },
			append([]act{m0(), mode("G64"), g0(nan, nan, 40), m3(16000), dwell(5), g0(34, 20, nan), g1(nan, nan, -2, f)}, g0(nan, nan, 40), m5(), m2()), []wantFinding{{KindObstacle, 7, 1}, {KindObstacle, 8, 1}}},
		{"hood over a clamp", hooded, nil,
			append([]act{m0(), mode("G64"), g0(nan, nan, 40), m3(16000), dwell(5), g0(15, 20, nan), g1(nan, nan, -2, f)}, g0(nan, nan, 40), m5(), m2()), []wantFinding{{KindObstacle, 7, 2}, {KindObstacle, 8, 2}}},
		{"into the floor", func(c *Case) { c.MinWood = 38.5 }, nil, framed(g1(nan, nan, -2, f)), []wantFinding{{KindFloor, 7, 0.5}, {KindFloor, 8, 0.5}}},
		{"gouge", func(c *Case) { c.Face = must(dish.NewFace(dish.Hollow, 600, 40)) }, nil, framed(g0(90, nan, nan), g1(nan, nan, -0.5, f)), []wantFinding{{KindGouge, 8, 0.5}, {KindGouge, 9, 0.5}}},
		{"bite", nil, nil, framed(g1(nan, nan, -5.5, f)), []wantFinding{{KindBite, 7, 0.5}}},
		{"bites of all that the cutter may take", nil, nil, framed(g1(nan, nan, -5, f), g1(30, nan, nan, f), g1(nan, nan, -10, f), g1(0, nan, nan, f)), nil},
		{"bites of a little more", nil, nil, framed(g1(nan, nan, -5, f), g1(30, nan, nan, f), g1(nan, nan, -10.05, f)), []wantFinding{{KindBite, 9, 0.05}}},
		{"flutes shorter than the depth of cut", nil, func(c *path.Cutter) { c.FluteLength = 3 }, framed(g1(nan, nan, -2.5, f), g0(nan, nan, 1), g1(nan, nan, -6, f)), []wantFinding{{KindBite, 9, 0.5}}},
		{"a plunge in two moves", nil, nil, framed(g1(nan, nan, -2.5, f), g1(nan, nan, -6, f)), []wantFinding{{KindBite, 8, 1}}},
		{"ramp", nil, func(c *path.Cutter) { c.Core = 2; c.Ramp = 3 * math.Pi / 180 }, framed(g1(nan, nan, -2, f)), []wantFinding{{KindRamp, 7, 87}}},
		{"ramp in the air", nil, func(c *path.Cutter) { c.Core = 2; c.Ramp = 3 * math.Pi / 180 }, framed(g1(nan, nan, 0, f)), nil},
		{"holder against the blank", nil, func(c *path.Cutter) { c.StickOut = 3 }, framed(g1(nan, nan, -3.5, f)), []wantFinding{{KindContact, 7, 0.5}}},
	} {
		t.Run(k.name, func(t *testing.T) {
			c, p := plainCase(spindleMachine()), program(k.acts...)
			if k.change != nil {
				k.change(&c)
			}
			if k.cutter != nil {
				k.cutter(&p.Cutter)
			}
			got := foundIn(c, p)
			for i := range k.want {
				k.want[i].amount = math.Round(k.want[i].amount*1e3) / 1e3
			}
			require.Equal(t, k.want, got)
		})
	}
}

// TestCheckHandRouter: the first stop lets the operator read, the first one that
// stands clear switches the router on, the last one off.
func TestCheckHandRouter(t *testing.T) {
	f := 900.0
	cut := func(z float64) act { return g1(nan, nan, z, f) }
	for _, k := range []struct {
		name string
		acts []act
		want []wantFinding
	}{
		{"all well", []act{m0(), mode("G64"), g0(nan, nan, 5), m0(), dwell(4), g0(0, 20, nan), cut(-2), g0(nan, nan, 5), m0(), m2()}, nil},
		{"a pause in the middle", []act{m0(), mode("G64"), g0(nan, nan, 5), m0(), dwell(4), g0(0, 20, nan), cut(-2), g0(nan, nan, 5), m0(), g0(9, 20, nan), cut(-2), g0(nan, nan, 5), m0(), m2()}, nil},
		{"a pause in the cut", []act{m0(), mode("G64"), g0(nan, nan, 5), m0(), dwell(4), g0(0, 20, nan), cut(-2), m0(), cut(-3), g0(nan, nan, 5), m0(), m2()}, []wantFinding{{KindSpindle, 8, 0}}},
		{"an optional stop is none", []act{m0(), mode("G64"), g0(nan, nan, 5), m1(), dwell(4), g0(0, 20, nan), cut(-2), g0(nan, nan, 5), m1(), m2()}, []wantFinding{{KindSpindle, 7, 0}}},
		{"no stop to switch it on", []act{m0(), mode("G64"), g0(nan, nan, 5), g0(0, 20, nan), cut(-2), g0(nan, nan, 5), m0(), m2()}, []wantFinding{{KindSpindle, 5, 0}}},
		{"no stop to switch it off", []act{m0(), mode("G64"), g0(nan, nan, 5), m0(), dwell(4), g0(0, 20, nan), cut(-2), g0(nan, nan, 5), m2()}, []wantFinding{{KindOrder, 9, 0}}},
		{"sideways after it is off", []act{m0(), mode("G64"), g0(nan, nan, 5), m0(), dwell(4), g0(0, 20, nan), cut(-2), g0(nan, nan, 5), m0(), g0(9, 9, nan), m2()}, []wantFinding{{KindOrder, 10, 0}}},
		{"off in the blank", []act{m0(), mode("G64"), g0(nan, nan, 5), m0(), dwell(4), g0(0, 20, nan), cut(-2), m0(), m2()}, []wantFinding{{KindSpindle, 8, 0}, {KindOrder, 9, 2}}},
		{"M3", []act{m0(), mode("G64"), g0(nan, nan, 5), m3(16000), m0(), m2()}, []wantFinding{{KindSpindle, 4, 0}}},
		{"switched on in the blank", []act{m0(), mode("G64"), g0(nan, nan, 5), g0(0, 20, nan), g0(nan, nan, 0), m0(), g1(nan, nan, -1, f), g0(nan, nan, 5), m0(), m2()}, []wantFinding{{KindSpindle, 7, 0}}},
		{"does not wait", []act{m0(), mode("G64"), g0(nan, nan, 5), g0(0, 20, nan), m0(), cut(0), cut(-1), g0(nan, nan, 5), m0(), m2()}, []wantFinding{{KindSpindle, 7, 4 - 5/900.0*60}}},
	} {
		t.Run(k.name, func(t *testing.T) {
			got := foundIn(plainCase(handMachine()), program(k.acts...))
			for i := range k.want {
				k.want[i].amount = math.Round(k.want[i].amount*1e3) / 1e3
			}
			require.Equal(t, k.want, got)
		})
	}
}

// TestCheckHasEveryKind reads the source: each Kind that is declared is listed.
func TestCheckHasEveryKind(t *testing.T) {
	file, err := parser.ParseFile(token.NewFileSet(), "finding.go", nil, 0)
	require.NoError(t, err)
	var declared []Kind
	ast.Inspect(file, func(n ast.Node) bool {
		v, ok := n.(*ast.ValueSpec)
		if ok && len(v.Names) == 1 && strings.HasPrefix(v.Names[0].Name, "Kind") && len(v.Values) == 1 {
			declared = append(declared, Kind(strings.Trim(v.Values[0].(*ast.BasicLit).Value, `"`)))
		}
		return true
	})
	require.Equal(t, Kinds(), declared)
	require.Equal(t, []Kind{"text", "cutter", "order", "spindle", "feed", "travel", "arc", "path mode", "traverse", "obstacle",
		"floor", "gouge", "bite", "ramp", "contact", "extra", "scallop"}, declared, "machines sort by these words")
}

func TestCheckListsEachKindTwentyTimesAtMost(t *testing.T) {
	work := []act{g0(90, nan, nan), g1(nan, nan, 0, 1000)}
	for i := range 50 {
		work = append(work, g1(90, float64(i%2), -0.1, 5001))
	}
	p := program(framed(work...)...)
	counts := map[Kind]int{}
	last := 0
	c := plainCase(spindleMachine())
	c.Face = must(dish.NewFace(dish.Hollow, 600, 40))
	for _, f := range findings(c, p) {
		counts[f.Kind]++
		require.GreaterOrEqual(t, f.Line, last)
		last = f.Line
	}
	require.Equal(t, map[Kind]int{KindGouge: 20, KindFeed: 20}, counts)
}

// The worst gouge of all programs is kept, whichever comes first.
func TestCheckKeepsTheWorstGouge(t *testing.T) {
	c := plainCase(spindleMachine())
	c.Face = must(dish.NewFace(dish.Hollow, 600, 40))
	to := func(z float64) Program { return program(framed(g0(90, nan, nan), g1(nan, nan, z, 1000))...) }
	for worst, programs := range [][]Program{{to(-0.5), to(-0.2)}, {to(-0.2), to(-0.5)}} {
		cuts, in := make([]Cut, 2), make([]*programExtras, 2)
		for i, p := range programs {
			cuts[i], in[i] = Cut{p.Cutter, p.Path.Moves}, &programExtras{limits: c, program: p}
		}
		g := checkPrograms(c, programs, cuts, in).Gouge
		require.InDelta(t, 0.5, g.Amount, 1e-9)
		require.Equal(t, worst, g.Cut)
	}
}

// TestCheckNeverPanics holds anything that a reader can give.
func TestCheckNeverPanics(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		place := rapid.OneOf(rapid.Float64Range(-100, 100), rapid.SampledFrom([]float64{nan, 1e6, -1e6, 0, 5, -40}))
		var acts []act
		for range rapid.IntRange(0, 12).Draw(t, "n") {
			x, y, z := place.Draw(t, "x"), place.Draw(t, "y"), place.Draw(t, "z")
			switch rapid.IntRange(0, 5).Draw(t, "what") {
			case 0:
				acts = append(acts, g0(x, y, z))
			case 1, 2:
				acts = append(acts, g1(x, y, z, rapid.SampledFrom([]float64{0, 1, 1e9, nan}).Draw(t, "feed")))
			case 3:
				acts = append(acts, arc(anyArc(t), 1000))
			default:
				acts = append(acts, event(path.EventKind(rapid.IntRange(0, 10).Draw(t, "event")), rapid.SampledFrom([]float64{0, 1, 16000, 1e9}).Draw(t, "value")))
			}
		}
		c := plainCase(rapid.SampledFrom([]machines.Machine{spindleMachine(), handMachine()}).Draw(t, "machine"))
		c.Obstacles = []path.Obstacle{{X: 50, Y: 20, Radius: 5, Height: 8}}
		c.CellSize = 4
		for _, f := range findings(c, program(acts...)) {
			require.False(t, math.IsNaN(f.X+f.Y+f.Amount), "%+v", f)
			require.NotContains(t, f.Message.String(), "NaN")
		}
	})
}
