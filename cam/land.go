package cam

import (
	"math"

	"dishwright/cam/pass"
	"dishwright/cam/work"
	"dishwright/dish"
	"dishwright/dish/exact"
	"dishwright/dish/extra"

	"gonum.org/v1/gonum/spatial/r2"
)

// TouchBeside returns a place where the blank's top stays as it is to the very end,
// so that it can be touched again after every change of cutter: TouchPlace's, or
// where an extra takes that another one. ok is false where there is none.
func TouchBeside(w work.Piece, set extra.Set) (x, y float64, ok bool) {
	free := func(x, y float64) float64 {
		room := set.Beside(x, y)
		for _, c := range set.CutOuts { // nor on what comes loose
			room = min(room, c.Slot.Outside(x, y)-c.Slot.Width)
		}
		return room
	}
	const least = work.TouchLand / 2
	if w.HasFace() {
		if x, y, ok = TouchPlace(w); !ok || free(x, y) >= least {
			return x, y, ok
		}
	}
	cut, l := pass.GroundOf(w.Work).Reached(w), landsOf(w)
	l.steps = besideSteps
	x, y, _, ok = roomiest(w, l.lattice(), least, func(x, y float64) float64 {
		off, _ := cut.Off(x, y)
		return min(free(x, y), w.Land(x, y), off)
	})
	return x, y, ok
}

// besideSteps are those of the lattice on which land is looked for that extras leave.
const besideSteps = 60

// leastHold is the smallest free circle of land, in mm, that a screw with
// its washer can hold down on (common practice).
const leastHold = 6.0

// halfMM rounds a coordinate to half a millimetre: near enough to find by hand.
func halfMM(v float64) float64 { return work.Plain(math.Round(2*v) / 2) }

// lands is where a free circle of land is looked for.
type lands struct {
	blank dish.Blank
	in    func(x, y float64) float64 // how far inside the blank a place lies, −Inf where it is of no use
	ways  []r2.Vec                   // the directions from the apex that are tried
	steps int                        // of a lattice over the blank
}

// beside returns places beside a region: of a disc the middle of the land in each
// direction, of any other those of a lattice, to half a millimetre.
func (l lands) beside(r dish.Region) (list []r2.Vec) {
	disc, ok := r.(dish.Disc)
	if !ok {
		return l.lattice()
	}
	for _, d := range l.ways {
		lo, _ := exact.Bisect(disc.Radius, l.blank.OuterRadius(), 40, func(far float64) bool {
			return l.in(float64(far*d.X), float64(far*d.Y)) > far-disc.Radius
		})
		list = append(list, r2.Vec{X: halfMM(float64(lo * d.X)), Y: halfMM(float64(lo * d.Y))})
	}
	return list
}

func (l lands) lattice() (list []r2.Vec) {
	at := func(wide float64, i int) float64 {
		return halfMM(float64(wide * (float64(i)/float64(l.steps) - 0.5)))
	}
	for i := range l.steps + 1 {
		for k := range l.steps + 1 {
			list = append(list, r2.Vec{X: at(l.blank.Length, i), Y: at(l.blank.Width, k)})
		}
	}
	return list
}

// roomiest returns which of some places has most room, to what the function says and to
// whatever stands about, and whether that is as much as least; of equal ones the first.
func roomiest(w work.Piece, places []r2.Vec, least float64, free func(x, y float64) float64) (x, y, room float64, ok bool) {
	standing := w.Standing()
	room = least
	for _, p := range places {
		here := free(p.X, p.Y)
		for _, h := range standing {
			here = min(here, h.Clear(p.X, p.Y))
		}
		if here >= room+1e-6 || (!ok && here >= room) {
			x, y, room, ok = p.X, p.Y, here, true
		}
	}
	return x, y, room, ok
}

// landsOf returns where to look for land that the tip reaches: in a tile's directions alone.
func landsOf(w work.Piece) lands {
	l := lands{blank: w.Blank, in: w.Land, steps: pass.GroundOf(w.Work).Lattice}
	around := work.Turn{Eighth: 9} // 72 directions
	for k := range around.Steps() {
		x, y := around.Dir(k)
		if off, _ := w.Tile.Sector.Off(x, y); off+w.Tile.Sector.Margin <= work.Fuzz {
			l.ways = append(l.ways, r2.Vec{X: x, Y: y})
		}
	}
	return l
}

// TouchPlace returns a place on the land outside of what is cut where the blank's top can
// be touched, the tip within the machine's travel: the one with most room, nearest to +X.
// Of a tile it is one of the machine, before the tile's shifts, that serves in every one of
// its setups: within the sector, so that the machine gets there.
func TouchPlace(w work.Piece) (x, y float64, ok bool) {
	cut, l := pass.GroundOf(w.Work).Reached(w), landsOf(w)
	x, y, _, ok = roomiest(w, l.beside(cut), work.TouchLand/2, func(x, y float64) float64 {
		off, _ := cut.Off(x, y)
		return min(l.in(x, y), off)
	})
	return x, y, ok
}

// HoldPlace is a place on the blank where it can be held down: the middle of a
// free circle of land.
type HoldPlace struct{ X, Y, Radius float64 }

// HoldPlaces returns where the blank can be held down: the roomiest place of
// each quarter, none where less than leastHold is free.
func HoldPlaces(w work.Piece, programs []work.Program) (places []HoldPlace) {
	keep := 0.0
	for _, pr := range programs {
		body := max(pr.Cutter.Radius(), pr.Cutter.Shank/2)
		for _, s := range pr.Sections {
			for _, m := range s.Moves {
				keep = max(keep, max(w.Region.Out(m.To.X, m.To.Y), w.Region.Out(m.From.X, m.From.Y))+body)
			}
		}
	}
	cut := w.Region.Within(keep + work.NearSide)
	bare := *w.Work
	bare.HoldDowns = nil
	w = w.Of(bare)
	x, y := w.Blank.Length/w.Blank.Width, 1.0
	n := exact.Dist(x, y)
	for _, q := range [...]r2.Vec{{X: 1, Y: 1}, {X: -1, Y: 1}, {X: -1, Y: -1}, {X: 1, Y: -1}} {
		l := lands{blank: w.Blank, in: w.Blank.Inside, ways: []r2.Vec{{X: float64(q.X * (x / n)), Y: float64(q.Y * (y / n))}}, steps: pass.GroundOf(w.Work).Lattice}
		x, y, room, ok := roomiest(w, append(l.beside(cut), l.lattice()...), leastHold, func(x, y float64) float64 {
			if x*q.X < 0 || y*q.Y < 0 {
				return math.Inf(-1)
			}
			off, _ := cut.Off(x, y)
			return min(l.in(x, y), off)
		})
		if ok {
			places = append(places, HoldPlace{x, y, math.Floor(10*room) / 10})
		}
	}
	return places
}
