package shop_test

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"dishwright/cam/chance"
	"dishwright/cam/given"
	"dishwright/cam/job"
	"dishwright/cam/path"
	"dishwright/cam/work"
	"dishwright/cmd/internal/shop"

	"github.com/stretchr/testify/require"
)

// quality is one row of the record: what the finished programs of a job cost
// and leave. Less is better.
type quality struct {
	job, pattern string
	figures      [7]float64
}

// figures are the columns of the record, with the digits that are printed.
// What is not judged may rise: a scallop is within what was asked, or its job fails. The
// finishing's length stands against the least that any finishing takes, the roughing's
// against its layers' areas over the step (given.LeastFinishing, LeastRoughing).
var figures = [7]struct {
	name   string
	digits int
	judged bool
}{{"path m", 2, true}, {"finish m", 2, true}, {"certified scallop mm", 4, false}, {"time min", 2, true}, {"moves", 0, false}, {"of least", 2, true}, {"rough of least", 2, true}}

// measured gathers a row from a job taken all the way.
func measured(o order, result *shop.Result) quality {
	q, r := quality{job: o.name}, result.Report
	var patterns []string
	w, rough, leastRough := &result.Plan.Work, 0.0, 0.0
	for _, pr := range result.Plan.Programs {
		for _, s := range pr.Sections {
			long := given.InPlan(s.Moves)
			switch s.Purpose {
			case work.Finishing:
				q.figures[1] += cut(s.Moves) / 1000
				q.figures[5] += long / given.LeastFinishing(w, pr.Cutter)
			case work.Roughing:
				rough += long
				leastRough += given.LeastRoughing(w, pr.Cutter, depth(s.Moves), s.Passes, s.Widest)
			}
		}
	}
	if leastRough > 0 {
		q.figures[6] = rough / leastRough
	}
	for _, p := range r.Programs {
		if p.Purpose == string(work.AirLap) {
			continue // the record is of the cutting
		}
		q.figures[3] += p.TimeS / 60
		patterns = append(patterns, p.Cutter.Name+": "+p.Pattern.String())
		q.figures[0] += (p.CutLengthMM + p.TraverseLength) / 1000
		q.figures[4] += float64(p.Moves)
	}
	q.pattern = strings.Join(patterns, "; ")
	q.figures[2] = r.Scallop.CertifiedMM
	return q
}

// cut returns how long the moves are without traverses, mm.
func cut(moves []path.Move) (mm float64) {
	for _, m := range moves {
		if m.Kind != path.Traverse {
			mm += m.Length()
		}
	}
	return mm
}

// depth returns how far the moves go down below the blank's top.
func depth(moves []path.Move) (mm float64) {
	for _, m := range moves {
		mm = max(mm, -m.To.Z)
	}
	return mm
}

// line writes a row of the record.
func (q quality) line() string {
	cells := []string{fmt.Sprintf("%-30s", q.job)}
	for i, f := range figures {
		cells = append(cells, fmt.Sprintf("%*s", len(f.name), strconv.FormatFloat(q.figures[i], 'f', f.digits, 64)))
	}
	return strings.Join(append(cells, q.pattern), " | ")
}

// heading is what stands above the rows.
func heading() string {
	cells := []string{fmt.Sprintf("%-30s", "job")}
	for _, f := range figures {
		cells = append(cells, f.name)
	}
	return "# What the programs of the fixed table of jobs cost and leave; less is better.\n" +
		"# Path and time may only fall. After an improvement: UPDATE=1 go test -run TestQuality ./cmd/internal/shop\n" +
		strings.Join(append(cells, "patterns"), " | ") + "\n"
}

// readQuality reads the record; rows by job.
func readQuality(text string) (map[string]quality, error) {
	rows := map[string]quality{}
	for i, line := range strings.Split(strings.TrimSuffix(text, "\n"), "\n") {
		cells := strings.SplitN(line, " | ", len(figures)+2)
		if strings.HasPrefix(line, "#") || strings.HasPrefix(line, "job ") {
			continue
		}
		if len(cells) != len(figures)+2 {
			return nil, fmt.Errorf("line %d has %d cells", i+1, len(cells))
		}
		q := quality{job: strings.TrimSpace(cells[0]), pattern: cells[len(cells)-1]}
		for k := range figures {
			v, err := strconv.ParseFloat(strings.TrimSpace(cells[k+1]), 64)
			if err != nil {
				return nil, fmt.Errorf("line %d: %w", i+1, err)
			}
			q.figures[k] = v
		}
		rows[q.job] = q
	}
	return rows, nil
}

// compare says which figures got worse and which better, beyond what is printed.
func compare(old, now quality) (worse, better []string) {
	for k, f := range figures {
		was := strconv.FormatFloat(old.figures[k], 'f', f.digits, 64)
		is := strconv.FormatFloat(now.figures[k], 'f', f.digits, 64)
		a, _ := strconv.ParseFloat(was, 64)
		b, _ := strconv.ParseFloat(is, 64)
		note := fmt.Sprintf("%s: %s from %s to %s", now.job, f.name, was, is)
		switch {
		case !f.judged:
		case b > a:
			worse = append(worse, note)
		case b < a:
			better = append(better, note)
		}
	}
	return worse, better
}

const (
	record = "testdata/quality.txt"
	renew  = "UPDATE=1 go test -run TestQuality ./cmd/internal/shop"
)

// TestQuality holds the table of jobs against the record. A worse figure fails;
// a better one is told, and UPDATE=1 then writes it down. UPDATE=1 writes
// nothing while any figure is worse, unless the job itself is new. Without LONG, and
// where nothing is to be renewed, the large jobs' rows are taken as they are.
func TestQuality(t *testing.T) {
	text, err := os.ReadFile(filepath.FromSlash(record))
	if !os.IsNotExist(err) {
		require.NoError(t, err)
	}
	old, err := readQuality(string(text))
	if len(text) > 0 {
		require.NoError(t, err)
	}
	update := os.Getenv("UPDATE") == "1"
	left := func(o order) bool { return o.large() && !chance.Long() && !update }
	now := heading()
	ahead := make(chan int, len(table)) // the jobs are independent: two at a time
	for i, o := range table {
		if !left(o) {
			ahead <- i
		}
	}
	close(ahead)
	for range 2 {
		go func() {
			for i := range ahead {
				_, _ = made[i]() // whose error comes again below
			}
		}()
	}
	var worse, better []string
	known := 0
	for i, o := range table {
		if left(o) {
			was, ok := old[o.name]
			require.True(t, ok, "%s is not in the record: %s", o.name, renew)
			known++
			now += was.line() + "\n"
			continue
		}
		r, err := made[i]()
		require.NoError(t, err)
		require.LessOrEqual(t, r.Report.Scallop.CertifiedMM, o.scallop.mm)
		q := measured(o, r)
		now += q.line() + "\n"
		was, ok := old[o.name]
		if !ok {
			better = append(better, o.name+": not in the record yet")
			continue
		}
		known++
		w, b := compare(was, q)
		worse, better = append(worse, w...), append(better, b...)
		if was.pattern != q.pattern && len(w)+len(b) == 0 {
			better = append(better, o.name+": another pattern, as good")
		}
	}
	require.Empty(t, worse, "figures of %s got worse; if the table's job itself was changed on purpose, give it another name", record)
	if known != len(old) {
		better = append(better, "jobs of the record are no longer in the table")
	}
	switch {
	case len(better) == 0:
		require.Equal(t, string(text), now, "the record was written by hand: %s", renew)
	case update:
		require.NoError(t, os.WriteFile(filepath.FromSlash(record), []byte(now), 0o644))
	case known != len(table) || known != len(old):
		require.Empty(t, better, "the table of jobs and its record differ; renew it: %s", renew)
	default:
		t.Logf("better than the record; renew it: %s\n%s", renew, strings.Join(better, "\n"))
	}
}

// TestCompare: worse is worse only beyond print rounding.
func TestCompare(t *testing.T) {
	old := quality{job: "a", figures: [7]float64{10, 5, 0.05, 3, 100, 1.2, 1.1}}
	worse, better := compare(old, quality{job: "a", figures: [7]float64{10.004, 5, 0.051, 3.004, 101, 1.2, 1.1}})
	require.Empty(t, worse)
	require.Empty(t, better)
	worse, better = compare(old, quality{job: "a", figures: [7]float64{10.006, 4.99, 0.04994, 2.9, 101, 1.2, 1.1}})
	require.Equal(t, []string{"a: path m from 10.00 to 10.01"}, worse)
	require.Equal(t, []string{"a: finish m from 5.00 to 4.99", "a: time min from 3.00 to 2.90"}, better)
	rows, err := readQuality(heading() + old.line() + "\n")
	require.NoError(t, err)
	require.Equal(t, map[string]quality{"a": old}, rows)
}

// BenchmarkMake600 is the whole of a job: planning, writing, reading back,
// certifying and running through the blank's field, for the usual large dish
// finished with a half-inch ball.
func BenchmarkMake600(b *testing.B) {
	j, err := job.Load("job.yaml", table[0].yaml())
	require.NoError(b, err)
	b.ReportAllocs()
	for b.Loop() {
		r, err := shop.Run(context.Background(), j)
		if err != nil || len(r.Report.Broken) > 0 {
			b.Fatal(err, r.Report.Broken)
		}
		b.ReportMetric(r.Report.Scallop.CertifiedMM*1000, "µm")
	}
}
