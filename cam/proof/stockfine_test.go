package proof

import (
	"testing"

	"dishwright/cam/path"
	"dishwright/dish"
	"dishwright/machines"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"
)

// TestRefined: what a narrow cutter does is found in small cells about its way exactly as in
// small cells everywhere, and elsewhere the field stands no lower than there; a part above the
// flutes that comes against what stands farther off is found too.
func TestRefined(t *testing.T) {
	wide, narrow := path.Cutter{Shape: path.Flat, Diameter: 12, DepthOfCut: 2, Core: 3}, path.Cutter{Shape: path.Ball, Diameter: 3, DepthOfCut: 1, FluteLength: 8}
	blank := dish.Blank{Shape: dish.Rectangle, Length: 90, Width: 70, Thickness: 20}
	holder := machines.Machine{Holder: machines.Holder{Diameter: 30}}
	rapid.Check(t, func(t *rapid.T) {
		moves := func(label string, n int, low float64) (list []path.Move) {
			at := func() r3.Vec {
				return r3.Vec{X: rapid.Float64Range(-50, 50).Draw(t, label+" x"), Y: rapid.Float64Range(-40, 40).Draw(t, label+" y"), Z: rapid.Float64Range(low, 1).Draw(t, label+" z")}
			}
			from := at()
			for range n {
				to, kind := at(), rapid.SampledFrom([]path.Kind{path.Line, path.Line, path.Traverse}).Draw(t, label+" kind")
				if rapid.Bool().Draw(t, label+" level") {
					to.Z = from.Z
				}
				list = append(list, path.Move{Kind: kind, From: from, To: to})
				from = to
			}
			return list
		}
		done, ahead := []Cut{{wide, moves("wide", 8, -4)}}, Cut{narrow, moves("narrow", 4, -6)}
		large := NewStock(blank, 1.3)
		large.Raise(rapid.SampledFrom([]float64{0, 0.7}).Draw(t, "skim"))
		small := NewStock(blank, 0.4)
		small.Raise(large.raised)
		for _, c := range done {
			large.cutAll(c)
			small.cutAll(c)
		}
		fine := large.refined(0.4, done, ahead)
		ahead.Cutter.StickOut = 3 // the holder comes down to what stands
		got, want := fine.Clone().RunOnMachine(holder, ahead.Cutter, ahead.Moves), small.Clone().RunOnMachine(holder, ahead.Cutter, ahead.Moves)
		found := map[int]float64{}
		for _, c := range got.Contacts {
			found[c.Index] = c.Amount
		}
		for _, c := range want.Contacts {
			// Either bound may be loose by as much as the search for it leaves.
			require.GreaterOrEqual(t, found[c.Index], c.Amount-biteTolerance, "a contact of move %d", c.Index)
		}
		got.Contacts, want.Contacts = nil, nil
		require.Equal(t, want, got)
		for range 20 {
			x, y := rapid.Float64Range(-45, 45).Draw(t, "x"), rapid.Float64Range(-35, 35).Draw(t, "y")
			if small.blank.Inside(x, y) >= 0 {
				least := 0.0
				for _, c := range done { // what truly stands there
					for _, m := range c.Moves {
						if m.Kind != path.Traverse {
							k := newStraightRun(c.Cutter.Body(), m.From, m.To, 0)
							least = min(least, k.height(x, y)-large.raised)
						}
					}
				}
				require.GreaterOrEqual(t, fine.Height(x, y), least+large.raised-1e-9)
				require.GreaterOrEqual(t, fine.HighestInDisc(x, y, 1), least+large.raised-1e-9)
			}
		}
	})
}

// TestRefinedFarOff: in a groove 12 mm wide and 4 deep a 3 mm cutter goes down to 5 mm, and its
// holder, 30 mm wide and 3 above the tip, comes 2 mm below the top of the wood on either side,
// which its own small cells do not reach.
func TestRefinedFarOff(t *testing.T) {
	wide, narrow := path.Cutter{Shape: path.Flat, Diameter: 12}, path.Cutter{Shape: path.Ball, Diameter: 3, DepthOfCut: 9, StickOut: 3}
	line := func(z float64) []path.Move {
		return []path.Move{{Kind: path.Line, From: r3.Vec{X: -40, Z: z}, To: r3.Vec{X: 40, Z: z}}}
	}
	done := []Cut{{wide, line(-4)}}
	s := NewStock(dish.Blank{Shape: dish.Rectangle, Length: 90, Width: 70, Thickness: 20}, 0.5)
	s.cutAll(done[0])
	fine := s.refined(0.2, done, Cut{narrow, line(-5)})
	contacts := fine.RunOnMachine(machines.Machine{Holder: machines.Holder{Diameter: 30}}, narrow, line(-5)).Contacts
	require.Len(t, contacts, 1)
	require.Equal(t, Holder, contacts[0].MachinePart)
	require.InDelta(t, 2, contacts[0].Amount, 1e-9)
}
