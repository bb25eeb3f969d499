package mutants

import (
	"bytes"
	"cmp"
	"encoding/json"
	"fmt"
	"go/ast"
	"go/importer"
	"go/parser"
	"go/token"
	"go/types"
	"io"
	"maps"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"sort"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// root is the module's folder, seen from here.
const root = "../../.."

// left are the rooms that are not changed: that of the switches themselves, and those
// that hold texts or tests alone.
var left = []string{"dish/exact", "cam/chance", "cam/job/key", "samples", "cmd/internal/mutants"}

// room is a folder of sources that are changed.
type room struct {
	name  string // its folder, seen from the module's
	files []string
	test  bool // it has tests of its own
}

// tested returns the rooms that have tests.
func tested(all []room) (names []string) {
	for _, r := range all {
		if r.test {
			names = append(names, r.name)
		}
	}
	return names
}

// rooms returns every room of the module that is changed, and a way to the types of
// whatever they import.
func rooms(t *testing.T) (all []room, imports types.Importer) {
	cmd := exec.Command("go", "list", "-export", "-deps", "-json=ImportPath,Export,GoFiles,TestGoFiles,XTestGoFiles", "./...")
	cmd.Dir = root
	said, err := cmd.Output()
	require.NoError(t, err)
	exports := map[string]string{}
	for d := json.NewDecoder(bytes.NewReader(said)); d.More(); {
		var p struct {
			ImportPath, Export                 string
			GoFiles, TestGoFiles, XTestGoFiles []string
		}
		require.NoError(t, d.Decode(&p))
		exports[p.ImportPath] = p.Export
		name, ours := strings.CutPrefix(p.ImportPath, "dishwright/")
		if !ours || slices.Contains(left, name) {
			continue
		}
		all = append(all, room{name, p.GoFiles, len(p.TestGoFiles)+len(p.XTestGoFiles) > 0})
	}
	require.Greater(t, len(all), 20)
	return all, importer.ForCompiler(token.NewFileSet(), "gc", func(path string) (io.ReadCloser, error) { return os.Open(exports[path]) })
}

// find returns all places where the rooms can be changed.
func find(t *testing.T) (all []room, sites []site) {
	all, from := rooms(t)
	for _, r := range all {
		fset := token.NewFileSet()
		var files []*ast.File
		var paths, texts []string
		for _, name := range r.files {
			name = filepath.Join(root, r.name, name)
			text, err := os.ReadFile(name)
			require.NoError(t, err)
			f, err := parser.ParseFile(fset, name, text, 0)
			require.NoError(t, err)
			files, paths, texts = append(files, f), append(paths, name), append(texts, string(text))
		}
		info := &types.Info{Types: map[ast.Expr]types.TypeAndValue{}, Uses: map[*ast.Ident]types.Object{}}
		_, err := (&types.Config{Importer: from}).Check("dishwright/"+r.name, fset, files, info)
		require.NoError(t, err)
		for i, f := range files {
			one := finder{fset: fset, info: info, text: texts[i], name: paths[i], head: fset.Position(f.Name.End()).Offset, named: map[types.Object]int{}}
			ast.Inspect(f, one.visit)
			sites = append(sites, one.sites...)
		}
	}
	return all, sites
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
		if puts[s.file] == nil { // with a name that nothing else has
			puts[s.file] = []insertion{{offset: s.head, text: `; import mutant "dishwright/dish/exact"`}}
		}
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
		to := filepath.Join(dir, strings.NewReplacer("/", "_", ".", "").Replace(file)+".go")
		require.NoError(t, os.WriteFile(to, []byte(out.String()), 0o666))
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
// MUTANT_IN=cam,dish/rim draws in those rooms alone, MUTANT_BY=cam,dish/rim runs the tests of
// those alone: what a room's own tests are worth, and quicker. MUTANT_AT=cam/work.go:151,... tries
// the changes of those lines instead, with the tests of whole jobs left out that take long:
// to see what a new test is worth.
func TestMutants(t *testing.T) {
	all, sites := find(t)
	require.Greater(t, len(sites), 10000)
	n, _ := strconv.Atoi(os.Getenv("MUTANTS"))
	at := os.Getenv("MUTANT_AT")
	if at != "" {
		sites = slices.DeleteFunc(sites, func(s site) bool { return !slices.Contains(strings.Split(at, ","), s.place()) })
		n = len(sites)
	}
	if in := os.Getenv("MUTANT_IN"); in != "" {
		sites = slices.DeleteFunc(sites, func(s site) bool { return !slices.Contains(strings.Split(in, ","), s.room()) })
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
	with := tested(all)
	if by := os.Getenv("MUTANT_BY"); by != "" {
		with = strings.Split(by, ",")
	}
	build(t, dir, switched(t, dir, drawn), with)
	tests := parts(t, dir, with, at == "")
	measure(t, dir, tests, time.Hour)
	require.False(t, t.Failed())
	var lock sync.Mutex
	count := map[string]int{}
	var missed []string
	done := 0
	each(len(drawn), func(i int) {
		s := drawn[i]
		by, runs := caught(dir, tests, i+1)
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

// Changes of each kind are found, and what is put in for each.
func TestSwitches(t *testing.T) {
	_, all := find(t)
	count := map[string]int{}
	for _, s := range all {
		count[s.kind]++
		require.NotEmpty(t, s.put, s)
	}
	require.Len(t, count, 5)
	t.Log(count)
}

// With MUTANTS=build all switches are built in at once: a place where one does not build
// would spoil each draw that has it.
func TestSwitchesBuild(t *testing.T) {
	if os.Getenv("MUTANTS") != "build" {
		t.Skip("MUTANTS=build builds all switches")
	}
	_, all := find(t)
	cmd := exec.Command("go", "build", "-gcflags=-e", "-overlay", switched(t, t.TempDir(), all), "-o", os.DevNull, "./...")
	cmd.Dir = root
	said, err := cmd.CombinedOutput()
	require.NoError(t, err, string(said))
}
