package main

import (
	"math"
	"os"

	"github.com/spf13/cobra"
	"gonum.org/v1/gonum/spatial/r3"

	"dishwright/cam/path"
	"dishwright/cam/proof"
	"dishwright/cmd/internal/figure"
	"dishwright/cmd/internal/picture"
	"dishwright/cmd/internal/play"
	"dishwright/cmd/internal/shop"
	"dishwright/dish"
	"dishwright/machines"
)

// runFailing is the program with one command more, which plays and, at the second frame,
// panics.
func runFailing() int {
	commands = append(commands, func(a *app) *cobra.Command {
		return &cobra.Command{Use: "fail", RunE: func(cmd *cobra.Command, _ []string) error {
			frames := 0
			p := play.NewProgram(machines.Machine{}, path.Setup{}, path.Path{Moves: []path.Move{{Kind: path.Line, To: r3.Vec{X: 100}, Feed: 1}}})
			p.Piece = &play.Piece{Blank: dish.Blank{Length: 10, Width: 10, Thickness: 1}, Cell: 1}
			p.Stages = []play.Stage{{View: func(*proof.Heights) figure.MapView {
				if frames++; frames == 2 {
					panic("a fault of our own")
				}
				return figure.MapView{Hi: figure.Point{X: 1, Y: 1}, Values: [][]float64{{math.NaN()}}, Levels: []float64{1}}
			}}}
			return playing{true, play.Usual}.run(cmd.Context(), a, []play.Program{p}, shop.Ask{Share: 1}, picture.Look{})
		}}
	})
	return run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr)
}
