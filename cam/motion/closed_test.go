package motion_test

import (
	"fmt"
	"math"
	"testing"

	"dishwright/cam/motion"
	"dishwright/cam/path"
	"dishwright/machines"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// router is a machine with the same limits on X and Y: 250 mm/s² and 6000 mm/min.
func router() machines.Machine {
	return machines.Machine{
		Feed:           r3.Vec{X: 6000, Y: 6000, Z: 1500},
		Rapid:          r3.Vec{X: 6000, Y: 6000, Z: 2000},
		Acceleration:   r3.Vec{X: 250, Y: 250, Z: 150},
		CornerRounding: 0.02,
		PathMode:       "G64",
		Decimals:       4,
	}
}

// through returns lines through points, all at one feed in mm/min.
func through(feed float64, at ...r3.Vec) path.Path {
	var p path.Path
	for i := 1; i < len(at); i++ {
		p.Moves = append(p.Moves, path.Move{Kind: path.Line, From: at[i-1], To: at[i], Feed: feed})
	}
	return p
}

// Rest to rest: d/v + v/a where d ≥ v²/a, else 2 √(d/a); v 50 mm/s, a 250 mm/s².
// Own derivation: speeding up and slowing down take v/a each and v²/2a of way each,
// the rest goes at v; with less way than v²/a half of it is d/2 = a t²/8. The same
// stands in [BM], cited from memory.
func TestRestToRest(t *testing.T) {
	for _, c := range []struct{ d, want float64 }{
		{100, 2.2}, {10, 0.4}, {6.25, 0.316228}, {1, 0.126491},
	} {
		got := motion.Estimate(router(), through(3000, r3.Vec{}, r3.Vec{X: c.d}))
		require.InDelta(t, c.want, got.Total, 5e-7, "d %g", c.d)
		require.InDelta(t, c.d, got.CutLength, 1e-12)
		require.Zero(t, got.TraverseLength)
	}
}

// Where the feed falls in mid-path the machine has slowed down by then.
func TestFeedStep(t *testing.T) {
	p := through(3000, r3.Vec{}, r3.Vec{X: 100}, r3.Vec{X: 200})
	p.Moves[1].Feed = 1500
	// 50 mm/s from rest and down to 25: 0.2 s up (5 mm), 0.1 s down (3.75 mm), 91.25 mm at 50;
	// then 0.1 s of braking (1.25 mm) and 98.75 mm at 25.
	got := motion.Estimate(router(), p)
	require.InDelta(t, 0.3+91.25/50+0.1+98.75/25, got.Total, 1e-12)
}

// Each axis keeps its own limits: along (x, y, z) the speed is the least of
// limit/|share|, and so is the acceleration.
func TestAxes(t *testing.T) {
	m := router()
	m.Feed = r3.Vec{X: 6000, Y: 3000, Z: 600}
	m.Rapid = r3.Vec{X: 9000, Y: 6000, Z: 1200}
	m.Acceleration = r3.Vec{X: 400, Y: 200, Z: 50}
	rest := func(d, v, a float64) float64 {
		if d >= v*v/a {
			return d/v + v/a
		}
		return 2 * math.Sqrt(d/a)
	}
	for _, c := range []struct {
		name    string
		kind    path.Kind
		to      r3.Vec
		feed    float64
		d, v, a float64
	}{
		{"x at its feed", path.Line, r3.Vec{X: 100}, 9000, 100, 100, 400},
		{"y at the programmed feed", path.Line, r3.Vec{Y: 100}, 1800, 100, 30, 200},
		{"3-4-5, y binds", path.Line, r3.Vec{X: 300, Y: 400}, 9000, 500, 50 / 0.8, 200 / 0.8},
		{"8-6-10, acceleration of y, feed of y", path.Line, r3.Vec{X: 80, Y: 60}, 9000, 100, 50 / 0.6, 200 / 0.6},
		{"plunge", path.Line, r3.Vec{Z: -20}, 300, 20, 5, 50},
		{"plunge too fast", path.Line, r3.Vec{Z: -20}, 6000, 20, 10, 50},
		{"ramp, z binds", path.Line, r3.Vec{X: 30, Z: -40}, 3000, 50, 10 / 0.8, 50 / 0.8},
		{"lift", path.Traverse, r3.Vec{Z: 20}, 0, 20, 20, 50},
		{"traverse, y binds", path.Traverse, r3.Vec{X: 300, Y: 400}, 0, 500, 125, 250},
		{"short traverse", path.Traverse, r3.Vec{X: -0.03, Y: 0.04}, 0, 0.05, 125, 250},
	} {
		t.Run(c.name, func(t *testing.T) {
			mv := path.Move{Kind: c.kind, To: c.to, Feed: c.feed}
			got := motion.Estimate(m, path.Path{Moves: []path.Move{mv}})
			require.InDelta(t, rest(c.d, c.v, c.a), got.Total, 1e-12)
			if c.kind == path.Traverse {
				require.InDelta(t, c.d, got.TraverseLength, 1e-12)
			}
		})
	}
}

// A full circle at speed v = min(feed, √(aR)), from rest to rest along its length.
func TestCircle(t *testing.T) {
	for _, radius := range []float64{2, 10, 50, 300} {
		for _, feed := range []float64{600, 3000, 6000} {
			t.Run(fmt.Sprintf("R %g F %g", radius, feed), func(t *testing.T) {
				v := math.Min(feed/60, math.Sqrt(250*radius)) // v²/R = a: at R 10 it is 50 mm/s
				d := 2 * math.Pi * radius
				want := d/v + v/250 // d > v²/a, for v² ≤ a R
				start := r3.Vec{X: radius}
				arc := path.Move{Kind: path.Arc, From: start, To: start, Feed: feed}
				got := motion.Estimate(router(), path.Path{Moves: []path.Move{arc}})
				require.InDelta(t, want, got.Total, 1e-9)

				// As chords with a sagitta of 5 µm, well within what may be rounded.
				n := math.Ceil(math.Pi / math.Acos(1-0.005/radius))
				at := make([]r3.Vec, int(n)+1)
				for i := range at {
					sin, cos := math.Sincos(2 * math.Pi * float64(i) / n)
					at[i] = r3.Vec{X: radius * cos, Y: radius * sin}
				}
				chords := motion.Estimate(router(), through(feed, at...))
				if v == feed/60 {
					// Up to the feed's own limit the diagonal acceleration helps at the ends alone.
					require.InEpsilon(t, want, chords.Total, 0.01)
				} else {
					// Each chord uses what both axes give together at its own turn: the speed
					// is √(aR/max(|cos|, |sin|)), the length of a quarter of a quarter's arc over it
					// 8R ∫ √cos φ dφ / √(aR) to 45°, and v/a for the ends. Chords are 2 % near it.
					var integral float64
					for i := range 1000 {
						integral += math.Sqrt(math.Cos((float64(i)+0.5)*math.Pi/4000)) * math.Pi / 4000
					}
					local := 8*radius*integral/math.Sqrt(250*radius) + v/250
					require.InEpsilon(t, math.Max(local, d*60/feed), chords.Total, 0.02)
					require.InEpsilon(t, want, chords.Total, 0.06)
				}
			})
		}
	}
}

// A pass over a dish of R 7620 mm is not slowed by its curve: √(aR) with the
// vertical axis's 150 mm/s² is 1069 mm/s, and the slope takes nothing from X.
func TestShallowArc(t *testing.T) {
	const R, half = 7620.0, 200.0
	z := R - math.Sqrt(R*R-half*half)
	d := 2 * R * math.Asin(half/R)
	arc := path.Move{Kind: path.Arc, Plane: path.ZX, Clockwise: true, Feed: 6000,
		From: r3.Vec{X: -half, Z: z}, To: r3.Vec{X: half, Z: z}, Centre: r3.Vec{Z: R}}
	require.InDelta(t, d, arc.Length(), 1e-6) // the sense is right
	got := motion.Estimate(router(), path.Path{Moves: []path.Move{arc}})
	require.InDelta(t, d/100+100/250.0, got.Total, 1e-9)
	got = motion.Estimate(router(), path.Path{Moves: []path.Move{arc, {Kind: path.Arc, Plane: path.ZX, Feed: 6000,
		From: arc.To, To: arc.From, Centre: arc.Centre}}})
	require.InDelta(t, 2*(d/100+100/250.0), got.Total, 1e-9) // it reverses at the end: a full stop
}

// A helix is limited by what its circle asks of X and Y alone.
func TestHelix(t *testing.T) {
	const radius, rise = 3.0, 4.0
	start := r3.Vec{X: radius}
	arc := path.Move{Kind: path.Arc, From: start, To: r3.Vec{X: radius, Z: -rise}, Feed: 6000}
	d := math.Hypot(2*math.Pi*radius, rise)
	level := 2 * math.Pi * radius / d
	v := math.Min(math.Sqrt(250*radius)/level, 25/(rise/d)) // Z feed 1500 mm/min
	a := math.Min(250/level, 150/(rise/d))
	got := motion.Estimate(router(), path.Path{Moves: []path.Move{arc}})
	require.InDelta(t, d/v+v/a, got.Total, 1e-9)
}

// A line, an arc that goes on in its direction, and a line that goes on from that one are one
// way without a corner, in every plane, wherever the centre lies, in either sense, level or as a
// helix: its length at one speed, and half of v/a at either end, a in the direction of each.
func TestArcsMeetLines(t *testing.T) {
	m := router()
	m.Feed, m.Rapid, m.Acceleration = r3.Vec{X: 6000, Y: 6000, Z: 6000}, r3.Vec{X: 6000, Y: 6000, Z: 6000}, r3.Vec{X: 250, Y: 250, Z: 250}
	const radius, v, leg = 50.0, 50.0, 80.0 // v² is less than the 250·50 that the curve allows
	for _, plane := range []path.Plane{path.XY, path.ZX, path.YZ} {
		i, j, n := plane.Axes()
		for _, start := range []float64{0, 0.7, 2.2, 4.1} {
			for _, turn := range []float64{1.9, -1.9, 4, -4} {
				for _, rise := range []float64{0, 30} {
					arc := radius * math.Abs(turn)
					long := math.Hypot(arc, rise)
					at := func(angle, share, beyond float64) r3.Vec { // beyond the place of an angle, along the way there
						p := [3]float64{30, -70, 20}
						sin, cos := math.Sincos(angle)
						back := turn / math.Abs(turn) * arc / long * beyond
						p[i] += radius*cos - sin*back
						p[j] += radius*sin + cos*back
						p[n] += rise*share + rise/long*beyond
						return r3.Vec{X: p[0], Y: p[1], Z: p[2]}
					}
					// How fast a leg speeds up: no axis more than 250.
					a := func(angle float64) float64 {
						sin, cos := math.Sincos(angle)
						return 250 / math.Max(arc/long*math.Max(math.Abs(sin), math.Abs(cos)), rise/long)
					}
					p := through(60*v, at(start, 0, -leg), at(start, 0, 0), at(start+turn, 1, 0), at(start+turn, 1, leg))
					p.Moves[1].Kind, p.Moves[1].Plane, p.Moves[1].Centre, p.Moves[1].Clockwise = path.Arc, plane, r3.Vec{X: 30, Y: -70, Z: 20}, turn < 0
					require.InDelta(t, long, p.Moves[1].Length(), 1e-9)
					got := motion.Estimate(m, p)
					require.InDelta(t, (2*leg+long)/v+v/2/a(start)+v/2/a(start+turn), got.Total, 1e-6, "%v from %g by %g, rise %g", plane, start, turn, rise)
				}
			}
		}
	}
}

// Axes of less than a millimetre a second, and of less than one a second squared, have limits
// as others do.
func TestVerySlowAxes(t *testing.T) {
	m := router()
	feed, rapid, a := 0.5, 0.8, 0.5 // mm/s, mm/s²
	m.Feed.Z, m.Rapid.Z, m.Acceleration.Z = 60*feed, 60*rapid, a
	plunge := path.Path{Moves: []path.Move{{Kind: path.Line, From: r3.Vec{Z: 10}, Feed: 600}}}
	require.InDelta(t, 10/feed+feed/a, motion.Estimate(m, plunge).Total, 1e-9)
	plunge.Moves[0].Kind = path.Traverse
	require.InDelta(t, 10/rapid+rapid/a, motion.Estimate(m, plunge).Total, 1e-9)
}

// zigzag returns n legs of length l, each at 45° to Y, turning by 90° about X.
func zigzag(n int, l float64) []r3.Vec {
	at := make([]r3.Vec, n+1)
	for i := range at {
		at[i] = r3.Vec{X: float64(i) * l * math.Sqrt2 / 2, Y: float64(i%2) * l * math.Sqrt2 / 2}
	}
	return at
}

// slowed returns the seconds from speed v in a straight line to the middle of a
// corner that turns by beta degrees, taken at speed c: the leg, d long up to the
// sharp corner, ends where the rounding of radius c²/across begins.
func slowed(d, v, c, along, across, beta float64) float64 {
	radius, turn := c*c/across, beta*math.Pi/180
	d -= radius * math.Tan(turn/2)
	return (v-c)/along + (d-(v*v-c*c)/(2*along))/v + radius*turn/2/c
}

// A zigzag with the same acceleration on both axes: stops at the corners, or
// the speed of the rounding at each.
func TestZigzag(t *testing.T) {
	const legs, l = 10, 40.0
	a := 250 * math.Sqrt2 // of the axes along their diagonal
	v := 50.0
	m := router()
	for _, line := range []string{"G61", "G61.1"} {
		m.PathMode = line
		got := motion.Estimate(m, through(3000, zigzag(legs, l)...))
		require.InDelta(t, legs*(l/v+v/a), got.Total, 1e-9, line)
	}
	for _, line := range []string{"G64", "G64 P0.02 Q0.02", ""} {
		m.PathMode = line
		got := motion.Estimate(m, through(3000, zigzag(legs, l)...))
		c := meetingSpeed(0.02, 250, 90)
		half := slowed(l/2, v, c, a, 250, 90)
		ends := v/a + (l/2-v*v/(2*a))/v
		require.InDelta(t, 2*(legs-1)*half+2*ends, got.Total, 1e-9, line)
	}
}

// meetingSpeed returns the speed at which two moves that turn by beta degrees meet, passing
// the corner at e, with the acceleration a across it. Own derivation: a circle of radius R
// that touches both has its centre R/cos(β/2) from the corner, so that it passes the
// corner at e = R/cos(β/2) − R; v = √(aR).
func meetingSpeed(e, a, beta float64) float64 {
	return math.Sqrt(a * e / (1/math.Cos(beta/2*math.Pi/180) - 1))
}

// Two moves that turn by β meet, e 0.02, a 250. The last turns are the sharpest that is
// rounded and one at which the machine stops: the limit is 120°.
func TestMeeting(t *testing.T) {
	for _, c := range []struct{ beta, speed float64 }{
		{90, 3.474}, {60, 5.685}, {30, 11.905}, {10, 36.179}, {119.9, 2.239}, {120.1, 0},
	} {
		t.Run(fmt.Sprint(c.beta), func(t *testing.T) {
			half := c.beta / 2 * math.Pi / 180
			// The turn lies along Y, where a is 250; along the legs both axes help.
			leg := r3.Vec{X: 100 * math.Cos(half), Y: 100 * math.Sin(half)}
			got := motion.Estimate(router(), through(3000, r3.Vec{}, leg, r3.Vec{X: 2 * leg.X}))
			a, v := math.Min(250/math.Cos(half), 250/math.Sin(half)), 50.0
			ends := v/a + (50-v*v/(2*a))/v
			if c.speed == 0 {
				require.InDelta(t, 2*(100/v+v/a), got.Total, 1e-9)
				return
			}
			speed := meetingSpeed(0.02, 250, c.beta)
			require.InDelta(t, c.speed, speed, 5e-4)
			require.InDelta(t, 2*(ends+slowed(50, v, speed, a, 250, c.beta)), got.Total, 1e-9)
		})
	}
}

// A rounding takes at most half of the shorter move: a turn of 60°, one leg of 0.1 mm.
// Own derivation: T = 0.05, R = T/tan 30°, passed at √(aR) over R π/3; it would pass the
// corner at T tan 15° = 0.0134, within 0.02. The other half of the short leg is driven
// from that speed to rest, by way of the peak of v² = (c² + 0)/2 + a d.
func TestMeetingInShortRoom(t *testing.T) {
	along := r3.Vec{X: math.Cos(math.Pi / 6), Y: math.Sin(math.Pi / 6)}
	leg := r3.Vec{X: 100 * along.X, Y: -100 * along.Y}
	got := motion.Estimate(router(), through(3000, r3.Vec{}, leg, r3.Add(leg, r3.Scale(0.1, along))))
	const v, taken = 50.0, 0.05
	a := 250 / math.Cos(math.Pi/6)
	radius := taken / math.Tan(math.Pi/6)
	c := math.Sqrt(250 * radius)
	peak := math.Sqrt(c*c/2 + a*taken)
	d := 100 - taken
	long := v/a + (v-c)/a + (d-v*v/(2*a)-(v*v-c*c)/(2*a))/v
	require.InDelta(t, long+radius*math.Pi/3/c+(peak-c)/a+peak/a, got.Total, 1e-9)
}

// Turning back is a full stop, however far corners may be rounded.
func TestReversal(t *testing.T) {
	got := motion.Estimate(router(), through(3000, r3.Vec{}, r3.Vec{X: 100}, r3.Vec{}))
	require.InDelta(t, 4.4, got.Total, 1e-12)
}

// In exact path mode chords finer than the written step are a curve, coarser ones corners.
func TestExactPathChords(t *testing.T) {
	m := router()
	m.PathMode = "G61"
	ring := func(n int) []r3.Vec {
		at := make([]r3.Vec, n+1)
		for i := range at {
			sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
			at[i] = r3.Vec{X: 10 * cos, Y: 10 * sin}
		}
		return at
	}
	d, v := 20*math.Pi, 50.0
	fine := motion.Estimate(m, through(6000, ring(1000)...))  // sagitta 0.00005
	require.InEpsilon(t, d/v+v/250, fine.Total, 0.06)         // as in TestCircle
	coarse := motion.Estimate(m, through(6000, ring(100)...)) // sagitta 0.005: 100 stops
	chord := 20 * math.Sin(math.Pi/100)
	require.Greater(t, coarse.Total, 100*2*math.Sqrt(chord/(250*math.Sqrt2)))
	// A rounding within a step of the program is made, and within 0.00254 mm where a step
	// is more. Of n chords of a circle it passes the corner at R sin(π/n) tan(π/2n): T is
	// half a chord, and e = T tan(β/4).
	for _, c := range []struct{ decimals, n int }{{4, 703}, {3, 223}, {2, 140}, {1, 140}} {
		m.Decimals = c.decimals
		step := math.Min(math.Pow(10, -float64(c.decimals)), 0.00254)
		for n, stops := range map[int]bool{c.n: false, c.n - 1: true} {
			part := math.Pi / float64(n)
			require.Equal(t, stops, 10*math.Sin(part)*math.Tan(part/2) > step, "%d chords", n)
			got := motion.Estimate(m, through(6000, ring(n)...))
			least := 2 * math.Sqrt(20*math.Sin(part)/(250*math.Sqrt2)) // what a chord takes from rest to rest
			require.Equal(t, stops, got.Total > float64(n)*least, "%d chords, %d decimals", n, c.decimals)
			if !stops { // nor are these corners where a profile rounds none
				sharp := m
				sharp.PathMode, sharp.CornerRounding = "G64", 0
				require.InDelta(t, got.Total, motion.Estimate(sharp, through(6000, ring(n)...)).Total, 1e-9)
			}
		}
	}
}
