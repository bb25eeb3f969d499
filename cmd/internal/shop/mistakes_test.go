package shop

import (
	"strings"
	"testing"

	"dishwright/cam/path"
	"dishwright/cam/proof"

	"github.com/stretchr/testify/require"
)

// laidAs reads program i of a result and has it run while the blank lies as for a setup.
func laidAs(t *testing.T, r *Result, i int, s path.Setup) proof.Program {
	t.Helper()
	text := r.Texts[i]
	p, _, err := read(&r.Plan.Work, Source{Name: text.Name, Text: strings.NewReader(string(text.Bytes))}, newRoom())
	require.NoError(t, err)
	p.Cutter, p.Setup = text.Program.Cutter, s
	_, ok := ontoBlank(&p)
	require.True(t, ok)
	return p
}

// ran is what programs do to the blank, as the field has it.
func ran(t *testing.T, r *Result, programs ...proof.Program) proof.Result {
	t.Helper()
	out, err := proof.Check(newCase(r.Plan.Piece(), r.Extras, r.Plan.Layout), programs)
	require.NoError(t, err)
	return out
}

// kindsOf are the kinds of what is found.
func kindsOf(out proof.Result) map[proof.Kind]bool {
	kinds := map[proof.Kind]bool{}
	for _, f := range out.Findings {
		kinds[f.Kind] = true
	}
	return kinds
}

// hardly is how deep a second run may bite, mm: what the field overstates, and nothing that
// a cutter feels.
const hardly = 0.04

// Each program of a divided set, run twice, cuts the air the second time; setups in another
// order leave the same, but for a pin's hole, which comes first.
func TestSetupsRunTwice(t *testing.T) {
	for _, name := range []string{"in turns", "about a pin", "slid"} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			r := headMade(t, name)
			var once, twice, back []proof.Program
			for i, text := range r.Texts {
				p := laidAs(t, r, i, text.Program.Setup)
				once, twice, back = append(once, p), append(twice, p, p), append([]proof.Program{p}, back...)
			}
			out := ran(t, r, twice...)
			require.Empty(t, out.Findings)
			for i := range once {
				require.Less(t, out.Bites[2*i+1], hardly, once[i].Name)
			}
			require.Greater(t, out.Bites[2], 10*hardly, "the first run does bite")
			require.Equal(t, ran(t, r, once...).Scallop.Certified, out.Scallop.Certified)
			other := ran(t, r, back...)
			if name == "about a pin" {
				require.Len(t, other.Findings, 1, "its hole is cut first")
				require.Equal(t, proof.KindOrder, other.Findings[0].Kind)
			} else {
				require.Empty(t, other.Findings)
			}
			require.Equal(t, out.Scallop.Certified, other.Scallop.Certified)
		})
	}
}

// A program that runs while the blank still lies for another setup: of one that is turned it
// cuts the air there and leaves its own part standing, as its head says; of one that is slid
// it cuts into the face, as its head warns.
func TestSetupsAtTheWrongMark(t *testing.T) {
	for _, name := range []string{"in turns", "about a pin", "slid"} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			r := headMade(t, name)
			first := r.Texts[0].Program.Setup
			var programs []proof.Program
			wrong := -1
			for i, text := range r.Texts {
				s := text.Program.Setup
				if s.Number == 2 && wrong < 0 {
					wrong, s = i, first
				}
				programs = append(programs, laidAs(t, r, i, s))
			}
			out := ran(t, r, programs...)
			says := strings.Join(r.Report.Order[wrong].Lay, " ")
			if name == "slid" {
				require.True(t, kindsOf(out)[proof.KindGouge], "%v", out.Findings)
				require.Contains(t, says, "with mark 1 at the bed's line in place of mark 2 this program cuts into the face where it must not")
				return
			}
			require.Less(t, out.Bites[wrong], hardly)
			for kind := range kindsOf(out) {
				require.Contains(t, []proof.Kind{proof.KindScallop, proof.KindOrder}, kind, "its part still stands, and nothing else is wrong: %v", out.Findings)
			}
			require.NotEmpty(t, out.Findings)
			require.Contains(t, says, "in the air where it is finished")
			// Laid right and run again it is made good.
			programs = append(programs, laidAs(t, r, wrong, r.Texts[wrong].Program.Setup))
			require.Empty(t, ran(t, r, programs...).Findings)
		})
	}
}

// prove tells a program that comes twice, in another order, or from another set.
func TestProveTellsTheOrder(t *testing.T) {
	t.Parallel()
	r := headMade(t, "in turns")
	other := headMade(t, "slid")
	said := func(texts ...Text) (all string) {
		var sources []Source
		for _, text := range texts {
			sources = append(sources, Source{Name: text.Name, Text: strings.NewReader(string(text.Bytes))})
		}
		v, _, err := Prove(r.Job, sources)
		require.NoError(t, err)
		for _, f := range v.Findings {
			require.NotEmpty(t, f.Program, f.Message)
			require.Positive(t, min(f.Line, f.Column), f.Message)
			if f.Kind == "order" {
				all += f.Message.String() + "\n"
			}
		}
		return all
	}
	x := r.Texts
	require.Empty(t, said(x...))
	require.Contains(t, said(x[0], x[1], x[2], x[2], x[3], x[4]), "number 3 of its set, as 3-small.ngc is")
	require.Contains(t, said(x[0], x[1], x[3], x[2], x[4]), "stands after number 4")
	require.Contains(t, said(x[0], x[1], x[2], other.Texts[2], x[4]), "another job")
	require.Contains(t, said(x[0], x[1], x[2], x[4]), "no program cuts the part of setup 3")
}
