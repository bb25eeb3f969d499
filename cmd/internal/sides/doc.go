// Package sides works out a rim job: the outline and the domes, and from them
// heights, patterns, sanding, gaps, notches and clamps.
//
// In comes a job of the form rim, out goes one Result; text, JSON, CSV and the
// patterns on paper print it. What is wrong with the job, or with a file that it
// names, comes as strict.Faults, all at once.
package sides
