package post

import (
	"bytes"
	"errors"
	"math"
	"testing"
	"testing/iotest"

	"dishwright/cam/path"
	"dishwright/machines"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// FuzzRead: any bytes are read or refused at a place inside them; what is read
// hangs together, and does not depend on how the bytes come in.
func FuzzRead(f *testing.F) {
	for _, text := range []string{
		"%\nG21 G17 G90 G94 G40\nG64\n(MSG, clear of the work)\nM0\nG0 Z5.0000\nS16000 M3\nG4 P5\nX-10 Y2.5\nG1 Z-1 F600\nX10\nG0 Z5\nM5\nM2\n%\n",
		"G20 F10\nG18 G2 X1 Z0 I.5 K2\nG93 G3 X0 R-3 F2\nM30",
		"#1=2 #[1+1]=[#1]\nG21 G0 X#2 Y[ATAN[1]/[2] MOD 3 ** 2]\r\nG92 X0\nG92.2\nG92.3\nM2",
		"\xef\xbb\xbfM2", "/G0", "N99999(a)(b\n", "G91 G1 X- . 5", "G61 P0.02\nM2",
	} {
		f.Add([]byte(text), true)
	}
	f.Fuzz(func(t *testing.T, text []byte, known bool) {
		opt := ReadOptions{Machine: machines.Machine{PathMode: "G61 P0.02"}, ZShift: -20, Start: UnknownStart()}
		if known {
			opt.Start = r3.Vec{X: 1, Y: 2, Z: 3}
		}
		var c readerCollector
		s, err := Read(bytes.NewReader(text), opt, &c)
		lines := bytes.Split(text, []byte("\n"))
		if err != nil {
			var fault *ReadError
			require.True(t, errors.As(err, &fault), "%v", err)
			require.NotEmpty(t, fault.Message.String())
			require.True(t, 1 <= fault.Line && fault.Line <= len(lines), "%v", err)
			require.True(t, 1 <= fault.Column && fault.Column <= len(lines[fault.Line-1])+1, "%v", err)
		}
		require.LessOrEqual(t, s.Lines, len(lines))
		requireSound(t, c.path, s, err == nil)

		var again readerCollector
		s2, err2 := Read(iotest.OneByteReader(bytes.NewReader(text)), opt, &again)
		require.Equal(t, err, err2)
		require.True(t, sameBits(s.Position, s2.Position) && s.Lines == s2.Lines && s.TextAfter == s2.TextAfter)
		require.Len(t, again.path.Moves, len(c.path.Moves))
		require.Equal(t, c.path.Events, again.path.Events)
		for i, m := range c.path.Moves {
			require.True(t, sameBits(m.To, again.path.Moves[i].To))
		}
	})
}

// requireSound checks what holds for any reading: moves join, all numbers that
// are known are finite and no zero is negative, feeds and sources are in range.
func requireSound(t *testing.T, p path.Path, s Summary, whole bool) {
	require.Equal(t, [2]int{len(p.Moves), len(p.Events)}, [2]int{s.Moves, s.Events})
	for i, m := range p.Moves {
		if i > 0 {
			require.True(t, sameBits(p.Moves[i-1].To, m.From))
		}
		for _, v := range [...]float64{m.From.X, m.From.Y, m.From.Z, m.To.X, m.To.Y, m.To.Z, m.Centre.X, m.Centre.Y, m.Centre.Z, m.Feed} {
			require.False(t, math.IsInf(v, 0) || v == 0 && math.Signbit(v))
		}
		require.True(t, m.Source.Line >= 1 && m.Source.Line <= s.Lines && m.Source.Column >= 1)
		if m.Kind == path.Traverse {
			require.Zero(t, m.Feed)
			continue
		}
		require.True(t, m.Feed > 0 || m.Length() == 0)
		if m.Kind == path.Arc {
			_, r0, r1 := m.Sweep()
			require.InDelta(t, r0, r1, 2*(readerRadiiToleranceInch+readerRoundingNoise))
			require.False(t, math.IsNaN(m.Length()))
		}
	}
	before := 0
	for i, e := range p.Events {
		require.True(t, before <= e.Before && e.Before <= len(p.Moves))
		require.True(t, e.Kind != path.End || i == len(p.Events)-1 && s.Ended)
		before = e.Before
	}
	require.True(t, !whole || s.Ended || s.HasPercent)
}

func sameBits(a, b r3.Vec) bool {
	return math.Float64bits(a.X) == math.Float64bits(b.X) && math.Float64bits(a.Y) == math.Float64bits(b.Y) &&
		math.Float64bits(a.Z) == math.Float64bits(b.Z)
}
