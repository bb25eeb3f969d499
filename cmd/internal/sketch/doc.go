// Package sketch reads what builders bring along: tables of points or heights as
// comma-separated values, and outlines drawn as one path of an SVG file.
//
// In come a file's name and bytes, out go numbers in mm, or strict.Faults:
// everything that is wrong with the file, each with its line and column. A file
// is at most strict.MaxBytes long (its reader sees to that) and holds at most
// MostRows points.
//
// References:
//
//	[SVG]  Scalable Vector Graphics (SVG) 2, W3C, chapter Paths: the grammar of
//	       path data, and implementation notes B.2 on arcs; from memory
//	[CSV]  RFC 4180, and encoding/csv
package sketch
