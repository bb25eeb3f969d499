package proof

import (
	"math"

	"dishwright/dish"
)

// HeightMap returns how high the stock stands above the face, for drawings: the square
// round the face's rim in cols by rows blocks, row 0 that of the greatest y. A block has
// the greatest height (vertical, mm) at the middles of the field's cells in it, negative
// where wood is missing; NaN where no middle of a cell in it lies on the face. The values
// are those at these places, not bounds between them. It returns nil where cols or rows
// is not positive.
func (s *Stock) HeightMap(face dish.Face, cols, rows int) [][]float64 {
	if cols < 1 || rows < 1 {
		return nil
	}
	out := make([][]float64, rows)
	for r := range out {
		out[r] = make([]float64, cols)
		for c := range out[r] {
			out[r][c] = math.NaN()
		}
	}
	side := 2 * face.Rim
	for j := range s.ny {
		for i := range s.nx {
			z := s.middleHeight[j*s.nx+i]
			x, y := s.middle(i, j)
			d := math.Hypot(x, y)
			if math.IsInf(z, -1) || !(d <= face.Rim) {
				continue
			}
			c := min(cols-1, max(0, int((x+face.Rim)/side*float64(cols))))
			r := min(rows-1, max(0, int((face.Rim-y)/side*float64(rows))))
			if h := z - face.Height(face.Distance(x, y)); !(h <= out[r][c]) {
				out[r][c] = h
			}
		}
	}
	return out
}
