// Package picture is the one canvas: marks on a piece of paper in mm, Y downward,
// shown as SVG, as PNG, on paper at true size, and as characters. What is drawn on it,
// and where, is package figure's and package pattern's.
//
// In come pens, lines, areas, dots, texts, keys and a Shade, which is a field of values
// as tones; out come bytes, the same for the same marks. There is one set of pens and
// one of greys; what differs, differs in size, dash or sign, never by colour alone, so
// that it holds in black and white print.
//
// As characters one stands for 2 mm by 4 mm of the paper, about what a letter and its
// line take, so that a drawing made W mm wide fills W/2 columns with the same layout.
// Lines become - | / \ by their direction, or the sign of their pen, or, where the
// terminal has them, dots of braille; texts stay whole or are left out; a Shade becomes a
// ramp of characters, of the values in one cell the largest, so that no peak is lost. To
// show values from above as characters, lay a Shade under the lines:
//
//	f := picture.New(160, 96, "depth")
//	f.Shade(picture.Shade{Hi: picture.Point{X: 96, Y: 96}, Values: rows, Levels: []float64{1, 2, 3}})
//	fmt.Print(f.Characters(look))
package picture
