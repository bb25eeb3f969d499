// Package job reads job files, each over a shop file where there is one: YAML in, a
// work.Work out, with every default that was taken, where every value comes from, and
// every fault at its file, line and column.
//
// What a job makes is a Form, one file each (dish.go, board.go, ...): how it is read, and what is
// worth saying of it in programs, reports and sheets.
//
// A job names what the builder decides (radius, diameter, blank, machine, the
// cutters on the shelf); everything else has a default that a careful builder
// would choose, and the Job lists those it took. Range faults are found here;
// what stands in the way of cutting is found by package cam, whose Problems
// Locate turns into faults at the keys they are about.
package job
