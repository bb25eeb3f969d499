package measure

import (
	"math"
	"math/big"
	"strings"
)

// quantity says how one sort of quantity is written.
type quantity struct {
	name    string // "a feed"
	example string
	units   []string // for the hint where it is missing, the commonest first
	signed  bool     // may it be negative?
	max     float64
	maxText string // max, as a person writes it
	scale   int64  // of the inside unit in that of size: 60 mm/min are 1 mm/s
	// size returns the unit, written without blanks, as parse reads it.
	size func(unit string) (*big.Rat, bool)
}

// ratePerTime returns the size of `length/time`, with the times given by seconds; ipm are
// the shop's inches per minute.
func ratePerTime(seconds map[string]int64) func(string) (*big.Rat, bool) {
	return func(unit string) (*big.Rat, bool) {
		if unit == "ipm" {
			unit = "in/min"
		}
		length, time, _ := strings.Cut(unit, "/")
		u, ok := unitNames[length]
		s, known := seconds[time]
		if !ok || !known {
			return nil, false
		}
		return new(big.Rat).Quo(u.exact(), big.NewRat(s, 1)), true
	}
}

// fromTable returns the size of a unit out of a table.
func fromTable(sizes map[string]int64) func(string) (*big.Rat, bool) {
	return func(unit string) (*big.Rat, bool) {
		s, ok := sizes[unit]
		return big.NewRat(s, 1), ok
	}
}

var (
	times = map[string]int64{
		"s": 1, "sec": 1, "second": 1, "seconds": 1,
		"min": 60, "minute": 60, "minutes": 60,
	}
	// feeds and accelerations are read in mm/s and mm/s²; a feed is then made mm/min.
	feedForm = quantity{"a feed", "5000 mm/min, 200 in/min or 80 mm/s", []string{"mm/min", "in/min", "mm/s"}, false, 1e6 / 60, "1000000 mm/min", 60, ratePerTime(times)}
	accForm  = quantity{"an acceleration", "250 mm/s2 or 10 in/s2", []string{"mm/s2", "in/s2"}, false, 1e6, "1000000 mm/s2", 1,
		ratePerTime(map[string]int64{"s2": 1, "s^2": 1, "s/s": 1})}
	timeForm  = quantity{"a time", "5 s or 2 min", []string{"s", "min"}, false, 86400, "1440 min", 1, fromTable(times)}
	angleForm = quantity{"an angle", "3 deg", []string{"deg"}, true, 360, "360 deg", 1,
		fromTable(map[string]int64{"deg": 1, "degree": 1, "degrees": 1})}
)

// choices returns the units that the quantity without one may have.
func (q quantity) choices() (list []unitChoice) {
	for _, name := range q.units {
		size, _ := q.size(name)
		list = append(list, unitChoice{name: name, size: size.Mul(size, big.NewRat(q.scale, 1))})
	}
	return list
}

// read reads a quantity of a range and returns it in the inside unit.
func (q quantity) read(s, written string, r Range) (float64, error) {
	v, e := q.parse(s, written, r)
	if e != nil {
		return 0, e
	}
	return toFloat(v.Mul(v, big.NewRat(q.scale, 1))), nil
}

// parse reads a quantity and returns it in the unit of size, exactly.
func (q quantity) parse(s, written string, r Range) (*big.Rat, *Error) {
	t, e := normalize(s, q.example)
	if e != nil {
		return nil, e
	}
	n, rest, e := scan(t, written, q.example)
	if e != nil {
		return nil, e
	}
	if rest == "" {
		return nil, newError(r.unitHint(n, q.choices(), q.example), "%s has no unit", Quote(written))
	}
	size, ok := q.size(strings.ReplaceAll(rest, " ", ""))
	if !ok {
		return nil, newError("write it like "+q.example, "%s is not %s: the unit %s is not known here", Quote(written), q.name, Quote(rest))
	}
	if n.negative && !q.signed {
		return nil, newError("write it like "+q.example, "%s is %s below zero", Quote(written), q.name)
	}
	v := n.value.Mul(n.value, size)
	if math.Abs(toFloat(v)) > q.max {
		return nil, newError("the most that is read is "+q.maxText, "%s is too large", Quote(written))
	}
	return v, nil
}

// ParseFeed reads a feed of 0 to 1e6 mm/min, such as `5000 mm/min`,
// `200 in/min`, `200 ipm` or `80 mm/s`, and returns it in mm/min.
func ParseFeed(s string) (float64, error) {
	return Range{}.Feed(s)
}

// ParseAcceleration reads an acceleration of 0 to 1e6 mm/s², such as
// `250 mm/s2`, `250 mm/s^2` or `10 in/s2`, and returns it in mm/s².
func ParseAcceleration(s string) (float64, error) {
	return Range{}.Acceleration(s)
}

// ParseSeconds reads a time of 0 to one day, such as `5 s` or `2 min`, and
// returns it in seconds.
func ParseSeconds(s string) (float64, error) {
	return Range{}.Seconds(s)
}

// ParseAngle reads an angle within 360 degrees either way, such as `3 deg`, and
// returns it in radians.
func ParseAngle(s string) (float64, error) {
	v, err := angleForm.read(strings.ReplaceAll(s, "°", " deg"), s, Range{})
	return float64(v * (math.Pi / 180)), err
}
