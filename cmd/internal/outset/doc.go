// Package outset writes output all or none: a Set of programs in a folder of
// its own, or one new file.
//
// In come a folder's name and the bytes of each file; out comes the folder with
// the whole set, or an error and the folder as it was. The set is built in a
// sibling folder, every file and the folder are synced, and the sibling takes
// the folder's place in one step. A kill at any moment leaves the old set or
// the new one, whole; what else it leaves beside the folder, the next run for
// the same folder removes. Where the system cannot exchange two folders in one
// step, two renames take its place, and a kill between them is mended at the
// next run, which puts the old set back.
//
// Whose is a folder? Each set holds a list, .dishwright-set, of its files with
// their SHA-256. A folder is ours where it holds the list, files on the list,
// all of them as they were written, and nothing else. Nothing but listed files
// is ever deleted: a file that someone edited, added or linked keeps the whole
// folder from being replaced.
//
// One file is written under a name of its own beside it first, which the next run for
// the same file removes where a kill left it. It takes the place of another only where that
// begins as ours do, with the Mark.
//
// Nothing that was read in this run (package strict remembers it) is ever replaced, under
// whatever name or link: it is what the user brought.
//
// A running set is locked, where the system has locks, so that a second run for
// the same folder does not take it for one left by a kill.
package outset
