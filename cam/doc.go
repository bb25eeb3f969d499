// Package cam makes a plan: a work.Work goes in, a Plan comes out, which has for each
// program its cutter, its feed and speed and its moves, already on the lattice of
// coordinates that the program can write. A plan that cannot be made is refused with
// work.Problems.
//
// It puts together what the rooms below it do, of which each sees those above it in this list:
//
//	work    what is to be cut, and what is known of it before anything is planned
//	link    how moves are laid: heights, chords, ways into stock, from pass to pass
//	pass    where passes go: the patterns of finishing, and roughing
//	beside  what is cut beside the face: extras, skim, air lap, what is left to resume
//
// Only + − × ÷ and square roots decide a coordinate, each product that is added to
// something rounded by itself, so that the same work gives the same moves on every
// machine. A formula in these rooms that names no source is derived where it stands, by
// ourselves.
package cam
