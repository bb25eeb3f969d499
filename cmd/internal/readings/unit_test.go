package readings

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// A radius that is as many times another one as one unit is of another is asked about: within
// 5 %, either way; no other is.
func TestAnotherUnit(t *testing.T) {
	const asks = ": was the radius mistyped, or are the readings in another unit?"
	for _, c := range []struct {
		found, asked float64
		want         string
	}{
		{300, 7620, "; it is about 25.4 times what they say, as between inches and millimetres"},
		{7620 * 25.4 * 1.04, 7620, "; they say about 25.4 times as much, as between inches and millimetres"},
		{7620, 762, "; they say about 10 times as much, as between centimetres and millimetres"},
		{762 * 0.97, 7620, "; it is about 10 times what they say, as between centimetres and millimetres"},
		{7620, 635, "; they say about 12 times as much, as between feet and inches"}, // 25 ft and 25 in
		{635, 7620, "; it is about 12 times what they say, as between feet and inches"},
		{7620, 25000, "; it is about 3.28 times what they say, as between metres and feet"}, // 25 ft and 25 m
		{25000, 7620, "; they say about 3.28 times as much, as between metres and feet"},
		{7620, 7620, ""}, {7000, 7620, ""}, {7620 * 2, 7620, ""}, {7620, 7620 * 5, ""},
		{7620 * 10.7, 7620, ""}, {7620 * 25.4 * 1.06, 7620, ""}, {7620 * 25.4 * 25.4, 7620, ""},
	} {
		if c.want != "" {
			c.want += asks
		}
		require.Equal(t, c.want, otherUnit(c.found, c.asked).String(), "%g for %g", c.found, c.asked)
	}
}
