package job_test

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r2"

	"dishwright/cam/job"
	"dishwright/dish/measure"
	"dishwright/dish/measure/strict"
	"dishwright/dish/rim"
	"dishwright/samples"
)

// rimJob is a job of a rim, each key on its own line.
const rimJob = `form: rim
outline: {file: body.csv}
top: {radius: 28 ft, apex: 200 mm}
back: {radius: 15 ft}
depth: {head: 82 mm, tail: 95 mm}
`

// rimWith replaces the line of a key in rimJob, or adds it.
func rimWith(lines ...string) string {
	text := rimJob
	for _, line := range lines {
		key, _, _ := strings.Cut(line, ":")
		kept := []string{}
		for _, l := range strings.Split(strings.TrimSpace(text), "\n") {
			if !strings.HasPrefix(l, key+":") {
				kept = append(kept, l)
			}
		}
		text = strings.Join(append(kept, line), "\n") + "\n"
	}
	return text
}

func TestLoadRim(t *testing.T) {
	r, err := job.LoadRim("r.yaml", []byte(rimJob))
	require.NoError(t, err)
	require.Equal(t, "body.csv", r.Outline.File)
	require.InDelta(t, 8534.4, r.Top.Radius.MM, 1e-9)
	require.Equal(t, &r2.Vec{X: 200}, r.Top.Apex)
	require.Equal(t, rim.Depths{Head: 82, Tail: 95}, r.Depths)
	require.True(t, r.Inches)
	require.Equal(t, [3]float64{2.2, 10, 1.5}, [3]float64{r.Sides, r.Step, r.Start.Allowance})
	require.NotEmpty(t, r.Defaults)
	require.Nil(t, r.Mould)

	r, err = job.LoadRim("r.yaml", []byte(rimWith("top: {radius: 8 m, shape: cylinder across, apex: [200 mm, 5 mm], flat above: 330 mm from tail}", "back: {radius: flat}",
		"outline: {unit: in, points: [[0, 0], [1, 4.5], [8, 5], [16, 0]], curve: straight}", "start: {flat: 100 mm}", "fractions: 1/32 in", "trim: {head: 1 in}", "step: 5 mm",
		"plate: {radius: flat}", "clamps: {spacing: 2 in, each: 12 s}", "glue: {open time: 8 min}", "measured: {tail: 97 mm, head: 84 mm}",
		"braces: {b: {from: [100 mm, -90 mm], to: [120 mm, 90 mm], width: 8 mm, end height: 3 mm}}", "board: {length: 600 mm, width: 80 mm, swing: 30 mm}")))
	require.NoError(t, err)
	require.Equal(t, rim.CylinderAcross, r.Top.Kind)
	require.Equal(t, rim.Plane, r.Back.Kind)
	require.Equal(t, [2]float64{330, 40}, [2]float64{r.Top.FlatFrom, r.Top.Blend})
	require.Equal(t, rim.Straight, r.Outline.Curve)
	require.InDelta(t, 5*25.4, r.Outline.Points[2].Y, 1e-9)
	require.Equal(t, job.Start{Given: true, Flat: 100}, r.Start)
	require.True(t, math.IsInf(r.Dry, 1))
	require.Equal(t, job.Clamps{Spacing: 50.8, Each: 12, OpenTime: 480}, r.Clamps)
	require.Equal(t, []job.Reading{{Place: "head", Width: 84}, {Place: "tail", Width: 97}}, r.Measured)
	require.Equal(t, job.Tool{Length: 600, Width: 80, Swing: 30}, r.Tool)
	require.Len(t, r.Braces, 1)
	f := r.FaultAt(2, "m", "h")
	require.Equal(t, [2]int{5, 48}, [2]int{f.Line, f.Column}, "%+v", f)
}

func TestRimFaults(t *testing.T) {
	for _, tt := range []struct{ line, message string }{
		{"outline: {}", "told in 0 ways"},
		{"outline: {file: a.csv, length: 300 mm}", "told in 2 ways"},
		{"outline: {length: 300 mm}", `the key "upper bout" is missing`},
		{"outline: {upper bout: 280 mm, waist: 240 mm, lower bout: 380 mm}", `the key "length" is missing`},
		{"outline: {points: [[0 mm, 0 mm], [1 mm]]}", "a list of two"},
		{"outline: {points: [[0, 0], [10, 10]]}", "mm"},
		{"outline: {unit: furlong, points: [[0, 0]]}", "cannot be"},
		{"outline: {points: [[0 mm, 0 mm], [90 m, 1 mm]]}", "beyond any body"},
		{"outline: {path: M0 0L1 1}", `the key "scale" is missing`},
		{"outline: {file: a.csv, scale: 1 mm}", "scale is for a drawing"},
		{"outline: {file: a.csv, unit: mm}", "says nothing of an outline from file"},
		{"top: {radius: 10 mm}", "out of range"},
		{"top: {radius: flat, apex: 100 mm}", "a flat top has no apex"},
		{"top: {radius: flat, flat above: 100 mm}", "flat everywhere"},
		{"top: {radius: 8 m, flat above: up}", "no distance from the tail"},
		{"top: {radius: 8 m, blend: 20 mm}", "a blend without a flat area"},
		{"top: {radius: 8 m, apex: 90 m}", "beyond any body"},
		{"top: {}", `the key "radius" is missing`},
		{"back: {radius: flat, apex: 100 mm}", "a flat back has no apex"},
		{"depth: {head: 80 mm}", "one depth alone"},
		{"depth: {}", "not told"},
		{"depth: {head: 1 mm, tail: 90 mm}", "out of range"},
		{"start: {flat: 100 mm, allowance: 1 mm}", "one of flat, allowance and file"},
		{"braces: {b: {from: [1 mm, 1 mm]}}", `the key "to" is missing`},
		{"measured: {knee: 3 mm}", "not known"},
		{"fractions: 1/10 in", "cannot be"},
		{"board: {length: 600 mm}", `the key "width" is missing`},
		{"machine: bench-600", "for cutting a mould's edge"},
		{"cut: sides", "cannot be"},
		{"cut: mould", `the key "mould" is missing`},
		{"glue: {open time: 0 s}", "without open time"},
		{"step: 0.1 mm", "out of range"},
		{"colour: red", "not known"},
		{"sides: -2 mm", "out of range"},
	} {
		t.Run(tt.line, func(t *testing.T) {
			_, err := job.LoadRim("r.yaml", []byte(rimWith(tt.line)))
			var fs strict.Faults
			require.ErrorAs(t, err, &fs)
			require.Contains(t, fs.Error(), tt.message)
			for _, f := range fs {
				require.Positive(t, f.Line)
				require.Positive(t, f.Column)
				require.NotEmpty(t, f.Message)
			}
		})
	}
	// All at once, in the order of the lines.
	_, err := job.LoadRim("r.yaml", []byte(rimWith("top: {radius: 1 mm}", "sides: 90 mm", "colour: red")))
	var fs strict.Faults
	require.ErrorAs(t, err, &fs)
	require.Len(t, fs, 3)
	// A dish's loader sends a rim on.
	_, err = job.Load("r.yaml", []byte(rimJob))
	require.ErrorContains(t, err, "dishwright rim")
}

// What a builder's bench is taken for where the job says nothing, and what numbers of it make no
// sense: a clamp every 40 mm, 8 s each, a hand's breadth of 40 mm back and forth, 64ths of an inch
// (common practice).
func TestBenchOfARim(t *testing.T) {
	r, err := job.LoadRim("r.yaml", []byte(rimWith("dish: {diameter: 600 mm}")))
	require.NoError(t, err)
	require.Equal(t, job.Clamps{Spacing: 40, Each: 8}, r.Clamps)
	require.Equal(t, job.Tool{Diameter: 600, Swing: 40}, r.Tool)
	r, err = job.LoadRim("r.yaml", []byte(rimWith("clamps: {spacing: 25 mm}", "fractions: 1/64 in", "blocks: {head: 60 mm}", "lining: {width: 6 mm, height: 15 mm}")))
	require.NoError(t, err)
	require.Equal(t, [3]float64{25, 8, 0}, [3]float64{r.Clamps.Spacing, r.Clamps.Each, r.Clamps.OpenTime})
	require.Equal(t, []any{measure.Ruler{Inches: true, Parts: 64}, rim.Depths{Head: 60}, job.Lining{Width: 6, Height: 15}}, []any{r.Ruler, r.Blocks, r.Lining})
	r, err = job.LoadRim("r.yaml", []byte(rimWith("outline: {length: 490 mm, waist: 240 mm, lower bout: 380 mm, upper bout: 11 in}")))
	require.NoError(t, err)
	require.Equal(t, &rim.Bouts{Upper: 279.4, Waist: 240, Lower: 380, Length: 490}, r.Outline.Bouts)
	r, err = job.LoadRim("r.yaml", []byte(rimWith("outline: {path: M0 0 L10 10 L20 0, scale: 2 cm, head: [20, 0]}")))
	require.NoError(t, err)
	require.Equal(t, []any{20.0, &r2.Vec{X: 20}}, []any{r.Outline.Scale, r.Outline.Head})
	brace := func(n int) string {
		list := make([]string, n)
		for i := range list {
			list[i] = fmt.Sprintf("b%d: {from: [100 mm, -90 mm], to: [120 mm, 90 mm], width: 8 mm, end height: 3 mm}", i)
		}
		return "braces: {" + strings.Join(list, ", ") + "}"
	}
	for line, ok := range map[string]bool{
		brace(60): true, brace(61): false,
		"clamps: {each: 0.5 s}": true, "clamps: {each: 0 s}": false, "clamps: {each: 1 h}": false, "clamps: {each: soon}": false,
		"glue: {open time: 0.5 s}": true, "glue: {}": false,
		"plate: {}": false, "plate: {radius: flat}": true, "plate: {radius: 10 mm}": false,
		"outline: {points: [[0 mm, 0 mm], [100 mm, 100 mm], [5000 mm, 0 mm]]}": true,
		"outline: {points: [[0 mm, 0 mm], [100 mm, 100 mm], [5001 mm, 0 mm]]}": false,
		"outline: {points: [[0 mm, 0 mm], [100 mm, 5001 mm], [500 mm, 0 mm]]}": false,
		"outline: {points: [[0 mm, 0 mm], [100 mm, no], [500 mm, 0 mm]]}":      false,
		"outline: {points: [[0 mm, 0 mm], [no, 100 mm], [500 mm, 0 mm]]}":      false,
		"top: {radius: 8 m, flat above: 0.5 mm}":                               true,
		"top: {radius: 8 m, flat above: 0 mm}":                                 false,
		"top: {radius: 8 m, flat above: 5000 mm}":                              false,
		"top: {radius: 8 m, flat above: 380 mm from the tail, blend: 30 mm}":   true,
		"top: {radius: 8 m, apex: at the widest}":                              true,
		"back: {radius: 8 m, apex: at the widest}":                             true,
		"top: {radius: flat}": true,
		"cut: mould\nblank: {size: 600 mm, thickness: 40 mm}\nmachine: bench-600\nmould: {}":                                          false,
		"cut: mould\nblank: {size: 600 mm, thickness: 40 mm}\nmachine: bench-600\nmould: {wall: 20 mm}":                               true,
		"cut: mould\nblank: {size: 600 mm, thickness: 40 mm}\nmachine: bench-600\nmould: {wall: 20 mm}\npattern: auto":                true,
		"cut: mould\nblank: {size: 600 mm, thickness: 40 mm}\nmachine: bench-600\nmould: {wall: 20 mm}\npattern: rings":               false,
		"cut: mould\nblank: {size: 600 mm, thickness: 40 mm}\nmachine: bench-600\nmould: {wall: 20 mm}\ntouch off: {on: edges}":       true,
		"cut: mould\nblank: {size: 600 mm, thickness: 40 mm}\nmachine: bench-600\nmould: {wall: 20 mm}\ntouch off: {on: centre hole}": false,
		"cut: mould\nblank: {size: 600 mm, thickness: 40 mm}\nmachine: bench-600\nmould: {wall: 20 mm}\ntouch off: {on: apex}":        false,
	} {
		_, err := job.LoadRim("r.yaml", []byte(rimWith(line)))
		require.Equal(t, ok, err == nil, "%s: %v", line, err)
	}
	// That the apex of a top lies at its widest is told where the job does not say where it lies.
	for line, told := range map[string]bool{"top: {radius: 8 m}": true, "top: {radius: flat}": false, "top: {radius: 8 m, apex: 200 mm}": false} {
		r, err := job.LoadRim("r.yaml", []byte(rimWith(line)))
		require.NoError(t, err)
		require.Equal(t, told, slices.ContainsFunc(r.Defaults, func(d job.Default) bool { return d.Key == "top: apex" }), line)
	}
}

func TestForm(t *testing.T) {
	require.Equal(t, "rim", job.Source{Data: []byte(rimJob)}.Form())
	require.Equal(t, "dish", job.Source{Data: []byte("radius: 3 m")}.Form())
	for _, text := range []string{"a: [", "", "form: [rim]", "form: dsh", "form:", `form: "rim`} {
		require.Empty(t, job.Source{Data: []byte(text)}.Form(), text)
	}
}

// FuzzLoadRim: no file brings a panic, and what is refused says where.
func FuzzLoadRim(f *testing.F) {
	f.Add(rimJob)
	for _, name := range samples.Names() {
		data, _ := samples.Get(name)
		f.Add(string(data))
	}
	f.Fuzz(func(t *testing.T, text string) {
		_, err := job.LoadRim("r.yaml", []byte(text))
		if err == nil {
			return
		}
		var fs strict.Faults
		require.ErrorAs(t, err, &fs)
		require.NotEmpty(t, fs)
		for _, one := range fs {
			require.True(t, one.Hint != "" || one.Line == 0, "no hint: %s", one.Message)
		}
	})
}
