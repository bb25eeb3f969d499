// Package proof finds out what moves leave of the wanted face: the highest
// scallop, with a certified upper bound, and the deepest gouge, exact for each
// move. A field of heights beside them follows how deep each move cuts into what
// still stands.
//
// In come a face (dish.Face) and the moves of each cutter (cam/path), in the face
// frame and in mm; out go heights in mm with the places where they occur
// (Certify, DeepestGouge, Stock). Check does all of it for a set of programs as
// they were read: in comes what they are held against (Case), out go the figures
// and a list of findings, each with its line (Result).
//
// # The certified scallop
//
// One move sweeps the cutter's end over the work; the lower surface of that
// sweep over the place p is f(p) = min over t of z(t) + profile(|p − q(t)|), with
// q(t) the tip in plan. What stands at p in the end is min(top, min of all f).
//
//  1. A move that is straight in plan, with z convex along it, has a convex f:
//     it is the least over t of a function that is convex in p and t together.
//     Such moves one after another are joined into one run (merge.go).
//     An arc in the XY plane has an f that is convex but for a known bend (sweep_ring.go).
//  2. Height over a crown, along its normal, is the distance to a point less R:
//     convex in (x, y, z) and rising with z, so it stays convex when z is a
//     convex f. Over a hollow it is R less such a distance: concave, so every
//     tangent plane lies above it; with one plane for a cell it is linear there.
//  3. Over a convex cell with corners c a convex function is at most the weighted
//     mean of its corner values, with the weights that make p out of the corners.
//     So for any weights λ of passes the least of the passes is at most the
//     highest corner value of the λ-mean of the passes: the bound of a cell.
//  4. Any station t gives an upper bound of f, so a minimum that was not quite
//     reached makes the bound larger, never wrong. Leaving a pass out does too.
//
// Cells are halved until none can hold a scallop more than the slack above the
// highest one found. That one is evaluated on the moves themselves, from below, so
// it is never above the truth.
//
// # What the certificate claims
//
// Each claim names the place where it is shown, and the test that attacks it.
//
//   - f is convex, and its footprint too, of every piece that moves are taken as: a straight
//     run with a convex chain of heights (newRun) sweeps the sum of a segment and a disc; a
//     concave chain stands for the endless lines through its pieces, cut off at its ends
//     (surface); a plunge is a disc (splitRuns); a ring of at most a third of a turn is
//     neither, and has its bend counted (addHeights) and no cell that could reach round its
//     middle (ring).
//     TestSurfacesAreConvexAndNeverTooLow, TestRingsBendNoMoreThanStated,
//     TestRingsOverAnyCell.
//   - No piece lies below the moves it stands for, nor wider: chains (setChain), arcs in
//     vertical planes (shallowArc), chords (arcChain), rings and their levels (rings).
//     TestConcavePassesAndPlunges, TestShallowArcsAreHeldFromAbove,
//     TestArcsAreHeldFromBothSides, TestRings.
//   - Nor does a splice, which stands for part of a pass over one cell (splice).
//     TestSplicesAreNeverTooLow.
//   - Height over the face is convex or has a plane above it that is linear (localFace); a
//     cell's corners enclose its part of the face (findCorners). TestScallopAgainstBruteForce.
//   - A weighted mean of corner heights bounds the least of the passes (lowestMean), and
//     heights known from a cell that was halved are those of its halves (knownHeights).
//     TestScallopAgainstBruteForce, TestKnownHalves.
//   - What is left out only raises the bound: moves above the blank's top or far above the
//     face (relevant, and Certify's second look), from places that are not known (makeRuns),
//     passes that no cell evaluates (estimate). TestScallopOfWhatIsNotCut,
//     TestSurfacesLeaveOutNothing, TestHelicesCostLittle, TestAdversary.
//   - What was certified before is taken again only for moves that come to the same runs, to the
//     last bit, and the same question (Known). TestKnownIsWhatASearchFinds, TestRunsAreToldApart.
//   - It holds for every spindle up to the tilt and every cutter down to the undersize
//     (tiltedEnd, Undersized). TestTiltAgainstBody, TestTiltAndUndersize.
//   - It holds for a face cut in setups wherever each lies within the index error (Setups).
//     TestIndexErrorByChance in the package shop.
//   - No move goes deeper below what is allowed than its Gouge (tipLimit), arcs within
//     arcTolerance. TestGougeAgainstBruteForce, TestGougeOfArcsPastASmallCrown.
//   - Nothing is cut beside the face but what the job says (beside), by no more than
//     volumeTolerance, and no moat is deeper than its floor. TestWoodBesideAgainstBruteForce.
//   - No bite, descent or traverse is deeper than reported, but within the margins that Stock
//     states. TestStockAgainstBruteForce, TestAdversary.
//   - A template's edge is no farther off than reported; holes, grooves and cut-outs are cut
//     all along and all over (cleared, unfinishedExtras). TestEdgesAreBounded,
//     TestSmallGapsAreFound, TestHolesAreCutAllOver.
//   - It takes no more work and memory than is stated (budget), and says so where it would.
//     TestEveryProofIsBounded.
//   - It leaves out what a controller makes of corners: CornerRounding says how much that may
//     be. TestCornerRoundingAgainstRoundedCorners.
//
// A formula that names no source is derived where it stands, by ourselves; the sagitta
// of a chord, c²/8R to first order, is that of [MH].
//
// References:
//
//	[MH]  Machinery's Handbook, 31st edition: segments pp. 79 and 83
package proof
