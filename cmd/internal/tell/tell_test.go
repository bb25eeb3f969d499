package tell

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"strings"
	"syscall"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dishwright/dish/measure"
	"dishwright/dish/measure/strict"
)

var faults = strict.Faults{
	{File: "job.yaml", Line: 3, Column: 9, Message: `"15" has no unit`, Hint: "write the unit: 15 mm"},
	{File: "job.yaml", Line: 7, Column: 1, Message: "no such key"},
	{File: "job.yaml", Message: "and 4 more faults"},
}

func TestPrintAndCode(t *testing.T) {
	_, noUnit := measure.ParseLength("25")
	for name, c := range map[string]struct {
		err  error
		code int
		want string
	}{
		"nil":        {nil, 0, ""},
		"plain":      {errors.New("it went wrong"), 2, "dishwright: it went wrong\n"},
		"hint":       {Errorf("do this", "it went %s", "wrong"), 2, "dishwright: it went wrong\n  hint: do this\n"},
		"empty hint": {Errorf("", "it went wrong"), 2, "dishwright: it went wrong\n"},
		"hints":      {Hint(errors.New("wrong"), "one", "two\nthree\n"), 2, "dishwright: wrong\n  hint: one\n  hint: two\n  hint: three\n"},
		"wrapped":    {Wrap("--radius", Hint(Hint(errors.New("wrong"), "inner"), "outer")), 2, "dishwright: --radius: wrong\n  hint: outer\n  hint: inner\n"},
		"joined":     {Hint(errors.Join(Errorf("a hint", "a"), Errorf("b hint", "b")), "both"), 2, "dishwright: a b\n  hint: both\n  hint: a hint\n  hint: b hint\n"},
		"bound":      {Bound("the scallop is 0.2 mm, over 0.1 mm", "a finer step"), 1, "dishwright: the scallop is 0.2 mm, over 0.1 mm\n  hint: a finer step\n"},
		"bound deep": {fmt.Errorf("proof: %w", BoundBroken{"gouge"}), 1, "dishwright: proof: gouge\n"},
		"faults": {fmt.Errorf("read: %w", faults), 2, "job.yaml:3:9: \"15\" has no unit\n  hint: write the unit: 15 mm\n" +
			"job.yaml:7:1: no such key\njob.yaml: and 4 more faults\n"},
		"fault":            {faults[1], 2, "job.yaml:7:1: no such key\n"},
		"faults and bound": {errors.Join(faults[:1], BoundBroken{"gouge"}), 2, "job.yaml:3:9: \"15\" has no unit\n  hint: write the unit: 15 mm\n"},
		"length":           {Wrap("--radius", noUnit), 2, "dishwright: --radius: \"25\" has no unit\n  hint: write the unit: 25 mm or 25 in\n"},
		"broken pipe":      {fmt.Errorf("output: %w", syscall.EPIPE), 2, ""},
		"controls":         {errors.New("a\x1b[2Jb\rc\u009bd"), 2, "dishwright: a?[2Jb?c?d\n"},
	} {
		t.Run(name, func(t *testing.T) {
			var b strings.Builder
			Print(&b, c.err)
			require.Equal(t, c.want, b.String())
			require.Equal(t, c.code, Code(c.err))
		})
	}
	require.NoError(t, Wrap("place", nil))
	require.NoError(t, Hint(nil, "hint"))
}

// TestPrintIsLines: whatever an error says, each line printed is one of ours.
func TestPrintIsLines(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.String()
		var b strings.Builder
		Print(&b, Hint(errors.New(text.Draw(t, "message")), text.Draw(t, "hint")))
		for i, line := range strings.Split(strings.TrimSuffix(b.String(), "\n"), "\n") {
			require.True(t, strings.HasPrefix(line, []string{"dishwright: ", "  hint: "}[min(i, 1)]), "%q", line)
			require.NotContains(t, line, "\x1b")
		}
	})
}

func TestJSON(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, JSON(&b, map[string]string{"a": "<&>"}))
	require.Equal(t, "{\n  \"a\": \"<&>\"\n}\n", b.String())
}

func TestNote(t *testing.T) {
	var b bytes.Buffer
	Note(&b, "wrote %s", "a\nb")
	require.Equal(t, "dishwright: note: wrote a b\n", b.String())
}

// stingy takes a number of bytes and then no more, without an error of its own.
type stingy struct{ room int }

func (s *stingy) Write(p []byte) (int, error) {
	n := min(len(p), s.room)
	s.room -= n
	return n, nil
}

func TestWriterRemembers(t *testing.T) {
	s := &stingy{3}
	w := NewWriter(s)
	n, err := w.Write([]byte("ab"))
	require.Equal(t, 2, n)
	require.NoError(t, err)
	_, err = w.Write([]byte("cd"))
	require.ErrorIs(t, err, io.ErrShortWrite)
	s.room = 9
	_, err = w.Write([]byte("e"))
	require.ErrorIs(t, err, io.ErrShortWrite)
	require.Equal(t, 9, s.room, "nothing is written after the first error")
	require.ErrorIs(t, w.Failure(), io.ErrShortWrite)
}
