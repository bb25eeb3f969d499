package mutants

import (
	"context"
	"encoding/json"
	"fmt"
	"go/ast"
	"go/importer"
	"go/parser"
	"go/token"
	"go/types"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"sort"
	"strconv"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// root is the module's folder, seen from here.
const root = "../../.."

// changed are the rooms whose sources are changed.
var changed = []string{"dish", "cam", "cam/path", "cam/proof", "post"}

// stages are the tests that a change meets, quickest first, and where it may stand to
// meet them; the name of a test program is its room.
var stages = []struct {
	room, run string
	for_      string // rooms that begin so, or all
	env       []string
	most      time.Duration // a longer run is taken for one that never ends
}{
	{"dish", "", "dish", nil, 40 * time.Second},
	{"cam/path", "", "cam/path", nil, 40 * time.Second},
	{"post", "", "post", nil, 40 * time.Second},
	{"cmd/internal/shop", "TestBytes", "", []string{"BYTES=small"}, 60 * time.Second},
	{"cam/proof", "", "cam/p", nil, 120 * time.Second},
	{"cmd/internal/shop", "TestFound|TestOrder|TestForeign|TestExtras", "", nil, 200 * time.Second},
	{"cmd/internal/shop", "TestDoctored", "", nil, 400 * time.Second},
	{"cam", "", "cam", nil, 400 * time.Second},
}

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
		// From the end; what goes in at one place keeps its order.
		sort.SliceStable(list, func(i, j int) bool { return list[i].offset > list[j].offset })
		out := string(text)
		for i := 0; i < len(list); {
			j, together := i, ""
			for ; j < len(list) && list[j].offset == list[i].offset; j++ {
				if strings.HasPrefix(list[j].text, ")") { // ends before beginnings, inner ones first
					together = list[j].text + together
				} else {
					together += list[j].text
				}
			}
			out = out[:list[i].offset] + together + out[list[i].offset+list[i].drop:]
			i = j
		}
		head := strings.Index(out, "import")
		if !strings.Contains(out, `"dishwright/dish/exact"`) {
			out = out[:head] + "import \"dishwright/dish/exact\"\n" + out[head:]
		}
		to := filepath.Join(dir, strings.NewReplacer("/", "_", ".", "").Replace(file)+".go")
		require.NoError(t, os.WriteFile(to, []byte(out), 0o666))
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

// build makes the test programs.
func build(dir, overlay string) (string, error) {
	for _, s := range stages {
		to := filepath.Join(dir, strings.ReplaceAll(s.room, "/", "-")+".test")
		cmd := exec.Command("go", "test", "-c", "-vet=off", "-overlay", overlay, "-o", to, "./"+s.room)
		cmd.Dir = root
		if said, err := cmd.CombinedOutput(); err != nil {
			return string(said), err
		}
	}
	return "", nil
}

// caught runs the tests with a change switched on and says which stage caught it, "" for
// none. A change that makes a test run for too long is caught.
func caught(dir string, id int, file string) string {
	room, _ := filepath.Rel(root, filepath.Dir(file))
	for k, s := range stages {
		if !strings.HasPrefix(filepath.ToSlash(room), s.for_) {
			continue
		}
		ctx, cancel := context.WithTimeout(context.Background(), s.most)
		args := []string{"-test.failfast"}
		if s.run != "" {
			args = append(args, "-test.run", s.run)
		}
		program, _ := filepath.Abs(filepath.Join(dir, strings.ReplaceAll(s.room, "/", "-")+".test"))
		cmd := exec.CommandContext(ctx, program, args...)
		cmd.Dir = filepath.Join(root, s.room)
		cmd.Env = append(append(os.Environ(), "MUTANT="+strconv.Itoa(id), "GOMAXPROCS=1", "GOMEMLIMIT=2GiB"), s.env...)
		err := cmd.Run()
		cancel()
		if err != nil {
			return fmt.Sprintf("%d: %s %s", k+1, s.room, s.run)
		}
	}
	return ""
}

// TestMutants draws MUTANTS changes with the seed MUTANT_SEED and runs the tests on each.
// It says what each stage caught and lists what none did; those are to be read by hand,
// for many change nothing that can be seen. It takes some seconds a change.
func TestMutants(t *testing.T) {
	all := find(t)
	require.Greater(t, len(all), 5000)
	n, _ := strconv.Atoi(os.Getenv("MUTANTS"))
	if n == 0 {
		t.Logf("%d places to change; MUTANTS=N tries N of them", len(all))
		return
	}
	seed, _ := strconv.ParseUint(os.Getenv("MUTANT_SEED"), 10, 64)
	d := rand.New(rand.NewPCG(6, seed))
	d.Shuffle(len(all), func(i, j int) { all[i], all[j] = all[j], all[i] })
	drawn := all[:min(n, len(all))]
	dir := t.TempDir()
	said, err := build(dir, switched(t, dir, drawn))
	require.NoError(t, err, said)
	count := map[string]int{}
	var missed []string
	var lock sync.Mutex
	var next atomic.Int64
	var group sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		group.Go(func() {
			for i := int(next.Add(1) - 1); i < len(drawn); i = int(next.Add(1) - 1) {
				s := drawn[i]
				by := caught(dir, i+1, s.file)
				lock.Lock()
				count[by]++
				if by == "" {
					missed = append(missed, fmt.Sprintf("%s:%d: %s: %s", strings.TrimPrefix(s.file, root+"/"), s.line, s.kind, s.what))
					fmt.Println("missed:", missed[len(missed)-1])
				}
				if i%20 == 19 {
					fmt.Println(i+1, "tried,", count[""], "missed")
				}
				lock.Unlock()
			}
		})
	}
	group.Wait()
	sort.Strings(missed)
	t.Logf("%d changes of %d places, %d not caught; by stage: %v\n%s", len(drawn), len(all), len(missed), count, strings.Join(missed, "\n"))
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
