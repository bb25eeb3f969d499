package mutants

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"os/exec"
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
func program(dir, room string) string {
	return filepath.Join(dir, strings.ReplaceAll(room, "/", "-")+".test")
}

// build makes the test programs.
func build(dir, overlay string) (string, error) {
	for _, room := range append(slices.Clone(changed), shopRoom) {
		cmd := exec.Command("go", "test", "-c", "-vet=off", "-overlay", overlay, "-o", program(dir, room), "./"+room)
		cmd.Dir = root
		if said, err := cmd.CombinedOutput(); err != nil {
			return string(said), err
		}
	}
	return "", nil
}

// command runs tests of a room. No more than so much memory is given: a change can make a
// loop that never ends.
func command(ctx context.Context, dir, room, run string, env ...string) *exec.Cmd {
	name, _ := filepath.Abs(program(dir, room))
	cmd := exec.CommandContext(ctx, "sh", "-c", `ulimit -v 8000000; exec "$0" "$@"`, name, "-test.failfast", "-test.run", run)
	cmd.Dir = filepath.Join(root, room)
	cmd.Env = append(append(os.Environ(), "GOMAXPROCS=1"), env...)
	return cmd
}

// parts lists the tests: all of the changed rooms, and of whole jobs, where long is set
// those too that take long.
func parts(t *testing.T, dir string, long bool) (all []part) {
	for _, room := range append(slices.Clone(changed), shopRoom) {
		list, err := exec.Command(program(dir, room), "-test.list", "^(Test|Fuzz)").Output()
		require.NoError(t, err)
		for _, name := range strings.Fields(string(list)) {
			var below []string
			switch name {
			case "TestCampaign", "TestCampaignDrawsAll", "TestQuality", "TestSameBytes": // TestBytes sees as much
				continue
			case "TestBytes":
				text, err := os.ReadFile(filepath.Join(root, room, "testdata/bytes.txt"))
				require.NoError(t, err)
				for _, line := range strings.Split(strings.TrimSpace(string(text)), "\n")[1:] {
					below = append(below, strings.ReplaceAll(strings.SplitN(line, " ", 3)[2], " ", "-"))
				}
			case "TestFound":
				names, err := filepath.Glob(filepath.Join(root, room, "testdata/found/*.yaml"))
				require.NoError(t, err)
				for _, name := range names {
					if one := strings.TrimSuffix(filepath.Base(name), ".yaml"); !strings.HasSuffix(one, ".machine") {
						below = append(below, one)
					}
				}
			default:
				if room == shopRoom && !long {
					continue
				}
				below = []string{""}
			}
			for _, one := range below {
				all = append(all, part{room: room, test: name, below: one})
			}
		}
	}
	return all
}

// run names the part to its test program.
func (p part) run() string {
	if p.below == "" {
		return "^" + p.test + "$"
	}
	return "^" + p.test + "$/^" + regexp.QuoteMeta(p.below) + "$"
}

// measure runs each part with no change on, and notes how long it takes and which changes
// it comes by.
func measure(t *testing.T, dir string, all []part) {
	each(len(all), func(i int) {
		p := &all[i]
		met := filepath.Join(dir, fmt.Sprintf("met-%d", i))
		begun := time.Now()
		said, err := command(context.Background(), dir, p.room, p.run(), "MUTANT_MET="+met).CombinedOutput()
		p.took = time.Since(begun)
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
	for _, room := range append(slices.Clone(changed), shopRoom) {
		if b := together[room]; b != nil {
			out = append(out, *b)
		}
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
