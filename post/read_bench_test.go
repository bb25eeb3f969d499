package post

import (
	"bytes"
	"fmt"
	"math"
	"strings"
	"testing"

	"dishwright/cam/path"
)

// countSink keeps nothing.
type countSink struct{ moves, events int }

func (c *countSink) Move(path.Move) error   { c.moves++; return nil }
func (c *countSink) Event(path.Event) error { c.events++; return nil }

// rasterProgram returns a program like those that are cut: a few lines of
// modes, then straight moves over a hollow of radius 7620 mm.
func rasterProgram(blocks int) []byte {
	var b bytes.Buffer
	b.WriteString("(a hollow, row by row)\nG21 G17 G90 G94 G40\nG64\nG0 Z5.0000\nS16000 M3\nG4 P5\nG0 X-300.0000 Y-300.0000\nG1 Z0.0000 F1600\n")
	for i := range blocks {
		x, y := float64(i%600)-299.7531, float64(i/600%400)*1.5-299.1357
		fmt.Fprintf(&b, "X%.4f Y%.4f Z%.4f\n", x, y, -5.9+(x*x+y*y)/15240)
	}
	b.WriteString("G0 Z5.0000\nM5\nM2\n")
	return b.Bytes()
}

func BenchmarkRead(b *testing.B) {
	const blocks = 100_000
	text := rasterProgram(blocks)
	b.SetBytes(int64(len(text)))
	b.ReportAllocs()
	for b.Loop() {
		var sink countSink
		if _, err := Read(bytes.NewReader(text), ReadOptions{}, &sink); err != nil {
			b.Fatal(err)
		}
		if sink.moves != blocks+4 {
			b.Fatal(sink.moves)
		}
	}
	b.ReportMetric(blocks*float64(b.N)/b.Elapsed().Seconds(), "blocks/s")
}

// The same with a G word, a feed and a line number on each line, and with arcs.
func BenchmarkReadWords(b *testing.B) {
	const blocks = 100_000
	var t strings.Builder
	t.WriteString("G21 G18\nG0 X0 Y0 Z0\n")
	for i := range blocks / 2 {
		fmt.Fprintf(&t, "N%d G1 X0 Z0 F1600.5 (row %d)\nN%d G02 X10.0000 Z0.0000 I5.0000 K%.4f\n", 2*i%99999, i, (2*i+1)%99999, math.Sqrt(7620*7620-25))
	}
	t.WriteString("M2\n")
	b.SetBytes(int64(t.Len()))
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Read(strings.NewReader(t.String()), ReadOptions{}, &countSink{}); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(blocks*float64(b.N)/b.Elapsed().Seconds(), "blocks/s")
}
