package readings

import (
	"math"

	"dishwright/dish/measure"
)

// slips are how many times as long a length is that was taken in another unit.
var slips = [...]struct {
	times float64
	units string
}{
	{25.4, "inches and millimetres"},
	{10, "centimetres and millimetres"},
	{12, "feet and inches"},
	{1 / 0.3048, "metres and feet"},
}

// asSlip is by which share a radius may differ from such a one and still look like it.
const asSlip = 0.05

// otherUnit asks, after what readings give, about a radius that is as many times the one asked
// for as one unit is of another, or as small a part of it; of any other it says nothing.
func otherUnit(found, asked float64) measure.Said {
	ratio, what := found/asked, "they say about %s times as much"
	if ratio < 1 {
		ratio, what = 1/ratio, "it is about %s times what they say"
	}
	for _, s := range slips {
		if math.Abs(ratio/s.times-1) <= asSlip {
			return measure.Say("; "+what+", as between %s: was the radius mistyped, or are the readings in another unit?", measure.FormatShort(s.times, 2), s.units)
		}
	}
	return measure.Say("")
}
