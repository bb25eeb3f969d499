package job_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// What is made, of which blank, held how, on which machine has another mark each time; how it
// is cut has not. The mark of a job stays what it was: programs on a builder's shelf bear it.
func TestMarks(t *testing.T) {
	indexed := "setups: 4\nindex by: two fences\nindex error: 0.1 mm, 0.05 deg\n"
	hold := "hold downs: [{x: 262 mm, y: 262 mm, radius: 5 mm, height: 5 mm%s}]\n"
	fence := "obstacles: [{from: [-200 mm, 290 mm], to: [200 mm, 290 mm], width: 10 mm, height: 5 mm%s}]\n"
	in := func(text, more string) string { return strings.Replace(text, "%s", more, 1) }
	top := "top points: [{x: -200 mm, y: -200 mm, z: 0.1 mm}, {x: 200 mm, y: -200 mm, z: 0 mm}, {x: 0 mm, y: 220 mm, z: %s mm}]\n"
	texts := []string{
		short, strings.Replace(short, "25 ft", "7.7 m", 1), strings.Replace(short, "500 mm", "501 mm", 1), strings.Replace(short, "550", "551", 1),
		strings.Replace(short, "thickness: 25", "thickness: 26", 1), strings.Replace(short, "size: 550 mm", "shape: octagon, size: 550 mm", 1), strings.Replace(short, "size: 550 mm", "length: 550 mm, width: 540 mm", 1),
		strings.Replace(short, "bench-600", "wide-1250", 1), short + "form: caul\n", short + "covering: 0.6 mm\n", short + "zero: centre-bed\n",
		short + in(hold, ""), short + in(strings.Replace(hold, "262", "263", 1), ""), short + in(strings.Replace(hold, "height: 5", "height: 6", 1), ""),
		short + in(fence, ""), short + in(strings.Replace(fence, "width: 10", "width: 12", 1), ""), short + in(strings.Replace(fence, "200 mm, 290 mm]", "200 mm, 291 mm]", 2), ""),
		short + indexed, short + strings.Replace(indexed, "setups: 4", "setups: 2", 1), short + strings.Replace(indexed, "two fences", "marks", 1),
		short + indexed + in(hold, ""), short + indexed + in(hold, ", setup: 1"), short + indexed + in(hold, ", setup: 2"), short + indexed + in(fence, ""), short + indexed + in(fence, ", setup: 1"),
		short + in(top, "0"), short + in(top, "0.05"), short + "skim: 0.5 mm\n", short + "skim: 0.6 mm\n",
		short + "extras: {centre hole: 8 mm}\n", short + "extras: {centre hole: 9 mm}\n", short + "extras: {centre lines: 0.3 mm}\n", short + "extras: {centre lines: 0.4 mm}\n",
		short + "extras: {cut out: {tabs: 4}}\n", short + "extras: {cut out: {tabs: 5}}\n", short + "extras: {holes: [{diameter: 6 mm, circle: 520 mm, count: 4}]}\n",
		board, strings.Replace(board, "width: 80 mm", "width: 81 mm", 1), strings.Replace(board, "length: 400 mm", "length: 401 mm", 1), board + "curve: cylindrical\nscallop: 0.2 mm\n",
		gaugeOf("25 ft", sheet, ""), gaugeOf("25 ft", sheet, "engrave: 0.4 mm\n"), gaugeOf("24 ft", sheet, ""),
	}
	seen := map[string]string{}
	for _, text := range texts {
		mark := load(t, text).Mark()
		require.Len(t, mark, 8)
		require.Empty(t, seen[mark], "the same mark as of\n%s", text)
		seen[mark] = text
	}
	for _, more := range []string{"name: other\n", "scallop: 0.2 mm\n", "pattern: rings\n", "direction: uphill\n", "allowance: 0.5 mm\n", "finish: half-inch ball\n", "floor: 6 mm\n", "zero error: 0.02 mm\n", "land: 5 mm\n", "undersize: 0.02 mm\n", "zero: centre-top\n"} {
		require.Equal(t, load(t, short).Mark(), load(t, short+more).Mark(), more)
	}
	for _, tt := range [][2]string{{short, "6d53128c"}, {short + indexed + in(hold, ", setup: 2"), "24285948"}, {board, "8ad4d07b"},
		{short + in(fence, "") + "zero: centre-bed\nextras: {centre hole: 8 mm, centre lines: 0.3 mm}\n", "c63dfa3c"}} {
		require.Equal(t, tt[1], load(t, tt[0]).Mark(), tt[0])
	}
	// A ten-millionth of a millimetre makes no other piece.
	j := load(t, short)
	near := j
	near.Work.Blank.Thickness += 1e-9
	require.Equal(t, j.Mark(), near.Mark())
	near.Work.Blank.Thickness += 1e-6
	require.NotEqual(t, j.Mark(), near.Mark())
}
