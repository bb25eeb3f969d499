package main

import (
	"cmp"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"dishwright/cmd/internal/manual"
)

// The pages stay short enough to be read.
func TestPageSizes(t *testing.T) {
	for name, most := range map[string]int{"README.md": 12_000, "DEVELOPERS.md": 10_000} {
		text, err := os.ReadFile(filepath.Join("..", "..", name))
		require.NoError(t, err)
		require.LessOrEqual(t, len(text), most, "%s is longer than anybody reads: say it in a topic of the manual, once", name)
	}
}

// Tests, files and folders that DEVELOPERS.md names are there.
func TestDevelopersNames(t *testing.T) {
	text, err := os.ReadFile("../../DEVELOPERS.md")
	require.NoError(t, err)
	var tests, files strings.Builder
	require.NoError(t, filepath.WalkDir("../..", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() && d.Name() == ".git" {
			return cmp.Or(err, fs.SkipDir)
		}
		files.WriteString(filepath.ToSlash(strings.TrimPrefix(name, filepath.Join("..", ".."))) + "\n")
		if strings.HasSuffix(name, "_test.go") {
			source, err := os.ReadFile(name)
			tests.Write(source)
			return err
		}
		return nil
	}))
	for _, name := range regexp.MustCompile(`\b(Test|Fuzz)[A-Z]\w+`).FindAllString(string(text), -1) {
		require.True(t, strings.Contains(tests.String(), "func "+name), "there is no test %s", name)
	}
	names := regexp.MustCompile("`([a-z][\\w/*.-]*)`").FindAllStringSubmatch(string(text), -1)
	require.Greater(t, len(names), 40)
	for _, m := range names {
		if !strings.ContainsAny(m[1], "/*") && !regexp.MustCompile(`\.(go|txtar|yaml|md)$`).MatchString(m[1]) {
			continue // a word of a job or of the code
		}
		pattern := strings.ReplaceAll(regexp.QuoteMeta(strings.TrimSuffix(m[1], "/")), `\*`, `[^/\n]*`)
		require.True(t, regexp.MustCompile(`(?m)(^|/)`+pattern+`$`).MatchString(files.String()), "there is no file or folder %s", m[1])
	}
}

// Every topic has a page, every page is a topic, the README names all of them, and they
// fit a terminal of 80 columns.
func TestTopics(t *testing.T) {
	readme, err := os.ReadFile("../../README.md")
	require.NoError(t, err)
	files, err := filepath.Glob("manual/*.md")
	require.NoError(t, err)
	var named []string
	for _, f := range files {
		named = append(named, strings.TrimSuffix(filepath.Base(f), ".md"))
	}
	require.ElementsMatch(t, topics, named)
	list := output([]string{"manual"})
	for _, name := range topics {
		require.Contains(t, string(readme), "`"+name+"`", "the README does not name the topic %s", name)
		require.Regexp(t, `(?m)^  `+name+` +\S`, list)
		require.True(t, strings.HasPrefix(topicSource(name), "# "+name+": "), name)
		text := output([]string{"manual", name})
		require.Equal(t, topicText(name), text)
		require.NotContains(t, text, "```")
		require.NotContains(t, text, "<!--")
		for _, l := range strings.Split(text, "\n") {
			require.LessOrEqual(t, len([]rune(l)), 80, "topic %s: %s", name, l)
		}
	}
	for _, l := range strings.Split(list, "\n") {
		require.LessOrEqual(t, len([]rune(l)), 80, l)
	}
}

// Without a key explain names every one, in a page; the topic keys tells all.
func TestExplainIndex(t *testing.T) {
	index, all := output([]string{"explain"}), output([]string{"manual", "keys"})
	require.LessOrEqual(t, strings.Count(index, "\n"), 80)
	var shown []string
	for _, l := range strings.FieldsFunc(index, func(r rune) bool { return r == ',' || r == '\n' || r == ':' }) {
		shown = append(shown, strings.TrimSpace(l))
	}
	for _, k := range manual.Entries() {
		if n := k.Name(); n != "*" && n != "#" {
			require.True(t, slices.Contains(shown, n), "the index lacks %s", k.Path)
		}
		require.Contains(t, all, manual.Explain(k, textWidth))
	}
}
