package cam

import (
	"fmt"
	"math"
	"testing"

	"dishwright/cam/path"
	"dishwright/cam/proof"
	"dishwright/dish"
	"dishwright/machines"
	"gonum.org/v1/gonum/spatial/r3"
)

func bruteLow(c path.Cutter, ms []path.Move, x, y float64) float64 {
	z := 0.0
	for _, m := range ms {
		if m.Kind == path.Traverse {
			continue
		}
		d := r3.Sub(m.To, m.From)
		l2 := d.X*d.X + d.Y*d.Y
		t := 0.0
		if l2 > 0 {
			t = ((x-m.From.X)*d.X + (y-m.From.Y)*d.Y) / l2
		}
		t = math.Min(1, math.Max(0, t))
		if math.Hypot(m.From.X+t*d.X-x, m.From.Y+t*d.Y-y) > c.Radius() {
			continue
		}
		for i := 0; i <= 40; i++ {
			q := m.At(float64(i) / 40)
			z = math.Min(z, q.Z+c.Profile(math.Hypot(q.X-x, q.Y-y)))
		}
	}
	return z
}

func TestProbe(t *testing.T) {
	f, _ := dish.NewFace(dish.Hollow, 7620, 300)
	m, _ := machines.Builtin("wide-1250")
	m.Arcs = false
	for _, c := range []path.Cutter{
		{Name: "a", Shape: path.Flat, Diameter: 25.4}, {Name: "a", Shape: path.Bull, Diameter: 31.75, Corner: 6.35}} {
		c.Flutes = 2
		c.FluteLength = 25
		c.Shank = 12.7
		c.StickOut = 40
		c.Speed, c.FastestSpeed = 16000, 16000
		c.ChipLoad = .08
		c.DepthOfCut = 3
		c.Core = .3 * c.Diameter
		c.Ramp = 3 * math.Pi / 180
		w := Work{Name: "x", Face: f, Wanted: 7620, Blank: dish.Blank{Outline: dish.Square, Length: 700, Width: 700, Thickness: 25}, Floor: 5, Machine: m, ZeroError: .05, Scallop: .05, Allowance: .4, Pattern: Auto, Direction: Both, Shelf: []path.Cutter{c}, Rough: "a", Finish: "a"}
		p, err := Make(w, "a", "a")
		fmt.Println(err)
		fin := p.Programs[0].Sections[1].Moves
		for _, q := range [][2]float64{{-291.666, -44.1688}, {-291.667, 16.67}, {200, 30}} {
			fmt.Println(c.Shape, q, f.Over(math.Hypot(q[0], q[1]), bruteLow(c, fin, q[0], q[1])))
		}
		ro := p.Programs[0].Sections[0].Moves
		st := proof.NewStock(w.Blank, 700./600)
		st.RunOn(m, c, ro)
		worst := 0.0
		for i := 0; i < 20000; i++ {
			d := 300 * math.Sqrt(float64(i)/20000)
			a := 2.399963 * float64(i)
			x, y := d*math.Cos(a), d*math.Sin(a)
			h := st.Height(x, y)
			b := bruteLow(c, ro, x, y)
			if h-b > worst && h-b>1 {
				worst = h - b
				fmt.Println("height", h, "brute", b, x, y, d, "over", f.Over(d, b))
			}
		}
		fmt.Println("at", st.Height(-24.5, 174.5), bruteLow(c, ro, -24.5, 174.5))
		for d := 0.0; d < 295; d += 5 {
			fmt.Printf("%.0f:%.3f ", d, f.Over(d, bruteLow(c, ro, -.139*d, .99*d)))
		}
		r, _ := newRough(w, c, c)
		fmt.Println()
		for k := 1; k <= r.layers; k++ {
			fmt.Println(k, r.boundary(k), r.laps(k))
		}
	}
}
