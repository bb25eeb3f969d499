package sketch_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"dishwright/cmd/internal/sketch"
	"dishwright/dish/measure/strict"
)

var xy = []sketch.Column{{Name: "x", Needed: true}, {Name: "y", Needed: true}}

func TestTable(t *testing.T) {
	for name, text := range map[string]string{
		"commas":       "x_mm,y_mm\n0,1.5\n25.4,-3\n",
		"inches":       "x_in,y_mm\n0,1.5\n1,-3\n",
		"fractions":    "x_in,y_cm\n0,0.15\n 2/2, -0.3\n",
		"other order":  "y_mm,x_mm\n1.5,0\n-3,25.4\n",
		"semicolons":   "x_mm;y_mm\n0;1.5\n25.4;-3\n",
		"tabs":         "x_mm\ty_mm\n0\t1.5\n25.4\t-3\n",
		"windows":      "x_mm,y_mm\r\n0,1.5\r\n25.4,-3\r\n",
		"mark":         "\xef\xbb\xbfx_mm,y_mm\n0,1.5\n25.4,-3",
		"comments":     "# invented\n\nx_mm,y_mm\n# the tail\n0,1.5\n\n25.4,-3\n",
		"quoted note":  "\xef\xbb\xbf\"# one, two; three\"\r\nx_mm,y_mm\r\n0,1.5\r\n25.4,-3\r\n",
		"blanks":       "x_mm, y_mm\n 0 , 1.5\n25.4 ,-3 \n",
		"quoted plain": "x_mm,y_mm\n\"0\",1.5\n25.4,-3\n",
	} {
		t.Run(name, func(t *testing.T) {
			v, err := sketch.Table("t.csv", []byte(text), xy...)
			require.NoError(t, err)
			require.Equal(t, []float64{0, 25.4}, v.MM("x"))
			require.InDeltaSlice(t, []float64{1.5, -3}, v.MM("y"), 1e-12)
			require.Equal(t, 2, v.Rows())
			require.Nil(t, v.MM("z"))
		})
	}
	v, err := sketch.Table("t.csv", []byte("# one\nx_mm,y_mm\n# two\n0,1\n\n3,4\n"), xy...)
	require.NoError(t, err)
	require.Equal(t, [2]int{4, 6}, [2]int{v.Line(0), v.Line(1)})
}

func TestWrongTables(t *testing.T) {
	for _, tt := range []struct{ text, at, message string }{
		{"", "1:1", "empty"},
		{"# nothing\n", "1:1", "empty"},
		{"x,y\n1,2\n", "1:1", `the column "x" is not known`},
		{"x_mm,z_mm\n1,2\n", "1:6", `the column "z_mm" is not known`},
		{"x_mm,x_in,y_mm\n1,2,3\n", "1:6", "comes twice"},
		{"x_mm\n1\n", "1:1", "no column y"},
		{"x_mm,y_mm\n1,two\n", "2:3", `"two" is no number`},
		{"x_mm,y_mm\n1,NaN\n", "2:3", "no number"},
		{"x_mm,y_mm\n1,1e309\n", "2:3", "no number"},
		{"x_mm,y_mm\n1,0x10\n", "2:3", "no number"},
		{"x_mm,y_mm\n1,１\n", "2:3", "no number"},
		{"x_mm,y_mm\n1,\n", "2:3", "no number"},
		{"x_mm,y_mm\n1,2\n3\n", "3:1", "1 number for 2 columns"},
		{"x_mm,y_mm\n1,5,2,5\n", "2:1", "4 numbers for 2 columns"},
		{"x_mm;y_mm\n1,5;2\n", "2:1", "no number"},
		{"x_mm,y_mm\n\"1,2\n", "2", "no table"},
		{"PK\x03\x04\x14\x00\x06", "1:1", "no table of plain text"},
	} {
		t.Run(tt.text, func(t *testing.T) {
			_, err := sketch.Table("t.csv", []byte(tt.text), xy...)
			var faults strict.Faults
			require.ErrorAs(t, err, &faults)
			f := faults[0]
			require.True(t, strings.HasPrefix(fmt.Sprintf("%d:%d", f.Line, f.Column), tt.at), "%+v", f)
			require.Contains(t, f.Message, tt.message)
			require.NotEmpty(t, f.Hint)
			require.Equal(t, "t.csv", f.File)
		})
	}
	_, err := sketch.Table("t.csv", []byte("x_mm,y_mm\n1,a\nb,2\n"), xy...)
	var faults strict.Faults
	require.True(t, errors.As(err, &faults))
	require.Len(t, faults, 2, "all at once")
	_, err = sketch.Table("t.csv", []byte("x_mm,y_mm\n"+strings.Repeat("1,2\n", sketch.MostRows+1)), xy...)
	require.ErrorContains(t, err, "too long")
}

func TestSVGFile(t *testing.T) {
	d, line, column, err := sketch.SVGFile("a.svg", []byte("<svg>\n  <g><path stroke='red'\n d='M0 0L1 1'/></g></svg>"))
	require.NoError(t, err)
	require.Equal(t, "M0 0L1 1", d)
	require.Equal(t, [2]int{2, 6}, [2]int{line, column})
	for text, message := range map[string]string{
		"<svg/>":     "no path",
		"no drawing": "no path",
		"<svg><path d='M0 0'/><path d=''/></svg>":          "a second path",
		"<svg transform='scale(2)'><path d='M0 0'/></svg>": "transform",
		"<svg><path d='M0 0'>":                             "no SVG file",
		"<svg>&bomb;</svg>":                                "no SVG file",
	} {
		_, _, _, err := sketch.SVGFile("a.svg", []byte(text))
		var faults strict.Faults
		require.ErrorAs(t, err, &faults, text)
		require.Contains(t, faults[0].Message, message, text)
		require.NotEmpty(t, faults[0].Hint)
	}
}

func FuzzTable(f *testing.F) {
	f.Add("x_mm,y_mm\n1,2\n")
	f.Add("x_in;y_mm\n1 1/2;-2\n# end")
	f.Fuzz(func(t *testing.T, text string) {
		v, err := sketch.Table("t.csv", []byte(text), xy...)
		if err != nil {
			var faults strict.Faults
			require.ErrorAs(t, err, &faults)
			for _, one := range faults {
				require.True(t, one.Hint != "" || one.Line == 0, "no hint: %s", one.Message)
			}
			return
		}
		require.Len(t, v.MM("y"), v.Rows())
	})
}

// A column of words stands as it is, its name without a unit; lengths beside it keep theirs.
func TestWordsOfTables(t *testing.T) {
	columns := []sketch.Column{{Name: "place", Count: true}, {Name: "x", Sparse: true}, {Name: "set", Text: true, Needed: true}}
	v, err := sketch.Table("t.csv", []byte("place,x_in,set\n3,1, 6f9f6ca0\n4,,\"a, b\"\n5,2,\n"), columns...)
	require.NoError(t, err)
	require.Equal(t, []string{"6f9f6ca0", "a, b", ""}, v.Text("set"))
	require.Nil(t, v.Text("x"))
	require.Nil(t, v.MM("set"))
	require.InDelta(t, 25.4, v.MM("x")[0], 1e-12)
	line, column := v.At("set", 1)
	require.Equal(t, [2]int{3, 4}, [2]int{line, column})
	_, err = sketch.Table("t.csv", []byte("place,x_in\n3,1\n"), columns...)
	require.ErrorContains(t, err, "there is no column set")
	_, err = sketch.Table("t.csv", []byte("place,x_in,set_mm\n3,1,a\n"), columns...)
	require.ErrorContains(t, err, `the column "set_mm" is not known`)
}
