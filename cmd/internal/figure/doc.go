// Package figure makes the workshop drawings of the bench sheet: plan, section, map
// of what is left, blank, rim and the rest, in black and greys alone.
//
// In come the views of package draw and a few of its own, in mm; out comes a Figure,
// marks on a piece of paper in mm, Y downward, which writes itself as SVG, with its
// title and its description in it, or as PNG. The same view gives the same bytes of
// SVG. Nothing is said by colour: what differs, differs in size, dash or sign.
package figure
