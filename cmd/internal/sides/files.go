package sides

import (
	"fmt"
	"strings"

	"gonum.org/v1/gonum/spatial/r2"

	"dishwright/cmd/internal/pattern"
	"dishwright/dish/measure"
)

// File is one file of the set that a rim job makes.
type File struct {
	Name  string
	Bytes []byte
}

// Paper is what the patterns are printed on.
type Paper = pattern.Paper

// PaperNamed returns a paper by its name.
func PaperNamed(name string) (Paper, error) { return pattern.PaperNamed(name) }

// CSV returns the table of stations.
func (r *Result) CSV() []byte {
	var b strings.Builder
	b.WriteString("arc_mm,x_mm,y_mm,top_z_mm,top_inner_z_mm,back_z_mm,back_inner_z_mm,side_width_mm,top_slope_deg,back_slope_deg,remove_mm,back_remove_mm,gap_level_mm,gap_rocked_mm,zone,saw_mm,back_saw_mm\n")
	for _, s := range r.Report.Stations {
		row(&b, s.ArcMM, s.X, s.Y, s.TopZ, s.TopInnerZ, s.BackZ, s.BackInnerZ, s.WidthMM, s.SlopeDeg, s.BackSlope, s.RemoveMM, s.BackRemove, s.GapLevel, s.GapRocked)
		b.WriteString("," + s.Zone + ",")
		row(&b, s.Saw, s.BackSaw)
		b.WriteByte('\n')
	}
	return []byte(b.String())
}

// row writes the numbers of one row of a table.
func row(b *strings.Builder, values ...float64) {
	for i, v := range values {
		if i > 0 {
			b.WriteByte(',')
		}
		b.WriteString(measure.FormatFixed(v, 4))
	}
}

// Files returns the tables and the patterns of the sides for a paper.
func (r *Result) Files(paper Paper) ([]File, error) {
	files := []File{{"stations.csv", r.CSV()}, {"log.csv", r.LogTemplate()}}
	for i, h := range r.Report.Side.Halves {
		var b strings.Builder
		b.WriteString("along_mm,along_mid_thickness_mm,upper_z_mm,lower_z_mm\n")
		for _, e := range h.Edges {
			row(&b, e.Along, e.Mid, e.Upper, e.Lower)
			b.WriteByte('\n')
		}
		files = append(files, File{h.Side + "-side.csv", []byte(b.String())})
		pages, err := pattern.Pages(r.pattern(i), paper)
		if err != nil {
			return nil, err
		}
		for _, p := range pages {
			files = append(files, File{h.Side + "-side-" + p.Name + ".svg", p.SVG})
		}
	}
	return files, nil
}

// pattern makes the pattern of a side, as long as the side is before it is bent, at
// mid-thickness: the right one as it is seen from outside
// with the tail at the left would be the left one's mirror image, so that the two
// come as a pair.
func (r *Result) pattern(i int) pattern.Pattern {
	h, s := r.Report.Side.Halves[i], r.Report.Side
	p := pattern.Pattern{Name: r.Report.Name + ", " + h.Side + " side", Mirrored: h.Side == "left", Allowance: s.AllowanceMM, TrimTail: s.TrimTailMM, TrimHead: s.TrimHeadMM, Ruler: r.Job.Ruler,
		Notes: []string{fmt.Sprintf("For the flat side, seen from outside, the top's edge up: %s long at mid-thickness; bent, its outside has %s.", r.Report.Guess.About(r.Job.Ruler, h.Mid), r.Report.Guess.About(r.Job.Ruler, h.Outside))}}
	if g := r.Report.Guess; g != nil {
		p.Notes = append([]string{"The outline is " + g.sentence(r.Job.Ruler) + "."}, p.Notes...)
	}
	p.Saw[0], p.Saw[1] = r.sawLines(i)
	for _, e := range h.Edges {
		p.Upper = append(p.Upper, r2.Vec{X: e.Mid, Y: e.Upper})
		p.Lower = append(p.Lower, r2.Vec{X: e.Mid, Y: e.Lower})
		if e.Name != "" {
			p.Marks = append(p.Marks, pattern.Mark{U: e.Mid, Name: bare(e.Name)})
		}
	}
	return p
}
