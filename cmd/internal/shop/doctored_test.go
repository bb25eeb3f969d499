package shop_test

import (
	"encoding/json"
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"

	"dishwright/cam/chance"
	"dishwright/cam/job"
	"dishwright/cmd/internal/shop"
)

// good are the small jobs whose programs are doctored.
var good = map[string]order{
	"two":  smallDish("two", "bench-600", "small flat", "quarter ball"),
	"arcs": smallDish("arcs", "testdata/own-line.machine.yaml", "small flat", "quarter ball"),
	"flat": smallDish("flat", "bench-600", "auto", "small flat").with(func(o *order) { o.pins, o.bed = nil, true }),
	"hand": smallDish("hand", "bench-400", "small bull", "small bull").with(func(o *order) { o.pins = nil }),
	"inches": smallDish("inches", "inch-24", "small flat", "quarter ball").with(func(o *order) {
		o.form, o.pins, o.radius, o.covering = "caul", nil, inch(24), milli(0.5)
	}),
}

// smallDish is 1.1 mm deep, so that roughing takes two layers.
func smallDish(name, machine, rough, finish string) order {
	o := dishFor(name, milli(350), milli(56), milli(0.15), rough, finish)
	o.machine, o.long, o.shelf, o.pins = machine, milli(110), slices.Clone(smallCutters), []pin{{45, 45, 6, 8}}
	o.shelf[0].deep, o.pattern = milli(0.8), "raster" // whose rows the faults are put into
	o.shelf[1].deep, o.shelf[2].deep = milli(0.8), milli(1)
	return o
}

// sound is a good job with its programs.
type sound struct {
	order order
	job   job.Job
	texts []string
	names []string
}

// goodOnes runs each good job once.
var goodOnes = sync.OnceValues(func() (map[string]sound, error) {
	all := map[string]sound{}
	for name, o := range good {
		r, err := run(o)
		if err != nil {
			return nil, err
		}
		s := sound{order: o, job: r.Job}
		for _, t := range r.Texts[1:] { // without the air lap
			s.texts, s.names = append(s.texts, string(t.Bytes)), append(s.names, t.Name)
		}
		all[name] = s
	}
	return all, nil
})

// printed returns a result's programs: the names of their files, and their texts.
func printed(r *shop.Result) (names, texts []string) {
	for _, one := range r.Texts {
		names, texts = append(names, one.Name), append(texts, string(one.Bytes))
	}
	return names, texts
}

// prove holds texts against a job.
func prove(t *testing.T, j job.Job, names, texts []string) shop.Verdict {
	t.Helper()
	var sources []shop.Source
	for i := range texts {
		sources = append(sources, shop.Source{Name: names[i], Text: strings.NewReader(texts[i])})
	}
	v, _, err := shop.Prove(j, sources)
	require.NoError(t, err)
	return v
}

// doctored is one fault, or one change that does no harm.
type doctored struct {
	name, job string
	file      int // from 1
	// change returns the text and the line where the first bound breaks; a line 0
	// is one that the evaluator knows.
	change func(pages) (pages, int)
	kind   string // of the first finding; empty where nothing must be found, or several joined by |
	within int    // lines by which a scallop's line may be off
	judged bool   // the evaluator must say the same; without LONG it is asked of each sixth
}

func TestDoctored(t *testing.T) {
	all, err := goodOnes()
	require.NoError(t, err)
	require.GreaterOrEqual(t, len(faults()), 40)
	for name, s := range all {
		v := prove(t, s.job, s.names, s.texts)
		require.True(t, v.Proven, "%s: %v", name, v.Findings)
	}
	seen := map[string]bool{}
	judging := 0
	for _, d := range append(faults(), harmless()...) {
		if d.judged {
			judging++
		}
		judged := d.judged && (chance.Long() || judging%6 == 0)
		require.False(t, seen[d.name], d.name)
		seen[d.name] = true
		t.Run(d.name, func(t *testing.T) {
			t.Parallel()
			s := all[d.job]
			texts := slices.Clone(s.texts)
			before := strings.Split(strings.TrimSuffix(texts[d.file-1], "\n"), "\n")
			after, line := d.change(slices.Clone(before))
			texts[d.file-1] = strings.Join(after, "\n") + "\n"
			require.NotEqual(t, s.texts[d.file-1], texts[d.file-1], "nothing was changed")
			v := prove(t, s.job, s.names, texts)
			if judged {
				w := evaluate(s.order.wanted(), inBytes(texts), 8_000)
				require.Equal(t, d.kind == "", len(w.faults) == 0, "the evaluator says %v", w.faults)
			}
			if d.kind == "" {
				require.True(t, v.Proven, "accused: %v", v.Findings)
				return
			}
			require.NotEmpty(t, v.Findings, "not found")
			f := v.Findings[0]
			if line == 0 {
				line = firstFault(t, s.order.wanted(), texts, d.file)
			}
			require.Equal(t, s.names[d.file-1], f.Program, "%+v", f)
			require.Contains(t, strings.Split(d.kind, "|"), f.Kind, "%+v", f)
			require.InDelta(t, line, f.Line, float64(d.within), "%+v", f)
		})
	}
}

func inBytes(texts []string) (list [][]byte) {
	for _, t := range texts {
		list = append(list, []byte(t))
	}
	return list
}

// firstFault finds with the evaluator's own means the first line of a program
// whose motion gouges or bites too deep.
func firstFault(t *testing.T, w wanted, texts []string, file int) int {
	stock := newColumns(w.board)
	rise := 0.0
	if w.bed {
		rise = -w.board.thickness
	}
	for i, text := range texts[:file] {
		s, err := readScript([]byte(text), rise)
		require.NoError(t, err)
		c := w.tools[s.cutter]
		for k, st := range s.steps {
			if st.what != "move" || math.IsNaN(st.from[0]) {
				continue
			}
			deep, _ := w.face.deepest(c, []step{st})
			bite, _, _ := stock.run(st.sweeps(k, c), c, false)
			if i == file-1 && (deep > same || bite > c.depth) {
				return st.line
			}
		}
	}
	require.Fail(t, "the evaluator finds neither a gouge nor a bite")
	return 0
}

// deeper makes another Z in a cutting line behind the middle.
func deeper(by float64, n int) func(pages) (pages, int) {
	return func(p pages) (pages, int) {
		k := p.cut(n)
		p.add(k, "Z", -by)
		return p, k
	}
}

// replaced gives the n-th line that begins so another text.
func replaced(start string, n int, text string) func(pages) (pages, int) {
	return func(p pages) (pages, int) {
		k := p.find(start, n)
		*p.line(k) = text
		return p, k
	}
}

// lost takes the n-th line that begins so away; what then breaks is found at the
// line that began with then, counted in the text that is left.
func lost(start string, n int, then string, m int) func(pages) (pages, int) {
	return func(p pages) (pages, int) {
		k := p.find(start, n)
		q := p.without(k, k)
		if then == "" {
			return q, 0
		}
		return q, q.find(then, m)
	}
}

// firstDown returns the first line after from that goes below the blank's top.
func (p pages) firstDown(top float64) int {
	for n := 1; ; n++ {
		if l := *p.line(n); strings.HasPrefix(l, "G1") && strings.Contains(l, " Z") && p.value(n, " Z") < top {
			return n
		}
	}
}

// everyLine is for changes that every line shows.
func everyLine(change func(string) string) func(pages) (pages, int) {
	return func(p pages) (pages, int) { return p.each(change), 0 }
}

// numbered puts a line number before a line that is no comment.
func numbered() func(string) string {
	n := 0
	return func(l string) string {
		if n += 10; l == "" || l[0] == '(' {
			return l
		}
		return fmt.Sprintf("N%d %s", n%100000, l)
	}
}

// spaced puts blanks between all characters of a line that is no comment.
func spaced(l string) string {
	if l == "" || l[0] == '(' || strings.HasPrefix(l, "G64") {
		return l
	}
	return strings.Join(strings.Split(l, ""), " ")
}

// TestDoctoredFiles are faults of the set, not of one text.
func TestDoctoredFiles(t *testing.T) {
	t.Parallel()
	all, err := goodOnes()
	require.NoError(t, err)
	two := all["two"]
	w := two.order.wanted()

	t.Run("finishing without roughing", func(t *testing.T) {
		v := prove(t, two.job, two.names[1:], two.texts[1:])
		line := firstFault(t, w, two.texts[1:], 1)
		require.Equal(t, "bite", v.Findings[0].Kind)
		require.Equal(t, two.names[1], v.Findings[0].Program)
		require.InDelta(t, line, v.Findings[0].Line, 45, "the bound of the field may reach the depth a pass before the bite does")
	})
	t.Run("wrong order", func(t *testing.T) {
		v := prove(t, two.job, []string{two.names[1], two.names[0]}, []string{two.texts[1], two.texts[0]})
		require.Equal(t, "order", v.Findings[0].Kind, "what explains the others comes first")
		require.Equal(t, two.names[0], v.Findings[0].Program)
		require.Equal(t, "bite", v.Findings[1].Kind)
		require.Equal(t, two.names[1], v.Findings[1].Program)
	})
	t.Run("roughing alone", func(t *testing.T) {
		v := prove(t, two.job, two.names[:1], two.texts[:1])
		require.Len(t, v.Findings, 1)
		require.Equal(t, "scallop", v.Findings[0].Kind)
		require.Positive(t, v.Findings[0].Line)
	})
	t.Run("a clamp in the way", func(t *testing.T) {
		o := two.order.with(func(o *order) { o.pins = []pin{{10, 10, 4, 8}} })
		j, err := job.Load("job.yaml", o.yaml())
		require.NoError(t, err)
		v := prove(t, j, two.names, two.texts)
		f := v.Findings[slices.IndexFunc(v.Findings, func(f shop.Finding) bool { return f.Kind == "obstacle" })]
		require.Equal(t, two.names[0], f.Program)
		require.Equal(t, firstNear(t, o, two.texts[0]), f.Line)
	})
	t.Run("a smaller bite allowed", func(t *testing.T) {
		o := two.order.with(func(o *order) { o.shelf = slices.Clone(o.shelf); o.shelf[1].deep = milli(0.3) })
		j, err := job.Load("job.yaml", o.yaml())
		require.NoError(t, err)
		v := prove(t, j, two.names, two.texts)
		require.Equal(t, "bite", v.Findings[0].Kind)
		require.InDelta(t, firstFault(t, o.wanted(), two.texts, 1), v.Findings[0].Line, 1)
	})
	t.Run("for another job", func(t *testing.T) {
		for name, s := range all {
			if name == "inches" || name == "hand" {
				v := prove(t, two.job, s.names, s.texts)
				require.False(t, v.Proven, name)
			}
		}
	})
}

// firstNear returns the first line whose motion brings the cutter within 2 mm of
// the first hold-down of the order.
func firstNear(t *testing.T, o order, text string) int {
	s, err := readScript([]byte(text), 0)
	require.NoError(t, err)
	w := o.wanted()
	c, p := w.tools[s.cutter], w.pins[0]
	for _, st := range s.steps {
		if st.what != "move" || math.IsNaN(st.from[0]) {
			continue
		}
		for i := range 1001 {
			q := st.place(float64(i) / 1000)
			if q[2] < p.height+2 && math.Hypot(q[0]-p.x, q[1]-p.y) < c.radius()+p.radius+2-1e-3 {
				return st.line
			}
		}
	}
	require.Fail(t, "no motion comes near")
	return 0
}

// TestProveSameTwice: the same texts, the same answer, whatever the order of work.
func TestProveSameTwice(t *testing.T) {
	all, err := goodOnes()
	require.NoError(t, err)
	for _, n := range []string{"arcs", "two"} {
		s := all[n]
		a, b := prove(t, s.job, s.names, s.texts), prove(t, s.job, s.names, s.texts)
		require.Equal(t, a, b, n)
	}
}

// TestFindingKeys: what reads the JSON relies on these names.
func TestFindingKeys(t *testing.T) {
	all, err := goodOnes()
	require.NoError(t, err)
	two := all["two"]
	text, err := json.Marshal(prove(t, two.job, two.names[1:], two.texts[1:]))
	require.NoError(t, err)
	var v map[string]any
	require.NoError(t, json.Unmarshal(text, &v))
	keys := func(m any) []string { return slices.Sorted(maps.Keys(m.(map[string]any))) }
	require.Equal(t, []string{"certificate", "corner_rounding_mm", "deepest_bite_mm", "defaults", "findings", "gouge_mm", "job", "programs", "proven", "scallop", "warnings"}, keys(v))
	require.Equal(t, []string{"asked_mm", "certified_mm", "condition", "tilt_mm_per_100_mm", "undersize_mm", "x_mm", "y_mm"}, keys(v["scallop"]))
	require.Equal(t, []string{"amount_mm", "column", "kind", "line", "message", "program", "x_mm", "y_mm"}, keys(v["findings"].([]any)[0]))
}
