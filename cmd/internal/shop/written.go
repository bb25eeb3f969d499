package shop

import (
	"bytes"
	"fmt"
	"slices"

	"dishwright/cam/motion"
	"dishwright/cam/proof"
	"dishwright/cam/work"
	"dishwright/cmd/internal/tell"
	"dishwright/post"
)

// textRead is a text and what was read back of it.
type textRead struct {
	post.Written
	bytes []byte
	back  proof.Program
	took  motion.Time
}

// writeText writes a program and reads it back: twice, for its head says last how long what
// stands below it takes. Said names the program in errors.
func writeText(w *work.Work, said, name string, p post.Program) (t textRead, err error) {
	about := slices.Clip(p.About)
	for range 2 {
		var b bytes.Buffer
		p.About = append(about, takes(w, t.took.Total))
		if t.Written, err = post.Write(&b, p); err != nil {
			return t, tell.Defect(fmt.Errorf("%s is refused: %w", said, err))
		}
		t.bytes = b.Bytes()
		if t.back, _, err = read(w, Source{Name: name, Text: &b}, newRoom()); err != nil {
			return t, tell.Defect(fmt.Errorf("%s does not read back: %w", said, err))
		}
		t.took = motion.Estimate(w.Machine, t.back.Path)
	}
	return t, nil
}

// readBack returns the program as it was read back.
func (t Text) readBack() proof.Program {
	return proof.Program{Name: t.Name, Cutter: t.Program.Cutter, Setup: t.Program.Setup, Path: t.Path, PathModes: t.PathModes, HoodAbove: t.HoodAbove}
}

// readBack returns the programs as they were read back.
func (r *Result) readBack() []proof.Program {
	programs := make([]proof.Program, len(r.Texts))
	for i, t := range r.Texts {
		programs[i] = t.readBack()
	}
	return programs
}
