package shop_test

import (
	"bytes"
	"context"
	"crypto/sha256"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"dishwright/cam/job/key"
	"dishwright/cmd/internal/shop"
)

// hashes is the file of what programs hold, as SHA-256 of all texts of a job: first the
// jobs of the quality record by name, then drawn jobs by form and number.
const hashes = "testdata/bytes.txt"

// hashOf stands for all that a job's programs hold, their names included.
func hashOf(r *shop.Result) string {
	h := sha256.New()
	for _, t := range r.All() {
		fmt.Fprintf(h, "%s %d\n%s", t.Name, len(t.Bytes), t.Bytes)
	}
	return fmt.Sprintf("%x", h.Sum(nil)[:12])
}

// drawnHash makes a drawn job and returns its line; ok is false where it is refused.
func drawnHash(number uint64, dir string) (line string, ok bool, err error) {
	t := draw(campaignSeed, number)
	dir = filepath.Join(dir, fmt.Sprint(number))
	if err := os.MkdirAll(dir, 0o777); err != nil {
		return "", false, err
	}
	if err := os.WriteFile(filepath.Join(dir, "chance.yaml"), t.machine, 0o666); err != nil {
		return "", false, err
	}
	j, err := t.load(filepath.Join(dir, "job.yaml"))
	if err != nil {
		return "", false, nil
	}
	r, err := shop.Run(context.Background(), j)
	if err != nil || len(r.Report.Broken) > 0 {
		return "", false, nil
	}
	return fmt.Sprintf("%s %s %d", hashOf(r), t.form, number), true, nil
}

const (
	// hashedOfEach is how many drawn jobs of each form are held to.
	hashedOfEach = 14
	// quick is how long a job may take to be one of them.
	quick = 120 * time.Millisecond
)

// chosen draws the jobs that are held to: quick ones, of every form.
func chosen(t *testing.T) (lines []string) {
	count, dir := map[string]int{}, t.TempDir()
	for n := uint64(0); n < 4000; n++ {
		form := draw(campaignSeed, n).form
		if form == key.Rim || count[form] == hashedOfEach {
			continue
		}
		begun := time.Now()
		line, ok, err := drawnHash(n, dir)
		require.NoError(t, err)
		if ok && time.Since(begun) < quick {
			count[form]++
			lines = append(lines, line)
		}
	}
	return lines
}

// TestBytes holds every byte of the programs: of the quality record's jobs, and of small
// jobs of every form. The same file serves on any number of processors, with the race
// detector, and where the compiler fuses multiplications with additions; .ci/run tries
// those. BYTES=small leaves the record's jobs out. After a change that is meant:
// UPDATE=1 go test -run TestBytes ./cmd/internal/shop
func TestBytes(t *testing.T) {
	small := os.Getenv("BYTES") == "small"
	if os.Getenv("UPDATE") == "1" {
		lines := []string{"# What programs hold: SHA-256, its first 12 bytes. See TestBytes."}
		for i, o := range table {
			r, err := made[i]()
			require.NoError(t, err)
			lines = append(lines, hashOf(r)+" table "+o.name)
		}
		require.NoError(t, os.WriteFile(hashes, []byte(strings.Join(append(lines, chosen(t)...), "\n")+"\n"), 0o644))
	}
	text, err := os.ReadFile(hashes)
	require.NoError(t, err)
	wanted := strings.Split(strings.TrimSpace(string(text)), "\n")[1:]
	got, dir := make([]string, len(wanted)), t.TempDir()
	var next atomic.Int64
	var group sync.WaitGroup
	for range max(2, runtime.GOMAXPROCS(0)) {
		group.Go(func() {
			for i := int(next.Add(1) - 1); i < len(wanted); i = int(next.Add(1) - 1) {
				got[i] = again(wanted[i], dir, small)
			}
		})
	}
	group.Wait()
	var others []string
	for i := range wanted {
		if wanted[i] != got[i] {
			others = append(others, fmt.Sprintf("%q, not %q", got[i], wanted[i]))
		}
	}
	require.Empty(t, others, "programs hold other bytes; if that is meant: UPDATE=1 go test -run TestBytes ./cmd/internal/shop")
	require.Greater(t, len(wanted), len(table)+3*hashedOfEach)
}

// again makes the job of a line anew and returns the line that it makes.
func again(line, dir string, small bool) string {
	parts := strings.SplitN(line, " ", 3)
	if parts[1] != "table" {
		var number uint64
		fmt.Sscan(parts[2], &number)
		now, _, err := drawnHash(number, dir)
		if err != nil {
			return err.Error()
		}
		return now
	}
	if small {
		return line
	}
	for i, o := range table {
		if o.name != parts[2] {
			continue
		}
		r, err := made[i]()
		if err != nil {
			return err.Error()
		}
		for _, text := range r.All() { // line ends of the standard, whatever the system's own
			if bytes.ContainsRune(text.Bytes, '\r') {
				return "a carriage return"
			}
		}
		return hashOf(r) + " table " + o.name
	}
	return "no such job"
}
