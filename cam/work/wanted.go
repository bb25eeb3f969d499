package work

import (
	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// Extras is what is to be cut beside the face, as the job asks for it: what, not how.
type Extras struct {
	Holes   []HoleWanted
	Lines   *LinesWanted
	CutOuts []CutOutWanted
	Letters []LettersWanted
	Runs    []RunWanted
}

// Empty reports whether nothing is asked for.
func (e Extras) Empty() bool {
	return len(e.Holes)+len(e.CutOuts)+len(e.Letters)+len(e.Runs) == 0 && e.Lines == nil
}

// HoleWanted is a round hole. Cutter is a name on the shelf, empty where any will
// do; then a hole that no cutter suits is left out with a warning.
type HoleWanted struct {
	Name     string // what it is called
	Key      Key    // where the job asks for it
	Group    string // what all holes of its circle are called
	X, Y     float64
	Diameter float64
	Depth    float64 // 0 goes through the blank
	Cutter   string
}

// LinesWanted are the scribed centre lines, along X and along Y.
type LinesWanted struct {
	Key    Key
	Depth  float64
	Face   bool // over the face too; else on the land alone
	Cutter string
}

// CutOutWanted is something cut out of the blank along a closed line.
type CutOutWanted struct {
	Name      string
	Key       Key
	Group     string   // of cut-outs that are laid together
	Line      []r2.Vec // counter-clockwise, the first point not repeated
	Chord     float64  // how far the line may leave the edge that is wanted
	Tabs      []r2.Vec // places on the line, in its sense
	TabLength float64
	TabHeight float64
	Cutter    string
}

// LettersWanted is a text of strokes.
type LettersWanted struct {
	Name    string
	Key     Key
	Group   string // of texts that are laid together
	Strokes [][]r2.Vec
	Depth   float64
	Widest  float64 // of a stroke
	Cutter  string
}

// RunWanted is a straight run of a cutter that leaves a mark to be measured, with others in
// the order in which they are cut. Cutter is a name on the shelf.
type RunWanted struct {
	Name     string
	From, To r3.Vec // of the tip
	Aside    r2.Vec // a unit vector: the last way in the air before the tip comes down; zero where any will do
	Cutter   string
}

// Skimmed is what is taken off the whole of the blank's top before anything else; the
// zero value takes nothing. The blank's thickness is what is left after it, and Z = 0 its
// new top.
type Skimmed struct {
	Off    float64 // from the highest place of the raw top, mm
	Cutter string  // a name on the shelf; empty where any with a level end will do
}
