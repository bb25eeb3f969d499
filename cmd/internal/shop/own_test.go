package shop_test

import (
	"bytes"
	"cmp"
	"context"
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r2"

	"dishwright/cam/job"
	"dishwright/cam/job/key"
	"dishwright/cam/link"
	"dishwright/cam/pass"
	"dishwright/cam/path"
	"dishwright/cam/work"
	"dishwright/cmd/internal/manual"
	"dishwright/cmd/internal/shop"
	"dishwright/dish"
	"dishwright/dish/measure"
	"dishwright/dish/measure/keys"
)

// tray is a form of this test's own, in this file alone: a hollow in a round piece whose edge
// stays level, as wide as its lip.
type tray struct {
	job.Dish
	lip float64 // mm
}

func (tray) Word() string { return "tray" }

func (tray) Keys() (like string, own []key.Key) {
	return key.Dish, []key.Key{{Path: "lip", Kinds: []key.Kind{key.Length}, Least: 2, Most: 40, Default: "6 mm", Why: "as wide as a finger", Told: "lip",
		Example: "6 mm", About: "How wide the level edge of a tray is."}}
}

func (t tray) Read(r *job.Reader) {
	t.lip = r.Root.Amount("lip")
	r.Face(dish.Hollow, func() (rim float64, size string, ok bool) {
		half, size, ok := r.Across()
		return half - t.lip, size, ok
	})
	r.Cut("round", 15+t.lip)
	r.Job.Form = t
}

func (t tray) Words(j job.Job, own func(mm float64) string) job.Words {
	return trayWords{job.DishWords{Job: j, Own: own}, t.lip}
}

type trayWords struct {
	job.DishWords
	lip float64
}

func (w trayWords) Product() string {
	return fmt.Sprintf("A tray %s across with a lip of %s", w.Job.Diameter, measure.Length{MM: w.lip})
}

func (w trayWords) Heading() string { return "a tray of radius " + w.Job.Radius.String() }

func (w trayWords) Head() []string { return []string{"Sand the lip by hand."} }

const trayJob = "form: tray\nname: tea\nradius: 1 m\ndiameter: 120 mm\nlip: 8 mm\nmachine: bench-600\nscallop: 0.2 mm\n"

// readTray reads a job with the form of the test beside the known ones.
func readTray(text string) (job.Job, error) {
	return job.Source{File: "job.yaml", Data: []byte(text), Forms: []job.Form{tray{}}}.Load()
}

// A form is one file: how it is read, its keys and what is worth saying of it. Its programs are
// made and proven as those of any other.
func TestAFormOfOnesOwn(t *testing.T) {
	t.Parallel()
	j, err := readTray(trayJob)
	require.NoError(t, err)
	require.Equal(t, [2]float64{52, 150}, [2]float64{j.Work.Face.Rim, j.Work.Blank.Length}, "120 mm less two lips, in a blank with its land")
	r, err := shop.Run(context.Background(), j)
	require.NoError(t, err)
	require.Empty(t, r.Report.Broken)
	require.Equal(t, "tray", r.Report.Form)
	require.Equal(t, "a tray of radius 1 m", r.Words().Heading())
	for _, p := range r.Texts {
		require.Contains(t, string(p.Bytes), "A tray 120 mm across with a lip of 8 mm, 1.353 mm deep")
		require.Contains(t, string(p.Bytes), "Sand the lip by hand.")
	}
	requireProven(t, j, r)
}

// requireProven reads the programs of a job back and holds them against it.
func requireProven(t *testing.T, j job.Job, r *shop.Result) {
	t.Helper()
	var texts []shop.Source
	for _, p := range r.Texts {
		texts = append(texts, shop.Source{Name: p.Name, Text: bytes.NewReader(p.Bytes)})
	}
	v, _, err := shop.Prove(j, texts)
	require.NoError(t, err)
	require.True(t, v.Proven, v.Findings)
}

// What the catalogue says of its keys holds: bounds, default, what other forms have; and the
// reference and the schema know them.
func TestKeysOfAFormOfOnesOwn(t *testing.T) {
	t.Parallel()
	j, err := readTray("form: tray\nradius: 1 m\ndiameter: 120 mm\nmachine: bench-600\n")
	require.NoError(t, err)
	require.Contains(t, j.Defaults, keys.Default{Key: "lip", Value: "6 mm", Why: "as wide as a finger"})
	require.Contains(t, j.Defaults, keys.Default{Key: "blank shape", Value: "round", Why: "as most are sold and sawn"})
	for text, want := range map[string]string{
		trayJob + "plate: 3 mm\n": "job.yaml:8:1: a tray has no plate",
		"form: tray\nradius: 1 m\ndiameter: 120 mm\nmachine: bench-600\nlip: 1 mm\n":                                          "job.yaml:5:6: lip of 1 mm is out of range",
		"form: tray\nradius: 1 m\nmachine: bench-600\n":                                                                       `the key "diameter" is missing`,
		"form: bowl\nradius: 1 m\ndiameter: 120 mm\nmachine: bench-600\n":                                                     "it is one of dish, caul, board, gauge, pair, rim, tray",
		"form: caul\nradius: 1 m\ndiameter: 120 mm\nblank: {size: 300 mm, thickness: 20 mm}\nmachine: bench-600\nlip: 8 mm\n": "job.yaml:6:1: a caul has no lip",
	} {
		_, err := readTray(text)
		require.ErrorContains(t, err, want)
	}
	_, err = job.Load("job.yaml", []byte(trayJob))
	require.ErrorContains(t, err, `"form" cannot be "tray"`)

	c := job.Keys(tray{})
	k, ok := c.Find("lip")
	require.True(t, ok)
	require.Contains(t, manual.Explain(manual.Entry{Key: k, In: c}, 80), "a length from 2 mm to 40 mm")
	schema, err := json.Marshal(manual.Schema(c))
	require.NoError(t, err)
	require.Contains(t, string(schema), `{"if":{"properties":{"form":{"const":"tray"}},"required":["form"]}`)
	_, ok = job.Keys().Find("lip")
	require.False(t, ok, "nothing of it stays behind")
}

// slant is a pattern of this test's own: rows straight across the face, turned by an eighth of
// a turn.
var slant = pass.Pattern{Name: "slant", Plan: planSlant, Exact: true,
	Suits: func(f dish.Face, _ path.Cutter) string {
		if f.Falls() {
			return "a crown is not slanted"
		}
		return ""
	}}

func planSlant(w work.Piece, c path.Cutter, b work.Budget) (pass.Passes, error) {
	tool := work.NewTool(w.Face, c)
	vs, ok := tool.Rows(b.Ridge, 2*c.Radius(), work.MostMoves)
	if !ok {
		return pass.Passes{}, work.Problems{{Kind: work.KindMoves, Key: work.KeyScallop, Message: measure.Say("too many rows"), Hint: measure.Say("a larger scallop")}}
	}
	p := pass.Passes{Course: link.Course{Tool: tool, Lift: b.Lift, Tol: b.Chord}}
	row := func(v, end float64) {
		at := func(u float64) r2.Vec { return r2.Vec{X: (u - v) * math.Sqrt2 / 2, Y: (u + v) * math.Sqrt2 / 2} }
		p.Ways = append(p.Ways, link.Way{Legs: link.Straight(at(-end), at(0), at(end))})
	}
	for i, v := range vs {
		step := 0.0
		if i > 0 {
			step = v - vs[i-1]
			p.Widest = max(p.Widest, step)
		}
		end := tool.RunOn(v, step, step) + tool.RunsOver(w.Machine.Step())
		if row(v, end); i > 0 {
			row(-v, end)
		}
	}
	slices.SortFunc(p.Ways, func(a, b link.Way) int {
		return cmp.Compare(a.Legs[0].To.Y-a.Legs[0].To.X, b.Legs[0].To.Y-b.Legs[0].To.X)
	})
	p.Count, p.Origin = len(p.Ways), work.Origin{Way: "slant", Figures: measure.Say("%d rows", len(p.Ways))}
	return p, nil
}

// A pattern is one value: where it goes in plan, and what it suits. It is asked for by its name,
// weighed with the others, and made and proven as they are. Another test must not run beside it.
func TestAPatternOfOnesOwn(t *testing.T) {
	const dishJob = "radius: 3 m\ndiameter: 150 mm\nblank: {size: 260 mm, thickness: 20 mm}\nmachine: bench-600\nscallop: 0.1 mm\npattern: slant\n"
	_, err := job.Load("job.yaml", []byte(dishJob))
	require.ErrorContains(t, err, `"pattern" cannot be "slant"`)

	remove := pass.Add(slant)
	defer remove()
	j, err := job.Load("job.yaml", []byte(dishJob))
	require.NoError(t, err)
	r, err := shop.Run(context.Background(), j)
	require.NoError(t, err)
	require.Empty(t, r.Report.Broken)
	last := r.Report.Programs[len(r.Report.Programs)-1]
	require.Equal(t, fmt.Sprintf("slant(%d rows)", last.Passes), last.Pattern.String())
	cut := r.Texts[len(r.Texts)-1].Path.Moves
	slanted := slices.ContainsFunc(cut, func(m path.Move) bool {
		return m.Kind == path.Line && m.To.X-m.From.X > 1 && math.Abs(m.To.X-m.From.X-m.To.Y+m.From.Y) < 0.01
	})
	require.True(t, slanted, "rows run as far along X as along Y")
	requireProven(t, j, r)

	_, err = shop.Run(context.Background(), func() job.Job {
		j, err := job.Load("job.yaml", []byte("form: caul\n"+dishJob))
		require.NoError(t, err)
		return j
	}())
	require.ErrorContains(t, err, "a crown is not slanted")
	remove()
	_, err = job.Load("job.yaml", []byte(dishJob))
	require.ErrorContains(t, err, "auto, raster, rings, spokes", "nothing of it stays behind")
}
