package shop_test

import (
	"math"
	"math/rand/v2"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"dishwright/cam/chance"
)

// TestUnderAgainstSmallSteps: the lowest height of a cutter over a place, along
// slanted lines and bows, is that of a walk in small steps.
func TestUnderAgainstSmallSteps(t *testing.T) {
	t.Parallel()
	draws := 1000
	if chance.Long() {
		draws = 4000
	}
	dice := rand.New(rand.NewPCG(3, 4))
	between := func(a, b float64) float64 { return a + (b-a)*dice.Float64() }
	tools := []tool{{corner: 6.35}, {flat: 12.7}, {flat: 9.525, corner: 6.35}, {flat: 2, corner: 3}}
	for n := range draws {
		c := tools[n%len(tools)]
		var s sweep
		if c.flat == 0 && n%2 == 0 {
			m := motion{g: 2 + n/4%2, plane: 1, centre: point{between(-5, 5), 1, 1500}, from: point{-30, 1, 0}, to: point{40, 1, 0}}
			if m.g == 3 { // over the top
				m.centre[2] = -1500
			}
			// G2 in G18 runs towards +X below its centre, and G3 above it.
			for _, p := range []*point{&m.from, &m.to} {
				p[2] = m.centre[2] + math.Copysign(math.Sqrt(sqr(1500)-sqr(p[0]-m.centre[0])), -m.centre[2])
			}
			var ok bool
			s, ok = m.bow(0)
			require.True(t, ok)
		} else {
			s = straight(0, point{between(-3, 3), 0, between(-1, 1)}, point{between(-12, 12), between(-12, 12), between(-1, 1)})
		}
		x, y := between(-20, 20), between(-20, 20)
		got, want := s.under(&c, x, y, math.Inf(1)), math.Inf(1)
		const steps = 20000
		for i := range steps + 1 {
			a := s.long * float64(i) / steps
			want = math.Min(want, s.at(a)+c.edge(math.Hypot(x-s.x-a*s.dx, y-s.y-a*s.dy)))
		}
		if math.IsInf(want, 1) {
			// Steps may just miss a cutter's side that the formula finds.
			continue
		}
		require.LessOrEqual(t, got, want+1e-8)
		// Near a side the edge is steep, so a step of 70/20000 mm may miss some of it.
		require.InDelta(t, want, got, 0.25)
		if px, py := x-s.x, y-s.y; math.Abs(px*s.dy-py*s.dx) < 0.9*c.radius() && s.long > 2*c.radius() {
			if a := px*s.dx + py*s.dy; a > c.radius() && a < s.long-c.radius() {
				require.InDelta(t, want, got, 0.003)
			}
		}
	}
}

// TestReference: the scallop of a flat between two rows on a sphere, and a tip's
// height, against closed forms worked out by hand: R 7620, flat radius 6.35,
// rows at y = −3 and 3 leave 0.020427 mm vertically at (200, 0), 0.02042 along
// the normal.
func TestReference(t *testing.T) {
	g := newGlobe(false, 7620, 300)
	c := tool{flat: 6.35}
	tip := func(x, y float64) float64 { return g.centre - math.Sqrt(sqr(7620)-sqr(math.Hypot(x, y)+6.35)) }
	l := newLeft(g)
	var rows []sweep
	for _, y := range []float64{-3, 3} {
		for x := 150.0; x < 250; x += 0.01 {
			rows = append(rows, straight(0, point{x, y, tip(x, y)}, point{x + 0.01, y, tip(x+0.01, y)}))
		}
	}
	l.add(c, rows)
	require.InDelta(t, 0.02042, l.over(200, 0), 1e-5)
	p := point{200, 3, tip(200, 3)}
	require.InDelta(t, 0, g.gouge(c, p), 1e-9)
	p[2] -= 0.01
	require.InDelta(t, 0.01, g.gouge(c, p), 1e-5)
}

// TestShortLists: what stands at a place is by the short lists what it is by all pieces,
// close together and far apart, under a spindle that leans and one that does not.
func TestShortLists(t *testing.T) {
	t.Parallel()
	dice := rand.New(rand.NewPCG(8, 9))
	between := func(a, b float64) float64 { return a + (b-a)*dice.Float64() }
	for n, c := range []tool{{corner: 6.35}, {flat: 6.35}, {flat: 4, corner: 3}, {flat: 0.5, corner: 5}} {
		l := newLeft(newGlobe(false, 1500, 30))
		var pieces []sweep
		for i := range 2000 {
			from, way := point{between(-35, 35), between(-35, 35), between(-0.4, -0.1)}, between(0, 2*math.Pi)
			long := []float64{0.2, 2, 40}[i%3]
			to := point{from[0] + long*math.Cos(way), from[1] + long*math.Sin(way), from[2] + between(-0.1, 0.1)*long/40}
			pieces = append(pieces, straight(0, from, to))
		}
		l.add(c, pieces)
		all := make([]int32, len(l.pieces))
		for i := range all {
			all[i] = int32(i)
		}
		for _, to := range []lean{{}, {0.0005, -0.0002}} {
			l.stand(to)
			for range 500 {
				x, y, reach := between(-20, 20), between(-20, 20), math.Exp(between(-9, 1))
				l.focus(x, y, reach)
				for range 8 {
					u, v := x+between(-reach, reach), y+between(-reach, reach)
					want := l.face.above(math.Hypot(u, v), l.height(all, u, v))
					require.InDelta(t, want, l.over(u, v), 1e-9, "tool %d at %g %g", n, u, v)
				}
				require.Less(t, len(l.patches), 12)
			}
		}
	}
}

// TestFaultsAreSeen: the evaluation of a good program that was spoilt in one
// place says so; without LONG half of the faults.
func TestFaultsAreSeen(t *testing.T) {
	job := slices.IndexFunc(table, func(o order) bool { return o.name == "300 flat uphill" }) // a flat for both
	r, err := made[job]()
	require.NoError(t, err)
	o := table[job]
	lines := strings.Split(string(r.Texts[1].Bytes), "\n")
	find := func(pattern string, from int) int {
		k := slices.IndexFunc(lines[from:], func(s string) bool { return regexp.MustCompile(pattern).MatchString(s) })
		require.GreaterOrEqual(t, k, 0, pattern)
		return from + k
	}
	finish := find(`^\(Finishing`, 0)
	height := func(k int) float64 {
		if m := regexp.MustCompile(`^G1 X\S+ Z(\S+)$`).FindStringSubmatch(lines[k]); m != nil {
			z, err := strconv.ParseFloat(m[1], 64)
			require.NoError(t, err)
			return z
		}
		return math.NaN()
	}
	cut := finish + 2000 // in the middle of a pass: of an uphill one, where it climbs
	for !(height(cut-1) < height(cut) && height(cut) < height(cut+1)) {
		cut++
	}
	cases := []struct {
		name, want string
		change     func(l []string) []string
	}{
		{"nothing", "", func(l []string) []string { return l }},
		{"a lower tip", "gouge", func(l []string) []string { l[cut] = lower(l[cut], 0.01); return l }},
		{"passes too high", "scallop", func(l []string) []string {
			for k := cut - 60; k < cut+60; k++ {
				if strings.HasPrefix(l[k], "G1") {
					l[k] = lower(l[k], -0.3)
				}
			}
			return l
		}},
		{"no stop", "stop", func(l []string) []string { l[find(`^M0$`, 0)] = "(no stop)"; return l }},
		{"no spindle", "spindle", func(l []string) []string { l[find(`^M3$`, 0)] = "(no spindle)"; return l }},
		{"no lift", "before the lift", func(l []string) []string { l[find(`^G0 Z`, 0)] = "(no lift)"; return l }},
		{"a fast feed", "runs at|feed of", func(l []string) []string { l[cut] += " F20000"; return l }},
		{"a fast spindle", "speed of", func(l []string) []string { l[find(`^S`, 0)] = "S60000"; return l }},
		{"a low traverse", "traverse", func(l []string) []string { l[cut] = "G0" + l[cut][2:]; return l }},
		{"a plunge", "under the core", func(l []string) []string { l[find(`^G1 .*F`, find(`^\(Roughing`, 0))] = "G1 Z-1.5 F100"; return l }},
		{"a deep bite", "bite of", func(l []string) []string { return append(l[:find(`^\(Roughing`, 0)], l[finish:]...) }},
		{"inches", "travel|gouge", func(l []string) []string { l[find(`^G21$`, 0)] = "G20"; return l }},
		{"an unknown word", "the word", func(l []string) []string { l[cut] += " A1"; return l }},
		{"cut off", "does not switch off", func(l []string) []string { return l[:cut] }},
	}
	w := o.wanted()
	w.tilt, w.undersize = 0, 0 // what is laid for more is as good without, and looked at in less time
	quick := []string{"nothing", "a lower tip", "passes too high", "no stop", "a low traverse", "a deep bite"}
	for _, c := range cases {
		if !chance.Long() && !slices.Contains(quick, c.name) {
			continue
		}
		text := strings.Join(c.change(slices.Clone(lines)), "\n")
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			v := evaluate(w, [][]byte{[]byte(text)}, 20_000)
			if c.want == "" {
				require.Empty(t, v.faults)
				return
			}
			require.Regexp(t, c.want, strings.Join(v.faults, "\n"))
		})
	}
}

// lower writes a line with its Z lower by so much.
func lower(line string, by float64) string {
	words := strings.Fields(line)
	for i, w := range words {
		if w[0] == 'Z' {
			words[i] = "Z" + milli(math.Round((number(w[1:])-by)*1e4)/1e4).text
			words[i] = strings.TrimSuffix(words[i], " mm")
		}
	}
	return strings.Join(words, " ")
}
