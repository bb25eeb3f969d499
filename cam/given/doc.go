// Package given has what the tests of the planner begin with: cutters, machines, faces and
// works that can be planned, some of them drawn by chance, and what any run of moves must
// keep. Only tests use it.
package given
