package shop_test

import (
	"maps"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// plainGood are programs that the plain reader takes, each for a profile.
var plainGood = map[string]struct {
	says spoken
	text string
}{
	"driven": {spoken{decimals: 4, dwell: "seconds", longest: 64, slowest: 8000, fastest: 24000, start: 5, feed: [3]float64{5000, 5000, 1500}}, `(A dish: program 2 of 2.)
(cutter: inch flat)
(set: program 2 of 2, job 01234567, made as 89abcdef)
(setup: 2 of 3, turned 120, X0 Y-1.5 mm, sector 45)
(MSG, Are the blank laid and the hood hung as the head says?)
(MSG, Is the spindle still, the work held? It then goes to Z8.)
M0
G21
G90
G94
(Straight up.)
G0 Z8
S16000
M3
G4 P5
(Roughing.)
G0 X-10.5 Y0
G0 Z1
G1 Z-0.25 F200
G1 X10.5 F2000
G1 X0 Y5.125 Z0
G0 Z8
M5
M2
`},
	"by hand": {spoken{inches: true, decimals: 5, dwell: "milliseconds", mode: "G64 P0.001", longest: 80, byHand: true, slowest: 10000, fastest: 22000, start: 4.25, feed: [3]float64{3810, 3810, 1016}}, `(cutter: ball)
(set: program 2 of 2, job 01234567, made as 89abcdef)
(MSG, Is the router off, its dial at 3?)
M0
G20
G90
G94
G64 P0.001
G0 Z0.3
(MSG, Dial at 3? Then switch the router on, keep clear of it, and go on.)
M0
G4 P4250
G0 X1.00001 Y-2
G1 Z-0.1 F10.5
G0 Z0.3
(MSG, Done. Switch the router off, and keep hands away until it stands still.)
M0
M2
`},
	"arcs": {spoken{decimals: 4, arcs: true, dwell: "none", mode: "G61", longest: 80, slowest: 8000, fastest: 24000, start: 2, feed: [3]float64{5000, 5000, 1500}}, `(cutter: ball)
(set: program 2 of 2, job 01234567, made as 89abcdef)
(MSG, Is the work held?)
M0
G21
G61
G90
G94
G0 Z5
S10000
M3
G0 X0 Y0
G1 X20 F300
G1 X0
G1 Z1
G18
G2 X10 Z1 I5 K20
G3 X0 Z1 I-5 K-20
G17
G2 X0 Y0 I1 J0
G0 Z5
M5
M2
`},
	"in the air": {spoken{decimals: 3, dwell: "seconds", longest: 80, slowest: 8000, fastest: 24000, start: 5, feed: [3]float64{5000, 5000, 1500}}, `(cutter: ball)
(set: program 1 of 2, job 01234567, made as 89abcdef)
(MSG, Is the spindle still? It stays off.)
M0
G21
G90
G94
G0 Z5
G0 X10 Y10
G1 Y20 F4000
M2
`},
}

// TestPlainReader: the plain reader takes what is plain and refuses each thing that is not,
// for the reason that is stated.
func TestPlainReader(t *testing.T) {
	c := mounted{flutes: 2, chip: 0.1, fastest: 18000}
	for name, g := range plainGood {
		require.Empty(t, readPlainly(g.text, g.says).shape(c), name)
	}
	words := slices.Sorted(maps.Keys(readPlainly(plainGood["by hand"].text, plainGood["by hand"].says).words))
	require.Equal(t, "F|G0|G1|G20|G4|G64 P0.001|G90|G94|M0|M2|P|X|Y|Z", strings.Join(words, "|"))
	for _, tt := range []struct {
		from, old, now, why string // now in place of old
	}{
		// A line and its words.
		{"driven", "(Roughing.)", "(Roughing that goes over the blank in 3 layers, each of 1.31 mm.)", "65 characters"},
		{"driven", "(Roughing.)", "(Roughing \u00e9.)", "printable"},
		{"driven", "(Roughing.)", "(Roughing\t.)", "printable"},
		{"driven", "(Roughing.)", "(Roughing; then more.)", "semicolon"},
		{"driven", "(Roughing.)", "; Roughing", "semicolon"},
		{"driven", "(A dish", "%\n(A dish", "percent"},
		{"driven", "(Roughing.)", "(Roughing (twice).)", "not one comment"},
		{"driven", "(Roughing.)", "(Roughing.) (Again.)", "not one comment"},
		{"driven", "(Roughing.)", "(Roughing.", "not one comment"},
		{"driven", "(Roughing.)", "()", "not one comment"},
		{"driven", "(Roughing.)", "( Roughing.)", "not one comment"},
		{"driven", "(Roughing.)", "", "not a word"},
		{"driven", "(Roughing.)", "(print, roughing)", "is a command"},
		{"driven", "(Roughing.)", "(Debug , roughing)", "is a command"},
		{"driven", "(Roughing.)", "(msg,roughing)", "is a command"},
		{"driven", "(Roughing.)", "(LOGOPEN)", "is a command"},
		{"driven", "G0 Z8\nS", "G0 Z8 (up)\nS", "not a word"},
		{"driven", "M5\n", " M5\n", "not a word"},
		{"driven", "M5\n", "M5 \n", "not a word"},
		{"driven", "M5\n", "M5\r\n", "printable"},
		{"driven", "M5\n", "M05\n", "not a word"},
		{"driven", "M2\n", "M2", "does not end"},
		{"driven", "F200\n", "F2e2\n", "not a word"},
		{"driven", "F200\n", "F+200\n", "not a word"},
		{"driven", "X-10.5 Y0", "X-10.5 Y-0", "not a word"},
		{"driven", "X-10.5 Y0", "X-10.5 Y-0.0000", "not a word"},
		{"driven", "Z-0.25", "Z-.25", "not a word"},
		{"driven", "Z-0.25", "Z-0.", "not a word"},
		{"driven", "Z-0.25", "Z-00.25", "not a word"},
		{"driven", "Z-0.25", "Z-0.25001", "decimals"},
		{"driven", "Z-0.25", "Z-0.25 Z-0.25", "the word Z"},
		{"driven", "Z-0.25", "Z-0.25 A0", "the word A"},
		{"driven", "Z-0.25", "z-0.25", "not a word"},
		{"driven", "G21\n", "N10 G21\n", "the word N"},
		{"driven", "G21\n", "G21 G90\n", "two codes"},
		{"driven", "G1 X0 Y5.125 Z0", "X0 Y5.125 Z0", "not of the language"},
		{"driven", "G1 X0 Y5.125 Z0", "G1", "to nowhere"},
		{"driven", "G1 X0 Y5.125 Z0", "G1 X0 S1000", "do not belong"},
		{"driven", "G0 X-10.5 Y0", "G0 X-10.5 Y0 F100", "do not belong"},
		{"driven", "M3\n", "M3 P1\n", "do not belong"},
		{"driven", "M3\n", "M4\n", "not of the language"},
		{"driven", "M2\n", "M30\n", "not of the language"},
		{"driven", "G94\n", "G94\nG40\n", "not of the language"},
		{"driven", "G94\n", "G94\nG64\n", "not of the language"},
		{"driven", "G94\n", "G94\nG17\n", "without arcs"},
		{"driven", "G1 X0 Y5.125", "G2 I1 J0 X0 Y5.125", "an arc"},
		{"by hand", "G64 P0.001", "G64 P0.002", "not of the language"},
		{"by hand", "G64 P0.001\n", "", "must stand"},
		{"by hand", "G64 P0.001\n", "G64 P0.001\nG64 P0.001\n", "must stand"},
		{"by hand", "G20", "G21", "must stand"},

		// Numbers within their limits.
		{"driven", "S16000", "S16000.5", "a speed"},
		{"driven", "S16000", "S25000", "a speed"},
		{"driven", "S16000", "S7000", "a speed"},
		{"driven", "S16000", "S19000", "over the cutter's"},
		{"driven", "F2000", "F5001", "over 5000"},
		{"driven", "F2000", "F4900", "over the cutter's"},
		{"driven", "F200\n", "F1501\n", "over 1500"},
		{"driven", " F200\n", "\n", "no feed"},
		{"driven", "F200\n", "F0\n", "a feed of 0"},
		{"driven", "G4 P5", "G4 P4.9", "a dwell of"},
		{"driven", "G4 P5", "G4 P5000", "a dwell of"},
		{"driven", "G4 P5", "G4 P5 F100", "a dwell"},
		{"driven", "G4 P5\n", "", "G4 must stand"},
		{"by hand", "G4 P4250", "G4 P4.25", "millisecond"},
		{"by hand", "G4 P4250", "G4 P4", "a dwell of"},
		{"by hand", "G4 P4250\n", "S12000\nG4 P4250\n", "a speed"},
		{"arcs", "M3\n", "M3\nG4 P2\n", "a dwell"},
		{"arcs", "F300\n", "F2000\n", "of its 2 s"},
		{"arcs", "X20 F300\n", "X20 Z4.9 F300\n", "of its 2 s"},

		// Arcs and their planes.
		{"arcs", "G94\n", "G94\nG17\n", "must stand"},
		{"arcs", "G18\n", "", "before its plane"},
		{"arcs", "G18\n", "G19\nG18\n", "without an arc"},
		{"arcs", "G18\n", "G18\nG18\n", "selected already"},
		{"arcs", "G0 Z5\nM5", "G18\nG0 Z5\nM5", "without an arc"},
		{"arcs", "I1 J0", "I1 K0", "in an arc of G17"},
		{"arcs", "I1 J0", "I1", "in an arc of G17"},
		{"arcs", "G2 X0 Y0 I1", "G2 X0 I1", "without Y"},
		{"arcs", "Z1 I5 K20", "Z1 I5 K20.1\nG2 X10.01 Z1 I5 K20", "two radii"},
		{"arcs", "Z1 I5 K20", "Z1 R30", "the word R"},

		// The order of a program.
		{"driven", "(cutter: inch flat)\n", "", "0 lines of its cutter"},
		{"driven", "(cutter: inch flat)\n", "(cutter: inch)\n(cutter: flat)\n", "2 lines of its cutter"},
		{"driven", "89abcdef)", "89)", "a broken line"},
		{"driven", "made as 89abcdef)", "made)\n(as 89abcdef)", "a broken line"},
		{"driven", "(Roughing.)", "(setup: 2 of 3, turned 120, X0 Y-1.5 mm, sector 45)", "after the first stop"},
		{"driven", "Z8.)\nM0\n", "Z8.)\n", "where M0 must stand"},
		{"in the air", "(MSG, Is the spindle still? It stays off.)\nM0", "M0\n(MSG, Is the spindle still? It stays off.)", "directly before"},
		{"in the air", "Is the spindle still? It", "It", "nothing is asked"},
		{"driven", "M0\n", "(Now.)\nM0\n", "directly before"},
		{"driven", "M0\n", "M0\nM0\n", "must stand"},
		{"driven", "M0\n", "S8000\nM0\n", "where M0 must stand"},
		{"driven", "G90\n", "", "must stand"},
		{"driven", "G94\n", "", "must stand"},
		{"driven", "G0 Z8\nS", "S", "first motion"},
		{"driven", "G0 Z8\nS", "G0 X0\nG0 Z8\nS", "first motion"},
		{"driven", "G0 Z8\nS", "G0 Z7\nS", "above clearance"},
		{"driven", "G0 Z8\nS16000\nM3\n", "S16000\nM3\nG0 Z8\n", "must stand"},
		{"driven", "M3\n", "", "M3 must stand"},
		{"driven", "S16000\n", "", "must stand"},
		{"driven", "S16000\nM3\nG4 P5\n", "", "spindle off"},
		{"driven", "G0 Z8\nM5", "M5", "below clearance"},
		{"driven", "G0 Z8\nM5", "M5\nG0 Z8", "must stand"},
		{"driven", "G0 Z8\nM5", "G0 Z8\nG0 X0\nM5\nG0 X1", "must stand"},
		{"driven", "M5\n", "", "M5 must stand"},
		{"driven", "M2\n", "M2\n(Gone.)\n", "after the end"},
		{"driven", "M2\n", "M2\nM2\n", "after the end"},
		{"driven", "G1 X0 Y5", "M0\nG1 X0 Y5", "must stand"},
		{"driven", "G0 Z1\n", "G0 Z1\nG0 X1\n", "sideways below"},
		{"driven", "G0 X-10.5 Y0\nG0 Z1", "G0 X-10.5 Y0 Z1", "sideways at once"},
		{"driven", "G0 X-10.5 Y0\n", "", "not known"},
		{"in the air", "G0 X10 Y10\n", "", ""},
		{"in the air", "G0 X10 Y10\nG1 Y20 F4000", "G1 Y20 F5001", "direction that is not known"},
		{"in the air", "G1 Y20", "G1 Y20 Z4", "spindle off"},
		{"by hand", "(MSG, Done. Switch the router off, and keep hands away until it stands still.)\nM0\n", "", "must stand"},
		{"by hand", "Switch the router off, and k", "K", "switch off"},
		{"by hand", "G0 Z0.3\n(MSG, Done", "(MSG, Done", "below clearance"},

		// What is asked at a stop.
		{"driven", "Is the spindle still, the work held?", "The spindle is still.", ""},
		{"driven", "It then goes to Z8.", "It then goes to Z8", "does not end"},
		{"driven", "It then goes to Z8.", "Clamp it again.", "asks for hands"},
		{"driven", "It then goes to Z8.", "Then turn the blank.", "asks for hands"},
		{"driven", "It then goes to Z8.", "Switch it on.", "asks for hands"},
		{"driven", "It then goes to Z8.", "If not, set Z to 0.", "asks for hands"},
		{"driven", "(MSG, Are the blank laid and the hood hung as the head says?)", "(MSG, Lay the blank at mark 2.)", "asks for hands"},
		{"by hand", "Then switch the router on", "Take the touch plate away. Then switch the router on", "asks for hands"},
		{"by hand", "Is the router off, its dial at 3?", "Is the router off? Set its dial to 3.", "asks for hands"},
	} {
		g := plainGood[tt.from]
		require.Contains(t, g.text, tt.old, "%s: %s", tt.from, tt.old)
		wrong := strings.Join(readPlainly(strings.Replace(g.text, tt.old, tt.now, 1), g.says).shape(c), "\n")
		if tt.why == "" {
			require.Empty(t, wrong, "%s: %q for %q", tt.from, tt.now, tt.old)
			continue
		}
		assert.Contains(t, wrong, tt.why, "%s: %q for %q", tt.from, tt.now, tt.old)
	}
}
