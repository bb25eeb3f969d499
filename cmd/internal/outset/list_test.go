package outset

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestNames(t *testing.T) {
	s, err := Open(filepath.Join(t.TempDir(), "out"), false)
	require.NoError(t, err)
	defer s.Abandon()
	for _, bad := range []string{"", ".", "..", ".hidden", "-o", "a/b", `a\b`, "../a", "/a", "a\x00", "a b", "a.", "é.ngc", "a\nb",
		strings.Repeat("x", 121), listName, "con:", "a*",
		"con", "NUL.ngc", "aux.tar.gz", "prn.", "com1", "LPT9.html", `C:\out`, "C:", "c:a.ngc"} {
		_, err := s.Create(bad)
		require.Error(t, err, "%q", bad)
	}
	for _, good := range []string{"1-octave-mandolin.ngc", "sheet.html", "A_b-3", strings.Repeat("x", 120), "console.ngc", "1-nul.ngc", "com.ngc", "com10.ngc", "lpt-1.ngc"} {
		require.NoError(t, s.Write(good, nil), good)
	}
	require.ErrorContains(t, s.Write("SHEET.html", nil), "already")
}

// TestSlug: whatever the text, a name made of it can be written.
func TestSlug(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		slug := Slug(rapid.String().Draw(t, "text"))
		require.NoError(t, checkName("1-"+slug+".ngc"))
		require.LessOrEqual(t, len(slug), 60)
		require.Equal(t, slug, Slug(slug))
	})
	for text, want := range map[string]string{
		"octave mandolin back dish": "octave-mandolin-back-dish", "  A/B..c ": "a-b-c", "": "job", "日本": "job", "-": "job",
		`C:\jobs\dish`: "c-jobs-dish", "../../etc": "etc", "NUL": "nul", // the program's name begins with its number
	} {
		require.Equal(t, want, Slug(text))
	}
}

// FuzzList: what parses prints again as the same bytes, save a last line cut
// short, and never names a file outside the folder.
func FuzzList(f *testing.F) {
	sum := strings.Repeat("0f", 32)
	f.Add([]byte("# dishwright set\n"))
	f.Add([]byte("# dishwright set\n" + sum + "  1-a.ngc\nunfinished  2-b.ngc\n"))
	f.Add([]byte("# dishwright set\n" + sum + "  ../../etc\n"))
	f.Add([]byte("# dishwright set\nunfinished  1-a.n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		entries, err := parseList(data)
		if err != nil {
			require.Nil(t, entries)
			return
		}
		whole := data[:strings.LastIndexByte(string(data), '\n')+1]
		require.Equal(t, string(whole), string(printList(entries)))
		for _, e := range entries {
			require.Equal(t, e.name, filepath.Base(e.name))
			require.NotEqual(t, byte('.'), e.name[0])
		}
	})
}

func TestWriteNew(t *testing.T) {
	for name, l := range map[string]func(a, b string) error{
		"links":    os.Link,
		"no links": func(_, _ string) error { return errors.ErrUnsupported },
	} {
		t.Run(name, func(t *testing.T) {
			defer func() { link = os.Link }()
			link = l
			root := t.TempDir()
			file := filepath.Join(root, "job.yaml")
			require.NoError(t, WriteNew(file, []byte("job")))
			require.Equal(t, map[string]string{"job.yaml": "job"}, tree(t, root))
			var refused *Refused
			require.ErrorAs(t, WriteNew(file, []byte("other")), &refused)
			require.ErrorAs(t, WriteNew(root, []byte("other")), &refused)
			require.ErrorAs(t, WriteNew("", nil), &refused)
			require.Error(t, WriteNew(filepath.Join(root, "absent", "job.yaml"), nil))
			require.Equal(t, map[string]string{"job.yaml": "job"}, tree(t, root))
		})
	}
}

func TestWriteNewFails(t *testing.T) {
	defer failSync()()
	root := t.TempDir()
	require.ErrorContains(t, WriteNew(filepath.Join(root, "job.yaml"), []byte("job")), "job.yaml cannot be written: no room")
	require.Empty(t, tree(t, root))
}

// TestPublishNeverClobbers: a file that appears after the first look stays.
func TestPublishNeverClobbers(t *testing.T) {
	for _, l := range []func(a, b string) error{os.Link, func(_, _ string) error { return errors.ErrUnsupported }} {
		func() {
			defer func() { link = os.Link }()
			link = l
			root := t.TempDir()
			temp, name := filepath.Join(root, "temp"), filepath.Join(root, "name")
			require.NoError(t, os.WriteFile(temp, []byte("ours"), 0o666))
			require.NoError(t, os.WriteFile(name, []byte("mine"), 0o666))
			require.ErrorIs(t, publish(temp, name), os.ErrExist)
			require.Equal(t, map[string]string{"name": "mine"}, tree(t, root))
		}()
	}
}
