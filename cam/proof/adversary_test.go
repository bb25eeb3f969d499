package proof

import (
	"maps"
	"os"
	"runtime"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
	"testing"

	"dishwright/cam/chance"

	"github.com/stretchr/testify/require"
)

// trick is a way to deceive, and how it is judged.
type trick struct {
	name  string
	draw  func(adversary) *deceit
	judge func(*deceit, adversary) []lie
}

var tricks = []trick{
	{"slots", adversary.slots, (*deceit).judgeWood},
	{"plunges", adversary.plunges, (*deceit).judgeWood},
	{"gaps", adversary.gaps, (*deceit).judgeStanding},
	{"behind", adversary.behind, (*deceit).judgeStanding},
	{"spheres", adversary.spheres, (*deceit).judgeGouge},
	{"tilts", adversary.tilts, (*deceit).judgeTilted},
	{"edges", adversary.edges, (*deceit).judgeEdges},
	{"lands", adversary.lands, (*deceit).judgeLand},
	{"starts", adversary.starts, (*deceit).judgeStart},
}

const (
	adversaryPrograms = 400  // take a few seconds
	adversarySeed     = 2026 // any other would do
)

// TestAdversary draws programs that are made to deceive the proof and evaluates each by
// itself: nothing may be truly worse than the proof says. ADVERSARY says how many,
// ADVERSARY_SEED from which seed, ADVERSARY_FROM from which number on, ADVERSARY_TRICK of
// which trick alone. A lie prints its number and the program.
func TestAdversary(t *testing.T) {
	programs, seed, from := chance.Setting("ADVERSARY", adversaryPrograms), chance.Setting("ADVERSARY_SEED", adversarySeed), chance.Setting("ADVERSARY_FROM", 0)
	var list []trick
	only := os.Getenv("ADVERSARY_TRICK")
	for _, k := range tricks {
		if only == "" || k.name == only {
			list = append(list, k)
		}
	}
	require.NotEmpty(t, list, "no such trick")
	all := attacks{lied: map[string]int{}, tried: map[string]int{}, first: map[string]uint64{}, worst: map[string]told{}, numbers: map[string][]uint64{}}
	var next atomic.Uint64
	var group sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		group.Go(func() {
			for i := next.Add(1) - 1; i < programs; i = next.Add(1) - 1 {
				n := from + i
				all.try(list[n%uint64(len(list))], seed, n)
			}
		})
	}
	group.Wait()
	for _, kind := range slices.Sorted(maps.Keys(all.numbers)) {
		l := all.numbers[kind]
		slices.Sort(l)
		t.Logf("%s: %d, numbers %v", kind, len(l), l[:min(len(l), 8)])
	}
	for _, k := range list {
		if all.lied[k.name] == 0 {
			t.Logf("%-10s %6d tried", k.name, all.tried[k.name])
			continue
		}
		w := all.worst[k.name]
		t.Errorf("%s: %d of %d are believed, the first number %d of seed %d; the worst number %d:\n%v\n%s", k.name, all.lied[k.name], all.tried[k.name],
			all.first[k.name], seed, w.by.number, w.lie, w.by.text())
	}
}

// told is a lie and the deceit that is told.
type told struct {
	lie lie
	by  *deceit
}

// attacks is what a run has come to, by trick.
type attacks struct {
	sync.Mutex
	tried, lied map[string]int
	first       map[string]uint64
	worst       map[string]told
	numbers     map[string][]uint64 // by what the lie is of
}

// try draws and judges one deceit.
func (s *attacks) try(k trick, seed, number uint64) {
	a := newAdversary(seed, number)
	d := k.draw(a)
	d.trick, d.number = k.name, number
	lies := k.judge(d, a)
	s.Lock()
	defer s.Unlock()
	s.tried[k.name]++
	if len(lies) == 0 {
		return
	}
	if s.lied[k.name]++; s.lied[k.name] == 1 || number < s.first[k.name] {
		s.first[k.name] = number
	}
	for _, l := range lies {
		_, missed, _ := strings.Cut(l.where, ",")
		kind := k.name + ": " + string(l.of) + missed
		s.numbers[kind] = append(s.numbers[kind], number)
		if w := s.worst[k.name]; w.by == nil || l.over() > w.lie.over() {
			s.worst[k.name] = told{l, d}
		}
	}
}
