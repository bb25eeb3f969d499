package main

import (
	"go/parser"
	"go/token"
	"io/fs"
	"path"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

const module = "dishwright"

// rooms says which rooms of the module each room may see: imports run one way.
// Rooms under cmd see everything.
var rooms = map[string][]string{
	"dish/exact":          {},
	"dish":                {"dish/exact"},
	"dish/rim":            {"dish", "dish/exact"},
	"dish/fit":            {"dish", "dish/exact"},
	"dish/extra":          {"dish", "dish/exact"},
	"dish/scrap":          {"dish", "dish/exact"},
	"dish/measure":        {},
	"dish/measure/strict": {"dish/measure"},
	"dish/measure/keys":   {"dish/measure", "dish/measure/strict"},
	"machines":            {"dish/fit", "dish/measure", "dish/measure/strict", "dish/measure/keys"},
	"cam/chance":          {},
	"cam/path":            {"dish", "dish/exact"},
	"cam/work":            {"dish", "dish/exact", "dish/fit", "dish/measure", "machines", "cam/path"},
	"cam/link":            {"dish", "dish/exact", "dish/measure", "machines", "cam/path", "cam/work"},
	"cam/pass":            {"dish", "dish/exact", "dish/measure", "machines", "cam/path", "cam/work", "cam/link"},
	"cam/beside":          {"dish", "dish/exact", "dish/extra", "dish/measure", "machines", "cam/path", "cam/work", "cam/link", "cam/pass"},
	"cam/dial":            {"dish", "dish/exact", "dish/extra", "dish/measure", "cam/path", "cam/work"},
	"cam":                 {"dish", "dish/exact", "dish/extra", "dish/measure", "machines", "cam/path", "cam/work", "cam/pass"},
	"cam/given":           {"dish", "dish/exact", "machines", "cam/path", "cam/work"},
	"cam/motion":          {"cam/path", "dish", "dish/exact", "machines"},
	"cam/proof":           {"cam/path", "dish", "dish/exact", "dish/extra", "dish/measure", "machines"},
	"cam/choose":          {"cam", "cam/work", "cam/pass", "cam/motion", "cam/proof", "cam/path", "dish", "dish/measure", "machines"},
	"cam/job/key":         {"dish/measure", "dish/measure/keys"},
	"cam/job": {"dish", "dish/exact", "dish/extra", "dish/rim", "dish/fit", "dish/scrap", "dish/measure", "dish/measure/strict", "dish/measure/keys", "machines", "cam/path", "cam/work", "cam/job/key",
		"cam/pass", "cam/motion", "cam/proof", "cam/choose"},
	"post":    {"cam/path", "dish/exact", "dish/measure", "machines"},
	"samples": {},
}

// testsMay says what a room's tests may see beside that: a second way of
// checking what the room makes, or a short way of writing what goes into it.
// The tests of any room may see the samples and the seed of random cases, which
// see nothing.
var testsMay = map[string][]string{
	"cam/work":   {"cam/given"},
	"cam/link":   {"cam/given"},
	"cam/pass":   {"cam", "cam/given", "cam/proof", "cam/motion"},
	"cam/beside": {"cam/given", "cam/proof"},
	"cam":        {"cam/given", "cam/proof"},
	"cam/job":    {"cam"},
	"cam/choose": {"cam/job", "dish/measure/strict"},
	"samples":    {"dish/measure", "machines", "samples", "cam/job"},
}

// source is one Go file of the module.
type source struct {
	room    string // its folder, slashes between its parts
	test    bool
	imports []string // rooms of the module, in the file's order
}

// sources parses the imports of every Go file below root.
func sources(t *testing.T, root string) (list []source) {
	t.Helper()
	err := filepath.WalkDir(root, func(name string, d fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case d.IsDir() && name != root && (strings.HasPrefix(d.Name(), ".") || d.Name() == "testdata"):
			return filepath.SkipDir
		case d.IsDir() || !strings.HasSuffix(name, ".go"):
			return nil
		}
		file, err := parser.ParseFile(token.NewFileSet(), name, nil, parser.ImportsOnly)
		if err != nil {
			return err
		}
		room, err := filepath.Rel(root, filepath.Dir(name))
		if err != nil {
			return err
		}
		s := source{room: filepath.ToSlash(room), test: strings.HasSuffix(name, "_test.go")}
		for _, spec := range file.Imports {
			to, err := strconv.Unquote(spec.Path.Value)
			if err != nil {
				return err
			}
			if to == module || strings.HasPrefix(to, module+"/") {
				s.imports = append(s.imports, path.Clean(strings.TrimPrefix(strings.TrimPrefix(to, module), "/")))
			}
		}
		list = append(list, s)
		return nil
	})
	require.NoError(t, err)
	return list
}

// forbidden returns the rooms that a file sees and may not.
func forbidden(s source) (bad []string) {
	if s.room == "cmd" || strings.HasPrefix(s.room, "cmd/") {
		return nil
	}
	may, known := rooms[s.room]
	if !known {
		return []string{"anything: it is no room of the design"}
	}
	for _, to := range s.imports {
		ok := slices.Contains(may, to) || s.test && (to == s.room || to == "samples" || to == "cam/chance" || slices.Contains(testsMay[s.room], to))
		if !ok {
			bad = append(bad, to)
		}
	}
	return bad
}

func TestImportsRunOneWay(t *testing.T) {
	all := sources(t, filepath.Join("..", ".."))
	seen := map[string]bool{}
	for _, s := range all {
		seen[s.room] = true
		require.Empty(t, forbidden(s), "%s (test: %t) may not import", s.room, s.test)
	}
	for _, room := range []string{"dish", "dish/measure", "dish/measure/strict", "machines", "cam/path", "cam/work", "cam/link", "cam/pass", "cam/beside", "cam", "cam/motion",
		"cam/proof", "cam/choose", "cam/job", "post", "samples", "cmd/dishwright"} {
		require.True(t, seen[room], "no file of %s was looked at", room)
	}
}

// The check itself: what it must refuse and what it must let pass.
func TestForbiddenImports(t *testing.T) {
	for _, bad := range []source{
		{room: "dish", imports: []string{"cam/path"}},
		{room: "dish", imports: []string{"dish/measure"}, test: true},
		{room: "cam", imports: []string{"cam/proof"}},
		{room: "cam/proof", imports: []string{"post"}, test: true},
		{room: "cam/motion", imports: []string{"cam"}},
		{room: "cam/work", imports: []string{"cam/link"}},
		{room: "cam/link", imports: []string{"cam/pass"}},
		{room: "cam/pass", imports: []string{"cam/given"}},
		{room: "cam/job", imports: []string{"post"}},
		{room: "post", imports: []string{"cam"}},
		{room: "post", imports: []string{"cmd/internal/shop"}},
		{room: "machines", imports: []string{"cam/path"}},
		{room: "cam", imports: []string{"cam/chance"}},
		{room: "tools"},
		{room: "."},
	} {
		require.NotEmpty(t, forbidden(bad), "%+v", bad)
	}
	for _, good := range []source{
		{room: "cam", imports: []string{"dish", "machines", "cam/path"}},
		{room: "cam", imports: []string{"cam", "cam/proof"}, test: true},
		{room: "cam/job", imports: []string{"cam/choose", "cam/proof", "machines"}},
		{room: "cmd/internal/shop", imports: []string{"post", "cam/job"}},
	} {
		require.Empty(t, forbidden(good), "%+v", good)
	}
}

// No import leads back to where it came from.
func TestRoomsHaveNoCircle(t *testing.T) {
	var reaches func(from, to string, deep int) bool
	reaches = func(from, to string, deep int) bool {
		require.Less(t, deep, len(rooms)+1, "a circle through %s", from)
		for _, next := range rooms[from] {
			if next == to || reaches(next, to, deep+1) {
				return true
			}
		}
		return false
	}
	for room, may := range rooms {
		require.False(t, reaches(room, room, 0), room)
		for _, to := range may {
			require.Contains(t, rooms, to, "%s may see %s, which is no room", room, to)
		}
	}
}
