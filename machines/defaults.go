package machines

import (
	"math"
	"strings"

	"dishwright/dish/measure"
	"dishwright/dish/measure/keys"

	"gonum.org/v1/gonum/spatial/r3"
)

// What is taken and suggested where a profile is silent: common practice, from memory, in
// round numbers of its unit.

// slowerZ is how many times slower than X the Z of a hobby router is.
const slowerZ = 3

// pick returns the value for the unit, the one in inches as mm.
func (u Unit) pick(mm, in float64) float64 {
	if u == Inches {
		return float64(in*254) / 10 // rounded once for whole inches, as the reader does
	}
	return mm
}

// usualTravel is what a travel may look like.
func (u Unit) usualTravel() r3.Vec {
	return r3.Vec{X: u.pick(600, 24), Y: u.pick(600, 24), Z: u.pick(90, 3.5)}
}

// usualFeed is what a feed may look like: one that most hobby routers keep.
func (u Unit) usualFeed() r3.Vec {
	f := u.pick(3000, 120)
	return r3.Vec{X: f, Y: f, Z: u.feedOfZ(f)}
}

// feedOfZ is the feed of Z where that of X and Y alone is stated, in whole mm/min or
// in/min; at least the least that a profile may state.
func (u Unit) feedOfZ(x float64) float64 {
	return max(key("feed/z").Least, u.pick(math.Floor(x/slowerZ), math.Floor(x/slowerZ/Inches.MM())))
}

// usualRounding is taken where nothing is said of the controller.
func (u Unit) usualRounding() float64 { return u.pick(0.02, 0.001) }

// usualAcceleration is by the size of the machine: small ones with light drives and large
// ones with strong ones differ by about that much.
func (m Machine) usualAcceleration() r3.Vec {
	u, longer := m.Unit, max(m.Travel.X, m.Travel.Y)
	a := u.pick(250, 10)
	switch {
	case longer <= 450:
		a = u.pick(150, 6)
	case longer > 900:
		a = u.pick(400, 16)
	}
	const lift = 0.6 // of X: Z lifts the spindle
	return r3.Vec{X: a, Y: a, Z: float64(lift * a)}
}

// kind says what the spindle is.
func (s Spindle) kind() string {
	if len(s.Dial) > 0 {
		return "a hand router"
	}
	return "a driven spindle"
}

// quantities are the units that a kind of value is written in, in mm and in inches, and
// how it is read.
var quantities = map[keys.Kind]struct {
	units [2]string
	read  func(string) (float64, error)
}{
	keys.Length: {[2]string{"mm", "in"}, func(s string) (float64, error) {
		l, err := measure.ParseLength(s)
		return l.MM, err
	}},
	keys.Feed:         {[2]string{"mm/min", "in/min"}, measure.ParseFeed},
	keys.Acceleration: {[2]string{"mm/s2", "in/s2"}, measure.ParseAcceleration},
	keys.Time:         {[2]string{"s", "s"}, measure.ParseSeconds},
	keys.Slope:        {[2]string{"mm per 100 mm", "mm per 100 mm"}, measure.ParseSlope},
	keys.Number:       {[2]string{"rpm", "rpm"}, nil}, // every plain number is a speed
}

// quantity returns how a value under the key is written in the unit: the name of its unit,
// and one of it in the inside unit.
func (u Unit) quantity(k keys.Key) (kind keys.Kind, name string, size float64) {
	for _, kind = range k.Kinds {
		if q, ok := quantities[kind]; ok {
			name, size = q.units[u], 1
			if q.units[0] != q.units[1] {
				size = u.MM()
			}
			return kind, name, size
		}
	}
	return k.Kinds[0], "", 1
}

// round writes a value of a key in the unit, to about a micrometre and its like, for a
// hint.
func (u Unit) round(k keys.Key, v float64) string {
	_, name, size := u.quantity(k)
	digits := 3
	if size != 1 {
		digits = 4
	}
	return strings.TrimSpace(measure.FormatShort(v/size, digits) + " " + name)
}

// like writes the example of a key, a length, in the unit.
func (u Unit) like(k keys.Key) string {
	l, err := measure.ParseLength(k.Example)
	if err != nil || u == Millimetres {
		return k.Example
	}
	text, _ := measure.Fraction(l.MM, 4)
	return text
}

// vector writes a value for each axis as it stands under a key.
func (u Unit) vector(path string, v r3.Vec) string {
	k := key(path + "/x")
	return "{x: " + u.exact(k, v.X) + ", y: " + u.exact(k, v.Y) + ", z: " + u.exact(k, v.Z) + "}"
}
