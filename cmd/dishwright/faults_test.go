//go:build linux

package main

import (
	"crypto/sha256"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"dishwright/cam/chance"
)

// How often TestKilled kills, without LONG and with it; KILLS asks for another number.
const (
	fewKills  = 5 // one of each command
	manyKills = 50
)

// A job of a twentieth of a second, and one that differs from it in every program.
const (
	smallJob = `name: small
radius: 500 mm
diameter: 60 mm
blank: {shape: square, size: 110 mm, thickness: 25 mm}
machine: bench-600
scallop: 0.2 mm
pattern: raster
shelf: {flat: {shape: flat, diameter: 12 mm, flutes: 2, flute length: 16 mm, speed: 16000, chip load: 0.1 mm, depth of cut: 2 mm}}
`
	smallRim = `name: small sides
form: rim
outline: {upper bout: 150 mm, waist: 130 mm, lower bout: 200 mm, length: 260 mm}
top: {radius: 15 ft}
back: {radius: 10 ft}
depth: {head: 50 mm, tail: 55 mm}
`
)

// other returns the job with other programs.
func other(job string) string {
	return strings.Replace(strings.Replace(job, "scallop: 0.2 mm", "scallop: 0.15 mm", 1), "tail: 55 mm", "tail: 56 mm", 1)
}

// files returns every file under a folder with the hash of what it holds.
func files(t *testing.T, root string) map[string]string {
	all := map[string]string{}
	err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := os.ReadFile(path)
		name, _ := filepath.Rel(root, path)
		all[name] = fmt.Sprintf("%x", sha256.Sum256(data))
		return err
	})
	require.NoError(t, err)
	return all
}

// victim is a command that writes, killed again and again.
type victim struct {
	name, job string
	args      []string // JOB and OUT stand for their names
	before    bool     // is an earlier output there?
	old, new  map[string]string
	long      time.Duration // how long a whole run takes
}

// command makes the command for a job's file and an output.
func (v victim) command(job, out string) *exec.Cmd {
	args := make([]string, len(v.args))
	for i, a := range v.args {
		args[i] = map[string]string{"JOB": job, "OUT": out}[a]
		if args[i] == "" {
			args[i] = a
		}
	}
	return exec.Command("dishwright", args...)
}

// learn finds out what the old and the new output hold.
func (v *victim) learn(t *testing.T, jobs string) {
	root := t.TempDir()
	for _, text := range []string{v.job, other(v.job)} {
		require.NoError(t, os.WriteFile(jobs, []byte(text), 0o666))
		begun := time.Now()
		said, err := v.command(jobs, filepath.Join(root, "out")).CombinedOutput()
		require.NoError(t, err, string(said))
		v.long = time.Since(begun)
		v.old, v.new = v.new, files(t, root)
	}
	require.NotEqual(t, v.old, v.new)
	if !v.before {
		v.old = map[string]string{}
	}
}

// TestKilled kills commands that write at moments of chance, half of them while the
// output is being written: it is then the old one or the new one, whole, and the next
// run leaves nothing else behind. Told to stop instead, they leave nothing at all.
func TestKilled(t *testing.T) {
	kills := fewKills
	if chance.Long() {
		kills = manyKills
	}
	if text := os.Getenv("KILLS"); text != "" {
		var err error
		kills, err = strconv.Atoi(text)
		require.NoError(t, err, "KILLS")
	}
	jobs := filepath.Join(t.TempDir(), "job.yaml")
	victims := []victim{
		{name: "make", job: smallJob, args: []string{"make", "JOB", "-o", "OUT", "--force"}},
		{name: "make --force", job: smallJob, args: []string{"make", "JOB", "-o", "OUT", "--force"}, before: true},
		{name: "rim --force", job: smallRim, args: []string{"rim", "JOB", "-o", "OUT", "--force"}, before: true},
		{name: "sheet --force", job: smallJob, args: []string{"sheet", "JOB", "-o", "OUT", "--force"}, before: true},
		{name: "rim", job: smallRim, args: []string{"rim", "JOB", "-o", "OUT", "--force"}},
	}
	for i := range victims {
		victims[i].learn(t, jobs)
	}
	d := rand.New(rand.NewPCG(10, uint64(kills)))
	count := map[string]int{}
	for k := range kills {
		v := victims[k%len(victims)]
		signal := os.Signal(os.Kill)
		if (k+k/len(victims))%len(victims) == 1 { // each command in its turn
			signal = signals[k%len(signals)]
		}
		root := t.TempDir()
		out := filepath.Join(root, "out")
		if v.before {
			require.NoError(t, os.WriteFile(jobs, []byte(v.job), 0o666))
			require.NoError(t, v.command(jobs, out).Run())
			require.Equal(t, v.old, files(t, root))
		}
		require.NoError(t, os.WriteFile(jobs, []byte(other(v.job)), 0o666))
		stray := v.kill(t, d, jobs, root, signal)
		found := files(t, root)
		switch {
		case maps.Equal(partOf(found, "out"), v.old):
			count["old"]++
		case maps.Equal(partOf(found, "out"), v.new):
			count["new"]++
		default:
			require.Fail(t, "neither the old output nor the new", "%s: %v", v.name, found)
		}
		if stray {
			count["in the midst"]++
		}
		if signal != os.Kill {
			require.Len(t, found, len(partOf(found, "out")), "%s told to stop: %v", v.name, found)
			count["told to stop"]++
		}
		said, err := v.command(jobs, out).CombinedOutput()
		require.NoError(t, err, string(said))
		require.Equal(t, v.new, files(t, root), "%s, after the next run", v.name)
	}
	t.Logf("%d kills: %v", kills, count)
}

// partOf returns the files of the output itself.
func partOf(all map[string]string, out string) map[string]string {
	part := map[string]string{}
	for name, hash := range all {
		if name == out || strings.HasPrefix(name, out+"/") {
			part[name] = hash
		}
	}
	return part
}

// kill runs the command and ends it at a moment of chance; it reports whether anything
// but the output stood there then.
func (v victim) kill(t *testing.T, d *rand.Rand, jobs, root string, signal os.Signal) (stray bool) {
	cmd := v.command(jobs, filepath.Join(root, "out"))
	require.NoError(t, cmd.Start())
	if d.IntN(2) == 0 {
		time.Sleep(time.Duration(d.Float64() * 1.05 * float64(v.long)))
	} else { // once it has begun to write
		for deadline := time.Now().Add(10 * v.long); time.Now().Before(deadline); time.Sleep(50 * time.Microsecond) {
			if entries, _ := os.ReadDir(root); len(entries) > 1 || !v.before && len(entries) > 0 {
				break
			}
		}
		time.Sleep(time.Duration(d.Float64() * d.Float64() * 0.5 * float64(v.long)))
	}
	cmd.Process.Signal(signal)
	cmd.Wait()
	entries, err := os.ReadDir(root)
	require.NoError(t, err)
	for _, e := range entries {
		stray = stray || e.Name() != "out"
	}
	return stray
}

// A folder that goes away while it is being written into ends the run with a message,
// not with half a set.
func TestFolderGone(t *testing.T) {
	jobs := filepath.Join(t.TempDir(), "job.yaml")
	require.NoError(t, os.WriteFile(jobs, []byte(smallJob), 0o666))
	root := filepath.Join(t.TempDir(), "gone")
	require.NoError(t, os.Mkdir(root, 0o777))
	cmd := exec.Command("dishwright", "make", jobs, "-o", filepath.Join(root, "out"), "--quiet")
	var said strings.Builder
	cmd.Stderr = &said
	require.NoError(t, cmd.Start())
	for {
		if entries, _ := os.ReadDir(root); len(entries) > 0 {
			break
		}
		time.Sleep(50 * time.Microsecond)
	}
	require.NoError(t, os.RemoveAll(root))
	require.Error(t, cmd.Wait())
	require.Equal(t, 2, cmd.ProcessState.ExitCode(), said.String())
	require.Contains(t, said.String(), "dishwright: ")
	require.NotContains(t, said.String(), "goroutine")
	require.NoDirExists(t, root)
}

// A reader that goes away, as head does, is an error of the call; the set is whole.
func TestReaderGone(t *testing.T) {
	jobs := filepath.Join(t.TempDir(), "job.yaml")
	require.NoError(t, os.WriteFile(jobs, []byte(smallJob), 0o666))
	root := t.TempDir()
	for _, args := range [][]string{
		{"make", jobs, "-o", filepath.Join(root, "out"), "--force", "--json"}, {"check", jobs}, {"preview", jobs}, {"sheet", jobs}, {"machines"}, {"explain", "radius"},
	} {
		cmd := exec.Command("dishwright", args...)
		read, write, err := os.Pipe()
		require.NoError(t, err)
		require.NoError(t, read.Close())
		var said strings.Builder
		cmd.Stdout, cmd.Stderr = write, &said
		require.Error(t, cmd.Run(), args)
		require.NoError(t, write.Close())
		require.Equal(t, 2, cmd.ProcessState.ExitCode(), args)
		require.Empty(t, said.String(), args) // nobody is there to read it
	}
	require.Len(t, files(t, filepath.Join(root, "out")), 5) // two programs, order, sheet, list
}

// TestOutputLost: what cannot be told is not done. Where the output goes nowhere, as into a
// full disk, no command leaves a file.
func TestOutputLost(t *testing.T) {
	full, err := os.OpenFile("/dev/full", os.O_WRONLY, 0)
	if err != nil {
		t.Skip(err)
	}
	defer full.Close()
	dir := t.TempDir()
	write := func(name, text string) string {
		name = filepath.Join(dir, name)
		require.NoError(t, os.WriteFile(name, []byte(text), 0o666))
		return name
	}
	job, sides, depths := write("job.yaml", smallJob), write("sides.yaml", smallRim), write("depths.csv", "x_mm,depth_mm\n-200,0.35\n-100,2.31\n0,2.97\n100,2.31\n200,0.35\n")
	set, out := filepath.Join(dir, "set"), filepath.Join(dir, "out")
	require.Equal(t, 0, runHere([]string{"make", job, "-o", set, "--quiet"}, nil, io.Discard, io.Discard))
	before := files(t, dir)
	for _, args := range [][]string{
		{"make", job, "-o", out}, {"make", job, "-o", out, "--json"},
		{"rim", sides, "-o", out}, {"rim", sides, "-o", out, "--csv"},
		{"fit", depths, "--radius", "25 ft", "--sheet", out}, {"fit", depths, "--radius", "25 ft", "--sheet", out, "--json"},
		{"resume", job, "--program", filepath.Join(set, "2-small.ngc"), "--line", "110", "-o", out},
		{"sheet", job}, {"preview", job}, {"prove", filepath.Join(set, "2-small.ngc"), "--job", job}, {"machines"}, {"new"}, {"schema"},
	} {
		var said strings.Builder
		require.Equal(t, 2, runHere(args, nil, full, &said), "%v: %s", args, said.String())
		require.Contains(t, said.String(), "dishwright: the output cannot be written: ", args)
		require.Contains(t, said.String(), "hint: ", args)
		require.Equal(t, before, files(t, dir), args)
	}
}

// On a full disk, and on one that may only be read, the old set stays and nothing else:
// in a file system of its own, where the system lets a test make one.
func TestFullDisk(t *testing.T) {
	own := &syscall.SysProcAttr{Cloneflags: syscall.CLONE_NEWUSER | syscall.CLONE_NEWNS,
		UidMappings: []syscall.SysProcIDMap{{ContainerID: 0, HostID: os.Getuid(), Size: 1}}, GidMappings: []syscall.SysProcIDMap{{ContainerID: 0, HostID: os.Getgid(), Size: 1}}}
	probe := exec.Command("sh", "-c", "mount -t tmpfs none /mnt")
	probe.SysProcAttr = own
	if said, err := probe.CombinedOutput(); err != nil {
		t.Skipf("no file system can be made here: %s (a failing sync stands for it in outset)", strings.TrimSpace(string(said)))
	}
	dir := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(dir, "old.yaml"), []byte(smallJob), 0o666))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "new.yaml"), []byte(other(smallJob)), 0o666))
	for name, spoil := range map[string]string{
		"full":      "dd if=/dev/zero of=fill bs=1k count=100000 2>/dev/null || true",
		"nearly":    "dd if=/dev/zero of=fill bs=1k count=100000 2>/dev/null || true; dd if=/dev/null of=fill bs=1k seek=$(($(stat -c %s fill) / 1024 - 24)) 2>/dev/null",
		"read only": "mount -o remount,ro /mnt",
	} {
		script := `set -e
mount -t tmpfs -o size=1m none /mnt
dishwright make "$1/old.yaml" -o /mnt/out --quiet
cd /mnt && find out -type f | sort | xargs sha256sum >"$1/before"
` + spoil + `
set +e
dishwright make "$1/new.yaml" -o /mnt/out --force --quiet
echo "exit $?"
find . -type f ! -name fill | sed 's,^\./,,' | sort | xargs sha256sum >"$1/after"
ls -A /mnt`
		cmd := exec.Command("sh", "-c", script, "sh", dir)
		cmd.SysProcAttr = own
		said, err := cmd.CombinedOutput()
		require.NoError(t, err, "%s: %s", name, said)
		require.Contains(t, string(said), "exit 2\n", name)
		require.Contains(t, string(said), "dishwright: ", name)
		require.Contains(t, string(said), "hint: ", name)
		before, err := os.ReadFile(filepath.Join(dir, "before"))
		require.NoError(t, err)
		after, err := os.ReadFile(filepath.Join(dir, "after"))
		require.NoError(t, err)
		require.NotEmpty(t, before)
		require.Equal(t, string(before), string(after), "%s: %s", name, said)
		t.Logf("%s: %s", name, said)
	}
}
