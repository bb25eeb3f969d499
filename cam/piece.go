package cam

// Piece is what one setup cuts: a work or a tile of it, and by which method. Nothing changes
// the work that it holds.
type Piece struct {
	*Work
	Method
	Tile *Tile // the part of the face; nil for all of it
}

// Method is how a face is cut: what its job says, and what has been chosen where it says
// nothing.
type Method struct {
	Rough   string  // a name on the shelf, Auto for any, or empty where nothing is roughed
	Finish  string  // a name on the shelf, or Auto for any
	Pattern string  // of the finishing passes, or Auto
	Share   float64 // of what the scallops may have, that the passes are spaced for; at most 1
}

// Whole returns the whole of a work, as its job says it, with passes as wide apart as may be.
func Whole(w *Work) Piece {
	return Piece{Work: w, Method: Method{w.Rough, w.Finish, w.Pattern, 1}}
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
	p.Tile = &t
	return p
}

// Over returns the piece with its tile's passes running so far beyond the bare sector, mm.
func (p Piece) Over(by float64) Piece {
	t := *p.Tile
	t.Over = by
	return p.In(t)
}
