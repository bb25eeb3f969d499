package shop

import (
	"fmt"
	"strings"
	"testing"

	"dishwright/cam/path"
	"dishwright/cam/proof"
	"dishwright/cam/work"
	"dishwright/dish"
	"dishwright/dish/extra"
	"dishwright/dish/fit"
	"dishwright/dish/measure/keys"
	"dishwright/machines"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// TestCertificateWords: over all that a certificate may rest on, the sentence says each
// thing that is so, and nothing that is not.
func TestCertificateWords(t *testing.T) {
	for _, tilt := range []float64{0, 0.0005, 0.001} {
		for _, undersize := range []float64{0, 0.05} {
			for _, level := range []bool{true, false} {
				for _, mode := range []string{"", "G64", "G64 P0.02", "G64 P0.01", "G64 Q0.01", "G61", "G61.1"} {
					for _, rounding := range []float64{0, 0.02} {
						for _, corner := range []float64{unproven, 0, 0.00001, 0.0012} {
							if corner > rounding {
								continue
							}
							w := work.Work{Tilt: tilt, Undersize: undersize, Machine: machines.Machine{PathMode: mode, CornerRounding: rounding}}
							if mode == "G64 P0.02" && rounding == 0 || mode == "G64 P0.01" && rounding == 0 {
								continue // the profile would let it round more than it states
							}
							c := covers{work: &w, level: level, exact: proof.ExactPathMode(mode), asked: asks(mode)}
							wordsOf(t, c, corner)
							c.work.Machine.Defaults = []keys.Default{{Key: "corner rounding", Why: "usual"}}
							wordsOf(t, c, corner)
						}
					}
				}
			}
		}
	}
}

// wordsOf holds one sentence against what it is about.
func wordsOf(t *testing.T, c covers, corner float64) {
	w, m := c.work, c.work.Machine
	got := c.sentence(0.09974, corner).String()
	says := func(is bool, words string) {
		require.Equal(t, is, strings.Contains(got, words), "%q in: %s", words, got)
	}
	require.True(t, strings.HasPrefix(got, "certified 0.0998 mm "), "rounded up, so that it is a bound: %s", got)
	require.Equal(t, 1, strings.Count(got, ";"))
	require.NotContains(t, got, ".;")
	says(!c.level, "whatever the spindle's tilt")
	says(c.level && w.Tilt == 0, "for a spindle square to the bed")
	says(c.level && w.Tilt > 0, fmt.Sprintf("certified 0.0998 mm for a spindle within %g mm per 100 mm", w.Tilt*100))
	says(w.Undersize == 0, "cutters of their named diameters")
	says(w.Undersize > 0, "cutters up to 0.05 mm under their named diameters")
	exact, rounds := m.PathMode == "G61" || m.PathMode == "G61.1", m.CornerRounding > 0
	asked, taken := strings.HasPrefix(m.PathMode, "G64 P"), m.Took("corner rounding")
	says(exact, "as the exact path mode of the programs asks")
	says(exact || !rounds, "no corner is rounded")
	says(!exact && rounds, "where it rounds corners by up to 0.02 mm")
	says(!exact && rounds && !asked && !taken, "which the profile states and no program asks for")
	says(!exact && rounds && !asked && taken, "the profile does not state it and no program asks for it")
	says(!exact && !rounds, "which the profile states of the controller")
	says(asked, m.PathMode+" asks it to stay")
	if !asked {
		require.NotContains(t, got, "G6")
	}
	says(!exact && rounds && corner == unproven, "not in it is what the controller adds")
	says(!exact && rounds && corner == 0, "the controller adds nothing")
	says(!exact && rounds && corner == 0.00001, "may add up to 0.0001 mm")
	says(!exact && rounds && corner == 0.0012, "may add up to 0.0012 mm")
}

// TestCertificateConditions: whatever else is stated stands among the conditions.
func TestCertificateConditions(t *testing.T) {
	c := covers{work: &work.Work{Tilt: 0.0005, Undersize: 0.05}, level: true}
	require.Equal(t, "for a spindle within 0.05 mm per 100 mm and cutters up to 0.05 mm under their named diameters", c.condition().String())
	c.work.Top, c.setups = &fit.Plane{A: 0.001}, true
	c.work.Machine.Errors = machines.GeometryErrors{Scale: r3.Vec{X: 0.001}}
	require.Equal(t, "for a spindle within 0.05 mm per 100 mm, cutters up to 0.05 mm under their named diameters, a top as it was touched off, a machine that goes where it is told and setups within the index error", c.condition().String())
	c.work.Machine.Errors.Corrected = true
	require.Contains(t, c.condition().String(), "a machine that errs as its profile says")
	c = covers{work: &work.Work{Region: dish.Nowhere{}, Tilt: 0.0005}, level: true}
	require.NotContains(t, c.sentence(0.01, 0).String(), "spindle")
}

// TestCertificateOfTexts: what is said of corners follows the texts, not the profile.
func TestCertificateOfTexts(t *testing.T) {
	moves := []path.Move{{Kind: path.Traverse}, {Kind: path.Line, To: r3.Vec{X: 1}}, {Kind: path.Line, To: r3.Vec{X: 2}}}
	program := func(shape path.Shape, modes ...proof.PathMode) proof.Program {
		return proof.Program{Cutter: path.Cutter{Shape: shape, Diameter: 10}, Path: path.Path{Moves: moves}, PathModes: modes}
	}
	from := func(text string, before int) proof.PathMode { return proof.PathMode{Text: text, Before: before} }
	for _, k := range []struct {
		profile             string
		programs            []proof.Program
		level, exact, asked bool
	}{
		{"", []proof.Program{program(path.Flat)}, true, false, false},
		{"", []proof.Program{program(path.Ball, from("G61", 0))}, false, true, false},
		{"", []proof.Program{program(path.Ball, from("G61", 1))}, false, true, false}, // before the first cut
		{"", []proof.Program{program(path.Ball, from("G61", 2))}, false, false, false},
		{"", []proof.Program{program(path.Ball, from("G61", 0)), program(path.Flat)}, true, false, false},
		{"G64 P0.02", []proof.Program{program(path.Flat, from("G64 P0.02", 0))}, true, false, true},
		{"G64 P0.02", []proof.Program{program(path.Flat)}, true, false, false},
		{"G64 P0.02", []proof.Program{program(path.Flat, from("G64 P0.02", 0), from("G64", 2))}, true, false, false},
		{"G64", []proof.Program{program(path.Flat, from("G64", 0))}, true, false, false},
		{"", nil, false, false, false},
	} {
		if k.programs == nil {
			k.asked = false
		}
		w := &work.Work{Machine: machines.Machine{PathMode: k.profile}, Face: dish.Face{Kind: dish.Flat, Rim: 100}, Scallop: 0.1}
		got := foundCovers(w, extra.Set{}, nil, k.programs)
		require.Equal(t, []bool{k.level, k.exact, k.asked}, []bool{got.level, got.exact, got.asked}, "%+v", k)
		require.False(t, foundCovers(w, extra.Set{Holes: []extra.Hole{{Radius: 7}}}, nil, k.programs).level, "all that it cuts is a hole")
		w.Face.Rim = -5
		require.False(t, foundCovers(w, extra.Set{}, nil, k.programs).level, "it cuts beside the face")
		w.Face, w.Scallop = dish.Face{Kind: dish.Crown, Radius: 1000, Rim: 100}, -1
		require.False(t, foundCovers(w, extra.Set{}, nil, k.programs).level, "it keeps off the face")
	}
}
