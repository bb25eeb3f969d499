package shop_test

import (
	"context"
	"fmt"
	"maps"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"dishwright/cam/chance"
	"dishwright/cam/job"
	"dishwright/cam/path"
	"dishwright/cmd/internal/shop"
	"dishwright/machines"
	"dishwright/post"
	"dishwright/samples"
)

// plainFaults reads every program of a set as a controller does that knows the smallest
// common language, and what its machine's profile adds to it.
// Its trial program has tried every word.
func plainFaults(r *shop.Result, says spoken) (faults []string) {
	tried, faults := trialWords(r.Plan.Work.Machine, says)
	for _, t := range r.All() {
		for _, word := range slices.Sorted(maps.Keys(readPlainly(string(t.Bytes), says).words)) {
			if !tried[word] {
				faults = append(faults, fmt.Sprintf("%s: the trial program has no %s", t.Name, word))
			}
		}
		for _, f := range plainText(t.Bytes, says, t.Program.Cutter) {
			faults = append(faults, fmt.Sprintf("%s: %s", t.Name, f))
		}
	}
	return faults
}

// trialWords returns the words of a machine's trial program, and what is not plain in it.
func trialWords(m machines.Machine, says spoken) (words map[string]bool, faults []string) {
	text, err := post.Trial(m)
	if err != nil {
		return nil, []string{"no trial program: " + err.Error()}
	}
	says.start = 1.5 // as it says: it has a watch held against it
	p := readPlainly(string(text), says)
	for _, l := range p.lines {
		if l.message != "" {
			continue
		}
		for i, letter := range "XYZ" {
			if at := l.from[i]; l.moves && math.Abs(at) > 25.0001 {
				p.fault(l.number, "%c at %g mm, over the 25 mm that it has", letter, at)
			}
		}
	}
	return p.words, p.faults
}

// plainText reads one program.
func plainText(text []byte, says spoken, c path.Cutter) []string {
	return readPlainly(string(text), says).shape(mounted{c.Flutes, c.ChipLoad, c.FastestSpeed})
}

// builtIns are the built-in machines.
var builtIns = []string{"bench-600", "bench-400", "desktop-300", "inch-24", "wide-1250"}

// builtIn returns a built-in machine's profile.
func builtIn(name string) []byte {
	profile, err := os.ReadFile(filepath.Join("..", "..", "..", "machines", "profiles", name+".yaml"))
	if err != nil {
		panic("builtIn: " + err.Error())
	}
	return profile
}

var machineLine = regexp.MustCompile(`(?m)^machine: (\S+).*$`)

// profileOf returns the profile of the machine that a job names.
func (t tried) profileOf() []byte {
	if t.machine != nil {
		return t.machine
	}
	return builtIn(string(machineLine.FindSubmatch(t.text)[1]))
}

// spoken gives a job's machine a controller by chance.
func (t tried) spoken(d dice) tried {
	if !machineLine.Match(t.text) {
		return t
	}
	t.machine = d.controller(t.profileOf())
	t.text = machineLine.ReplaceAll(t.text, []byte("machine: chance.yaml"))
	return t
}

// TestSamplesPlainly: the samples' programs are plain, on the machines that take them,
// however their controllers differ. Without LONG two of them.
func TestSamplesPlainly(t *testing.T) {
	d := newDice(campaignSeed, 0)
	for _, name := range samples.Names() {
		text, _ := samples.Get(name)
		if !machineLine.Match(text) || !chance.Long() && name != "hand-board" && name != "arc-gauges" {
			continue
		}
		t.Run(name, func(t *testing.T) {
			dir, made := t.TempDir(), 0
			for _, machine := range builtIns {
				profile := d.controller(builtIn(machine))
				require.NoError(t, os.WriteFile(filepath.Join(dir, "chance.yaml"), profile, 0o666))
				j, err := job.Load(filepath.Join(dir, "job.yaml"), machineLine.ReplaceAll(text, []byte("machine: chance.yaml")))
				require.NoError(t, err)
				r, err := shop.Run(context.Background(), j)
				if err != nil {
					continue // too large for it
				}
				made++
				require.Empty(t, plainFaults(r, speaks(profile)), "%s\n%s", machine, profile)
			}
			require.Positive(t, made)
		})
	}
}
