package shop_test

import (
	"context"
	"math"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"

	"dishwright/cam/job"
	"dishwright/cmd/internal/shop"
)

// shelfOfExtras has a cutter for everything: radius and, for a ball, its corner.
const shelfOfExtras = `shelf:
  inch flat: {shape: flat, diameter: 1 in, flutes: 2, flute length: 12 mm, speed: 16000, chip load: 0.10 mm, depth of cut: 2 mm}
  quarter straight: {shape: flat, diameter: 6 mm, flutes: 2, flute length: 25 mm, speed: 18000, chip load: 0.06 mm, depth of cut: 3 mm}
  small ball: {shape: ball, diameter: 3 mm, flutes: 2, flute length: 8 mm, speed: 18000, chip load: 0.04 mm, depth of cut: 1 mm, shank: 6 mm}
`

// fullJob is a small dish with every extra.
const fullJob = `name: full
form: dish
radius: 3 m
diameter: 120 mm
land: 10 mm
blank: {shape: square, size: 190 mm, thickness: 15 mm}
machine: bench-600
scallop: 0.1 mm
rough: inch flat
finish: inch flat
` + shelfOfExtras + `extras:
  centre hole: 8 mm
  centre lines: 0.3 mm
  holes: [{diameter: 9 mm, circle: 90 mm, count: 3, depth: 8 mm}]
  cut out: {tabs: 3, tab length: 8 mm, tab height: 2.5 mm}
  index flat: 50 mm
`

var fullOne = sync.OnceValues(func() (*shop.Result, error) {
	j, err := job.Load("full.yaml", []byte(fullJob))
	if err != nil {
		return nil, err
	}
	return shop.Run(context.Background(), j)
})

// deepestAt returns how deep any program cuts at a place, by every move of every
// program, looked at in places 0.05 mm apart.
func deepestAt(scripts []script, x, y float64) float64 {
	size := map[string][2]float64{"inch flat": {12.7, 0}, "quarter straight": {3, 0}, "small ball": {1.5, 1.5}}
	low := 0.0
	for _, s := range scripts {
		r, corner := size[s.cutter][0], size[s.cutter][1]
		for _, st := range s.steps {
			if st.what != "move" || math.IsNaN(st.from[0]) || math.Min(st.from[2], st.to[2]) >= low {
				continue
			}
			if x < math.Min(st.from[0], st.to[0])-r || x > math.Max(st.from[0], st.to[0])+r || y < math.Min(st.from[1], st.to[1])-r || y > math.Max(st.from[1], st.to[1])+r {
				continue
			}
			n := math.Ceil(math.Hypot(st.to[0]-st.from[0], st.to[1]-st.from[1])/0.05) + 1
			first, last := 0.0, n
			if d := sqr(st.to[0]-st.from[0]) + sqr(st.to[1]-st.from[1]); d > 0 { // those that the cutter's radius may reach
				near := ((x-st.from[0])*(st.to[0]-st.from[0]) + (y-st.from[1])*(st.to[1]-st.from[1])) / d
				first, last = math.Max(0, math.Floor((near-r/math.Sqrt(d))*n)-1), math.Min(n, math.Ceil((near+r/math.Sqrt(d))*n)+1)
			}
			for k := first; k <= last; k++ {
				at := func(i int) float64 { return st.from[i] + k/n*(st.to[i]-st.from[i]) }
				if u := math.Hypot(at(0)-x, at(1)-y); u <= r {
					z := at(2)
					if corner > 0 {
						z += corner - math.Sqrt(corner*corner-u*u)
					}
					low = math.Min(low, z)
				}
			}
		}
	}
	return low
}

func bytesOf(r *shop.Result) (list [][]byte) {
	for _, t := range r.All() {
		list = append(list, t.Bytes)
	}
	return list
}

// Every extra, measured in the text by plain distances: it is there, and it takes
// nothing outside its own volume.
func TestExtrasInTheText(t *testing.T) {
	t.Parallel()
	r, err := fullOne()
	require.NoError(t, err)
	require.Empty(t, r.Report.Broken)
	require.LessOrEqual(t, r.Report.Scallop.CertifiedMM, 0.1)
	var scripts []script
	for _, text := range bytesOf(r) {
		s, err := readScript(text, 0)
		require.NoError(t, err)
		scripts = append(scripts, s)
	}
	face := func(x, y float64) float64 {
		return 3000 - math.Sqrt(3000*3000-x*x-y*y) - (3000 - math.Sqrt(3000*3000-3600))
	}
	at := func(x, y float64) float64 { return deepestAt(scripts, x, y) }
	for k := range 24 {
		sin, cos := math.Sincos(float64(k)*math.Pi/12 + 0.1)
		require.LessOrEqual(t, at(3.95*cos, 3.95*sin), -15.0, "the centre hole goes through")
		require.InDelta(t, face(4.6*cos, 4.6*sin), at(4.6*cos, 4.6*sin), 0.45, "beside it there is the face, or a line in it")
		for n := range 3 {
			s, c := math.Sincos(2 * math.Pi * float64(n) / 3)
			require.InDelta(t, -8, at(45*c+4.45*cos, 45*s+4.45*sin), 0.001)
			require.Greater(t, at(45*c+4.7*cos, 45*s+4.7*sin), -1.3)
		}
	}
	for _, u := range []float64{20, 40, 55, 62, 66, 69} { // lines over face and land
		for _, p := range [][2]float64{{u, 0}, {0, u}, {-u, 0}, {0, -u}} {
			if math.Hypot(p[0], p[1]-0) > 60.5 && (p[1] < -60 || math.Hypot(p[0], p[1]) < 62.5) {
				continue // the index flat's side, and the piece between face and land
			}
			if math.Abs(math.Hypot(p[0]-45, p[1])) < 6 {
				continue
			}
			want := -0.3
			if u < 60 {
				want += face(u, 0)
			}
			require.InDelta(t, want, at(p[0], p[1]), 0.11, "%v", p)
			beside := at(p[0]+1.5*math.Copysign(1, p[1])*sgn(p[1]), p[1]+1.5*sgn(p[0]))
			require.Greater(t, beside, want+0.15, "beside %v", p)
		}
	}
	tabs := 0
	cut := r.Report.Extras[len(r.Report.Extras)-1]
	require.Equal(t, "cut-out", cut.Kind)
	require.Len(t, cut.Tabs, 3)
	flat := math.Sqrt(70*70 - 25*25)
	for k := range 720 { // round the slot's middle: through, or a tab of its height
		sin, cos := math.Sincos(float64(k) * math.Pi / 360)
		x, y := 73*cos, 73*sin
		if y < -flat {
			continue
		}
		if z := at(x, y); z > -15 {
			tabs++
			require.InDelta(t, -12.5, z, 0.001)
			near := math.Inf(1)
			for _, b := range cut.Tabs {
				near = math.Min(near, math.Hypot(b.XMM/70*73-x, b.YMM/70*73-y))
			}
			require.Less(t, near, 4.6, "X%.2f Y%.2f %v", x, y, cut.Tabs)
		}
		require.Equal(t, 0.0, at(69.7*cos, 69.7*sin)*b2f(math.Abs(sin) > 0.05 && math.Abs(cos) > 0.05 && 69.7*sin > -flat), "the land stays")
		require.Equal(t, 0.0, at(76.5*cos, 76.5*sin), "and the waste")
	}
	require.InDelta(t, 3*8/(73*math.Pi/360), float64(tabs), 5, "three tabs of 8 mm")
	require.LessOrEqual(t, at(0, -flat-0.1), -15.0)
	require.Greater(t, at(10, -flat+0.3), -0.01)
}

func sgn(v float64) float64 {
	switch {
	case v > 0:
		return 1
	case v < 0:
		return -1
	}
	return 0
}

func b2f(b bool) float64 {
	if b {
		return 1
	}
	return 0
}

// The air lap comes first: nothing turns, nothing comes down, and it shows the
// extents of every program.
func TestAirLap(t *testing.T) {
	t.Parallel()
	for _, machine := range []string{"bench-600", "bench-400"} {
		j, err := job.Load("full.yaml", []byte(strings.Replace(fullJob, "bench-600", machine, 1)))
		require.NoError(t, err)
		r, err := shop.Run(context.Background(), j)
		require.NoError(t, err)
		require.Empty(t, r.Report.Broken)
		require.Equal(t, "air lap", r.Report.Programs[0].Purpose)
		text := string(r.Texts[0].Bytes)
		require.NotRegexp(t, `(?m)^(M3|S\d|G4 )`, text)
		require.Equal(t, 1, strings.Count(text, "\nM0\n"))
		require.Less(t, strings.Index(text, "\nM0\n"), strings.Index(text, "\nG0 "))
		require.Contains(t, text, map[string]string{"bench-600": "(MSG, Spindle off, zero right?", "bench-400": "(MSG, Router unplugged, zero right?"}[machine])
		lap, err := readScript(r.Texts[0].Bytes, 0)
		require.NoError(t, err)
		lo, hi := [2]float64{}, [2]float64{}
		for _, s := range lap.steps {
			if s.what != "move" {
				continue
			}
			require.GreaterOrEqual(t, s.to[2], 5.0)
			require.LessOrEqual(t, s.feed*b2f(s.g == 1), 1200.0)
			for k := range lo {
				if !math.IsNaN(s.to[k]) {
					lo[k], hi[k] = math.Min(lo[k], s.to[k]), math.Max(hi[k], s.to[k])
				}
			}
		}
		for _, text := range r.Texts[1:] {
			s, err := readScript(text.Bytes, 0)
			require.NoError(t, err)
			for _, st := range s.steps {
				if st.what != "move" || math.IsNaN(st.to[0]) {
					continue
				}
				for k := range lo {
					require.GreaterOrEqual(t, st.to[k], lo[k]-1e-9)
					require.LessOrEqual(t, st.to[k], hi[k]+1e-9)
				}
			}
		}
	}
}

// The letters of a gauge, read back from its program: the strokes that the moves
// below the sheet's top draw are those of the radius.
func TestLettersInTheText(t *testing.T) {
	j, err := job.Load("gauge.yaml", []byte("form: gauge\nname: g\nradii: [15 ft]\nlength: 150 mm\nblank: {length: 200 mm, width: 90 mm, thickness: 4 mm}\nmachine: bench-600\n"+shelfOfExtras))
	require.NoError(t, err)
	r, err := shop.Run(context.Background(), j)
	require.NoError(t, err)
	require.Empty(t, r.Report.Broken)
	require.Greater(t, r.Report.Scallop.CertifiedMM, 0.0)
	require.LessOrEqual(t, r.Report.Scallop.CertifiedMM, 0.05)
	s, err := readScript(r.Texts[1].Bytes, 0)
	require.NoError(t, err)
	var rows [][]byte
	const wide, high = 128, 10
	for range high {
		rows = append(rows, []byte(strings.Repeat(" ", wide)))
	}
	for _, st := range s.steps {
		if st.what != "move" || math.IsNaN(st.from[0]) || st.from[2] > -0.25 || st.to[2] > -0.25 {
			continue
		}
		require.InDelta(t, -0.3, st.to[2], 1e-9)
		for k := 0.0; k <= 1; k += 0.01 { // a row of letters is nearly twice as high as a column is wide
			x, y := 1.0*(st.from[0]+k*(st.to[0]-st.from[0])), 0.6*(st.from[1]+k*(st.to[1]-st.from[1]))
			rows[high/2-1-int(math.Round(y))][wide/2+int(math.Round(x))] = '#'
		}
	}
	got := ""
	for _, row := range rows {
		got += strings.TrimRight(string(row), " ") + "\n"
	}
	require.Equal(t, gaugeDrawn, "\n"+strings.Trim(got, "\n")+"\n")
}

const gaugeDrawn = `
       #      #######        #######   #######            #                 #      #######    #####         #     #  ##     #
      ##      #              #            #               #                ##      #         ##   ##        ##   ##  ###   ##
       #      #              #            #               #                 #      #         #     #        ### ###  # ## ###
       #      ######         ######       #               #                 #      ######    #     #        # ### #  #  ##  #
       #           ##        #            #               #                 #           ##   #     #        #     #  #      #
       #      #     #        #            #               #                 #      #     #   #     #        #     #  #      #
       #      #######        #            #               ########          #      #######   #######        #     #  #      #
`

// TestFlutesOutreachAWall: a cutter that leaves a wall through the blank needs flutes as long
// as that is thick, and into the waste under it; one that only scribes a line needs its bite.
func TestFlutesOutreachAWall(t *testing.T) {
	r, err := fullOne()
	require.NoError(t, err)
	for _, p := range r.Report.Programs {
		switch p.Cutter.Name {
		case "quarter straight":
			require.GreaterOrEqual(t, p.FluteNeedMM, 15.0)
			require.Less(t, p.FluteNeedMM, 16.0)
		default:
			require.InDelta(t, p.BiteMM, p.FluteNeedMM, 1e-9)
		}
	}
}
