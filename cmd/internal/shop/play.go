package shop

import (
	"bytes"
	"math"
	"strings"

	"dishwright/cam/job"
	"dishwright/cam/path"
	"dishwright/cam/proof"
	"dishwright/cmd/internal/figure"
	"dishwright/cmd/internal/play"

	"gonum.org/v1/gonum/spatial/r2"
)

// Play returns the programs as they run, of a pair those of the caul after the dish's.
func (r *Result) Play() (list []play.Program) {
	for n, s := range r.Scenes() {
		one := r
		if n > 0 {
			one = r.Mate
		}
		number, piece := s.first, s.piece(one.Job)
		for i, t := range one.Texts {
			p := s.run(piece, t.Name, t.Program.Cutter, t.Program.Setup, t.Path, t.Bytes)
			for _, k := range one.stagesOf(i) {
				p.Stages = append(p.Stages, s.runStage(k, string(k.purpose), piece, &number))
			}
			list = append(list, p)
		}
	}
	return list
}

// PlayRead returns programs that were read, with their texts, as they run.
func PlayRead(j *job.Job, programs []proof.Program, texts []*bytes.Buffer) (list []play.Program) {
	s := SceneRead(&j.Work, programs)[0]
	number, piece := 0, s.piece(*j)
	for i, t := range stagesRead(programs) {
		p := programs[i]
		one := s.run(piece, p.Name, p.Cutter, p.Setup, p.Path, texts[i].Bytes())
		one.Stages = append(one.Stages, s.runStage(placedStage{stage: t}, "as it was read", piece, &number))
		list = append(list, one)
	}
	return list
}

// piece is the blank of a scene, in cells that suit the cutters of all its stages.
func (s Scene) piece(j job.Job) *play.Piece {
	b := s.w.Blank
	return &play.Piece{Blank: b, Cell: proof.CellSize(b, narrowest(s.stages)), Ruler: j.Ruler}
}

// run is a program as it runs on the work's machine.
func (s Scene) run(piece *play.Piece, name string, c path.Cutter, setup path.Setup, p path.Path, text []byte) play.Program {
	run := play.NewProgram(s.w.Machine, setup, p)
	run.File, run.Piece, run.Cutter = name, piece, c
	run.Text = strings.Split(strings.TrimSuffix(string(bytes.ReplaceAll(text, []byte("\r"), nil)), "\n"), "\n")
	return run
}

// runStage is a stage as it is looked at: with what it leaves of the face, or, where there
// is no face, with how deep the blank is cut. Before the face's last stage the tones are
// even steps of all that comes off, so that each layer shows.
func (s Scene) runStage(t placedStage, does string, piece *play.Piece, number *int) play.Stage {
	one := play.Stage{From: t.from, Name: does + " with " + t.cutter.Name, Title: "left above the wanted face"}
	if !s.w.HasFace() {
		one.Title = "depth below the blank's top"
	}
	if !inAir(t.moves) {
		*number++
		one.Number = *number
	}
	a := Ask{Ruler: piece.Ruler}
	one.View = func(h *proof.Heights) figure.MapView {
		if !s.w.HasFace() {
			return s.depthIn(h, a)
		}
		v := s.leftIn(h, t.last, a)
		if deep := s.w.Face.Sagitta(); !t.last && deep > 0 {
			v.Levels = evenly(deep)
		}
		return v
	}
	return one
}

// depthIn shows how deep a blank is cut.
func (s Scene) depthIn(h *proof.Heights, a Ask) figure.MapView {
	const cells = 200
	x, y := s.w.Blank.Length/2, s.w.Blank.Width/2
	return figure.MapView{Lo: r2.Vec{X: -x, Y: -y}, Hi: r2.Vec{X: x, Y: y}, Digits: 2, Ruler: a.Ruler, Silent: true,
		Levels: evenly(s.w.Blank.Thickness), Values: h.DepthMap(cells, max(1, int(math.Round(cells*y/x))))}
}

// evenly divides a depth into even steps, the first and the last half as large.
func evenly(deep float64) (levels []float64) {
	const steps = 8
	for i := range steps {
		levels = append(levels, deep*(float64(i)+0.5)/steps)
	}
	return levels
}
