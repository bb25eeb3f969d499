package shop

import (
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"fmt"
	"io"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"dishwright/cam/job"
	"dishwright/cam/path"
	"dishwright/cam/proof"
	"dishwright/cam/work"
	"dishwright/dish/measure"
)

// cutMark returns eight signs that stand for every move of a set's programs: programs
// of one making have the same.
func cutMark(programs []work.Program) string {
	h := sha256.New()
	var b []byte
	for _, p := range programs {
		b = append(b[:0], p.Cutter.Name...)
		b = numbers(b, p.Speed)
		for _, s := range p.Sections {
			for _, m := range s.Moves {
				turn := 0.0
				if m.Clockwise {
					turn = 1
				}
				b = numbers(b, float64(m.Kind), m.To.X, m.To.Y, m.To.Z, m.Centre.X, m.Centre.Y, m.Centre.Z, float64(m.Plane), turn, m.Feed)
			}
		}
		h.Write(b)
	}
	return hex.EncodeToString(h.Sum(nil)[:4])
}

// numbers appends numbers in steps of 1e-7: what is written is far coarser, and their last
// bits are not the same on every machine. Zero has no sign.
func numbers(b []byte, list ...float64) []byte {
	for _, v := range list {
		b = binary.LittleEndian.AppendUint64(b, math.Float64bits(math.Round(v*1e7)+0))
	}
	return b
}

// setLine says in which set a program stands, and where.
func (r *Result) setLine(i int) string {
	return placed{number: r.first + i + 1, of: r.first + len(r.Plan.Programs), job: r.jobMark, made: r.cutMark}.String()
}

// setForm is the form of that line.
const setForm = `set: program (\d+) of (\d+), job (\w+), made as (\w+)`

// setPattern reads it back from a comment, setInText from a program's text.
var (
	setPattern = regexp.MustCompile(`(?i)^` + setForm + `$`)
	setInText  = regexp.MustCompile(`(?im)^\(` + setForm + `\)\s*$`)
)

// InOrder puts programs into the order that their heads state, and reports whether they came
// in another. Where one of them states no place, all stay as they came.
func InOrder(sources []Source) (moved bool) {
	place := make(map[io.Reader]int, len(sources))
	for i := range sources {
		s := &sources[i]
		text, head := headOf(s.Text)
		s.Text = text
		m := setInText.FindSubmatch(head)
		if m == nil {
			return false
		}
		n, err := strconv.Atoi(string(m[1]))
		if err != nil {
			return false
		}
		place[text] = n
	}
	before := func(a, b Source) int { return place[a.Text] - place[b.Text] }
	moved = !slices.IsSortedFunc(sources, before)
	slices.SortStableFunc(sources, before)
	return moved
}

// placed is where a program says that it stands.
type placed struct {
	number, of int
	job, made  string
	at         path.Source
}

func (s placed) String() string {
	return fmt.Sprintf("program %d of %d, job %s, made as %s", s.number, s.of, s.job, s.made)
}

// placeOf finds that in a program; false where it does not say.
func placeOf(p path.Path) (s placed, ok bool) {
	for _, e := range p.Events {
		if s, ok = placeIn(e); ok {
			return s, true
		}
	}
	return placed{}, false
}

// placeIn reads it from a comment; upper and lower case are alike.
func placeIn(e path.Event) (s placed, ok bool) {
	m := setPattern.FindStringSubmatch(strings.ToLower(e.Text))
	if e.Kind != path.Comment || m == nil {
		return s, false
	}
	n, errN := strconv.Atoi(m[1])
	of, errOf := strconv.Atoi(m[2])
	return placed{n, of, m[3], m[4], e.Source}, errN == nil && errOf == nil
}

// twice finds where a program says a second time, and otherwise, which piece it cuts or
// where in its set it stands.
func (v *Verdict) twice(p proof.Program) {
	place, _ := placeOf(p.Path)
	piece := pieceOf(p.Path)
	find := func(at path.Source, what string) {
		v.add(proof.Finding{Program: p.Name, Line: at.Line, Column: at.Column, Kind: proof.KindOrder, Message: measure.Say("the program names two %s", what)})
	}
	for _, e := range p.Path.Events {
		other, ok := placeIn(e)
		if other.at = place.at; ok && other != place {
			find(e.Source, "places in its set")
		}
		if name := pieceIn(e); name != "" && name != piece {
			find(e.Source, "pieces")
		}
	}
}

// together sees that programs are of this job, of one making, and in their order, so
// far as they say.
func (v *Verdict) together(j job.Job, programs []proof.Program) {
	mark, made, last, lastName := j.Mark(), "", 0, ""
	for _, p := range programs {
		v.twice(p)
		s, ok := placeOf(p.Path)
		if !ok {
			continue
		}
		find := func(format string, args ...any) {
			v.add(proof.Finding{Program: p.Name, Line: s.at.Line, Column: s.at.Column, Kind: proof.KindOrder, Message: measure.Say(format, args...)})
		}
		switch {
		case s.job != mark:
			find("the program was made for another job, or for this one before it was changed: its mark is %s, the job's is %s", s.job, mark)
		case made != "" && s.made != made:
			find("the program and %s were not made together: one is made as %s, the other as %s", lastName, s.made, made)
		case s.number == last:
			find("the program is number %d of its set, as %s is", s.number, lastName)
		case s.number < last:
			find("the program is number %d of its set and stands after number %d, %s", s.number, last, lastName)
		}
		made, last, lastName = s.made, s.number, p.Name
	}
}
