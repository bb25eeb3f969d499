package shop_test

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"dishwright/cam/chance"
	"dishwright/cam/job/key"
	"dishwright/cmd/internal/shop"
)

// hashes is the file of what programs hold, as SHA-256 of all texts of a job: first the
// jobs of the quality record by name, then drawn jobs by form and number.
const hashes = "testdata/bytes.txt"

// hashOf stands for all that a job's programs hold, their names included, and for all
// that is said of them: what was proven, chosen, worked out and warned of.
func hashOf(r *shop.Result) string {
	h := sha256.New()
	for _, t := range r.All() {
		fmt.Fprintf(h, "%s %d\n%s", t.Name, len(t.Bytes), t.Bytes)
	}
	return fmt.Sprintf("%x %s", h.Sum(nil)[:12], saidOf(r.Report))
}

// saidOf stands for a report, its numbers to a tenth of a micrometre: that is finer than
// any that is shown, and coarser than what is left to an order of rounding. Where the
// highest scallop lies is left out: there are many as high, to the last bits. So are the
// folders of files.
func saidOf(r shop.Report) string {
	r.Scallop.XMM, r.Scallop.YMM = 0, 0
	r.Values = slices.Clone(r.Values)
	for i, v := range r.Values { // the folder is not that of another run
		r.Values[i].File = filepath.Base(v.File)
	}
	if r.Mate != nil {
		mate := *r.Mate
		mate.Scallop.XMM, mate.Scallop.YMM = 0, 0
		r.Mate = &mate
	}
	text, err := json.Marshal(r)
	if err != nil {
		return err.Error()
	}
	text = decimals.ReplaceAllFunc(text, func(number []byte) []byte {
		v, _ := strconv.ParseFloat(string(number), 64)
		return strconv.AppendFloat(nil, v, 'f', 4, 64)
	})
	h := sha256.Sum256(text)
	return fmt.Sprintf("%x", h[:6])
}

var decimals = regexp.MustCompile(`-?[0-9]+\.[0-9]+(e-?[0-9]+)?|-?[0-9]+e-?[0-9]+`)

// drawnHash makes a drawn job and returns its line, and of which kind it is: its form, or
// divided where it is cut in several setups; "" where it is refused.
func drawnHash(number uint64, dir string) (line, kind string, err error) {
	t := draw(campaignSeed, number)
	dir = filepath.Join(dir, fmt.Sprint(number))
	if err := os.MkdirAll(dir, 0o777); err != nil {
		return "", "", err
	}
	if err := os.WriteFile(filepath.Join(dir, "chance.yaml"), t.machine, 0o666); err != nil {
		return "", "", err
	}
	j, err := t.load(filepath.Join(dir, "job.yaml"))
	if err != nil {
		return "", "", nil
	}
	r, err := shop.Run(context.Background(), j)
	if err != nil || len(r.Report.Broken) > 0 {
		return "", "", nil
	}
	kind = t.form
	if r.Report.Setups != nil {
		kind = "divided"
	}
	return fmt.Sprintf("%s %s %d", hashOf(r), t.form, number), kind, nil
}

const (
	// hashedOfEach is how many drawn jobs of each kind are held to.
	hashedOfEach = 14
	// quick is how long a job may take to be one of them.
	quick = 120 * time.Millisecond
)

// chosen returns the lines of the drawn jobs that are held to: those that were, by their
// numbers, and where they are too few of a kind, or are refused by now, quick ones again.
func chosen(t *testing.T, held []uint64) (lines []string) {
	count, dir := map[string]int{}, t.TempDir()
	take := func(number uint64, within time.Duration) {
		form, begun := draw(campaignSeed, number).form, time.Now()
		if form == key.Rim || count[form] == hashedOfEach && (count["divided"] == hashedOfEach || form != key.Dish && form != key.Caul) {
			return
		}
		line, kind, err := drawnHash(number, dir)
		require.NoError(t, err)
		if kind == "divided" {
			within *= 4
		}
		if kind != "" && count[kind] < hashedOfEach && time.Since(begun) < within {
			count[kind]++
			lines = append(lines, line)
		}
	}
	for _, n := range held {
		take(n, longest*time.Second)
	}
	for n := range uint64(4000) {
		if !slices.Contains(held, n) {
			take(n, quick)
		}
	}
	return lines
}

// TestBytes holds every byte of the programs, and what is reported of them: of the
// quality record's jobs, and of small jobs of every form. The same file serves on any
// number of processors, with the race detector, and where the compiler fuses
// multiplications with additions; .ci/run tries those. BYTES=small leaves the record's
// jobs out; without it and LONG the record's large jobs and every other small one are
// left out. After a change that is meant: UPDATE=1 go test -run TestBytes ./cmd/internal/shop
func TestBytes(t *testing.T) {
	lines := heldLines(t)
	if os.Getenv("UPDATE") == "1" {
		now := []string{"# SHA-256 of what a job's programs hold, and of its report: their first bytes. See TestBytes."}
		var held []uint64
		for _, line := range lines {
			if _, number, drawn := jobOf(line); drawn {
				held = append(held, number)
			}
		}
		for i, o := range table {
			r, err := made[i]()
			require.NoError(t, err)
			now = append(now, hashOf(r)+" table "+o.name)
		}
		require.NoError(t, os.WriteFile(hashes, []byte(strings.Join(append(now, chosen(t, held)...), "\n")+"\n"), 0o644))
		lines = heldLines(t)
	}
	require.Greater(t, len(lines), len(table)+3*hashedOfEach)
	small := os.Getenv("BYTES") == "small"
	for i, line := range lines {
		name, _, drawn := jobOf(line)
		if !chance.Long() && !small && (drawn && i%3 != 0 || slices.ContainsFunc(table, func(o order) bool { return "table "+o.name == name && o.large() })) {
			continue
		}
		t.Run(strings.ReplaceAll(name, " ", "-"), func(t *testing.T) {
			t.Parallel()
			if !drawn && small {
				t.Skip("one of the record's")
			}
			now, err := again(line, t.TempDir())
			require.NoError(t, err)
			require.Equal(t, line, now, "other programs, or another report; if that is meant: UPDATE=1 go test -run TestBytes ./cmd/internal/shop")
		})
	}
}

// heldLines are the lines of the file: two hashes and a job each.
func heldLines(t *testing.T) []string {
	text, err := os.ReadFile(hashes)
	require.NoError(t, err)
	return strings.Split(strings.TrimSpace(string(text)), "\n")[1:]
}

// jobOf returns the job of a line: its name in the record's table, or its form and the
// number by which it is drawn.
func jobOf(line string) (name string, number uint64, drawn bool) {
	parts := strings.SplitN(line, " ", 3)
	form, rest, _ := strings.Cut(parts[2], " ")
	number, err := strconv.ParseUint(rest, 10, 64)
	return parts[2], number, form != "table" && err == nil
}

// again makes the job of a line again and returns the line that it makes.
func again(line, dir string) (string, error) {
	name, number, drawn := jobOf(line)
	if drawn {
		now, _, err := drawnHash(number, dir)
		return now, err
	}
	for i, o := range table {
		if "table "+o.name != name {
			continue
		}
		r, err := made[i]()
		if err != nil {
			return "", err
		}
		for _, text := range r.All() { // line ends of the standard, whatever the system's own
			if bytes.ContainsRune(text.Bytes, '\r') {
				return "", errors.New("a carriage return")
			}
		}
		return hashOf(r) + " " + name, nil
	}
	return "", errors.New("no such job")
}
