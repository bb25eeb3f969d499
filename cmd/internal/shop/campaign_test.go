package shop_test

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"regexp"
	"runtime"
	"runtime/debug"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"dishwright/cam/chance"
	"dishwright/cam/job"
	"dishwright/cam/job/key"
	"dishwright/cam/work"
	"dishwright/cmd/internal/sheet"
	"dishwright/cmd/internal/shop"
	"dishwright/cmd/internal/sides"
	"dishwright/dish/measure"
	"dishwright/dish/measure/strict"
)

const (
	// campaignJobs take some seconds on two cores, campaignLong a few minutes with LONG.
	campaignJobs, campaignLong = 30, 300
	// campaignSeed is the seed where CAMPAIGN_SEED names none; any other would do.
	campaignSeed = 2026
	// campaignPoints is how many places of a face are evaluated; a tenth of them under a
	// bull, whose underside is searched for at each.
	campaignPoints = 20_000
	// longest is how many seconds one job may take by itself.
	longest = 30
)

// tally is what a campaign has come to.
type tally struct {
	sync.Mutex
	t                                   *testing.T
	made, refused, told, judged, proven map[string]int // by form
	why                                 map[string]int // refusals, by what was wrong
	slowest                             time.Duration
	slow                                uint64   // the slowest job's number
	late                                []uint64 // jobs that took too long beside others
	total                               time.Duration
}

// TestCampaign draws jobs of the whole language and takes each all the way: a job is
// refused with every fault's place and a hint, or its programs keep every bound and are
// plain; what was made is proven again as anybody's text, one in four, one in eight is gone
// on with, and one job in twenty is judged by the tests' own evaluator. CAMPAIGN says how
// many jobs, CAMPAIGN_SEED from which seed, CAMPAIGN_FROM from which number on,
// CAMPAIGN_EVERY each how-manieth of them: each twentieth is one that is judged;
// CAMPAIGN_LARGE draws faces as large as they are built; CAMPAIGN_KEEP names a folder that
// keeps the jobs that fail, and those under way, should one bring everything down;
// CAMPAIGN_WHY prints why jobs were refused.
func TestCampaign(t *testing.T) {
	usual := uint64(campaignJobs)
	if chance.Long() {
		usual = campaignLong
	}
	jobs, seed, from := chance.Setting("CAMPAIGN", usual), chance.Setting("CAMPAIGN_SEED", campaignSeed), chance.Setting("CAMPAIGN_FROM", 0)
	every := chance.Setting("CAMPAIGN_EVERY", 1)
	keep := os.Getenv("CAMPAIGN_KEEP")
	if keep == "" {
		keep = t.TempDir()
	}
	all := tally{t: t, made: map[string]int{}, refused: map[string]int{}, told: map[string]int{}, judged: map[string]int{}, proven: map[string]int{}, why: map[string]int{}}
	var next atomic.Uint64
	var group sync.WaitGroup
	begun := time.Now()
	for worker := range runtime.GOMAXPROCS(0) {
		group.Go(func() {
			dir := filepath.Join(keep, fmt.Sprintf("running-%d-%d", seed, worker))
			if err := os.MkdirAll(dir, 0o777); err != nil {
				t.Error(err)
				return
			}
			defer os.RemoveAll(dir)
			for i := next.Add(1) - 1; i < jobs; i = next.Add(1) - 1 {
				n := from + i*every
				all.try(draw(seed, n), n, dir)
				if i%1000 == 999 {
					t.Logf("%d jobs, %.0f s", i+1, time.Since(begun).Seconds())
				}
			}
		})
	}
	group.Wait()
	all.again(seed, filepath.Join(keep, fmt.Sprintf("running-%d", seed)))
	t.Logf("seed %d, jobs %d to %d: %.3f s each on average over %d processors, the slowest %.1f s (%d)", seed, from, from+(jobs-1)*every,
		time.Since(begun).Seconds()/float64(jobs), runtime.GOMAXPROCS(0), all.slowest.Seconds(), all.slow)
	made := 0
	for _, form := range append(job.FormWords(), key.Mould) {
		made += all.made[form]
		t.Logf("%-6s %7d made, %7d refused, %5d made with what they were told missed, %6d judged, %6d proven again", form, all.made[form], all.refused[form], all.told[form], all.judged[form], all.proven[form])
	}
	if os.Getenv("CAMPAIGN_WHY") != "" {
		for _, why := range slices.SortedFunc(maps.Keys(all.why), func(a, b string) int { return all.why[b] - all.why[a] }) {
			t.Logf("%6d refused:%s", all.why[why], why)
		}
	}
	// A campaign that mostly sees refusals proves little. Two in five is below the usual share.
	require.GreaterOrEqual(t, made, int(jobs)*2/5, "jobs made")
}

// try takes one job all the way and notes what came of it.
func (a *tally) try(t tried, number uint64, dir string) {
	file := filepath.Join(dir, "job.yaml")
	os.WriteFile(file, t.text, 0o666)
	os.WriteFile(filepath.Join(dir, "chance.yaml"), t.machine, 0o666)
	out := t.take(number, file)
	took := out.took
	a.Lock()
	defer a.Unlock()
	a.total += took
	if took > a.slowest {
		a.slowest, a.slow = took, number
	}
	if took.Seconds() > longest {
		a.late = append(a.late, number)
		a.t.Logf("job %d took %.0f s beside others", number, took.Seconds())
	}
	switch {
	case out.refused:
		a.refused[t.form]++
		a.why[out.why]++
	case out.told:
		a.told[t.form]++
	default:
		a.made[t.form]++
	}
	if out.judged {
		a.judged[t.form]++
	}
	if out.proven {
		a.proven[t.form]++
	}
	for _, f := range out.faults {
		a.fault(t, number, dir, f)
	}
}

// fault notes a fault of a job and keeps the job.
func (a *tally) fault(t tried, number uint64, dir, what string) {
	name := filepath.Join(filepath.Dir(dir), fmt.Sprintf("job-%d.yaml", number))
	os.WriteFile(name, bytes.ReplaceAll(t.text, []byte("chance.yaml"), []byte(fmt.Sprintf("chance-%d.yaml", number))), 0o666)
	if t.machine != nil {
		os.WriteFile(filepath.Join(filepath.Dir(dir), fmt.Sprintf("chance-%d.yaml", number)), t.machine, 0o666)
	}
	a.t.Errorf("job %d (%s): %s", number, t.form, what) // at once: a campaign that is stopped has said so
}

// again takes the jobs that took too long beside others once more, each by itself.
func (a *tally) again(seed uint64, dir string) {
	file := filepath.Join(dir, "job.yaml")
	require.NoError(a.t, os.MkdirAll(dir, 0o777))
	defer os.RemoveAll(dir)
	for _, n := range a.late {
		d := draw(seed, n)
		os.WriteFile(file, d.text, 0o666)
		os.WriteFile(filepath.Join(dir, "chance.yaml"), d.machine, 0o666)
		took := d.take(n, file).took.Seconds()
		a.t.Logf("job %d by itself: %.1f s", n, took)
		if took > longest {
			a.fault(d, n, dir, fmt.Sprintf("it took %.1f s", took))
		}
	}
}

// outcome is what came of one job.
type outcome struct {
	refused, told, judged, proven bool
	faults                        []string
	why                           string        // refused, numbers left out
	took                          time.Duration // by planning, writing and proof
}

func (o *outcome) fault(format string, args ...any) {
	o.faults = append(o.faults, fmt.Sprintf(format, args...))
}

// take runs one job.
func (t tried) take(number uint64, file string) (out outcome) {
	defer func() {
		if p := recover(); p != nil {
			out.fault("panic: %v\n%s", p, debug.Stack())
		}
	}()
	if t.form == key.Rim {
		err := t.sand(file)
		out.refuse(err)
		return out
	}
	j, err := t.load(file)
	if err != nil {
		out.refuse(err)
		return out
	}
	begun := time.Now()
	r, err := shop.Run(context.Background(), j)
	out.took = time.Since(begun)
	if err != nil {
		out.refuse(err)
		return out
	}
	if out.told = told(r); len(r.Report.Broken) > 0 && !out.told {
		out.fault("broken: %s", strings.Join(measure.Texts(r.Report.Broken, measure.Ruler{}), "; "))
		return out
	}
	out.faults = append(out.faults, plainFaults(r, speaks(t.profileOf()))...)
	if t.plain != nil && !out.told {
		out.judged = true
		t.judge(r, &out)
	}
	if number%4 == 1 && !out.told {
		out.proven = true
		proveAgain(j, r, &out)
	}
	if number%8 == 4 && !out.told {
		t.goOn(r, newDice(number, campaignSeed), &out)
	}
	if number%8 == 2 {
		if page := sheet.Of(r); !bytes.HasSuffix(page, []byte("</html>\n")) {
			out.fault("the sheet has no end")
		}
	}
	return out
}

// load reads the job as the program does.
func (t tried) load(file string) (job.Job, error) {
	if t.form != key.Mould {
		return job.Load(file, t.text)
	}
	r, err := job.LoadRim(file, t.text)
	if err != nil {
		return job.Job{}, err
	}
	return sides.Mould(r, nil)
}

// sand works a rim out.
func (t tried) sand(file string) error {
	j, err := job.LoadRim(file, t.text)
	if err != nil {
		return err
	}
	r, err := sides.Run(j, nil)
	if err != nil {
		return err
	}
	paper, err := sides.PaperNamed("a4")
	if err == nil {
		_, err = r.Files(paper)
	}
	return err
}

// refuse notes a refusal, which must say where and what would be right.
func (o *outcome) refuse(err error) {
	if err == nil {
		return
	}
	o.refused = true
	first, _, _ := strings.Cut(err.Error(), "\n")
	o.why = numbers.ReplaceAllString(first[strings.Index(first, ": ")+1:], "#")
	var faults strict.Faults
	if !errors.As(err, &faults) || len(faults) == 0 {
		o.fault("not refused with faults: %v", err)
	}
	for _, f := range faults {
		if f.Line < 1 || f.Column < 1 || f.Hint == "" || f.Message == "" {
			o.fault("a fault without place or hint: %+v", f)
		}
	}
}

var numbers = regexp.MustCompile(`[0-9][0-9.]*`)

// told reports whether the only bounds that are broken are those that errors break
// which the job states itself, and which no passes can keep.
func told(r *shop.Result) bool {
	for _, b := range r.Report.Broken {
		if !strings.Contains(b.String(), ": scallop: ") {
			return false
		}
	}
	return len(r.Report.Broken) > 0 && slices.ContainsFunc(r.Report.Warnings, func(w work.Warning) bool { return w.Kind == shop.WarnIndexError })
}

// judge holds the programs against the tests' own evaluation.
func (t tried) judge(r *shop.Result, out *outcome) {
	w := t.plain.wanted()
	lie := make([]laid, len(r.Texts)-1)
	if t.turned.setups != "" {
		w = t.turned.wanted()
		if r.Report.Setups != nil {
			lie = setupsOfPrograms(r)
		}
	}
	w.machine.Dwell = r.Plan.Work.Machine.Dwell // the controller is drawn beside the order
	v, what := w.carryOut(texts(r), lie)
	if len(r.Extras.Holes) > 0 { // it gouges where it should
		v.faults = nil
	}
	points := campaignPoints
	for _, p := range r.Plan.Programs {
		if p.Cutter.Body().Flat > 0 && p.Cutter.Body().Corner > 0 {
			points = campaignPoints / 10
		}
	}
	v.search(w, what, points)
	out.faults = append(out.faults, v.faults...)
	if most := r.Report.Scallop.CertifiedMM; v.ridge.over > most+agree {
		out.fault("a scallop of %.6f mm at X%.3f Y%.3f over the certified %.6f", v.ridge.over, v.ridge.x, v.ridge.y, most)
	}
}

// goOn goes on with a program that was stopped somewhere.
func (t tried) goOn(r *shop.Result, d dice, out *outcome) {
	k := d.IntN(len(r.Texts))
	text := r.Texts[k].Bytes
	line := 1 + d.IntN(bytes.Count(text, []byte("\n")))
	on, err := r.Resume(shop.Stopped{Program: text, File: "p", Line: line, Overlap: d.within(1, 40)})
	if err != nil {
		return // where nothing is left to cut, or nothing is known
	}
	for _, f := range plainText(on.Text, speaks(t.profileOf()), r.Texts[k].Program.Cutter) {
		out.fault("gone on with from line %d of program %d: %s", line, k+1, f)
	}
}

// proveAgain reads the programs as somebody's text.
func proveAgain(j job.Job, r *shop.Result, out *outcome) {
	var sources []shop.Source
	for _, t := range r.All() {
		sources = append(sources, shop.Source{Name: t.Name, Text: bytes.NewReader(t.Bytes)})
	}
	v, _, err := shop.Prove(j, sources)
	if err != nil {
		out.fault("not proven: %v", err)
		return
	}
	for _, f := range v.Findings {
		out.fault("accused: %s:%d:%d: %s: %s", f.Program, f.Line, f.Column, f.Kind, f.Message)
	}
}

// Every key of the catalogue, and every word that may stand under one, is drawn: the
// campaign is over the whole language.
func TestCampaignDrawsAll(t *testing.T) {
	// Jobs of the forms that a key is for that name it, or a word of it.
	var never []string
	seen := map[string]bool{}
	for n := range uint64(4000) {
		text := string(draw(campaignSeed, n).text)
		for _, k := range job.Keys().All() {
			if !strings.Contains(text, bare(k)+":") {
				continue
			}
			seen[k.Path] = true
			for _, w := range k.Words {
				if strings.Contains(text, bare(k)+": "+w) {
					seen[k.Path+"="+w] = true
				}
			}
		}
	}
	for _, k := range job.Keys().All() {
		if slices.Contains([]string{"*", "#"}, k.Name()) || undrawn[k.Path] != "" {
			continue
		}
		if !seen[k.Path] {
			never = append(never, k.Path)
		}
		for _, w := range k.Words {
			if seen[k.Path] && !seen[k.Path+"="+w] && k.Default != w {
				never = append(never, k.Path+": "+w)
			}
		}
	}
	require.Empty(t, never)
}

// undrawn are the keys that the campaign leaves out, and why.
var undrawn = map[string]string{
	"outline/file": "a file of its own: fuzzed in sketch",
	"outline/head": "closed drawings only: tables in sides",
	"start/file":   "a file of its own: tables in sides",
}

// bare is a key's own name.
func bare(k key.Key) string { return k.Name() }
