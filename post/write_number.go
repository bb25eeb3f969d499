package post

import (
	"fmt"
	"math"
	"strconv"
)

// lattice prints coordinates as whole numbers of the program's smallest step,
// so that what is read back is what was planned, to the last digit.
type lattice struct {
	step     float64 // mm
	decimals int
}

// latticeTolerance is the share of a step by which a planned coordinate may miss its
// lattice: far more than float64 rounding does, far less than a wrong number.
const latticeTolerance = 1e-3

// append adds the coordinate v (mm, from the program's own zero) to the line.
func (l lattice) append(line []byte, v float64) ([]byte, error) {
	n := math.Round(v / l.step)
	if !(math.Abs(n) < 1e12) {
		return line, fmt.Errorf("a coordinate is %g, not a length", v)
	}
	if math.Abs(v/l.step-n) > latticeTolerance {
		return line, fmt.Errorf("the coordinate %.9g mm does not lie on the program's steps of %g mm", v, l.step)
	}
	return appendDecimal(line, int64(n), l.decimals), nil
}

// appendDecimal adds n / 10^decimals, without needless zeros or a minus zero.
func appendDecimal(line []byte, n int64, decimals int) []byte {
	if n < 0 {
		line = append(line, '-')
		n = -n
	}
	unit := int64(1)
	for range decimals {
		unit *= 10
	}
	line = strconv.AppendInt(line, n/unit, 10)
	rest := n % unit
	if rest == 0 {
		return line
	}
	line = append(line, '.')
	for unit /= 10; rest > 0; unit /= 10 {
		line = append(line, byte('0'+rest/unit))
		rest %= unit
	}
	return line
}
