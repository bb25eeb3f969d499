package post

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// valueOf reads a real value by way of an X word.
func valueOf(text string, settings ...string) (float64, error) {
	program := "G21\n" + strings.Join(append(settings, ""), "\n") + "G0 X" + text + "\nM2"
	p, _, err := ReadAll(strings.NewReader(program), readStart)
	if err != nil {
		return math.NaN(), err
	}
	return p.Moves[0].To.X, nil
}

func TestExpressionValues(t *testing.T) {
	for _, c := range []struct {
		section, text string
		want          float64
	}{
		{"3.3.2.3 from the left", "[2.0 / 3 * 1.5 - 5.5 / 11.0]", 0.5},
		{"3.3.2.3 from the left", "[10-3-2]", 5},
		{"3.3.2.3 powers from the left", "[2**3**2]", 64},
		{"3.3.2.3 powers first", "[2*3**2]", 18},
		{"3.3.2.3 products before sums", "[1+2*3]", 7},
		{"3.3.2.3 MOD with the products", "[1+7mod4*2]", 7},
		{"3.3.2.3 brackets", "[[1+2]*[3 - [4]]]", -3},
		{"3.3.2.3 signs of numbers", "[2--3]", 5},
		{"3.3.2.3 signs of numbers", "[-2**2]", 4},
		{"3.3.2.3 logic", "[3 and 0]", 0},
		{"3.3.2.3 logic", "[3 and -1]", 1},
		{"3.3.2.3 logic", "[0 or 0.5]", 1},
		{"3.3.2.3 logic", "[2 xor 3]", 0},
		{"3.3.2.3 logic", "[2 x o r 0]", 1},
		{"3.3.2.3 logic with the sums", "[1 + 1 and 2]", 1},
		{"3.3.2.3 remainders", "[-7 mod 3]", 2},
		{"3.3.2.3 remainders", "[7 mod -3]", 1},
		{"3.3.2.3 powers of negative numbers", "[[0-2]**3]", -8},
		{"3.3.2.5 ABS", "abs[-1.5]", 1.5},
		{"3.3.2.5 degrees", "acos[0.5]", 60},
		{"3.3.2.5 degrees", "asin[-0.5]", -30},
		{"3.3.2.5 degrees", "cos[60]", 0.5},
		{"3.3.2.5 degrees", "sin[30]", 0.5},
		{"3.3.2.5 degrees", "tan[45]", 1},
		{"3.3.2.5 ATAN", "atan[1]/[-1]", 135},
		{"3.3.2.5 ATAN", "atan[-1]/[0]", -90},
		{"3.3.2.5 EXP and LN", "ln[exp[2]]", 2},
		{"3.3.2.5 FIX", "fix[2.8]", 2},
		{"3.3.2.5 FIX", "fix[-2.8]", -3},
		{"3.3.2.5 FUP", "fup[2.8]", 3},
		{"3.3.2.5 FUP", "fup[-2.8]", -2},
		{"3.3.2.5 ROUND", "round[-2.5]", -3},
		{"3.3.2.5 ROUND", "round[2.4999]", 2},
		{"3.3.2.5 SQRT", "s q r t [ 6.25 ]", 2.5},
		{"3.3.2.5 no negative zero", "fup[-0.5]", 0},
		{"3.3.2.2 # binds first", "[#1+2]", 9},
		{"3.3.2.2 an index in brackets", "#[1+1]", 3},
		{"3.3.2.2 a parameter's parameter", "##2", 40},
		{"3.3.2.2 a parameter's parameter", "##[1+1]", 40},
		{"3.3.2.2 an index near an integer", "#1.00009", 7},
		{"3.3.2.2 a function as index", "#sqrt[4]", 3},
	} {
		t.Run(c.section, func(t *testing.T) {
			v, err := valueOf(c.text, "#1=7 #2=3", "#3=40")
			require.NoError(t, err)
			require.InDelta(t, c.want, v, 1e-12, c.text)
			require.False(t, v == 0 && math.Signbit(v))
		})
	}
}

// tree is a random expression: its text with every pair bracketed or not, and
// its value from the tree, not from the text.
type tree struct {
	text  string
	value float64
	binds int // of its last operation; 4 where there is none
}

func drawTree(t *rapid.T, depth int) tree {
	if depth == 0 || rapid.Bool().Draw(t, "leaf") {
		v := rapid.IntRange(-9, 9).Draw(t, "v")
		return tree{fmt.Sprint(v), float64(v), 4}
	}
	a, b := drawTree(t, depth-1), drawTree(t, depth-1)
	op := rapid.SampledFrom([]string{"+", "-", "*", "AND", "OR", "XOR", "/"}).Draw(t, "op")
	binds, v := 1, 0.0
	switch op {
	case "+":
		v = a.value + b.value
	case "-":
		v = a.value - b.value
	case "*":
		binds, v = 2, a.value*b.value
	case "/":
		if b.value == 0 {
			b = tree{"4", 4, 4}
		}
		binds, v = 2, a.value/b.value
	case "AND":
		v = map[bool]float64{true: 1}[a.value != 0 && b.value != 0]
	case "OR":
		v = map[bool]float64{true: 1}[a.value != 0 || b.value != 0]
	case "XOR":
		v = map[bool]float64{true: 1}[(a.value == 0) != (b.value == 0)]
	}
	// The left side needs brackets where it binds less tightly, the right side
	// also where it binds as tightly.
	if a.binds < binds {
		a.text = "[" + a.text + "]"
	}
	if b.binds <= binds {
		b.text = "[" + b.text + "]"
	}
	return tree{a.text + op + b.text, v, binds}
}

func TestExpressionTrees(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		e := drawTree(t, 4)
		if len(e.text) > 200 || math.Abs(e.value) > 1e6 {
			return
		}
		v, err := valueOf("[" + e.text + "]")
		require.NoError(t, err, e.text)
		require.InDelta(t, e.value, v, 1e-9, e.text)
	})
}

// No zero is negative, wherever a value goes.
func TestExpressionZero(t *testing.T) {
	p, _ := readLines(t, readStart, "G4 P[0*-1]", "G4 Pfup[-0.5]", "G4 Patan[[0*-1]]/[1]", "M2")
	for _, e := range p.Events {
		require.False(t, e.Value != 0 || math.Signbit(e.Value))
	}
}

// The deepest nesting that a line has room for is read.
func TestExpressionDepth(t *testing.T) {
	v, err := valueOf(strings.Repeat("[", 120) + "7" + strings.Repeat("]", 120))
	require.NoError(t, err)
	require.Equal(t, 7.0, v)
	_, err = valueOf(strings.Repeat("#", 250))
	require.ErrorContains(t, err, "missing at the line's end")
}
