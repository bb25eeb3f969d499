package pass

import (
	"math"
	"slices"

	"dishwright/cam/link"
	"dishwright/cam/path"
	"dishwright/cam/work"
	"dishwright/dish"
	"dishwright/dish/exact"

	"gonum.org/v1/gonum/spatial/r2"
)

// sectorLayers are the rounds of a sector, back and forth, and its borders.
//
// The axis of every layer stays within a distance of the bare sector, no greater than that of
// the layer before, and goes along all that lies so far from it: both borders, and round the apex between them. So no layer meets a
// wall of two, in whatever order its ways are cut and wherever it comes from one to the next:
// what is so near to the sector is convex, and the layer before has left nothing in it.
type sectorLayers struct {
	rounds
	by float64 // how far beyond the bare sector the axis of the last layer goes
}

// newSectorLayers returns what clears a sector, so that finishing meets no wall with its sides.
func newSectorLayers(r rounds, finish path.Cutter) sectorLayers {
	s := sectorLayers{rounds: r}
	s.by = max(0, r.piece.Over+finish.Radius()-r.tool.HalfWidth(r.left)) + s.inset()
	if r.piece.Face.Rises() { // the way in leads down a whole round
		for k := 1; k <= r.count; k++ {
			s.by = max(s.by, r.laps(k)[0])
		}
	}
	return s
}

// inset is how much further in than what is cleared anything stays that does not end at the
// very same place, mm: more than the diagonal of a cell of the field of heights in which bites
// are found, a six-hundredth of the blank or less.
func (s sectorLayers) inset() float64 {
	return max(0.5, max(s.piece.Blank.Length, s.piece.Blank.Width)/400)
}

// reach returns how far beyond the bare sector the axis of layer k goes. Round the apex of a
// hollow every setup cuts: there each layer keeps further in than the one before.
func (s sectorLayers) reach(k int) float64 {
	if s.moat > 0 {
		return s.by
	}
	return s.by + float64(float64(s.count-k)*s.inset())
}

// layLayer lays the rounds of a layer and its borders, each way from the end that is nearer.
func (s sectorLayers) layLayer(l *link.Linker, k int) {
	laps, by := s.laps(k), s.reach(k)
	if laps[0] < roomToRamp {
		return
	}
	if (by < s.boundary(k)) == s.piece.Face.Rises() && by != laps[0] {
		laps = append(laps, by)
	}
	l.Stands = link.FlatTop(min(0, s.level(k-1)+s.left)) // the rounds of the layer before ended elsewhere
	var ways []link.Stretch
	for _, d := range laps {
		ways = append(ways, lapOver(l.Builder, s.arc(d, by-s.short(d, by)), s.at(k)))
	}
	if by >= max(s.moat, s.boundary(k)) { // there is nothing but whole rounds
		cutNearest(l, ways)
		return
	}
	for _, side := range [...]int{-1, 1} {
		border := s.border(k, side)
		if s.moat == 0 {
			ways = append(ways, lapOver(l.Builder, border, s.at(k)))
			continue
		}
		// From the very end of the outermost round, which lies on a chord. The border climbs
		// there, so that the way down leads along the round.
		round := ways[0].Places
		if side > 0 {
			round = link.Turned(round)
		}
		border[0] = r2.Vec{X: round[0].X, Y: round[0].Y}
		way := lapOver(l.Builder, border, s.at(k))
		way.Lead = link.Approach{Places: round}
		ways = append(ways, way)
	}
	if s.moat > 0 && work.MustClimbWith(s.tool, s.cutter) { // no way down to a border that climbs stands beside its wall
		l.CutNearer(ways[0])
		ways = ways[1:]
	}
	cutNearest(l, ways)
}

// short returns by how much less far than to a border a round goes, so near to the middle that
// the border clears what it leaves: none on a slope that the cutter's level end rises on by
// more than may be left, nor round the apex, where it comes to the border slantwise; nor on
// the outermost round of a crown, outside which stock stands.
func (s sectorLayers) short(d, by float64) float64 {
	const slant = 1.1
	may := s.left - math.Abs(float64(s.tool.Rise(d, 0)*s.tool.Flat))
	if d <= by || d == s.moat || may < 0 {
		return 0
	}
	clears := s.tool.HalfWidth(may)
	short := max(0, clears+exact.HalfChord(clears, slant*s.levelStep()/2)-s.inset())
	// A line so far from the apex meets rounds so much more than a step apart.
	if off := math.Abs(by - short); d < off*slant/math.Sqrt(exact.Square(slant)-1) {
		return 0
	}
	return short
}

// direction returns the unit vector at so many of n equal parts of every TurnStep from the
// middle of the sector: setups that are turned run over the same places, and leave no slivers
// between their chords.
func (s sectorLayers) direction(k, n int) r2.Vec {
	step, i := k/n, k%n
	at := func(step int) r2.Vec {
		x, y := dish.UnitVector(s.piece.Tile.Sector.Middle + dish.TurnStep*step)
		return r2.Vec{X: x, Y: y}
	}
	a, b := at(step), at(step+1)
	if i < 0 {
		a, b, i = at(step), at(step-1), -i
	}
	return exact.Unit2(exact.AddScaled2(a, r2.Sub(b, a), float64(i)/float64(n)))
}

// arc returns the round at d from the apex between borders that lie by beyond the bare
// sector; a whole one from its middle where they lie beyond the round.
func (s sectorLayers) arc(d, by float64) (way []r2.Vec) {
	const turnStep = dish.TurnStep * math.Pi / 180
	n := int(math.Ceil(turnStep / math.Sqrt(8*link.RoundChord/max(d, link.RoundChord))))
	within := s.piece.Tile.Sector
	within.Margin = by
	corner := func(k int) r2.Vec { return exact.Scale2(d, s.direction(k, n)) }
	if d <= by {
		for k := range 360/dish.TurnStep*n + 1 {
			way = append(way, corner(k))
		}
		return way
	}
	half := func(sense int) (places []r2.Vec) {
		for k := 0; k <= 180/dish.TurnStep*n; k++ {
			p := corner(sense * k)
			if k > 0 {
				if in := within.Clip(places[k-1], p); len(in) > 0 && in[0].To < 1 {
					return append(places, exact.AddScaled2(places[k-1], r2.Sub(p, places[k-1]), in[0].To))
				}
			}
			places = append(places, p)
		}
		return places
	}
	return append(link.Turned(half(-1)), half(1)[1:]...)
}

// border returns the way of layer k along a border from where the rounds are whole, of a crown
// from its moat; side is 1 for the one that lies counter-clockwise from the middle. Its pieces
// are the same in every layer, but that one ends where the face comes up through the level: it
// would leave stock there.
func (s sectorLayers) border(k, side int) (way []r2.Vec) {
	by := s.reach(k)
	ux, uy := dish.UnitVector(s.piece.Tile.Sector.Middle + side*s.piece.Tile.Sector.Half)
	u, v := r2.Vec{X: ux, Y: uy}, exact.Scale2(float64(by*float64(side)), r2.Vec{X: -uy, Y: ux})
	at := func(d float64) float64 { return exact.HalfChord(d, by) }
	from, to := at(max(by, s.moat)), at(s.boundary(k))
	places := []float64{from, to, at(s.boundary(k + 1))}
	for n := math.Ceil(min(from, to) / lapPiece); float64(n*lapPiece) < max(from, to); n++ {
		places = append(places, float64(n*lapPiece))
	}
	slices.Sort(places)
	for _, a := range places {
		if a >= min(from, to) && a <= max(from, to) {
			way = append(way, exact.AddScaled2(v, u, a))
		}
	}
	if from > to {
		slices.Reverse(way)
	}
	return way
}
