package shop_test

import (
	"bytes"
	"context"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"dishwright/cam/job"
	"dishwright/cmd/internal/picture"
	"dishwright/cmd/internal/play"
	"dishwright/cmd/internal/shop"
	"dishwright/samples"
)

// sampleRun is a sample taken all the way.
func sampleRun(t testing.TB, name string) *shop.Result {
	t.Helper()
	text, ok := samples.Get(name)
	require.True(t, ok)
	j, err := job.Load(name, text)
	require.NoError(t, err)
	r, err := shop.Run(context.Background(), j)
	require.NoError(t, err)
	return r
}

// mapOf returns the rows and the key of the map that stands in a text under its title.
func mapOf(t *testing.T, text, title string) string {
	_, text, ok := strings.Cut(text, title)
	require.True(t, ok, title)
	_, text, _ = strings.Cut(text, "\n")
	at := strings.Index(text, "most left: ")
	require.Positive(t, at)
	return text[:at+strings.Index(text[at:], "\n")]
}

// At its end the run shows what the still drawing does, by the same field; it takes the
// time that the report tells; and each move stands beside the line that it was read from.
func TestPlayEndsAsTheStill(t *testing.T) {
	for _, name := range []string{"short", "hand-board", "dish-in-turns"} {
		t.Run(name, func(t *testing.T) {
			r := sampleRun(t, name)
			programs := r.Play()
			require.Len(t, programs, len(r.Texts))
			last := 0
			for i, p := range programs {
				for _, s := range p.Stages {
					last = max(last, s.Number)
				}
				for _, m := range p.Moves {
					require.Contains(t, "GXYZ", p.Text[m.Source.Line-1][:1], "program %d, line %d", i+1, m.Source.Line)
				}
			}
			list, err := r.Scenes().Pictures(shop.Ask{Share: 1, Stage: last, Remaining: true, Ruler: r.Job.Ruler})
			require.NoError(t, err)
			still := mapOf(t, list[0].Characters(picture.Look{Width: 80}), "left above the wanted face")

			show := play.NewShow(programs, play.Usual)
			_, total := show.At()
			require.InDelta(t, r.Report.TimeS, total.Seconds(), 1e-3)
			frame := func(at time.Duration) string {
				show.Go(at)
				return mapOf(t, strings.Join(show.Frame(60, 100, picture.Look{Width: 60}), "\n")+"\n", "left above the wanted face")
			}
			require.Equal(t, still, frame(total))
			require.NotEqual(t, still, frame(total/3))
			require.Equal(t, still, frame(total), "through the middle and back it is the same")
		})
	}
}

// Templates have no face: what shows is how deep the blank is cut, through it at last.
func TestPlayOfTemplates(t *testing.T) {
	r := sampleRun(t, "arc-gauges")
	show := play.NewShow(r.Play(), play.Usual)
	_, total := show.At()
	rows := func(at time.Duration) string { // without the key, which stands below
		show.Go(at)
		text := strings.Join(show.Frame(80, 60, picture.Look{Width: 80}), "\n")
		require.Contains(t, text, "depth below the blank's top")
		text, _, ok := strings.Cut(text, "up to 0.25 mm")
		require.True(t, ok)
		return strings.TrimRight(text, " .")
	}
	require.NotContains(t, rows(0), ":")
	require.Contains(t, rows(total/5), ":", "letters")
	require.NotContains(t, rows(total/5), "M")
	require.Contains(t, rows(total), "MMMMMM", "cut through")
}

// Programs of files run as those of a result do.
func TestPlayReadIsPlay(t *testing.T) {
	r := sampleRun(t, "short")
	var sources []shop.Source
	var texts []*bytes.Buffer
	for _, one := range r.Texts {
		sources = append(sources, shop.Source{Name: one.Name, Text: bytes.NewReader(one.Bytes)})
		texts = append(texts, bytes.NewBuffer(one.Bytes))
	}
	_, read, err := shop.Prove(r.Job, sources)
	require.NoError(t, err)
	a, b := play.NewShow(r.Play(), play.Usual), play.NewShow(shop.PlayRead(&r.Job, read, texts), play.Usual)
	_, total := a.At()
	for _, share := range []float64{0.7, 1} {
		at := time.Duration(math.Round(share * float64(total)))
		a.Go(at)
		b.Go(at)
		x, y := a.Frame(80, 40, picture.Look{Width: 80}), b.Frame(80, 40, picture.Look{Width: 80})
		n := len(x) - 5 // the words: only what is done is said otherwise
		require.Equal(t, x[:n], y[:n])
		require.Equal(t, x[n+1:], y[n+1:])
	}
}

// BenchmarkPlay is a frame of the 600 mm sample at the usual pace, its share of the work
// included: 50 ms are there for it.
func BenchmarkPlay(b *testing.B) {
	r := sampleRun(b, "guitar-28ft")
	show := play.NewShow(r.Play(), play.Usual)
	b.ReportAllocs()
	for b.Loop() {
		if now, total := show.At(); now == total {
			show.Press(play.Space)
		}
		show.Pass(time.Second / 20)
		show.Frame(120, 50, picture.Look{Width: 120, Blocks: true, Colour: true})
	}
}
