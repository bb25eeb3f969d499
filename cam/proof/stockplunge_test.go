package proof

import (
	"math"
	"testing"

	"dishwright/cam/path"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// down goes straight down at X3 Y4 in steps, and up by lift after each.
func down(kind path.Kind, to, step, lift float64) (moves []path.Move) {
	at := stockVec(3, 4, 1)
	for z := -step; z > to-step/2; z -= step {
		low := stockVec(3, 4, z)
		moves = append(moves, path.Move{Kind: kind, From: at, To: low})
		if at = low; lift > 0 {
			at = stockVec(3, 4, z+lift)
			moves = append(moves, path.Move{Kind: path.Traverse, From: low, To: at})
		}
	}
	return moves
}

// A traverse into what stands is found however shallow its steps, and whatever corners have
// cut before; one down to what is cut already is not.
func TestStockTraversesStraightDown(t *testing.T) {
	bull, c := path.Cutter{Shape: path.Bull, Diameter: 12}, stockSmall
	c.Core = 0 // so that it is the traverse that cuts nothing
	for _, corner := range []float64{0.05, 0.1, 0.25, 1, 5} {
		bull.Corner = corner
		for _, cell := range []float64{0.3, 1, 2} {
			for _, step := range []float64{0.07, 0.15, 2} {
				for _, lift := range []float64{0, 1e-4, 0.5, 3} {
					s := NewStock(stockPlate, cell)
					s.Cut(bull, stockLine(stockVec(-40, -40, -1), stockVec(-30, -40, -1)))
					r := s.Run(c, down(path.Traverse, -2, step, lift))
					require.NotEmpty(t, r.Traverses, "corner %g, cells of %g, steps of %g, lifts of %g", corner, cell, step, lift)
					require.Empty(t, s.Run(c, down(path.Traverse, 0, 1, 0)).Traverses)
				}
			}
			s := NewStock(stockPlate, cell)
			require.NotEmpty(t, s.Run(c, down(path.Traverse, -0.2, 0.2, 0)).Traverses, "cells of %g", cell)
			s.Run(bull, down(path.Line, -2, 2, 0))
			require.Empty(t, s.Run(bull, append(down(path.Traverse, -1.9, 1.9, 3), down(path.Traverse, -1.8, 0.3, 0)...)).Traverses)
		}
	}
	// A peck goes down in a traverse to where the one before it was.
	peck := stockSmall
	peck.Core, peck.DepthOfCut = 0, 1
	var pecks []path.Move
	for z := -0.9; z > -5; z -= 0.9 {
		pecks = append(pecks, stockTraverse(stockVec(3, 4, 1), stockVec(3, 4, z+0.9)), stockLine(stockVec(3, 4, z+0.9), stockVec(3, 4, z)), stockTraverse(stockVec(3, 4, z), stockVec(3, 4, 1)))
	}
	r := NewStock(stockPlate, 1).Run(peck, pecks)
	require.Empty(t, r.Traverses)
	require.Empty(t, r.TooDeep)
}

// What cannot cut does not cut, in however many pecks.
func TestStockPecksWithACore(t *testing.T) {
	c := stockSmall
	c.DepthOfCut, c.Ramp = 5, 0.05
	for _, lift := range []float64{0, 1e-4, 0.5, 3} {
		for _, step := range []float64{0.01, 0.09} {
			r := NewStock(stockPlate, 1).Run(c, down(path.Line, -1, step, lift))
			require.NotZero(t, len(r.TooSteep)+len(r.Posts), "steps of %g, lifts of %g", step, lift)
		}
	}
	// In turn at two places, each time from the air.
	var pecks []path.Move
	for k := range 60 {
		x, z := float64(30*(k%2)), -0.05*float64(k/2+1)
		top, low := stockVec(x, 0, 1), stockVec(x, 0, z)
		pecks = append(pecks, stockTraverse(stockVec(30-x, 0, 1), top), stockTraverse(top, stockVec(x, 0, z+0.05)), stockLine(stockVec(x, 0, z+0.05), low), stockTraverse(low, top))
	}
	both := NewStock(stockPlate, 1).Run(c, pecks).TooSteep
	require.NotEmpty(t, both)
	require.InDelta(t, 0.2, both[0].Depth, 1e-9, "as soon as it counts")
	require.Equal(t, both[0].Index+4, both[1].Index, "at both")

	staircase := creep(stockVec(0, 0, 0.02), 200, func(i int, p r3.Vec) r3.Vec {
		return [4]r3.Vec{stockVec(0, 0, p.Z-0.05), stockVec(0.3, 0, p.Z), stockVec(0.3, 0, p.Z-0.05), stockVec(0, 0, p.Z)}[i%4]
	})
	require.NotEmpty(t, NewStock(stockPlate, 1).Run(c, staircase).TooSteep)

	s := NewStock(stockPlate, 1)
	s.Cut(c, stockLine(stockVec(3, 4, -2), stockVec(30, 4, -2)))
	r := s.Run(c, down(path.Line, -2, 0.09, 1e-4)[:2*21])
	require.Empty(t, r.TooSteep)
	require.Empty(t, r.Posts)
}

// A plunge is one bite, unless the cutter is lifted clear on its way.
func TestStockPlungeIsOneBite(t *testing.T) {
	c := stockRound
	c.DepthOfCut = 3
	slant := func(i int, p r3.Vec) r3.Vec { return stockVec(p.X+0.002, p.Y, p.Z-0.05-0.001*float64(i%2)) }
	for name, moves := range map[string][]path.Move{
		"in steps":         down(path.Line, -5, 0.07, 0),
		"in long steps":    down(path.Line, -5, 2.5, 0),
		"with small lifts": down(path.Line, -5, 0.07, 1e-4),
		"a little aslant":  creep(stockVec(0, 0, 0), 99, slant),
	} {
		r := NewStock(stockPlate, 1).Run(c, moves)
		require.InDelta(t, 5, r.Depth, 0.1, name)
		require.NotEmpty(t, r.TooDeep, name)
	}
	mixed := down(path.Line, -5, 0.07, 0)
	for i := range mixed {
		if i%2 == 1 {
			mixed[i].Kind = path.Traverse
			mixed[i-1].To.Z -= 0.069
			mixed[i].From.Z -= 0.069
		}
	}
	require.InDelta(t, 5, NewStock(stockPlate, 1).Run(c, mixed).Depth, 0.1)
	r := NewStock(stockPlate, 1).Run(c, down(path.Line, -6, 2, 3))
	require.InDelta(t, 2, r.Depth, math.Sqrt2*biteTolerance)
	require.Empty(t, r.TooDeep)
}

// A slot deeper than the flutes are long is found in short moves too.
func TestCheckShortMovesBeyondTheFlutes(t *testing.T) {
	p := program(framed(g1(nan, nan, -2, 1000), g1(0.5, nan, -2, 1000))...)
	p.Cutter.FluteLength = 3
	require.Empty(t, findings(plainCase(spindleMachine()), p))
	acts := []act{g1(nan, nan, -2.5, 1000), g0(nan, nan, 1), g1(nan, nan, -4, 1000)}
	for i := range 60 {
		acts = append(acts, g1(0.07*float64(i), nan, nan, 1000))
	}
	p = program(framed(acts...)...)
	p.Cutter.FluteLength = 3
	found := findings(plainCase(spindleMachine()), p)
	require.NotEmpty(t, found)
	require.Equal(t, KindBite, found[0].Kind)
	require.InDelta(t, 1, found[0].Amount, biteTolerance)
}
