package shop_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"dishwright/cam/job"
	"dishwright/cmd/internal/shop"
)

// shallow is a dish of half a millimetre, which a ball cuts in one go.
func shallow(machine string) order {
	return smallDish("shallow", machine, "quarter ball", "quarter ball").with(func(o *order) {
		o.radius, o.diameter, o.scallop = milli(1000), milli(64), milli(0.1)
		o.pins = []pin{{45, -45, 6, 8}}
	})
}

// ballTip is the tip height of the quarter ball on the dish, rounded up to 4
// decimals: the ball's centre runs on a sphere that is smaller by its radius.
func ballTip(x, y float64) float64 {
	const radius, rim, ball = 1000.0, 32.0, 3.175
	centre := math.Sqrt(radius*radius - rim*rim)
	z := centre - math.Sqrt((radius-ball)*(radius-ball)-x*x-y*y) - ball
	return math.Ceil(math.Min(0.3, z)*1e4) / 1e4
}

// hand writes numbers as people do.
func hand(v float64) string {
	s := fmt.Sprintf("%.4f", v)
	s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	if s == "-0" {
		return "0"
	}
	return s
}

// foreign are programs for the shallow dish by other habits than our own.
func foreign() map[string]string {
	return map[string]string{
		"rows with lifts, rapid plunges in the air": foreignRows(false),
		"rows with lifts by feeds":                  foreignRows(true),
		"rings with a helix in":                     foreignRings(false),
		"rings by R":                                foreignRings(true),
		"rows in steps":                             foreignSteps(),
		"rows in inches":                            foreignInches(),
		"rows of upright arcs":                      foreignUpright(),
	}
}

// foreignRows cuts rows one way, each line with its words in an order of its
// own, and goes down through the air in a traverse.
func foreignRows(fed bool) string {
	var b strings.Builder
	line := func(format string, args ...any) { fmt.Fprintf(&b, format+"\n", args...) }
	line("%%\n(rows)\nN5 G17 G21 G90 G94\nN10 T1 (quarter ball)\nM0\nG0 Z20\nM3 S12000\nG4 P8.5\nM8")
	for y := -33.0; y <= 33; y += 1.5 {
		line("X%s G0 Y%s", hand(-33), hand(y))
		line("Z1 G0")
		for x := -33.0; x <= 33; x += 1.5 {
			word := "G1"
			if x > -33 {
				word = ""
			}
			line("F1000 Z%s X%s %s", hand(ballTip(x, y)), hand(x), word)
		}
		if fed {
			line("G1 Z1.5 F3000")
		}
		line("G0Z20.")
	}
	line("M9 M5\nG0 X0 Y0\nM30\n%%")
	return b.String()
}

// foreignRings goes in along a helix and cuts rings from the middle out.
func foreignRings(byR bool) string {
	var b strings.Builder
	line := func(format string, args ...any) { fmt.Fprintf(&b, format+"\n", args...) }
	line("g21 g90 g40 g49 g80\ng61\nm0\ng0 z15\ns12000 m3\ng4 p8\ng0 x1 y0\nz2\ng1 z.1 f600\ng2 x1 y0 i-1 j0 z%s\nf1200\ng1 x0 z%s", hand(ballTip(1, 0)), hand(ballTip(0, 0)))
	for r := 1.0; r <= 34; r += 0.75 {
		z := hand(ballTip(r, 0))
		line("g1 x%s y0 z%s", hand(r), z)
		if byR {
			line("g3 x%s y0 r%s\nx%s y0 r%s", hand(-r), hand(r), hand(r), hand(r))
		} else {
			line("g3 x%s y0 i%s", hand(r), hand(-r))
		}
	}
	line("g0 z15\nm5\nm2")
	return b.String()
}

// foreignSteps cuts rows back and forth in incremental coordinates.
func foreignSteps() string {
	var b strings.Builder
	line := func(format string, args ...any) { fmt.Fprintf(&b, format+"\n", args...) }
	line("G21 G90\nM0\nG0 Z15\nM3 S12000\nG4 P8\nG0 X-33 Y-33\nG1 Z%s F500\nG91 F1100", hand(ballTip(-33, -33)))
	x, y, z := -33.0, -33.0, ballTip(-33, -33)
	to := func(nx, ny float64) {
		nz := ballTip(nx, ny)
		line("X%s Y%s Z%s", hand(nx-x), hand(ny-y), hand(nz-z))
		x, y, z = nx, ny, nz
	}
	for row := range 45 {
		way := float64(1 - row%2*2)
		for i := range 45 {
			to(way*(-33+1.5*float64(i)), -33+1.5*float64(row))
		}
	}
	line("G90 G0 Z15\nM5 M2")
	return b.String()
}

// foreignInches is the same rows in inches, without a lift between them.
func foreignInches() string {
	var b strings.Builder
	line := func(format string, args ...any) { fmt.Fprintf(&b, format+"\n", args...) }
	inch := func(v float64) string { return fmt.Sprintf("%.5f", math.Ceil(v/25.4*1e5)/1e5) }
	line("G20 G90 G94\nM0\nG0 Z0.6\nS12000\nM3\nG4 P8\nG0 X%s Y%s", inch(-33), inch(-33))
	for row := range 45 {
		way := float64(1 - row%2*2)
		for i := range 45 {
			x, y := way*(-33+1.5*float64(i)), -33+1.5*float64(row)
			line("G1 X%s Y%s Z%s F40", inch(x), inch(y), inch(ballTip(x, y)))
		}
	}
	line("G0 Z0.6\nM5\nM2")
	return b.String()
}

// foreignUpright cuts rows of arcs in G19, along Y.
func foreignUpright() string {
	var b strings.Builder
	line := func(format string, args ...any) { fmt.Fprintf(&b, format+"\n", args...) }
	line("G21\nM0\nG0 Z15\nM3 S12000\nG4 P8")
	line("G19 F1500")
	const centre = 999.487868723 - 3.175 // of the ball's sphere for its tip
	for row := range 45 {
		x, way := -33+1.5*float64(row), float64(1-row%2*2)
		end := math.Sqrt(math.Max(1, 36*36-x*x))
		y, z := -way*end, ballTip(x, end)
		if row == 0 {
			line("G0 X%s Y%s\nG1 Z%s", hand(x), hand(y), hand(z))
		} else {
			line("G1 X%s Y%s Z%s", hand(x), hand(y), hand(z))
		}
		line("G%d Y%s Z%s J%s K%s", 3-row%2, hand(-y), hand(z), hand(-y), hand(centre-z))
	}
	line("G0 Z15\nM5\nM2")
	return b.String()
}

// TestForeign: nothing is found in good programs that other habits wrote, and
// what is wrong with them is found as in our own.
func TestForeign(t *testing.T) {
	t.Parallel()
	j, err := job.Load("job.yaml", shallow("wide-1250").yaml())
	require.NoError(t, err)
	look := func(text string) shop.Verdict {
		v, _, err := shop.Prove(j, []shop.Source{{Name: "foreign.ngc", Text: strings.NewReader(text), Cutter: "quarter ball"}})
		require.NoError(t, err)
		return v
	}
	for name, text := range foreign() {
		t.Run(name, func(t *testing.T) {
			v := look(text)
			require.True(t, v.Proven, "%+v", v.Findings)
			require.Less(t, *v.Scallop.CertifiedMM, 0.1)
			require.Less(t, *v.GougeMM, 1e-4, "the slack of arcs is half of that")

			lines := strings.Split(text, "\n")
			for i := len(lines) / 2; ; i++ {
				if k := strings.IndexAny(lines[i], "Zz"); k >= 0 && !strings.Contains(lines[i], "G0") {
					lines[i] = lines[i][:k+1] + "[-9+" + strings.Fields(lines[i][k+1:])[0] + "]" + lines[i][k+1+len(strings.Fields(lines[i][k+1:])[0]):]
					v = look(strings.Join(lines, "\n"))
					require.False(t, v.Proven)
					require.Equal(t, i+1, v.Findings[0].Line, "%q %+v", lines[i], v.Findings[0])
					break
				}
			}
		})
	}
}
