package job

import (
	"errors"
	"fmt"
	"math"
	"regexp"
	"slices"
	"strings"
	"testing"

	"dishwright/cam"
	"dishwright/cam/job/key"
	"dishwright/cam/work"
	"dishwright/dish/measure/strict"
	"dishwright/machines"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// faultsOf returns what is wrong with a job of a form.
func faultsOf(form, text string) strict.Faults {
	var err error
	if form == key.Rim || form == key.Mould {
		_, err = LoadRim("job.yaml", []byte(text))
	} else {
		_, err = Load("job.yaml", []byte(text))
	}
	if err == nil {
		return nil
	}
	return err.(strict.Faults)
}

// entries splits the inside of {a: b, c: {d: e}} at its own commas.
func entries(flow string) (list []string) {
	depth, from := 0, 0
	inside := flow[1 : len(flow)-1]
	for i, r := range inside {
		switch r {
		case '{', '[':
			depth++
		case '}', ']':
			depth--
		case ',':
			if depth == 0 {
				list = append(list, strings.TrimSpace(inside[from:i]))
				from = i + 1
			}
		}
	}
	return append(list, strings.TrimSpace(inside[from:]))
}

// added are the keys that hints ask for: `add KEY: VALUE`.
var added = regexp.MustCompile(`(?m)^add ([a-z ]+): (.*)$`)

// What is suggested where keys are missing may be written: a job of any form that lacks some
// is read without a fault once every hint is followed.
func TestMissingKeysMayBeAdded(t *testing.T) {
	tried := 0
	rapid.Check(t, func(t *rapid.T) {
		form := rapid.SampledFrom([]string{key.Dish, key.Caul, key.Board, key.Gauge, key.Pair, key.Mould}).Draw(t, "form")
		kept := []string{"name: a job"}
		for _, line := range strings.Split(strings.TrimSpace(plainJobs[form]), "\n") {
			if strings.HasPrefix(line, "form") || strings.HasPrefix(line, "cut") || strings.HasPrefix(line, "outline") || rapid.IntRange(0, 3).Draw(t, line) > 0 {
				kept = append(kept, line)
			}
		}
		text := strings.Join(kept, "\n") + "\n"
		for range 3 { // what is added may itself lack something
			faults := faultsOf(form, text)
			for _, f := range faults {
				m := added.FindStringSubmatch(f.Hint)
				if m == nil || strings.Contains(f.Message, " in ") {
					t.Fatalf("%s\n%v", text, f)
				}
				text += m[1] + ": " + m[2] + "\n"
				tried++
			}
		}
		require.Empty(t, faultsOf(form, text), text)
	})
	require.Greater(t, tried, 30)
}

// The same of what a cutter, a blank, a hold-down, a hole lacks.
func TestMissingKeysOfMapsMayBeAdded(t *testing.T) {
	tried := map[string]int{}
	holders := []struct{ form, before, map1, after string }{
		{key.Dish, "shelf: {one: ", "{shape: flat, diameter: 1 in, flutes: 2, flute length: 12 mm, speed: 16000, chip load: 0.10 mm, depth of cut: 2 mm}", "}"},
		{key.Dish, "shelf: {one: ", "{shape: bull, diameter: 1 1/4 in, corner: 1/4 in, flutes: 2, flute length: 1/2 in, speed: 14000, chip load: 0.004 in, depth of cut: 1/16 in}", "}"},
		{key.Board, "shelf: {one: ", "{shape: ball, diameter: 3 mm, flutes: 2, flute length: 8 mm, speed: 18000, chip load: 0.03 mm, depth of cut: 1 mm, shank: 6 mm, stick out: 14 mm, core: 1 mm}", "}"},
		{key.Dish, "hold downs: [", "{x: 290 mm, y: 290 mm, radius: 6 mm, height: 15 mm}", "]"},
		{key.Dish, "obstacles: [", "{from: [-200 mm, 340 mm], to: [200 mm, 340 mm], width: 20 mm, height: 15 mm}", "]"},
		{key.Caul, "extras: {holes: [", "{diameter: 6 mm, circle: 480 mm, count: 6}", "]}"},
		{key.Dish, "extras: {centre hole: ", "{diameter: 6 mm, depth: 3 mm}", "}"},
		{key.Dish, "extras: {centre lines: ", "{depth: 0.3 mm, cutter: half-inch ball}", "}"},
		{key.Dish, "top points: [{x: 100 mm, y: 150 mm, z: 0.1 mm}, {x: 200 mm, y: -200 mm, z: 0 mm}, ", "{x: 0 mm, y: 220 mm, z: -0.1 mm}", "]"},
		{key.Dish, "touch off: ", "{on: corner, block: 0.1 mm}", ""},
		{key.Rim, "braces: {one: ", "{from: [250 mm, -140 mm], to: [390 mm, 120 mm], width: 8 mm, end height: 3 mm}", "}"},
		{key.Rim, "dish: ", "{radius: 28 ft, diameter: 620 mm}", ""},
		{key.Rim, "board: ", "{length: 500 mm, width: 80 mm}", ""},
	}
	for _, h := range holders {
		all := entries(h.map1)
		for some := 1; some < 1<<len(all); some++ { // every part of them
			var kept []string
			for i, e := range all {
				if some>>i&1 == 1 {
					kept = append(kept, e)
				}
			}
			job := func() string {
				return plainJobs[h.form] + h.before + "{" + strings.Join(kept, ", ") + "}" + h.after + "\n"
			}
			for _, f := range faultsOf(h.form, job()) {
				m := added.FindStringSubmatch(f.Hint)
				if m == nil && strings.HasPrefix(h.before, "obstacles") {
					continue // with a height alone it is taken for a round thing
				}
				require.NotNil(t, m, "%s\n%v", job(), f)
				kept = append(kept, m[1]+": "+m[2])
				tried[h.before]++
			}
			require.Empty(t, faultsOf(h.form, job()), job())
		}
		require.Positive(t, tried[h.before], h.before)
	}
}

// A cutter of which only the shape and the diameter are known is completed by hints that suit
// it, in the builder's unit, without a fault and with nothing for check to warn of.
func TestCuttersByShapeAndDiameter(t *testing.T) {
	seen := map[string]map[string]bool{}
	for _, inches := range []bool{false, true} {
		text := "radius: 25 ft\ndiameter: 480 mm\nblank: {size: 560 mm, thickness: 25 mm}\nmachine: bench-600\n"
		if inches {
			text = "radius: 25 ft\ndiameter: 19 in\nblank: {size: 22 in, thickness: 1 in}\nmachine: inch-24\n"
		}
		for _, shape := range []string{"flat", "ball", "bull"} {
			for d := 3.0; d <= 50; d++ {
				cutter := fmt.Sprintf("shape: %s, diameter: %s", shape, work.Written(d, false))
				if inches {
					cutter = fmt.Sprintf("shape: %s, diameter: %.4f in", shape, d/25.4)
				}
				for _, f := range faultsOf(key.Dish, text+"shelf: {one: {"+cutter+"}}\n") {
					m := added.FindStringSubmatch(f.Hint)
					require.NotNil(t, m, f)
					if unit := " mm"; m[1] != "flutes" && m[1] != "speed" {
						if inches {
							unit = " in"
						}
						require.True(t, strings.HasSuffix(m[2], unit), "%s of %s: %s", m[1], cutter, m[2])
					}
					if seen[m[1]] == nil {
						seen[m[1]] = map[string]bool{}
					}
					seen[m[1]][m[2]] = true
					cutter += ", " + m[1] + ": " + m[2]
				}
				j, err := Load("job.yaml", []byte(text+"shelf: {one: {"+cutter+"}}\n"))
				require.NoError(t, err, cutter)
				c := j.Work.Shelf[0]
				require.Empty(t, cam.Sense(work.Whole(&j.Work), []work.Program{{Cutter: c, Sections: []work.Section{{Purpose: work.Roughing, Feeds: work.Feeds{ChipLoad: c.ChipLoad}}}}}), cutter)
				_, _, ok := j.Work.Machine.SpindleSpeed(c.Speed)
				require.True(t, ok, "the spindle turns as slowly: %s", cutter)
				require.True(t, slices.Contains(j.Work.Machine.Collets, c.Shank))
			}
		}
	}
	for _, name := range []string{"flute length", "chip load", "depth of cut", "corner"} {
		require.Greater(t, len(seen[name]), 4, "%s is suggested by diameter: %v", name, seen[name])
	}
	require.Greater(t, len(seen["speed"]), 2)
}

// A speed within the spindle's range is suggested, and a face and a blank within the machine's.
func TestSuggestionsSuitTheMachine(t *testing.T) {
	for _, name := range machines.BuiltinNames() {
		m, _ := machines.Builtin(name)
		var speed float64
		for _, f := range faultsOf(key.Dish, "radius: 25 ft\nmachine: "+name+"\nshelf: {one: {shape: flat, diameter: 6 mm}}\n") {
			if v, ok := strings.CutPrefix(f.Hint, "add diameter: "); ok {
				j, err := Load("job.yaml", []byte("radius: 25 ft\ndiameter: "+v+"\nblank: {size: 2 m, thickness: 30 mm}\nmachine: "+name+"\n"))
				require.NoError(t, err)
				require.Less(t, j.Diameter.MM, min(m.Travel.X, m.Travel.Y))
				require.Equal(t, m.Unit == machines.Inches, strings.HasSuffix(v, " in"), v)
			}
			if v, ok := strings.CutPrefix(f.Hint, "add speed: "); ok {
				fmt.Sscan(v, &speed)
			}
		}
		require.GreaterOrEqual(t, speed, m.Spindle.Slowest)
		require.LessOrEqual(t, speed, m.Spindle.Fastest)
	}
	for text, want := range map[string]string{
		"radius: 25 ft\ndiameter: 1200 mm\n":                                                  "add machine: wide-1250",
		"radius: 25 ft\ndiameter: 15 in\n":                                                    "add machine: inch-24",
		"radius: 12 ft\ndiameter: 24 in\nblank: {width: 26 in}\n":                             "add length: 27 in",
		"form: board\nradius: 25 ft\nlength: 500 mm\nwidth: 80 mm\nblank: {length: 600 mm}\n": "add width: 140 mm",
	} {
		hints := ""
		for _, f := range faultsOf(key.Dish, text) {
			hints += f.Hint + "\n"
		}
		require.Contains(t, hints, want, text)
	}
}

// hinted are values that a hint names for the key it stands at, or for another.
var (
	written   = regexp.MustCompile(`write ([a-z ]+): (.+?)(?:$|; |, )`)
	meant     = regexp.MustCompile(`^did you mean "(.*)"\?$`)
	oneOf     = regexp.MustCompile(`^it is one of (.*)$`)
	fromTo    = regexp.MustCompile(`^(?:rpm, )?from (.*?) to (.*?)(?:;.*)?$`)
	unitsLack = regexp.MustCompile(`^write the unit: (.*)$`)
)

// remedies are the values that a hint names for the key `name`.
func remedies(name, hint string) (values []string) {
	if m := written.FindStringSubmatch(hint); m != nil && m[1] == name {
		values = append(values, m[2])
	}
	for _, re := range []*regexp.Regexp{meant, fromTo} {
		if m := re.FindStringSubmatch(hint); m != nil {
			values = append(values, m[1:]...)
		}
	}
	if m := oneOf.FindStringSubmatch(hint); m != nil {
		values = append(values, strings.Split(m[1], ", ")...)
	}
	if m := unitsLack.FindStringSubmatch(hint); m != nil {
		values = append(values, strings.Split(m[1], " or ")...)
	}
	return values
}

// Whatever is wrong with a key: a value that its hint names does not bring the same fault.
func TestHintsMayBeFollowed(t *testing.T) {
	all := Keys().All()
	followed := 0
	rapid.Check(t, func(t *rapid.T) {
		k := rapid.SampledFrom(all).Draw(t, "key")
		form := rapid.SampledFrom(k.Forms).Draw(t, "form")
		way, changes := concrete(k)
		bad := rapid.SampledFrom([]string{
			rapid.StringMatching(`[0-9]{1,4}(\.[0-9]{1,3})?`).Draw(t, "number"),
			rapid.StringMatching(`-?[0-9]{1,6} (mm|in|ft|m|deg|s|min)`).Draw(t, "length"),
			rapid.SampledFrom([]string{"0", "0 mm", "1e3 mm", "centre-tpo", "autto", "roundd", "bal", "1/2", "2 1/4", "12,5 mm", "1,000 mm", "+4 mm", "6-1/2 in"}).Draw(t, "other"),
		}).Draw(t, "value")
		load := func(value string) strict.Faults {
			var list []strict.Change
			for _, c := range append(append([]string{}, changes...), way+"="+value) {
				one, err := strict.ParseChange(c, "--set "+c)
				if err != nil {
					return nil
				}
				list = append(list, one)
			}
			var err error
			if form == key.Rim || form == key.Mould {
				_, err = LoadRim("job.yaml", []byte(plainJobs[form]), list...)
			} else {
				_, err = Load("job.yaml", []byte(plainJobs[form]), list...)
			}
			if err == nil {
				return nil
			}
			return err.(strict.Faults)
		}
		for _, f := range load(bad) {
			if f.File != "--set "+way+"="+bad {
				continue
			}
			what := strings.ReplaceAll(f.Message, bad, "")
			for _, value := range remedies(k.Name(), f.Hint) {
				followed++
				for _, again := range load(value) {
					if strings.ReplaceAll(again.Message, value, "") == what && again.File == "--set "+way+"="+value {
						t.Fatalf("%s=%s: %v\nstill with %s: %v", way, bad, f, value, again)
					}
				}
			}
		}
	})
	require.Greater(t, followed, 50)
}

// Where a cutter's own words are wrong, what the hint writes is right.
func TestCutterHintsMayBeFollowed(t *testing.T) {
	base := map[string]string{"shape": "bull", "diameter": "12 mm", "corner": "2 mm", "flutes": "2", "flute length": "20 mm", "speed": "16000", "chip load": "0.05 mm", "depth of cut": "2 mm"}
	text := func(with map[string]string) string {
		var list []string
		for _, k := range []string{"shape", "diameter", "corner", "flutes", "flute length", "speed", "chip load", "depth of cut", "core", "stick out"} {
			if v, ok := with[k]; ok {
				list = append(list, k+": "+v)
			}
		}
		return plainJobs[key.Dish] + "shelf: {one: {" + strings.Join(list, ", ") + "}}\n"
	}
	require.Empty(t, faultsOf(key.Dish, text(base)))
	for _, bad := range [][2]string{{"stick out", "15 mm"}, {"core", "12 mm"}, {"corner", "6 mm"}, {"corner", "0 mm"}} {
		with := map[string]string{bad[0]: bad[1]}
		for k, v := range base {
			if k != bad[0] {
				with[k] = v
			}
		}
		faults := faultsOf(key.Dish, text(with))
		require.Len(t, faults, 1)
		m := regexp.MustCompile(bad[0] + `: ([0-9./]+ (?:mm|in))`).FindStringSubmatch(faults[0].Hint)
		require.NotNil(t, m, faults[0].Hint)
		with[bad[0]] = m[1]
		require.Empty(t, faultsOf(key.Dish, text(with)), "%s: %s", bad[0], m[1])
	}
}

// would finds a value that a refusal says would do.
var would = regexp.MustCompile(`a (width|floor|blank|scallop|radius|diameter) of at (?:most|least) ([\d.]+ (?:mm|in))`)

// A value that a refusal of the planner names is taken by its key, and with it that refusal goes.
func TestValuesThatWouldDo(t *testing.T) {
	followed := map[string]int{}
	rapid.Check(t, func(t *rapid.T) {
		unit := rapid.SampledFrom([]string{"mm", "in"}).Draw(t, "unit")
		length := func(name string, low, high float64) string {
			mm := math.Exp(rapid.Float64Range(math.Log(low), math.Log(high)).Draw(t, name))
			if unit == "in" {
				return fmt.Sprintf("%.3f in", mm/25.4)
			}
			return fmt.Sprintf("%.2f mm", mm)
		}
		text := "name: a job\nmachine: wide-1250\nrough: one\nfinish: one\npattern: raster\nspindle tilt: 0.05 mm per 100 mm\n" +
			"shelf: {one: {shape: flat, diameter: " + length("cutter", 6, 40) + ", flutes: 2, flute length: 12 mm, speed: 16000, chip load: 0.10 mm, depth of cut: 2 mm, shank: 12.7 mm}}\n" +
			"radius: " + length("radius", 300, 6000) + "\nscallop: " + length("scallop", 0.01, 0.3) + "\nfloor: " + length("floor", 3, 30) + "\n"
		size := "size: 400 mm"
		if rapid.Bool().Draw(t, "board") {
			size = "shape: rectangle, length: 400 mm, width: 300 mm"
			text += "form: board\ncurve: cylindrical\nlength: 150 mm\nwidth: " + length("width", 10.1, 150) + "\n"
		} else {
			text += "diameter: " + length("diameter", 30, 500) + "\n"
		}
		text += "blank: {" + size + ", thickness: " + length("thickness", 10, 80) + "}\n"
		refused := func(changes ...strict.Change) (strict.Faults, error) {
			j, err := Load("job.yaml", []byte(text), changes...)
			if err != nil {
				return nil, err
			}
			p := work.Whole(&j.Work)
			p.Method = work.Method{Rough: "one", Finish: "one", Pattern: "raster"}
			var faults strict.Faults
			if _, err := cam.Make(p); errors.As(j.Locate(err), &faults) {
				return faults, nil
			}
			return nil, nil
		}
		faults, err := refused()
		if err != nil {
			return // such as a sphere that is not wide enough
		}
		for _, f := range faults {
			for _, m := range would.FindAllStringSubmatch(f.Hint, -1) {
				key := m[1]
				if key == "blank" {
					key = string(work.KeyThickness)
				}
				change, err := strict.ParseChange(key+"="+m[2], "--set "+key)
				require.NoError(t, err)
				again, err := refused(change)
				require.NoError(t, err, "%s\n%v", text, f)
				for _, g := range again {
					require.NotEqual(t, digits.ReplaceAllString(f.Message, ""), digits.ReplaceAllString(g.Message, ""), "%s\n%v\n%s: %s\n%v", text, f, key, m[2], g)
				}
				followed[key]++
			}
		}
	})
	for _, key := range []work.Key{work.KeyWidth, work.KeyFloor, work.KeyThickness, work.KeyScallop, work.KeyRadius, work.KeyDiameter} {
		require.Positive(t, followed[string(key)], key)
	}
}

// digits are what two refusals of one kind differ by.
var digits = regexp.MustCompile(`[\d.]+`)

// A key that is not known is no extra that several setups do not make.
func TestUnknownExtraInSetups(t *testing.T) {
	const text = "radius: 20 ft\ndiameter: 560 mm\nblank: {size: 620 mm, thickness: 25 mm}\nmachine: bench-400\nsetups: auto\nindex error: 0.1 mm, 0.05 deg, height 0.02 mm\n"
	faults := faultsOf(key.Dish, text+"extras: {centre hloe: 8 mm}\n")
	require.Len(t, faults, 1, "%v", faults)
	require.Equal(t, `did you mean "centre hole"?`, faults[0].Hint)
	require.Len(t, faultsOf(key.Dish, text+"extras: {centre lines: 0.3 mm}\n"), 1)
}
