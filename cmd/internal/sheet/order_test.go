package sheet

import (
	"context"
	"encoding/json"
	"fmt"
	"html"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"dishwright/cam/job"
	"dishwright/cmd/internal/shop"
)

// orderJobs are jobs whose lists differ in all that a list may say.
var orderJobs = map[string]string{
	"plain, long names": "name: Süßes [odd] ; name\nmachine: bench-600\nextras: {centre hole: 8 mm}\n",
	"hand router":       "machine: bench-400\ntouch off: {on: corner, block: 0.1 mm}\n",
	"inches, a skim":    "machine: inch-24\nskim: 0.6 mm\n",
	"about a pin":       "machine: desktop-300\nsetups: 3\nindex by: pin\nextras: {centre hole: 8 mm}\nindex error: 0.1 mm, 0.05 deg\n",
	"by marks, two":     "machine: desktop-300\nsetups: 2\nindex by: marks\nindex error: 0.1 mm, 0.05 deg\n",
}

const orderShelf = `scallop: 0.3 mm
pattern: raster
spindle tilt: 0 mm per 100 mm
undersize: 0 mm
rough: a flat <&> "one"
finish: a flat <&> "one"
shelf:
  a flat <&> "one": {shape: flat, diameter: 16 mm, flutes: 2, flute length: 20 mm, speed: 18000, chip load: 0.06 mm, depth of cut: 3 mm}
  straight: {shape: flat, diameter: 6 mm, flutes: 2, flute length: 28 mm, speed: 18000, chip load: 0.05 mm, depth of cut: 2.5 mm, shank: 6 mm, stick out: 34 mm}
`

// told is what one of the outputs says of one program: what is done before it, what of
// that is not as it was, and what it asks.
type told struct {
	file, program string
	before        []string
	again         []bool
	asked         []string
}

// words are a text with its white space as single spaces.
func words(s string) string { return strings.Join(strings.Fields(s), " ") }

// fromOrder reads order.txt.
func fromOrder(t *testing.T, data []byte) (list []told) {
	t.Helper()
	item := regexp.MustCompile(`^\[( |=)\] +(\d+:) (.*)$`)
	head := regexp.MustCompile(`^Program (\d+) of \d+.*: (\S+\.ngc)$`)
	for _, r := range string(data) {
		require.True(t, r == '\n' || r >= ' ' && r <= '~', "plain ASCII")
	}
	asking := false
	for line := range strings.Lines(string(data)) {
		line = strings.TrimSuffix(line, "\n")
		require.LessOrEqual(t, len(line), 72, line)
		if m := head.FindStringSubmatch(line); m != nil {
			list, asking = append(list, told{file: m[2], program: m[1]}), false
			continue
		}
		if len(list) == 0 {
			continue
		}
		now := &list[len(list)-1]
		switch m := item.FindStringSubmatch(line); {
		case m != nil:
			now.before, now.again = append(now.before, m[2]+" "+m[3]), append(now.again, m[1] == " ")
		case strings.HasSuffix(line, "stops and asks:"):
			asking = true
		case strings.HasPrefix(line, "[ ] Yes: "):
			asking = false
		case asking:
			now.asked = append(now.asked, strings.TrimSpace(line))
		case strings.HasPrefix(line, "        "):
			now.before[len(now.before)-1] += " " + strings.TrimSpace(line)
		}
	}
	return list
}

// fromHead reads a program.
func fromHead(t *testing.T, text string) (one told) {
	t.Helper()
	_, list, ok := strings.Cut(text, "(Before this program is started:)\n")
	require.True(t, ok)
	number := regexp.MustCompile(`^\(\d+: `)
	for line := range strings.Lines(list) {
		if line = strings.TrimSpace(line); !strings.HasPrefix(line, "(") || strings.HasPrefix(line, "(CAUTION") {
			break
		}
		if number.MatchString(line) {
			one.before = append(one.before, "")
		}
		one.before[len(one.before)-1] = words(one.before[len(one.before)-1] + " " + strings.Trim(line, "()"))
	}
	for _, m := range regexp.MustCompile(`(?m)^\(MSG, (.*)\)$`).FindAllStringSubmatch(text, -1) {
		one.asked = append(one.asked, m[1])
	}
	return one
}

// order.txt, the sheet, the heads and the JSON, read back, say the same of every program.
func TestOneListForAll(t *testing.T) {
	for name, text := range orderJobs {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			blank := "radius: 5 m\ndiameter: 100 mm\nblank: {size: 160 mm, thickness: 25 mm}\n"
			if strings.Contains(text, "setups") {
				blank = "radius: 5 m\ndiameter: 240 mm\nblank: {size: 290 mm, thickness: 25 mm}\n"
			}
			j, err := job.Load("job.yaml", []byte(text+blank+orderShelf))
			require.NoError(t, err)
			r, err := shop.Run(context.Background(), j)
			require.NoError(t, err)
			require.Empty(t, r.Report.Broken)

			list := fromOrder(t, r.OrderText())
			require.Len(t, list, len(r.Texts))
			data, err := json.Marshal(r.Report)
			require.NoError(t, err)
			var report struct{ Order []shop.BenchStep }
			require.NoError(t, json.Unmarshal(data, &report))
			require.Len(t, report.Order, len(r.Texts))
			page := html.UnescapeString(string(Of(r)))
			var steps []string // each after the number of its program
			for i, part := range strings.Split(page, ">Program ")[1:] {
				for _, m := range regexp.MustCompile(`<li dir="auto">(\d+: .*?)(?: <b>|</li>)`).FindAllStringSubmatch(part, -1) {
					steps = append(steps, fmt.Sprintf("%d, %s", i+1, m[1]))
				}
			}
			for i, text := range r.Texts {
				head, one, in := fromHead(t, string(text.Bytes)), list[i], report.Order[i]
				require.Equal(t, []string{text.Name, fmt.Sprint(i + 1)}, []string{one.file, one.program})
				require.Equal(t, text.Name, in.File)
				require.Equal(t, head.before, one.before, "the head and order.txt")
				require.Equal(t, head.before, in.Before(), "the head and the JSON")
				require.Equal(t, head.asked, one.asked)
				var said []string
				for _, a := range in.Answers {
					said = append(append(said, a.Told...), a.Message)
					require.NotEmpty(t, a.Yes)
					require.Contains(t, page, fmt.Sprintf("asks in line %d \"%s\" Yes: %s.", a.Line, a.Message, a.Yes))
					for _, one := range a.Told {
						require.Contains(t, page, ` "`+one+`"`)
					}
				}
				require.Equal(t, head.asked, said)
				for k, s := range one.before {
					if !one.again[k] {
						continue
					}
					want := fmt.Sprintf("%d, %s", i+1, s)
					require.NotEmpty(t, steps)
					require.Equal(t, want, steps[0], "the sheet")
					steps = steps[1:]
				}
				if i == 0 {
					require.NotContains(t, one.again, false, "all is to be done at first")
				}
			}
			require.Empty(t, steps)
		})
	}
}
