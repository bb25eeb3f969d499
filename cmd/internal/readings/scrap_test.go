package readings_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dishwright/cmd/internal/readings"
	"dishwright/dish"
	"dishwright/dish/measure"
	"dishwright/dish/scrap"
)

// Whatever stands in a table, it is read, or a fault says where; nothing panics and no number
// comes of what is not one.
func TestAnyScrapTable(t *testing.T) {
	l, err := scrap.Plan(scrap.Given{Body: dish.Body{Flat: 12.7}})
	require.NoError(t, err)
	cell := rapid.SampledFrom([]string{"", "0", "1", "3", "5", "12.6", "12.61", "63.4", "31.4", "-1", "1e300", "nan", "inf", "x", "1,2", "A"})
	rapid.Check(t, func(t *rapid.T) {
		var b strings.Builder
		b.WriteString(rapid.SampledFrom([]string{"mark,length_mm,scrap\n", "mark,length_in,scrap\n", "scrap,mark,length_mm\n", "mark,length_mm\n"}).Draw(t, "head"))
		for range rapid.IntRange(0, 60).Draw(t, "rows") {
			letter := rapid.SampledFrom([]string{"A", "B", "E", "F", "J", "K", "N", "P", "Q", "z", ""}).Draw(t, "mark")
			fmt.Fprintf(&b, "%s,%s,%s\n", letter, cell.Draw(t, "length"), rapid.SampledFrom([]string{"12345678", "12345678", "12345678", "other", ""}).Draw(t, "scrap"))
		}
		s, err := readings.ReadScrap("any.csv", []byte(b.String()))
		if err == nil {
			var list []scrap.Reading
			if list, err = s.Of(&l, measure.Ruler{}); err == nil {
				r := readings.JudgeScrap(&l, list, readings.LeavesOf("MDF", 0.02, 0.5))
				r.Certify(nil)
				require.NotContains(t, fmt.Sprint(r.Answer(measure.Ruler{})), "NaN")
				return
			}
		}
		require.Contains(t, err.Error(), "any.csv:")
	})
}

// A table that is far too long is refused: what is worked out grows with its square.
func TestLongScrapTable(t *testing.T) {
	_, err := readings.ReadScrap("long.csv", []byte("mark,length_mm,scrap\n"+strings.Repeat("A,12.6,12345678\n", 501)))
	require.ErrorContains(t, err, "long.csv:502:1: 501 readings of one scrap are too many")
}

// Readings of each mark alone, taken once, are judged by what the wood leaves; identical ones
// by the step.
func TestScrapReadOnce(t *testing.T) {
	l, err := scrap.Plan(scrap.Given{Body: dish.Body{Flat: 12.7}})
	require.NoError(t, err)
	for times := 1; times <= 3; times += 2 {
		var list []scrap.Reading
		for i, m := range l.Marks {
			for range times {
				list = append(list, scrap.Reading{Mark: i, Length: m.Nominal})
			}
		}
		r := readings.JudgeScrap(&l, list, readings.LeavesOf("MDF", 0.02, 0.5))
		r.Certify(nil)
		for _, s := range []readings.Share{r.TiltX, r.TiltY, r.ScaleX, r.ScaleY, r.ScaleZ} {
			require.True(t, s.Read)
			require.False(t, s.Resolved)
			require.Nil(t, s.Value)
			require.Greater(t, *s.AtMost, 0.0)
		}
		require.GreaterOrEqual(t, *r.Undersize.AtMost, 0.0099, "%d times", times)
		require.Empty(t, r.Lines)
	}
}
