package job

import (
	"fmt"
	"strings"
	"testing"

	"dishwright/cam/job/key"
	"dishwright/dish/measure"
	"dishwright/dish/measure/strict"

	"github.com/stretchr/testify/require"
)

// What is suggested for a value without its unit, key by key, as a builder in mm and one
// in inches would leave it out.
func TestUnitsByKey(t *testing.T) {
	for path, cases := range map[string][][2]string{
		"radius":                 {{"28", "28 ft"}, {"15", "15 ft"}, {"7620", "7620 mm"}, {"9", "9 m"}},
		"diameter":               {{"24", "24 in"}, {"600", "600 mm"}, {"18 1/2", "18 1/2 in"}},
		"blank/thickness":        {{"1", "1 in"}, {"25", "25 mm"}, {"3/4", "3/4 in"}},
		"blank/size":             {{"24", "24 in"}, {"650", "650 mm"}},
		"scallop":                {{"0.1", "0.1 mm"}, {"0.004", "0.004 in"}},
		"covering":               {{"0.6", "0.6 mm"}, {"0.025", "0.025 in"}},
		"floor":                  {{"12", "12 mm"}, {"1/2", "1/2 in"}},
		"allowance":              {{"0.4", "0.4 mm"}, {"0.015", "0.015 in"}},
		"zero error":             {{"0.05", "0.05 mm"}, {"0.002", "0.002 in"}},
		"undersize":              {{"0.05", "0.05 mm"}, {"0.002", "0.002 in"}},
		"land":                   {{"10", "10 mm"}, {"1", "1 in"}},
		"plate":                  {{"3", "3 mm"}, {"1/8", "1/8 in"}},
		"hold downs/1/x":         {{"-235", "-235 mm"}, {"9", "9 in"}},
		"hold downs/1/height":    {{"15", "15 mm"}, {"1", "1 in"}},
		"obstacles/1/from/1":     {{"-200", "-200 mm"}, {"8", "8 in"}},
		"top points/2/z":         {{"0.12", "0.12 mm"}, {"-0.005", "-0.005 in"}},
		"shelf/one/diameter":     {{"1/2", "1/2 in"}, {"6", "6 mm"}, {"0.25", "0.25 in"}},
		"shelf/a/b/diameter":     {{"1/2", "1/2 in"}},
		"shelf/one/corner":       {{"1/4", "1/4 in"}, {"6", "6 mm"}},
		"shelf/one/flute length": {{"25", "25 mm"}, {"1", "1 in"}},
		"shelf/one/chip load":    {{"0.05", "0.05 mm"}, {"0.004", "0.004 in"}},
		"shelf/one/depth of cut": {{"3", "3 mm"}, {"1/8", "1/8 in"}, {"0.125", "0.125 in"}},
		"shelf/one/stick out":    {{"35", "35 mm"}, {"1 3/8", "1 3/8 in"}, {"2", "2 in"}},
		"shelf/one/shank":        {{"8", "8 mm"}, {"1/4", "1/4 in"}},
		"extras/centre hole":     {{"6", "6 mm"}, {"1/4", "1/4 in"}},
		"extras/holes/1/circle":  {{"480", "480 mm"}, {"19", "19 in"}},
		"top/radius":             {{"28", "28 ft"}},
		"depth/head":             {{"80", "80 mm"}, {"3 1/4", "3 1/4 in"}},
		"outline/points/3/1":     {{"30", "30 mm"}},
		"braces/lower cross/to":  {{"390", "390 mm"}, {"15", "15 in"}},
		"clamps/each":            {{"8", "8 s"}},
		"glue/open time":         {{"8", "8 min"}},
		"no such key":            {{"8", "8 mm"}},
	} {
		for _, c := range cases {
			read := func(s string) error { _, err := Keys().Expected(path).Length(s); return err }
			if k, _ := Keys().Find(path); k.Is(key.Time) {
				read = func(s string) error { _, err := Keys().Expected(path).Seconds(s); return err }
			}
			var e *measure.Error
			require.ErrorAs(t, read(c[0]), &e)
			require.True(t, strings.HasPrefix(e.Hint+" ", "write the unit: "+c[1]+" "), "%s: %s: %s", path, c[0], e.Hint)
		}
	}
}

// The loader tells its documents what it expects: the likeliest is named first, and a job
// with any of what is named is read.
func TestMissingUnits(t *testing.T) {
	tried := 0
	for _, k := range Keys().All() {
		if !k.Is(key.Length) {
			continue
		}
		path, changes := concrete(k)
		bare, _, _ := strings.Cut(k.Example, " ")
		if strings.Contains(bare, "/") { // half an inch
			bare = "0.5"
		}
		faults := readWith(t, k.Forms[0], append(append([]string{}, changes...), path+"="+bare)...)
		_, list, found := strings.Cut(faults, "hint: write the unit: ")
		if with := readWith(t, k.Forms[0], append(append([]string{}, changes...), path+"="+k.Example)...); with != "" {
			continue // it cannot stand there alone
		}
		require.True(t, found, "%s=%s: %s", path, bare, faults)
		tried++
		list, _, _ = strings.Cut(list, "\n")
		for _, value := range strings.Split(list, " or ") {
			again := readWith(t, k.Forms[0], append(append([]string{}, changes...), path+"="+value)...)
			require.NotContains(t, again, "out of range", "%s=%s", path, value)
			require.NotContains(t, again, "no unit", "%s=%s", path, value)
		}
	}
	require.Greater(t, tried, 75)
	var faults strict.Faults
	_, err := Load("job.yaml", []byte("radius: 28\ndiameter: 24\n"))
	require.ErrorAs(t, err, &faults)
	require.Contains(t, fmt.Sprint(faults), "write the unit: 28 ft\n")
}
