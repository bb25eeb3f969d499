package mutants

import (
	"context"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

const (
	// list is the file of changes that must be caught, each with the test that does.
	list = "testdata/caught.txt"
	// ofEach is how many changes of each room are listed.
	ofEach = 3
	// brief is how long the test of a listed change may take.
	brief = 2 * time.Second
)

// listed is a line of the list: a place by what stands there and in what line, for lines
// move; nth tells those apart that are alike.
type listed struct {
	file, kind, nth, what, line, room, test string
}

func (l listed) String() string {
	return strings.Join([]string{l.file, l.kind, l.nth, l.what, l.line, l.room, l.test}, "\t")
}

// known numbers the places: by file, kind, what stands there, its line, and which of those it is.
func known(sites []site) map[listed]site {
	count, all := map[listed]int{}, map[listed]site{}
	for _, s := range sites {
		l := listed{file: strings.TrimPrefix(filepath.ToSlash(s.file), root+"/"), kind: s.kind, what: strings.Join(strings.Fields(s.what), " "), line: s.text}
		count[l]++
		l.nth = strconv.Itoa(count[l])
		all[l] = s
	}
	return all
}

// place is the part of a line that says where.
func (l listed) place() listed {
	return listed{file: l.file, kind: l.kind, nth: l.nth, what: l.what, line: l.line}
}

// readList reads the list.
func readList(t *testing.T) (all []listed) {
	text, err := os.ReadFile(list)
	require.NoError(t, err)
	for _, line := range strings.FieldsFunc(string(text), func(r rune) bool { return r == '\n' }) {
		p := strings.Split(line, "\t")
		require.Len(t, p, 7, line)
		all = append(all, listed{p[0], p[1], p[2], p[3], p[4], p[5], p[6]})
	}
	return all
}

// TestCaught tries a fixed list of changes, some in every room that has tests, each with a
// test that catches it: the test passes without the change and fails with it. So it is
// seen whether a test went blind, and no harmless change can fail the run. It takes
// MUTANTS=caught, since it builds every test program. A place that is no more, for its
// line was written again, is left out as long as its room has another; UPDATE=1 draws
// others for such.
func TestCaught(t *testing.T) {
	if os.Getenv("MUTANTS") != "caught" {
		t.Skip("MUTANTS=caught tries the list")
	}
	rooms, sites := find(t)
	at := known(sites)
	all := readList(t)
	if os.Getenv("UPDATE") == "1" {
		all = renewed(t, rooms, at, all)
		var text strings.Builder
		for _, l := range all {
			fmt.Fprintln(&text, l)
		}
		require.NoError(t, os.WriteFile(list, []byte(text.String()), 0o644))
	}
	all = slices.DeleteFunc(all, func(l listed) bool {
		_, ok := at[l.place()]
		if !ok {
			t.Logf("no such place any more: %s", l)
		}
		return !ok
	})
	var drawn []site
	count, with := map[string]int{}, map[string]bool{}
	for _, l := range all {
		drawn = append(drawn, at[l.place()])
		count[at[l.place()].room()]++
		with[l.room] = true
	}
	for _, room := range tested(rooms) {
		require.NotZero(t, count[room], "no change of %s is listed; MUTANTS=caught UPDATE=1 go test -run TestCaught ./cmd/internal/mutants draws some", room)
	}
	dir := t.TempDir()
	build(t, dir, switched(t, dir, drawn), keys(with))
	each(len(all), func(i int) {
		l := all[i]
		if !passes(dir, l, 0) {
			t.Errorf("%s fails with nothing changed", l)
		} else if passes(dir, l, i+1) {
			t.Errorf("%s: not caught", l)
		}
	})
	t.Logf("%d changes tried in %d rooms", len(all), len(count))
}

func keys(set map[string]bool) (names []string) {
	for name := range set {
		names = append(names, name)
	}
	slices.Sort(names)
	return names
}

// passes runs the test of a line with a change on, 0 for none.
func passes(dir string, l listed, id int) bool {
	ctx, cancel := context.WithTimeout(context.Background(), time.Minute)
	defer cancel()
	return command(ctx, dir, l.room, l.test, "MUTANT="+strconv.Itoa(id)).Run() == nil
}

// renewed drops what is no more from the list and fills it up, by changes drawn in the
// rooms that lack some and caught by brief tests of the same room.
func renewed(t *testing.T, rooms []room, at map[listed]site, all []listed) []listed {
	all = slices.DeleteFunc(all, func(l listed) bool { _, ok := at[l.place()]; return !ok })
	count := map[string]int{}
	for _, l := range all {
		count[at[l.place()].room()]++
	}
	d := rand.New(rand.NewPCG(6, uint64(len(all))))
	var lack []string
	var tries []listed
	var drawn []site
	for _, room := range tested(rooms) {
		if count[room] >= ofEach {
			continue
		}
		lack = append(lack, room)
		var here []listed
		for l, s := range at {
			if s.room() == room && !strings.ContainsAny(l.what, "\t") && len(l.what) < 100 {
				here = append(here, l)
			}
		}
		slices.SortFunc(here, func(a, b listed) int { return strings.Compare(a.String(), b.String()) })
		d.Shuffle(len(here), func(i, j int) { here[i], here[j] = here[j], here[i] })
		for _, l := range here[:min(len(here), 50)] {
			tries, drawn = append(tries, l), append(drawn, at[l])
		}
	}
	if len(lack) == 0 {
		return all
	}
	dir := t.TempDir()
	build(t, dir, switched(t, dir, drawn), lack)
	tests := slices.DeleteFunc(parts(t, dir, lack, true), func(p part) bool { return p.below != "" })
	measure(t, dir, tests, 10*brief)
	var lock sync.Mutex
	each(len(tries), func(i int) {
		l := tries[i]
		room := drawn[i].room()
		lock.Lock()
		done := count[room] >= ofEach
		lock.Unlock()
		if done {
			return
		}
		for _, p := range tests {
			l.room, l.test = p.room, p.run()
			if p.room != room || p.took > brief || !p.meets[i+1] || passes(dir, l, i+1) {
				continue
			}
			lock.Lock()
			defer lock.Unlock()
			if count[room]++; count[room] <= ofEach {
				all = append(all, l)
			}
			return
		}
	})
	slices.SortFunc(all, func(a, b listed) int { return strings.Compare(a.String(), b.String()) })
	return all
}
