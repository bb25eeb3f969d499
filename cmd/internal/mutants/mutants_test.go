package mutants

import (
	"cmp"
	"encoding/json"
	"fmt"
	"go/ast"
	"go/importer"
	"go/parser"
	"go/token"
	"go/types"
	"maps"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"sort"
	"strconv"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"
)

// root is the module's folder, seen from here.
const root = "../../.."

// changed are the rooms whose sources are changed.
var changed = []string{"dish", "cam", "cam/path", "cam/proof", "post"}

// find returns all places where the rooms can be changed.
func find(t *testing.T) (sites []site) {
	fset := token.NewFileSet()
	from := importer.ForCompiler(fset, "source", nil)
	for _, room := range changed {
		names, err := filepath.Glob(filepath.Join(root, room, "*.go"))
		require.NoError(t, err)
		var files []*ast.File
		var paths, texts []string
		for _, name := range names {
			if strings.HasSuffix(name, "_test.go") {
				continue
			}
			text, err := os.ReadFile(name)
			require.NoError(t, err)
			f, err := parser.ParseFile(fset, name, text, 0)
			require.NoError(t, err)
			files, paths, texts = append(files, f), append(paths, name), append(texts, string(text))
		}
		info := &types.Info{Types: map[ast.Expr]types.TypeAndValue{}, Uses: map[*ast.Ident]types.Object{}}
		_, err = (&types.Config{Importer: from}).Check("dishwright/"+room, fset, files, info)
		require.NoError(t, err)
		for i, f := range files {
			one := finder{fset: fset, info: info, text: texts[i], name: paths[i], named: map[types.Object]int{}}
			ast.Inspect(f, one.visit)
			sites = append(sites, one.sites...)
		}
	}
	return sites
}

// before reports whether p goes into a text before q: ends before beginnings; of
// beginnings the outer one first, of ends the inner one.
func before(p, q insertion) bool {
	switch {
	case p.offset != q.offset:
		return p.offset < q.offset
	case p.behind != q.behind:
		return p.behind
	case p.span != q.span:
		return p.behind == (p.span < q.span)
	}
	return p.behind == (p.order > q.order)
}

// switched writes the sources with every drawn change behind its switch, and returns the
// file that tells the builder of them. Changes are numbered from 1.
func switched(t *testing.T, dir string, drawn []site) string {
	puts := map[string][]insertion{}
	for i, s := range drawn {
		for _, p := range s.put {
			p.text = strings.ReplaceAll(p.text, "ID", strconv.Itoa(i+1))
			puts[s.file] = append(puts[s.file], p)
		}
	}
	replace := map[string]string{}
	for file, list := range puts {
		text, err := os.ReadFile(file)
		require.NoError(t, err)
		sort.SliceStable(list, func(i, j int) bool { return before(list[i], list[j]) })
		var out strings.Builder
		done := 0
		for _, p := range list {
			out.Write(text[done:max(done, p.offset)])
			out.WriteString(p.text)
			done = max(done, p.offset+p.drop)
		}
		out.Write(text[done:])
		written := out.String()
		if head := strings.Index(written, "import"); !strings.Contains(written, `"dishwright/dish/exact"`) {
			written = written[:head] + "import \"dishwright/dish/exact\"\n" + written[head:]
		}
		to := filepath.Join(dir, strings.NewReplacer("/", "_", ".", "").Replace(file)+".go")
		require.NoError(t, os.WriteFile(to, []byte(written), 0o666))
		full, err := filepath.Abs(file)
		require.NoError(t, err)
		replace[full] = to
	}
	own, err := filepath.Abs(filepath.Join(root, "dish/exact/switch.go"))
	require.NoError(t, err)
	replace[own], err = filepath.Abs("testdata/switch.txt")
	require.NoError(t, err)
	data, err := json.Marshal(map[string]any{"Replace": replace})
	require.NoError(t, err)
	name := filepath.Join(dir, "overlay.json")
	require.NoError(t, os.WriteFile(name, data, 0o666))
	return name
}

// TestMutants draws MUTANTS changes with the seed MUTANT_SEED and runs the tests on each:
// those that come by it, the quickest first. It says what caught how many and lists what
// nothing did; those are to be read by hand, for many change nothing that can be seen.
// MUTANT_AT=cam/work.go:151,... tries the changes of those lines instead, with the tests of
// whole jobs left out that take long: to see what a new test is worth.
func TestMutants(t *testing.T) {
	sites := find(t)
	require.Greater(t, len(sites), 5000)
	n, _ := strconv.Atoi(os.Getenv("MUTANTS"))
	at := os.Getenv("MUTANT_AT")
	if at != "" {
		sites = slices.DeleteFunc(sites, func(s site) bool { return !slices.Contains(strings.Split(at, ","), s.place()) })
		n = len(sites)
	}
	if n == 0 {
		t.Logf("%d places to change; MUTANTS=N tries N of them", len(sites))
		return
	}
	seed, _ := strconv.ParseUint(os.Getenv("MUTANT_SEED"), 10, 64)
	d := rand.New(rand.NewPCG(6, seed))
	d.Shuffle(len(sites), func(i, j int) { sites[i], sites[j] = sites[j], sites[i] })
	drawn := sites[:min(n, len(sites))]
	dir := t.TempDir()
	said, err := build(dir, switched(t, dir, drawn))
	require.NoError(t, err, said)
	all := parts(t, dir, at == "")
	measure(t, dir, all)
	require.False(t, t.Failed())
	var lock sync.Mutex
	count := map[string]int{}
	var missed []string
	done := 0
	each(len(drawn), func(i int) {
		s := drawn[i]
		by, runs := caught(dir, all, i+1)
		lock.Lock()
		defer lock.Unlock()
		count[by]++
		if by == "" {
			missed = append(missed, fmt.Sprintf("%s: %s: %s (%d runs)", s.place(), s.kind, s.what, runs))
			fmt.Println("missed:", missed[len(missed)-1])
		}
		if done++; done%20 == 0 {
			fmt.Println(done, "tried,", count[""], "missed")
		}
	})
	sort.Strings(missed)
	t.Logf("%d changes of %d places, %d not caught\n%s", len(drawn), len(sites), len(missed), strings.Join(missed, "\n"))
	for _, by := range slices.SortedFunc(maps.Keys(count), func(a, b string) int { return cmp.Or(count[b]-count[a], strings.Compare(a, b)) }) {
		t.Logf("%5d %s", count[by], by)
	}
}

// The switches build, and nothing changes while none is on: for a few changes of each kind.
func TestSwitches(t *testing.T) {
	all := find(t)
	count := map[string]int{}
	for _, s := range all {
		count[s.kind]++
		require.NotEmpty(t, s.put, s)
	}
	require.Len(t, count, 5)
	t.Log(count)
}
