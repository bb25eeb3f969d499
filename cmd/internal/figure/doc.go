// Package figure makes the workshop drawings, each once, on the canvas of package
// picture: plan, section, map of what is left, blank, rim and the rest.
//
// In come views, in mm of the work, and a Size; out comes a picture.Figure, which is then
// shown as characters, SVG or PNG. The same view gives the same drawing.
package figure
