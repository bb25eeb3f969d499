package work

import "dishwright/dish"

// Piece is what one setup cuts: a tile of a work, and by which method. Nothing changes the
// work that it holds.
type Piece struct {
	*Work
	Method
	Tile Tile
}

// Method is how a face is cut: what its job says, and what has been chosen where it says
// nothing.
type Method struct {
	Rough   string  // a name on the shelf, Auto for any, or empty where nothing is roughed
	Finish  string  // a name on the shelf, or Auto for any
	Pattern string  // of the finishing passes, or Auto
	Share   float64 // of what the scallops may have, that the passes are spaced for; at most 1
	Over    float64 // of a tile: how far beyond its bare sector the finishing axis runs, mm; 0 where the steps decide
}

// Whole returns the whole of a work, as its job says it, with passes as wide apart as may be.
func Whole(w *Work) Piece {
	return Piece{Work: w, Tile: all, Method: Method{Rough: w.Rough, Finish: w.Finish, Pattern: w.Pattern, Share: 1}}
}

// Of returns the same piece of another work.
func (p Piece) Of(w Work) Piece {
	p.Work = &w
	return p
}

// By returns the piece cut by another method.
func (p Piece) By(m Method) Piece {
	p.Method = m
	return p
}

// In returns the part of the piece that lies in a tile.
func (p Piece) In(t Tile) Piece {
	p.Tile = t
	return p
}

// Divided reports whether the piece is not all of its work: others are cut in other setups.
func (p Piece) Divided() bool { return p.Tile.Sector != dish.Everything }

// Part returns the part of the face that counts in the piece.
func (p Piece) Part() dish.Region {
	if p.Divided() {
		return p.Tile.Sector
	}
	return p.Region
}
