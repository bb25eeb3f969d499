package rim

import (
	"math"

	"dishwright/dish/exact"

	"gonum.org/v1/gonum/spatial/r2"
)

// Block is a head or tail block: its outer face lies against the inside of the
// sides, on the centre line.
type Block struct {
	Name         string
	Outer, Inner float64 // distance of its two faces from the tail, mm
}

// HeadBlock and TailBlock return the block of a thickness (mm, from the inside of
// the sides inward).
func (b Body) HeadBlock(thickness float64) Block {
	x := b.Outline.Length() - b.Sides
	return Block{"head", x, x - thickness}
}

// TailBlock is HeadBlock at the other end.
func (b Body) TailBlock(thickness float64) Block {
	return Block{"tail", b.Sides, b.Sides + thickness}
}

// Thickness returns how thick the block is, mm.
func (k Block) Thickness() float64 { return math.Abs(k.Outer - k.Inner) }

// Gaps are what a straightedge on the centre line shows at a block's outer face,
// mm: how far it lies above the block there.
type Gaps struct {
	OverBoth float64 // laid over both blocks: it rests on their inner edges
	Level    float64 // held level from the block's inner edge
	Rocked   float64 // rocked onto the block about its inner edge: along the slope there
}

// BlockGaps returns the gaps at a block's outer face, given the other block. Both is
// t(S + t)/2R and Rocked t²/2R to second order, t the thickness, S the distance
// between the two inner edges; here they are exact for the dome's own height.
func (b Body) BlockGaps(k, other Block) Gaps {
	at := func(x float64) float64 { return b.Top.Height(r2.Vec{X: x}) }
	inner, outer, otherInner := at(k.Inner), at(k.Outer), at(other.Inner)
	_, rise := b.Top.Surface(r2.Vec{X: k.Inner})
	return Gaps{
		OverBoth: inner + float64((k.Outer-k.Inner)*((inner-otherInner)/(k.Inner-other.Inner))) - outer,
		Level:    inner - outer,
		Rocked:   inner + float64((k.Outer-k.Inner)*rise.X) - outer,
	}
}

// EdgeGaps returns the same two gaps across the rim's edge at a station, from the
// lining's inner edge to the outside of the side, mm.
func (b Body) EdgeGaps(s Station) (level, rocked float64) {
	inner := s.Inward(b.EdgeWidth())
	z, rise := b.Top.Surface(inner)
	return z - s.Top, z + float64(b.EdgeWidth()*exact.Dot2(rise, s.Normal)) - s.Top
}

// BlockCut is how a block is sawn: its heights at the two faces and the bevels of
// its ends, radians, positive where the outer face is the lower at the top and the
// higher at the back.
type BlockCut struct {
	OuterHeight, InnerHeight float64
	TopBevel, BackBevel      float64
}

// BlockCut returns how a block is sawn.
func (b Body) BlockCut(k Block) BlockCut {
	o, i := r2.Vec{X: k.Outer}, r2.Vec{X: k.Inner}
	to, ti, bo, bi := b.Top.Height(o), b.Top.Height(i), b.Back.Height(o), b.Back.Height(i)
	t := k.Thickness()
	return BlockCut{to - bo, ti - bi, math.Atan((ti - to) / t), math.Atan((bo - bi) / t)}
}
