package pass

import (
	"math"

	"dishwright/cam/path"
	"dishwright/cam/work"
	"dishwright/dish"
	"dishwright/dish/exact"
	"dishwright/dish/measure"
)

// newBoard spaces passes along a board's length: those of a raster, so many that
// the board's width is served, each so long that its ends are.
func newBoard(w work.Piece, c path.Cutter, b work.Budget) (raster, error) {
	if w.Direction == work.AlongY {
		return raster{}, work.Problems{{Kind: work.KindPattern, Key: work.KeyDirection, Message: measure.Say("a board is cut along its length, which lies along X"), Hint: measure.Say("direction: along x, both or uphill")}}
	}
	r := raster{piece: w, cutter: c, tool: work.WornTool(w.Work, c), budget: b}
	vs, err := lanes(r.tool, w.Strip(), r.budget.Ridge)
	if err != nil {
		return r, err
	}
	aside, end := math.NaN(), 0.0 // of the pass before: over a cylinder all passes are alike
	for i, v := range vs {
		out := w.Strip().Width/2 - v
		if i > 0 {
			r.step = max(r.step, v-vs[i-1])
			out = max(out, v-vs[i-1])
		}
		if i+1 < len(vs) {
			out = max(out, vs[i+1]-v)
		}
		if out = min(out, r.tool.Worn.Radius()-work.CoverEdge); !w.Face.Cylinder || !(math.Abs(out-aside) <= alikeAside) {
			aside, end = out, laneEnd(r.tool, w.Strip(), v, out)
		}
		r.rows = append(r.rows, Row{v, end + r.tool.RunsOver(w.Machine.Step())})
	}
	if n := r.estimate(); n > work.MostMoves {
		return r, tooLong(n)
	}
	r.uphill = w.Direction == work.Uphill || work.MustClimbWith(r.tool, r.cutter)
	return r, nil
}

// alikeAside is a difference between steps that is only rounding, mm.
const alikeAside = 1e-9

// laneUnder returns the height that a pass along u at v leaves at (x, y), x ≥ 0,
// and the place of the pass that does it. Over a cylinder the tip's height does not
// depend on v, and is convex in u as the profile is.
func laneUnder(t work.Tool, v, x, y float64) (height, u float64) {
	if !t.Face.Cylinder {
		return t.Under(v, x, y)
	}
	w := math.Abs(y - v)
	if w > t.Worn.Radius() {
		return math.Inf(1), x
	}
	at := func(u float64) float64 { return t.Tip(u, 0) + t.Worn.ProfileWithin(exact.Dist(u-x, w)) }
	lo, hi := x-exact.HalfChord(t.Worn.Radius(), w), x
	if lo < 0 && hi > 0 {
		lo = 0 // past the apex the tip rises again
	}
	for range laneTries {
		a, b := lo+(hi-lo)/3, hi-(hi-lo)/3
		if at(a) <= at(b) {
			hi = b
		} else {
			lo = a
		}
	}
	u = (lo + hi) / 2
	if t.Corner == 0 {
		u = max(0, x-exact.HalfChord(t.Worn.Flat, w))
	}
	return at(u), u
}

// laneTries narrow a place down by a third each: to the last digits of a millimetre.
const laneTries = 80

// laneOver returns the most that a pass at v leaves above the face on the line y,
// along a board.
func laneOver(t work.Tool, b dish.Strip, v, y float64) float64 {
	most := math.Inf(-1)
	for i := range work.RidgePlaces + 1 {
		// Squared: places stand closer where a flat turns its side.
		x := float64(b.Length / 2 * exact.Square(float64(i)/work.RidgePlaces))
		z, _ := laneUnder(t, v, x, y)
		if math.IsInf(z, 1) {
			return z
		}
		most = max(most, t.Face.Over(t.Face.Distance(x, y), z))
	}
	return most
}

// lanes returns the places v ≥ 0 of the passes of a board, from the middle out; nothing
// counts on the outermost edge of a pass.
func lanes(t work.Tool, b dish.Strip, h float64) ([]float64, error) {
	half, reach := b.Width/2, t.Worn.Radius()-work.CoverEdge
	if t.Face.Cylinder {
		// Half the widest step.
		most, _ := exact.Bisect(0, reach, 50, func(y float64) bool { return laneOver(t, b, 0, y) <= h })
		n := max(0, math.Ceil((half-most)/(2*most)-work.Fuzz)) // on either side of the middle one
		if !(most > 0) || n > work.MostMoves/4 {
			return nil, tooLong(2 * n)
		}
		var vs []float64
		for k := range int(n) + 1 {
			v := 0.0
			if n > 0 {
				v = float64((half - most) * (float64(k) / n))
			}
			vs = append(vs, v)
		}
		return vs, nil
	}
	last := 0.0
	if laneOver(t, b, 0, half) > h {
		// The pass nearest to the middle that still serves the long side.
		_, last = exact.Bisect(0, half, 50, func(v float64) bool {
			return !(laneOver(t, b, v, half) <= h && half-v <= reach)
		})
	}
	vs := []float64{0}
	s := math.Sqrt(float64(8 * h * (t.Worn.Corner + t.Worn.Flat/8)))
	for v := 0.0; v < last; {
		s = t.Spacing(v, h, s)
		if !(s > 0) || len(vs) >= work.MostMoves/4 {
			return nil, tooLong(work.MostMoves)
		}
		v = min(v+s, last)
		vs = append(vs, v)
	}
	return vs, nil
}

// laneEnd returns how far from its middle a pass at v must run, so that the board's
// end is served as far as aside of it on both sides.
func laneEnd(t work.Tool, b dish.Strip, v, aside float64) float64 {
	end := 0.0
	for _, y := range [...]float64{v, v - aside, v + aside} {
		if z, u := laneUnder(t, v, b.Length/2, y); !math.IsInf(z, 1) {
			end = max(end, u)
		}
	}
	return end
}
