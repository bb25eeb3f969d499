package shop_test

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"dishwright/cam/job"
	"dishwright/cmd/internal/shop"
	"dishwright/cmd/internal/sides"
)

// The jobs that leave land beside a face that goes down to it or past it.
const (
	besideShelf = `machine: wide-1250
scallop: 0.2 mm
zero: centre-bed
shelf:
  wide: {shape: flat, diameter: 8 mm, flutes: 2, flute length: 12 mm, speed: 16000, chip load: 0.05 mm, depth of cut: 2 mm}
  round: {shape: ball, diameter: 6 mm, flutes: 2, flute length: 12 mm, speed: 16000, chip load: 0.05 mm, depth of cut: 2 mm}
`
	besideBoard = "form: board\nradius: 200 mm\nlength: 44 mm\nwidth: 16 mm\nswing: 2 mm\nblank: {shape: rectangle, length: 80 mm, width: 56 mm, thickness: 25 mm}\nrough: wide\nfinish: round\n" + besideShelf
	besideCaul  = "form: caul\nradius: 200 mm\ndiameter: 36 mm\nblank: {shape: square, size: 90 mm, thickness: 25 mm}\nrough: wide\nfinish: round\n" + besideShelf
	besideMould = "form: rim\noutline: {upper bout: 60 mm, waist: 50 mm, lower bout: 80 mm, length: 110 mm}\ntop: {radius: 2 m, apex: 50 mm}\nback: {radius: flat}\ndepth: {head: 50 mm, tail: 50 mm}\ncut: mould\nmould: {wall: 8 mm}\nblank: {shape: rectangle, length: 220 mm, width: 190 mm, thickness: 40 mm}\n" + besideShelf
)

// Beside the face nothing is cut but what the job says: slots on the land, in a corner of
// the blank, just beside what cutters run over, and deeper in a moat than it is, are found
// at their line; a way through what may be cut is not.
func TestDoctoredBeside(t *testing.T) {
	t.Parallel()
	const top, moat = "below the blank's top beside the face", "below the floor of the moat"
	for _, k := range []struct {
		name, text string
		slots      [][2]string // put into the last program before it ends, with what is said of them
	}{
		{"board", besideBoard, [][2]string{
			{"X-15 Y20|G1 Y20.01 Z-0.3|G1 X15", top}, // along the land
			{"X30 Y-22|G1 X34 Z-0.05", top},          // in a corner
			{"X0 Y12|G1 X1 Z-0.2|G1 X10", top},       // just beside the side
			{"X0 Y0|G1 X15 Y24 Z-0.4", top},          // out over it
			{"X-37 Y-27|G1 X-38 Z-0.1", top},
			{"X-10 Y8|G1 X0 Z-0.6|G1 X10", ""},
		}},
		{"caul", besideCaul, [][2]string{
			{"X40 Y40|G1 X41 Z-0.1", top},
			{"X28 Y0|G1 Y2 Z-0.5|G1 Y4", top},
			{"X0 Y24|G1 Y43 Z-0.5", top},
			{"X0 Y35|G1 X32 Y32 Z-0.01|G1 X45 Y0", top},
			{"X22 Y0|G1 Y1 Z-0.84", moat},
			{"X21.5 Y0|G1 Y3 Z-1.3|G1 Y0 Z0", moat},
			{"X22 Y0|G1 Y1 Z-0.82", ""},
		}},
		{"mould", besideMould, [][2]string{
			{"X100 Y85|G1 X99 Z-0.2", top},
			{"X0 Y0|G1 X5 Z-0.2", top}, // what is sawn out is not cut here
			{"X0 Y0|G1 X-50 Y60 Z-1.5", top},
		}},
	} {
		t.Run(k.name, func(t *testing.T) {
			t.Parallel()
			j, err := besideJob(k.text)
			require.NoError(t, err)
			r, err := shop.Run(context.Background(), j)
			require.NoError(t, err)
			require.Empty(t, r.Report.Broken)
			names, texts := printed(r)
			last := len(texts) - 1
			lines := strings.Split(texts[last], "\n")
			lift := lines[slices.IndexFunc(lines, func(l string) bool { return strings.HasPrefix(l, "G0 Z") })]
			bed := -r.Plan.Work.ProgramZero()
			end := slices.Index(lines, "M5")
			before, after := slices.Clone(lines[:end]), lines[end:]
			var from []int // line before each slot
			for _, s := range k.slots {
				from = append(from, len(before))
				words := strings.Fields(strings.ReplaceAll(strings.Replace(s[0], "|G1 ", "|G0 Z0.5|G1 F60 ", 1), "|", " | "))
				for i, w := range words {
					if z := 0.0; strings.HasPrefix(w, "Z") {
						fmt.Sscanf(w[1:], "%f", &z)
						words[i] = fmt.Sprintf("Z%.4f", z+bed)
					}
				}
				before = append(append(before, strings.Split("G0 "+strings.Join(words, " "), " | ")...), lift)
			}
			texts[last] = strings.Join(append(before, after...), "\n")
			v := prove(t, j, names, texts)
			for i, s := range k.slots {
				to := append(from, len(before))[i+1]
				said := ""
				for _, f := range v.Findings {
					if f.Kind == "gouge" && f.Program == names[last] && f.Line > from[i] && f.Line <= to {
						said = f.Message.String()
					}
				}
				require.Equal(t, s[1] != "", said != "" && strings.Contains(said, s[1]), "%s: %s", s[0], said)
			}
		})
	}
}

// besideJob reads a job of any form.
func besideJob(text string) (job.Job, error) {
	if !strings.Contains(text, "form: rim") {
		return job.Load("job.yaml", []byte(text))
	}
	j, err := job.LoadRim("job.yaml", []byte(text))
	if err != nil {
		return job.Job{}, err
	}
	return sides.Mould(j, nil)
}
