// Package measure reads and writes lengths, feeds, accelerations, times, angles
// and counts as people write them: `25 ft`, `6 1/2 in`, `0.05 mm`,
// `5000 mm/min`, `250 mm/s2`, `5 s`, `3 deg`, `0.1 mm per 100 mm`.
//
// In comes text of at most 40 characters, out go plain numbers in mm, mm/min,
// mm/s², s and radians, or an *Error that says what is wrong and how to write it
// right. Every number is read exactly (as a fraction of whole numbers) and
// rounded once, so that 25 ft is 7620 mm to the last bit on every machine.
//
// An inch is 25.4 mm and a foot 304.8 mm, by definition.
package measure
