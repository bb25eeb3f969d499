package shop_test

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"dishwright/cam/job"
	"dishwright/cmd/internal/shop"
)

const markedJob = "name: marked\nradius: 5 m\ndiameter: 100 mm\nblank: {size: 160 mm, thickness: 25 mm}\nmachine: bench-600\nscallop: 0.2 mm\n"

// loaded loads the job with a change.
func loaded(t *testing.T, old, now string) job.Job {
	t.Helper()
	text := strings.Replace(markedJob, old, now, 1)
	if old == "" {
		text = markedJob + now
	}
	j, err := job.Load("job.yaml", []byte(text))
	require.NoError(t, err)
	return j
}

// marked makes the job with a change.
func marked(t *testing.T, old, now string) (job.Job, [][]byte) {
	t.Helper()
	j := loaded(t, old, now)
	r, err := shop.Run(context.Background(), j)
	require.NoError(t, err)
	require.Empty(t, r.Report.Broken)
	var list [][]byte
	for _, p := range r.Texts {
		list = append(list, p.Bytes)
	}
	return j, list
}

// said proves texts and returns what is said of their order.
func said(t *testing.T, j job.Job, texts ...[]byte) (list string) {
	t.Helper()
	var sources []shop.Source
	for _, b := range texts {
		sources = append(sources, shop.Source{Name: "p", Text: bytes.NewReader(b)})
	}
	v, _, err := shop.Prove(j, sources)
	require.NoError(t, err)
	for _, f := range v.Findings {
		if f.Kind == "order" {
			list += f.Message.String() + "\n"
		}
	}
	return list
}

// Programs of other jobs, of other makings, twice, or in another order are told apart.
func TestProgramsBelongTogether(t *testing.T) {
	t.Parallel()
	j, p := marked(t, "", "")
	require.Len(t, p, 2)
	require.Empty(t, said(t, j, p...))
	require.Empty(t, said(t, j, p[1]), "the air lap may be missing")
	require.Contains(t, said(t, j, p[1], p[0]), "stands after number 2")
	require.Contains(t, said(t, j, p[0], p[1], p[1]), "number 2 of its set, as p is")

	// Another piece, blank, place of the zero or machine is another job.
	for _, change := range [][2]string{{"5 m", "5.001 m"}, {"100 mm", "100.1 mm"}, {"160 mm", "161 mm"}, {"25 mm", "26 mm"}, {"bench-600", "wide-1250"},
		{"", "zero: centre-bed\n"}, {"", "covering: 0.1 mm\n"}, {"", "hold downs: [{x: 70 mm, y: 70 mm, radius: 5 mm, height: 5 mm}]\n"}} {
		other := loaded(t, change[0], change[1])
		require.NotEqual(t, j.Mark(), other.Mark(), "%v", change)
		require.Contains(t, said(t, other, p...), "another job", "%v", change)
	}
	// How it is cut is not: but what was not made together is told.
	finer, q := marked(t, "0.2 mm", "0.1 mm")
	require.Equal(t, j.Mark(), finer.Mark())
	require.Empty(t, said(t, finer, q...))
	require.Contains(t, said(t, j, p[0], q[1]), "were not made together")

	// A program of another hand does not say where it stands; one of make's does, once.
	without := func(pattern string) []byte {
		bare := regexp.MustCompile(pattern).ReplaceAll(p[1], nil)
		require.NotEqual(t, p[1], bare)
		return bare
	}
	require.Empty(t, said(t, j, p[0], without(`(?m)^\([^c].*\)\n`)))
	require.Contains(t, said(t, j, p[0], without(`(?m)^\(set: .*\)\n`)), "a line (set: ...)")
	line := regexp.MustCompile(`(?m)^\(set: .*\)\n`).Find(p[1])
	again := func(line []byte) []byte {
		return bytes.Replace(p[1], []byte("\nM0\n"), append([]byte("\nM0\n"), line...), 1)
	}
	require.Empty(t, said(t, j, p[0], again(bytes.ToUpper(line))))
	require.Equal(t, "the program names two places in its set\n", said(t, j, p[0], again(bytes.Replace(line, []byte("of 2"), []byte("of 3"), 1))))
	require.Empty(t, said(t, j, p[0], again([]byte("(piece: dish)\n"))))
	require.Equal(t, "the program names two pieces\n", said(t, j, p[0], again([]byte("(piece: dish)\n(Piece: caul)\n"))))
	// Nor does a name that looks as if.
	k, s := marked(t, "name: marked", `name: "set: program 9 of 9, job 00000000, made as 00000000"`)
	require.Empty(t, said(t, k, s...))
}

// Programs that all state their place are put into that order, of one number as they came, and
// are read whole; where one states none, all stay as they came.
func TestInOrder(t *testing.T) {
	t.Parallel()
	text := func(number int) string {
		return fmt.Sprintf("(set: program %d of 12, job 0a1b2c3d, made as 4e5f6a7b)\r\nM2\n", number)
	}
	ordered := func(texts ...string) (moved bool, names string) {
		var sources []shop.Source
		for i, text := range texts {
			sources = append(sources, shop.Source{Name: string(rune('a' + i)), Text: strings.NewReader(text)})
		}
		moved = shop.InOrder(sources)
		for _, s := range sources {
			names += s.Name
			whole, err := io.ReadAll(s.Text)
			require.NoError(t, err)
			require.Equal(t, texts[s.Name[0]-'a'], string(whole))
		}
		return moved, names
	}
	try := func(moved bool, names string, texts ...string) {
		t.Helper()
		gotMoved, gotNames := ordered(texts...)
		require.Equal(t, names, gotNames)
		require.Equal(t, moved, gotMoved)
	}
	try(false, "abc", text(1), text(2), text(10))
	try(true, "acb", text(1), text(10), text(2))
	try(true, "bac", text(2), text(1), text(2))
	try(false, "abc", text(2), text(1), "M2\n")
	try(false, "abc", text(2), "(of the set: program 1 of 12, job 0a1b2c3d, made as 4e5f6a7b)\nM2\n", text(1))
	try(false, "ab", text(2), text(1)[1:])
}
