// Command dist builds the archives of dishwright for builders who have no Go: for each
// system one, with the program, the texts, the samples and the licences of all that is
// built in, and beside them their sums. Times, owners, modes and order are fixed, so
// that the same commit and the same Go make the same bytes wherever they run.
package main

import (
	"archive/tar"
	"archive/zip"
	"bytes"
	"cmp"
	"compress/gzip"
	"crypto/sha256"
	"debug/buildinfo"
	"encoding/json"
	"flag"
	"fmt"
	"io"
	"io/fs"
	"os"
	"os/exec"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"time"
)

// systems are those that archives are built for.
var systems = []string{"darwin/amd64", "darwin/arm64", "linux/amd64", "linux/arm64", "windows/amd64", "windows/arm64"}

// texts are the files and folders that go along, as they stand in the repository.
var texts = []string{"README.md", "SAFETY.md", "samples"}

// file is one file of an archive.
type file struct {
	name string
	mode fs.FileMode
	data []byte
}

func main() {
	from := flag.String("from", ".", "the folder that -o is seen from")
	out := flag.String("o", filepath.Join("out", "dist"), "the folder that the archives go into")
	flag.Parse()
	asked := flag.Args()
	if len(asked) == 0 {
		asked = systems
	}
	if !filepath.IsAbs(*out) {
		*out = filepath.Join(*from, *out)
	}
	if err := dist(*out, asked); err != nil {
		fmt.Fprintln(os.Stderr, "dist:", err)
		os.Exit(1)
	}
}

// dist builds an archive for each system, and the file of their sums.
func dist(out string, asked []string) error {
	if err := os.MkdirAll(out, 0o777); err != nil {
		return err
	}
	var sums []string
	for _, system := range asked {
		if !slices.Contains(systems, system) {
			return fmt.Errorf("%s is none of %s", system, strings.Join(systems, ", "))
		}
		name, data, err := archive(system)
		if err != nil {
			return fmt.Errorf("%s: %w", system, err)
		}
		if err := os.WriteFile(filepath.Join(out, name), data, 0o666); err != nil {
			return err
		}
		sums = append(sums, fmt.Sprintf("%x  %s\n", sha256.Sum256(data), name))
		fmt.Print(sums[len(sums)-1])
	}
	slices.Sort(sums)
	return os.WriteFile(filepath.Join(out, "SHA256SUMS"), []byte(strings.Join(sums, "")), 0o666)
}

// archive builds the program for a system and packs it.
func archive(system string) (name string, data []byte, err error) {
	program, info, err := build(system)
	if err != nil {
		return "", nil, err
	}
	when, err := committed(info)
	if err != nil {
		return "", nil, err
	}
	files := []file{program}
	if err := gather(&files, ".", "", texts...); err != nil {
		return "", nil, err
	}
	if err := licences(&files, info); err != nil {
		return "", nil, err
	}
	slices.SortFunc(files, func(a, b file) int { return cmp.Compare(a.name, b.name) })
	top := "dishwright-" + strings.ReplaceAll(system, "/", "-")
	for i := range files {
		files[i].name = path.Join(top, files[i].name)
	}
	if strings.HasPrefix(system, "windows/") {
		data, err = zipped(files, when)
		return top + ".zip", data, err
	}
	data, err = tarred(files, when)
	return top + ".tar.gz", data, err
}

// build builds the program, and returns it with what it says of itself: the commit and
// the modules that are linked in.
func build(system string) (file, *buildinfo.BuildInfo, error) {
	dir, err := os.MkdirTemp("", "dist")
	if err != nil {
		return file{}, nil, err
	}
	defer os.RemoveAll(dir)
	goos, goarch, _ := strings.Cut(system, "/")
	f := file{name: "dishwright", mode: 0o755}
	if goos == "windows" {
		f.name += ".exe"
	}
	to := filepath.Join(dir, f.name)
	cmd := exec.Command("go", "build", "-trimpath", "-ldflags=-s -w", "-o", to, "./cmd/dishwright")
	// What a builder has set for himself must not show in the bytes.
	cmd.Env = append(os.Environ(), "GOOS="+goos, "GOARCH="+goarch, "CGO_ENABLED=0", "GOFLAGS=-buildvcs=true", "GOEXPERIMENT=",
		"GOAMD64=v1", "GOARM64=v8.0", "GOFIPS140=off")
	cmd.Stderr = os.Stderr
	if err := cmd.Run(); err != nil {
		return file{}, nil, err
	}
	if f.data, err = os.ReadFile(to); err != nil {
		return file{}, nil, err
	}
	info, err := buildinfo.Read(bytes.NewReader(f.data))
	return f, info, err
}

// committed returns when the commit was made, which all times of the archive are.
func committed(info *buildinfo.BuildInfo) (when time.Time, err error) {
	settings := map[string]string{}
	for _, s := range info.Settings {
		settings[s.Key] = s.Value
	}
	if settings["vcs.modified"] != "false" {
		return when, fmt.Errorf("the folder holds what is not committed, or is no clone (a linked worktree is none): nobody could build the same again")
	}
	when, err = time.Parse(time.RFC3339, settings["vcs.time"])
	return when.UTC(), err
}

// gather adds files, and all that stands in folders but Go sources, under a name.
func gather(files *[]file, dir, below string, names ...string) error {
	for _, name := range names {
		err := filepath.WalkDir(filepath.Join(dir, name), func(at string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() || strings.HasSuffix(at, ".go") {
				return err
			}
			rel, err := filepath.Rel(dir, at)
			if err != nil {
				return err
			}
			data, err := os.ReadFile(at)
			*files = append(*files, file{path.Join(below, filepath.ToSlash(rel)), 0o644, data})
			return err
		})
		if err != nil {
			return err
		}
	}
	return nil
}

// licences adds the licences of Go itself and of every module that is linked in, and the
// project's own where it has one.
func licences(files *[]file, info *buildinfo.BuildInfo) error {
	own, err := legal(".")
	if err != nil {
		return err
	}
	if err := gather(files, ".", "", own...); err != nil {
		return err
	}
	goroot, err := exec.Command("go", "env", "GOROOT").Output()
	if err != nil {
		return err
	}
	if err := gather(files, strings.TrimSpace(string(goroot)), "licences/go", "LICENSE", "PATENTS"); err != nil {
		return err
	}
	for _, m := range info.Deps {
		said, err := exec.Command("go", "mod", "download", "-json", m.Path+"@"+m.Version).Output()
		if err != nil {
			return fmt.Errorf("%s: %w", m.Path, err)
		}
		var module struct{ Dir string }
		if err := json.Unmarshal(said, &module); err != nil {
			return err
		}
		names, err := legal(module.Dir)
		if err != nil {
			return err
		}
		if !slices.ContainsFunc(names, func(name string) bool { return strings.HasPrefix(strings.ToLower(name), "licen") }) {
			return fmt.Errorf("%s has no licence", m.Path)
		}
		if err := gather(files, module.Dir, "licences/"+m.Path, names...); err != nil {
			return err
		}
	}
	return nil
}

// legal lists what in a folder is a licence, or must go along with one.
func legal(dir string) (names []string, err error) {
	entries, err := os.ReadDir(dir)
	for _, e := range entries {
		name := strings.ToLower(e.Name())
		for _, word := range []string{"licen", "copying", "notice", "patents", "authors", "third_party"} {
			if strings.HasPrefix(name, word) {
				names = append(names, e.Name())
				break
			}
		}
	}
	return names, err
}

// tarred packs files for systems that have tar.
func tarred(files []file, when time.Time) ([]byte, error) {
	var out bytes.Buffer
	squeezed, err := gzip.NewWriterLevel(&out, gzip.BestCompression)
	if err != nil {
		return nil, err
	}
	w := tar.NewWriter(squeezed)
	for _, f := range files {
		head := &tar.Header{Typeflag: tar.TypeReg, Name: f.name, Mode: int64(f.mode), Size: int64(len(f.data)), ModTime: when, Format: tar.FormatPAX}
		if err := w.WriteHeader(head); err != nil {
			return nil, err
		}
		if _, err := w.Write(f.data); err != nil {
			return nil, err
		}
	}
	if err := w.Close(); err != nil {
		return nil, err
	}
	err = squeezed.Close()
	return out.Bytes(), err
}

// zipped packs files for Windows.
func zipped(files []file, when time.Time) ([]byte, error) {
	var out bytes.Buffer
	w := zip.NewWriter(&out)
	for _, f := range files {
		head := &zip.FileHeader{Name: f.name, Method: zip.Deflate, Modified: when}
		head.SetMode(f.mode)
		to, err := w.CreateHeader(head)
		if err != nil {
			return nil, err
		}
		if _, err := io.Copy(to, bytes.NewReader(f.data)); err != nil {
			return nil, err
		}
	}
	err := w.Close()
	return out.Bytes(), err
}
