package mutants

import (
	"bytes"
	"context"
	"fmt"
	"maps"
	"os"
	"os/exec"
	"path"
	"path/filepath"
	"regexp"
	"runtime"
	"slices"
	"sort"
	"strconv"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

const (
	// shopRoom is where whole jobs are tried.
	shopRoom = "cmd/internal/shop"
	// short is how long a test takes that runs together with others of its room.
	short = 100 * time.Millisecond
	// enough is how long the tests may take on one change, as measured without it; what
	// was not caught by then counts as missed. Most that are caught are within a second.
	enough = 20 * time.Second
)

// part is one test, or one case of a test.
type part struct {
	room, test, below string // below is the case, or none
	took              time.Duration
	meets             map[int]bool // the changes that it comes by
}

// program is the test program of a room.
func program(dir, room string) string { return filepath.Join(dir, path.Base(room)+".test") }

// build makes the test programs of rooms.
func build(t *testing.T, dir, overlay string, with []string) {
	cmd := exec.Command("go", "test", "-c", "-vet=off", "-overlay", overlay, "-o", dir+string(filepath.Separator))
	for _, room := range with {
		cmd.Args = append(cmd.Args, "./"+room)
	}
	cmd.Dir = root
	said, err := cmd.CombinedOutput()
	require.NoError(t, err, string(said))
}

// command runs tests of a room. No more than so much memory is given: a change can make a
// loop that never ends.
func command(ctx context.Context, dir, room, run string, env ...string) *exec.Cmd {
	name, _ := filepath.Abs(program(dir, room))
	cmd := exec.CommandContext(ctx, "sh", "-c", `ulimit -v 8000000; exec "$0" "$@"`, name, "-test.failfast", "-test.run", run)
	cmd.Dir = filepath.Join(root, room)
	cmd.Env = append(append(os.Environ(), "GOMAXPROCS=1", "UPDATE="), env...) // no change may write what tests compare
	return cmd
}

// parts lists the tests of the rooms; where long is not set, those of whole jobs and of the
// command that take long are left out.
func parts(t *testing.T, dir string, with []string, long bool) (all []part) {
	for _, room := range with {
		list, err := exec.Command(program(dir, room), "-test.list", "^(Test|Fuzz)").Output()
		require.NoError(t, err)
		for _, name := range strings.Fields(string(list)) {
			for _, one := range below(t, room, name, long) {
				all = append(all, part{room: room, test: name, below: one})
			}
		}
	}
	return all
}

// below lists the cases that a test is run in, "" for the whole of it; none where it is
// left out.
func below(t *testing.T, room, test string, long bool) (cases []string) {
	files := func(pattern string) {
		names, err := filepath.Glob(filepath.Join(root, room, pattern))
		require.NoError(t, err)
		for _, name := range names {
			if one, kind, _ := strings.Cut(filepath.Base(name), "."); !strings.HasPrefix(kind, "machine") {
				cases = append(cases, one)
			}
		}
	}
	switch test {
	case "TestCampaign", "TestCampaignDrawsAll", "TestQuality", "TestSameBytes", // TestBytes sees as much
		"TestKilled", "TestBounded", "TestMade", "TestNothingFuses": // these see other things, slowly
	case "TestBytes":
		text, err := os.ReadFile(filepath.Join(root, room, "testdata/bytes.txt"))
		require.NoError(t, err)
		for _, line := range strings.Split(strings.TrimSpace(string(text)), "\n")[1:] {
			cases = append(cases, strings.ReplaceAll(strings.SplitN(line, " ", 3)[2], " ", "-"))
		}
	case "TestFound":
		files("testdata/found/*.yaml")
	case "TestScript":
		if long {
			files("testdata/script/*.txtar")
		}
	default:
		if long || room != shopRoom {
			cases = []string{""}
		}
	}
	return cases
}

// run names the part to its test program.
func (p part) run() string {
	if p.below == "" {
		return "^" + p.test + "$"
	}
	return "^" + p.test + "$/^" + regexp.QuoteMeta(p.below) + "$"
}

// measure runs each part with no change on, and notes how long it takes and which changes
// it comes by. Those that take longer than within are given up, and come by none.
func measure(t *testing.T, dir string, all []part, within time.Duration) {
	each(len(all), func(i int) {
		p := &all[i]
		met := filepath.Join(dir, fmt.Sprintf("met-%d", i))
		ctx, cancel := context.WithTimeout(context.Background(), within)
		defer cancel()
		cmd := command(ctx, dir, p.room, p.run(), "MUTANT_MET="+met)
		said, err := cmd.CombinedOutput()
		if ctx.Err() != nil {
			return
		}
		p.took = cmd.ProcessState.UserTime() + cmd.ProcessState.SystemTime() // whatever else runs
		if err != nil {
			t.Errorf("%s %s fails with nothing changed: %v\n%s", p.room, p.run(), err, said)
		}
		text, _ := os.ReadFile(met) // none is written where none is met
		p.meets = map[int]bool{}
		for _, f := range bytes.Fields(text) {
			id, _ := strconv.Atoi(string(f))
			p.meets[id] = true
		}
	})
}

// each does n things, as many at a time as there are processors.
func each(n int, do func(i int)) {
	var next atomic.Int64
	var group sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		group.Go(func() {
			for i := int(next.Add(1) - 1); i < n; i = int(next.Add(1) - 1) {
				do(i)
			}
		})
	}
	group.Wait()
}

// batch is what runs in one process.
type batch struct {
	room, run string
	took      time.Duration
}

// batches are the tests that come by a change, the quickest first.
func batches(all []part, id int) (out []batch) {
	together := map[string]*batch{}
	for _, p := range all {
		if !p.meets[id] {
			continue
		}
		if p.took > short || p.below != "" {
			out = append(out, batch{p.room, p.run(), p.took})
			continue
		}
		b := together[p.room]
		if b == nil {
			b = &batch{room: p.room, run: p.run()}
			together[p.room] = b
		} else {
			b.run += "|" + p.run()
		}
		b.took += p.took
	}
	for _, room := range slices.Sorted(maps.Keys(together)) {
		out = append(out, *together[room])
	}
	sort.SliceStable(out, func(i, j int) bool { return out[i].took < out[j].took })
	return out
}

// caught runs the tests with a change switched on and says what caught it, "" for nothing,
// and how many batches were run. A change that makes a test run for far too long is caught.
func caught(dir string, all []part, id int) (by string, runs int) {
	var spent time.Duration
	for _, b := range batches(all, id) {
		if spent += b.took; spent > enough {
			break
		}
		runs++
		ctx, cancel := context.WithTimeout(context.Background(), 20*time.Second+10*b.took)
		err := command(ctx, dir, b.room, b.run, "MUTANT="+strconv.Itoa(id)).Run()
		cancel()
		if err != nil {
			name, _, _ := strings.Cut(strings.Trim(b.run, "^"), "$")
			return b.room + " " + name, runs
		}
	}
	return "", runs
}
