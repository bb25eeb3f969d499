package post

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"dishwright/cam/path"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"
)

// model is a second interpreter. It draws a program and what the machine does
// over it, in whole steps of 0.00001 mm: 0.0001 mm is 10 of them and 0.0001 in
// is 254, so that its coordinates are exact.
type model struct {
	t     *rapid.T
	lines []string
	moves []path.Move

	at, offset  [3]int64
	step        int64 // of the program's last decimal
	incremental bool
	feed        float64
	mode, plane int
}

const modelSteps = 1e5

func vec(v [3]int64) r3.Vec {
	return r3.Vec{X: float64(v[0]) / modelSteps, Y: float64(v[1]) / modelSteps, Z: float64(v[2]) / modelSteps}
}

// number writes n steps of the program's last decimal, one in 10000.
func number(n int64) string {
	sign := ""
	if n < 0 {
		sign, n = "-", -n
	}
	return fmt.Sprintf("%s%d.%04d", sign, n/10000, n%10000)
}

func (m *model) draw(low, high int, what string) int {
	return rapid.IntRange(low, high).Draw(m.t, what)
}

// words draws axis words and returns them with the place that they lead to.
func (m *model) words() (string, [3]int64) {
	to, text := m.at, ""
	given := m.draw(1, 7, "axes")
	for _, i := range rapid.Permutation([]int{0, 1, 2}).Draw(m.t, "order") {
		if given&(1<<i) == 0 {
			continue
		}
		n := int64(m.draw(-500_000, 500_000, "n"))
		text += string(rune('X'+i)) + number(n)
		if m.incremental {
			to[i] = m.at[i] + n*m.step
		} else {
			to[i] = m.offset[i] + n*m.step
		}
	}
	return text, to
}

// line draws one line and follows it.
func (m *model) line() {
	switch m.draw(0, 11, "line") {
	case 0:
		m.step = 254
		m.feed = 20 * 25.4
		m.lines = append(m.lines, "G20", "F20")
	case 1:
		m.step, m.feed = 10, 700
		m.lines = append(m.lines, "G21", "F700")
	case 2:
		m.incremental = m.draw(0, 1, "incremental") == 1
		m.lines = append(m.lines, [...]string{"G90", "G91"}[map[bool]int{true: 1}[m.incremental]])
	case 3:
		i, n := m.draw(0, 2, "axis"), int64(m.draw(-9999, 9999, "offset"))
		m.offset[i] = m.at[i] - n*m.step
		m.lines = append(m.lines, "G92"+string(rune('X'+i))+number(n))
	case 4:
		m.offset = [3]int64{}
		m.lines = append(m.lines, "G92."+fmt.Sprint(m.draw(1, 2, "reset")))
	case 5:
		m.plane = m.draw(0, 2, "plane")
		m.lines = append(m.lines, fmt.Sprintf("G%d", 17+m.plane))
	case 6, 7:
		m.arc()
	default:
		text, to := m.words()
		if mode := m.draw(0, 3, "mode"); mode < 2 {
			m.mode = mode
			text = fmt.Sprintf("G%d", mode) + text
		}
		feed := 0.0
		if m.mode == 1 {
			feed = m.feed
		}
		m.moves = append(m.moves, path.Move{Kind: path.Kind(m.mode), From: vec(m.at), To: vec(to), Feed: feed})
		m.at = to
		m.lines = append(m.lines, text)
	}
}

// arc draws a quarter, a half, three quarters or a whole turn, its radius along
// one axis of the plane.
func (m *model) arc() {
	first, second := [3]int{0, 2, 1}[m.plane], [3]int{1, 0, 2}[m.plane]
	radius := int64(m.draw(1, 400_000, "radius")) * int64(1-2*m.draw(0, 1, "side"))
	quarters := m.draw(1, 4, "quarters")
	clockwise := m.draw(0, 1, "sense") == 0
	// From the centre the start lies at -radius on the first axis.
	turn := quarters
	if clockwise {
		turn = 4 - quarters
	}
	to, centre := m.at, m.at
	centre[first] += radius * m.step
	to[first] = centre[first] - [4]int64{1, 0, -1, 0}[turn%4]*radius*m.step
	to[second] = centre[second] - [4]int64{0, 1, 0, -1}[turn%4]*radius*m.step
	text := fmt.Sprintf("G%d", 2+map[bool]int{false: 1}[clockwise])
	for _, i := range []int{first, second} {
		n := to[i] - m.offset[i]
		if m.incremental {
			n = to[i] - m.at[i]
		}
		if n%m.step != 0 {
			return // not a number of this unit with 4 decimals
		}
		text += string(rune('X'+i)) + number(n/m.step)
	}
	text += string(rune('I'+first)) + number(radius)
	m.lines = append(m.lines, text)
	m.moves = append(m.moves, path.Move{Kind: path.Arc, From: vec(m.at), To: vec(to), Plane: path.Plane(m.plane),
		Centre: vec(centre), Clockwise: clockwise, Feed: m.feed})
	m.at, m.mode = to, 0
	m.lines = append(m.lines, "G0"+string(rune('X'+first))+m.stay(first))
	m.moves = append(m.moves, path.Move{Kind: path.Traverse, From: vec(to), To: vec(to)})
}

// stay writes the number that leads to where the tip stands.
func (m *model) stay(axis int) string {
	if m.incremental {
		return "0"
	}
	return number((m.at[axis] - m.offset[axis]) / m.step)
}

func drawModel(t *rapid.T) *model {
	m := &model{t: t, step: 10, feed: 700, lines: []string{"G21", "F700 G0 X0"}, moves: make([]path.Move, 1)}
	for range m.draw(0, 30, "lines") {
		m.line()
	}
	m.lines = append(m.lines, "M2")
	return m
}

func requireMoves(t *rapid.T, want, got []path.Move) {
	require.Len(t, got, len(want))
	for i, w := range want {
		g := got[i]
		// The sums of float64 coordinates under 1e5 mm are this near.
		for _, v := range [...][2]r3.Vec{{w.From, g.From}, {w.To, g.To}, {w.Centre, g.Centre}} {
			require.InDelta(t, 0, r3.Norm(r3.Sub(v[0], v[1])), 1e-7, "move %d", i)
		}
		require.InDelta(t, w.Length(), g.Length(), 1e-6, "move %d", i)
		require.InDelta(t, w.Feed, g.Feed, 1e-9)
		require.Equal(t, [...]any{w.Kind, w.Plane, w.Clockwise}, [...]any{g.Kind, g.Plane, g.Clockwise})
	}
}

func TestReadAgainstModel(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := drawModel(t)
		text := strings.Join(m.lines, "\n")
		p, s, err := ReadAll(strings.NewReader(text), readStart)
		require.NoError(t, err, text)
		requireMoves(t, m.moves, p.Moves)
		require.Equal(t, len(m.lines), s.Lines)
	})
}

// mangle changes what means nothing: letter case, blanks, line numbers, line
// ends, empty lines, zeros before a number, and comments.
func mangle(t *rapid.T, lines []string) string {
	var b strings.Builder
	some := func(n int) bool { return rapid.IntRange(0, n).Draw(t, "some") == 0 }
	for _, line := range lines {
		if some(3) {
			b.WriteString(" \t\r\n")
		}
		if some(3) {
			fmt.Fprintf(&b, "n%d", rapid.IntRange(0, 99999).Draw(t, "number"))
		}
		digit := false
		for _, c := range strings.ToLower(line) + "\n" {
			letter := 'a' <= c && c <= 'z'
			if (letter || c == '\n') && some(7) {
				b.WriteString("(Z9, m2)")
			}
			if letter && some(1) {
				c -= 'a' - 'A'
			}
			if some(3) {
				b.WriteString([...]string{" ", "\t", "  "}[rapid.IntRange(0, 2).Draw(t, "blank")])
			}
			if isDigit := '0' <= c && c <= '9'; isDigit && !digit && some(3) && !strings.Contains(line, ".") {
				b.WriteString("0")
			}
			digit = '0' <= c && c <= '9'
			b.WriteRune(c)
		}
	}
	return b.String()
}

func TestReadMangled(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		lines := drawModel(t).lines
		want, _, err := ReadAll(strings.NewReader(strings.Join(lines, "\n")), readStart)
		require.NoError(t, err)
		text := mangle(t, lines)
		for _, line := range strings.Split(text, "\n") {
			if len(line) > lexMaxLine {
				return
			}
		}
		got, _, err := ReadAll(strings.NewReader(text), readStart)
		require.NoError(t, err, text)
		require.Len(t, got.Moves, len(want.Moves))
		for i := range want.Moves {
			want.Moves[i].Source, got.Moves[i].Source = path.Source{}, path.Source{}
		}
		require.Equal(t, want.Moves, got.Moves, text)
	})
}

// The language has no order of words on a line but its own (Table 8).
func TestReadWordOrder(t *testing.T) {
	words := []string{"G1", "G21", "X1.5", "Y-2", "F60", "S900", "M3", "M8", "T2", "M6", "M0", "G4", "P3", "(so)", "G64"}
	want, _ := readLines(t, readStart, "G21", strings.Join(words, ""), "M2")
	rapid.Check(t, func(t *rapid.T) {
		mixed := rapid.Permutation(words).Draw(t, "words")
		got, _, err := ReadAll(strings.NewReader("G21\n"+strings.Join(mixed, " ")+"\nM2"), readStart)
		require.NoError(t, err)
		require.Equal(t, brief(want), brief(got))
	})
	require.Equal(t, `comment "so"; cutter 2; on 900; coolant; dwell 3; line 1.5 -2 0 F60; stop; off; dry; end`, brief(want))
}

// Under G93 a move takes 1/F minutes whatever its length (3.5.19).
func TestReadInverseTime(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x, y := rapid.IntRange(1, 999).Draw(t, "x"), rapid.IntRange(-999, 999).Draw(t, "y")
		f := rapid.IntRange(1, 99).Draw(t, "f")
		text := fmt.Sprintf("G20 G93\nG1 X%d Y%d F%d\nG3 X%d Y%d I%d J%d F%d Z1\nM2", x, y, f, x, y, -x, -y, f)
		p, _, err := ReadAll(strings.NewReader(text), readStart)
		require.NoError(t, err)
		lengths := [2]float64{math.Hypot(float64(x), float64(y)) * 25.4, 0}
		lengths[1] = math.Hypot(2*math.Pi*lengths[0], 25.4)
		for i, m := range p.Moves {
			require.InEpsilon(t, lengths[i]*float64(f), m.Feed, 1e-12)
		}
	})
}
